"""Backup clocks against the tops of a kept campaign: the join by hand, and a campaign flown for it."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.electronics.results import BackupTimer, Sensing
from finial.assemble.electronics.study import electronics_result
from finial.assemble.spread.case import flight_case
from finial.campaign.campaign import planned
from finial.campaign.flown import read_flown
from finial.campaign.run import Threads, run_campaign
from finial.core.estimates import Estimate, KnownBy
from finial.files.own_campaign import campaign_state, own_campaign
from finial.findings.check import check, load
from finial.findings.finding import Verdict
from finial.findings.kept_check import kept_check
from finial.findings.kept_tops import KeptTops, beside_campaign, kept_tops
from finial.findings.readiness import Depth, Readiness
from finial.report.finding_words import why

EXAMPLE = Path(__file__).parents[2] / "examples" / "skerry-light"
FLIGHTS = 16
CLOCK = 'event = { after_lift_off = "14 s" }\nresistance'


@pytest.fixture(scope="module")
def sheet(tmp_path_factory) -> Path:
    """Skerry Light, its second igniter fired by a clock."""
    sheet = shutil.copytree(EXAMPLE, tmp_path_factory.mktemp("clock") / "skerry") / "skerry-light.toml"
    head, igniter, tail = sheet.read_text(encoding="utf-8").partition('name = "igniter B"')
    assert 'event = "apogee"\nresistance' in tail
    sheet.write_text(
        head + igniter + tail.replace('event = "apogee"\nresistance', CLOCK, 1), encoding="utf-8"
    )
    return sheet


@pytest.fixture(scope="module")
def flown(sheet) -> Path:
    folder, case = own_campaign(sheet), flight_case(load(sheet))
    campaign = planned(case.name, case.inputs, case.spread, flights=FLIGHTS, seed=3, design="plain")
    run_campaign(campaign, folder, Threads(1))
    return folder


def between(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED)


def test_a_clock_is_held_against_the_tops_of_a_campaign_by_hand(basis_electronics) -> None:
    """Seen 0.5 to 1.5 s after lift-off, which is 0.1 to 0.2 s after ignition; tops 9 to 13 s after that."""
    timer = BackupTimer(
        igniter="i",
        set_s=14.0,
        fires=between(14.5, 15.0, 15.5),
        after_top=between(2.0, 3.0, 4.0),
        earliest_top_s=10.0,
        latest_top_s=12.0,
    )
    told = replace(basis_electronics, sensing=Sensing(timers=(timer,), leaves_s=(0.1, 0.2)))
    tops = KeptTops(flights=7, earliest_s=9.0, middle_s=11.0, latest_s=13.0)
    (found,) = beside_campaign(told, tops).sensing.timers
    assert found.after_top.low == pytest.approx(14.5 + 0.1 - 13.0)
    assert found.after_top.value == pytest.approx(15.0 + 0.15 - 11.0)
    assert found.after_top.high == pytest.approx(15.5 + 0.2 - 9.0)
    assert (found.earliest_top_s, found.latest_top_s) == pytest.approx((8.8, 12.9))
    assert found.campaign == 7
    assert beside_campaign(told, None) == told


@pytest.fixture(scope="module")
def basis_electronics(sheet):
    return electronics_result(load(sheet).sheet)


def test_a_kept_campaign_is_what_clocks_are_judged_by_and_said_so(sheet, flown) -> None:
    found = only_clock(check(sheet, depth=Depth.QUICK))
    tops = kept_tops(load(sheet))
    results = read_flown(flown).results
    sound = results["apogee_time_s"][results["loss"] == 0.0]
    assert tops == KeptTops(
        flights=len(sound),
        earliest_s=pytest.approx(sound.min()),
        middle_s=pytest.approx(sorted(sound)[len(sound) // 2], abs=0.5),
        latest_s=pytest.approx(sound.max()),
    )
    assert f"over {len(sound)} flights of the campaign kept beside the sheet" in why(found)
    assert found.value.low < 14.0 + 0.5 - tops.earliest_s


def test_a_campaign_of_another_day_is_not_that_of_the_clock(sheet, flown, tmp_path) -> None:
    other = shutil.copytree(sheet.parent, tmp_path / "other") / sheet.name
    other.write_text(
        other.read_text(encoding="utf-8").replace('wind = "3 m/s', 'wind = "5 m/s', 1), encoding="utf-8"
    )
    assert (other.parent / flown.name).is_dir()
    assert "over the flight and its corners" in why(only_clock(check(other, depth=Depth.QUICK)))


def test_a_kept_answer_is_of_the_campaign_that_lay_beside_it(
    sheet, flown, tmp_path, monkeypatch, compiled_where_it_is
) -> None:
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path / "cache"))
    before = campaign_state(sheet)
    first = kept_check(sheet, Depth.QUICK, lambda _note: None)
    assert isinstance(first, Readiness)
    assert only_clock(first).reasons == ("campaign",)
    away = flown.rename(flown.with_name("moved away"))
    assert campaign_state(sheet) != before
    second = kept_check(sheet, Depth.QUICK, lambda _note: None)
    away.rename(flown)
    assert isinstance(second, Readiness)
    assert only_clock(second).reasons == ("corners",)


def only_clock(found: Readiness):
    (clock,) = (one for one in found.findings if one.key == "timer-after-top")
    assert clock.verdict in (Verdict.GO, Verdict.NO_GO)
    return clock
