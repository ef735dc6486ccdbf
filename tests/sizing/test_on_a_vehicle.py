"""Sizing the drawn example: enough at the answer, not enough a step below, and written back whole."""

import io
import json
import pickle
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import numpy as np
import pytest

from finial.assemble.looks.glance import look_at
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.levers import LEVERS, ballast, canopy, fin_count, fin_station, rail, span
from finial.assemble.vehicle.pulls import pulls_of
from finial.cli.main import main
from finial.core.errors import MissingData, OutsideRange
from finial.files.edit import set_values
from finial.findings import mending
from finial.findings.check import load, readiness
from finial.findings.design_judge import judge_design, vehicle_hash
from finial.findings.finding import Verdict
from finial.findings.mending import mend
from finial.findings.readiness import Depth
from finial.report.pictures.size_front import size_front
from finial.sizing.solve import ballast_for, canopy_for, rail_for
from finial.sizing.trade import TradeAsked, combinations, fin_trade

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"


@pytest.fixture(scope="module")
def vehicle():
    return load(EXAMPLE / "buoy-tiers.toml")


@pytest.fixture(scope="module")
def item(vehicle):
    """Name of the item nearest to the tip: the ballast."""
    return min(vehicle.sheet.item, key=lambda one: one.station.value).name


def test_a_look_says_what_the_whole_check_says(vehicle):
    look, whole = look_at(vehicle), readiness(vehicle, depth=Depth.QUICK)
    assert look.mass_kg == pytest.approx(whole.flight.lift_off_mass_kg)
    assert look.margin_m == pytest.approx(min(point.margin.low for point in whole.stability))
    assert look.apogee_m == pytest.approx(whole.flight.apogee_agl.value)
    assert look.rail_exit_low_m_s == pytest.approx(whole.flight.rail_exit_speed.low)
    assert look.landing_speed.high == pytest.approx(whole.recovery.landing_speed.high)


def test_ballast_is_enough_and_a_gram_less_is_not(vehicle, item):
    needed = 0.9 * vehicle.skin.width_m
    sized = ballast_for(vehicle, item, needed)
    less = look_at(changed(vehicle, ballast(vehicle.sheet, item, sized.value - 0.0015)))
    assert sized.look.margin_m >= needed > less.margin_m
    assert sized.value * 1000 == pytest.approx(round(sized.value * 1000))


def test_a_margin_out_of_reach_is_said_so(vehicle, item):
    with pytest.raises(OutsideRange, match=r"do not make the margin .* enlarge the fins"):
        ballast_for(vehicle, item, 10.0)


def test_rail_is_long_enough_and_a_centimetre_less_is_not(vehicle):
    speed = look_at(vehicle).rail_exit_low_m_s - 1.0
    sized = rail_for(vehicle, speed)
    less = look_at(changed(vehicle, rail(vehicle.sheet, "", sized.value - 0.011)))
    assert sized.look.rail_exit_low_m_s >= speed > less.rail_exit_low_m_s
    with pytest.raises(OutsideRange, match="is too short for"):
        rail_for(vehicle, 300.0)


def test_canopy_is_large_enough_and_grows_heavier(vehicle):
    name = vehicle.sheet.recovery.canopy[-1].name
    before = vehicle.sheet.recovery.canopy[-1]
    sized = canopy_for(vehicle, name, 0.9 * look_at(vehicle).landing_speed.high)
    after = changed(vehicle, sized.changes).sheet.recovery.canopy[-1]
    assert sized.look.landing_speed.high <= 0.9 * look_at(vehicle).landing_speed.high + 1e-9
    area = (sized.value / before.diameter.value) ** 2
    assert after.mass.value == pytest.approx(area * before.mass.value, abs=5e-5)  # to a tenth of a gram


@pytest.mark.parametrize(
    ("lever", "name", "words"),
    [
        ("ballast", "gold", 'no item "gold"'),
        ("span", "wings", 'no fin "wings"'),
        ("canopy", "umbrella", 'no canopy "umbrella"'),
    ],
)
def test_names_the_sheet_has_not_are_refused(vehicle, lever, name, words):
    with pytest.raises(MissingData, match=words):
        LEVERS[lever](vehicle.sheet, name, 1.0)


def test_canopies_and_fins_there_are_not_are_refused(vehicle, item):
    with pytest.raises(MissingData, match='no canopy "umbrella"'):
        canopy_for(vehicle, "umbrella", 5.0)
    with pytest.raises(MissingData, match='no fin "wings"'):
        fin_trade(vehicle, TradeAsked(fin="wings", item=item, needed_m=0.1))


@pytest.fixture(scope="module")
def tried(vehicle, item):
    fin = vehicle.sheet.fin[0]
    asked = TradeAsked(
        fin=fin.name,
        item=item,
        needed_m=0.9 * vehicle.skin.width_m,
        spans=(0.9, 1.0, 1.1),
        shifts_m=(-0.02, 0.0),
        counts=(fin.count,),
    )
    assert combinations(vehicle, asked) == 6
    return fin_trade(vehicle, asked)


def test_every_fin_gets_the_ballast_it_needs(vehicle, tried):
    assert all(one.look.margin_m >= 0.9 * vehicle.skin.width_m for one in tried)
    longer = {one.span: one.ballast_kg for one in tried if one.station_m == tried[0].station_m}
    assert longer[1.1] < longer[0.9]


def test_the_front_is_not_beaten(tried):
    best = [one for one in tried if one.is_best]
    costs = np.array([(one.ballast_kg, one.look.span_m, -one.look.apogee_m) for one in tried])
    for one in best:
        own = np.array((one.ballast_kg, one.look.span_m, -one.look.apogee_m))
        assert not np.any(np.all(costs <= own, axis=1) & np.any(costs < own, axis=1))
    assert 0 < len(best) <= len(tried)


def test_the_picture_marks_the_chosen_design(tried):
    root = ElementTree.fromstring(size_front(tried, 1))
    circles = root.findall(".//{http://www.w3.org/2000/svg}circle")
    assert len(circles) == len(tried)
    assert sum(circle.get("id") == "front-chosen" for circle in circles) == 1


def test_a_design_written_into_the_sheet_is_the_design_tried(vehicle, item, tmp_path):
    folder = tmp_path / "buoy"
    shutil.copytree(EXAMPLE, folder)
    path = folder / "buoy-tiers.toml"
    fin, parachute = vehicle.sheet.fin[0], vehicle.sheet.recovery.canopy[0]
    sheet = vehicle.sheet
    changes = {
        **ballast(sheet, item, 0.777),
        **span(sheet, fin.name, 1.1),
        **fin_station(sheet, fin.name, fin.station.value - 0.01),
        **fin_count(sheet, fin.name, fin.count + 1),
        **rail(sheet, "", 4.0),
        **canopy(sheet, vehicle.sheet.recovery.canopy[0].name, parachute.diameter.value),
    }
    before = path.read_text()
    set_values(path, changes)
    after = path.read_text()
    assert [line for line in after.splitlines() if line.startswith("#")] == [
        line for line in before.splitlines() if line.startswith("#")
    ]
    again, tried = look_at(load(path)), look_at(changed(vehicle, changes))
    assert again.mass_kg == pytest.approx(tried.mass_kg, abs=1e-6)
    assert again.margin_m == pytest.approx(tried.margin_m, abs=1e-4)
    assert again.rail_exit_low_m_s == pytest.approx(tried.rail_exit_low_m_s, abs=1e-4)


def test_judging_counts_what_is_missing(vehicle, item):
    plain = judge_design(vehicle, {})
    bare = judge_design(vehicle, ballast(vehicle.sheet, item, 0.01))
    assert plain.mass_kg > bare.mass_kg
    assert bare.missing > plain.missing
    assert not bare.is_go


def test_a_vehicle_can_be_sent_to_another_machine(vehicle):
    sent = pickle.loads(pickle.dumps(vehicle))
    assert vehicle_hash(sent) == vehicle_hash(vehicle)
    assert judge_design(sent, {}) == judge_design(vehicle, {})


def finial(*arguments):
    """Run the command here: a process of its own for each would spend most of its time on imports."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.setattr(sys, "argv", ["finial", "size", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            main()
    return subprocess.CompletedProcess(arguments, ended.value.code, out.getvalue(), err.getvalue())


def test_ballast_from_the_command_line_is_written_back(item, tmp_path):
    folder = tmp_path / "buoy"
    shutil.copytree(EXAMPLE, folder)
    path = folder / "buoy-tiers.toml"
    done = finial("ballast", path, "--item", item, "--widths", 0.9, "--write", "--json")
    assert done.returncode == 0, done.stderr
    kilograms = json.loads(done.stdout)["value"]
    written = next(one for one in load(path).sheet.item if one.name == item)
    assert written.mass.value == pytest.approx(kilograms, abs=6e-4)


def test_search_from_the_command_line_notes_what_it_judged(item, tmp_path):
    sheet = EXAMPLE / "buoy-tiers.toml"
    arguments = (
        "search",
        sheet,
        "--vary",
        f"ballast:{item}:0.2 kg:1 kg",
        "--generations",
        1,
        "--json",
        "--quiet",
    )
    done = finial(*arguments, "--folder", tmp_path)
    found = json.loads(done.stdout)
    assert done.returncode == (0 if found["is_go"] else 3)
    assert len((tmp_path / "judged.jsonl").read_text().splitlines()) == found["judged_designs"] + 1


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("search", "SHEET", "--vary", "colour:red:1:2"), "a kind of ballast"),
        (("search", "SHEET", "--vary", "rail::6 m:2 m"), "low end first"),
        (("search", "SHEET", "--vary", "rail::2 m:6 m", "--odds", "100%"), "flights prove no more"),
        (("search", "SHEET", "--vary", "rail::2 m:6 m", "--odds", "95 m"), "a ratio"),
        (("rail", "SHEET", "--wind", "8"), "a speed with its unit"),
        (("ballast", "SHEET", "--item", "gold"), 'no item "gold"'),
    ],
)
def test_slips_on_the_command_line_are_said_so(arguments, words):
    sheet = EXAMPLE / "buoy-tiers.toml"
    done = finial(*(sheet if one == "SHEET" else one for one in arguments))
    assert done.returncode == 2
    assert words in done.stderr


def lighter(tmp_path: Path, mass: str) -> Path:
    """The lighthouse's sheet with another ballast."""
    folder = tmp_path / "light"
    shutil.copytree(EXAMPLE.parent / "skerry-light", folder)
    path = folder / "skerry-light.toml"
    text = path.read_text()
    assert text.count("+- 10 g") >= 1
    path.write_text(re.sub(r'mass = "1\.\d+ kg \+- 10 g"', f'mass = "{mass} +- 10 g"', text, count=1))
    return path


def test_least_changes_mend_what_fails_and_nothing_else(tmp_path):
    """The lighthouse with too little ballast: one change mends it, and a step less of it does not."""
    light = load(lighter(tmp_path, "1.55 kg"))
    before = {one.key for one in readiness(light, depth=Depth.QUICK).findings if one.fails}
    assert "margin" in before
    found = mend(light)
    assert [one.lever for one in found.told] in (["ballast"], ["span"], ["swept span"])
    assert found.verdict <= Verdict.CAUTION
    assert "margin" in {one.key for one in found.mended}
    assert not found.stops
    (change,) = found.told
    whole = (change.size - change.was) * 0.8 + change.was
    pull = next(one for one in pulls_of(light) if one.kind == change.lever)
    less = readiness(light, pull.changes(whole), depth=Depth.QUICK)
    assert any(one.key == "margin" and one.fails for one in less.findings)


def test_what_no_change_mends_names_the_limit_that_stops_it(tmp_path, monkeypatch):
    """A margin of five widths is beyond ballast and fins: the best so far is told, and what stops it."""
    # A round and two long looks tell it already.
    monkeypatch.setattr(mending, "MOST_ROUNDS", 1)
    monkeypatch.setattr(mending, "MOST_LONG_LOOKS", 2)
    path = lighter(tmp_path, "1.55 kg")
    text = path.read_text()
    assert "[limits]" in text
    path.write_text(re.sub(r"margin_widths = [^\n]*", "margin_widths = 5.0", text))
    found = mend(load(path))
    assert "margin" in {one.key for one in found.stops}
    assert found.verdict is Verdict.NO_GO


def test_a_vehicle_that_goes_needs_no_mending():
    done = finial("mend", EXAMPLE.parent / "skerry-light" / "skerry-light.toml")
    assert done.returncode == 0
    assert "there is nothing to mend" in done.stdout
