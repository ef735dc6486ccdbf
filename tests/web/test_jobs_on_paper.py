"""Long jobs whose questions are answered beforehand: settings, what may be tried, what is said."""

import json
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.asked import Asked
from finial.campaign.rare import RareOdds
from finial.core.errors import MissingData
from finial.sizing.judged import Judged
from finial.web.jobs import finds
from finial.web.jobs.finds import Work
from finial.web.jobs.kinds import KINDS
from finial.web.jobs.records import Progress
from finial.web.jobs.work import Teller

SETTINGS = {
    "look": {},
    "campaign": {"flights": (2000, 100, 1_000_000), "seed": (1, 0, 1_000_000), "rare": (0, 0, 1)},
    "field": {"flights": (500, 50, 20_000), "seed": (1, 0, 1_000_000)},
    "mend": {},
    "trade": {},
    "region": {"steps": (9, 3, 25)},
    "search": {
        "generations": (5, 1, 1000),
        "highest": (0, 0, 1),
        "odds": (0, 0, 99),
        "flights": (1000, 20, 1_000_000),
    },
    "prints": {},
    "tunnel": {"cells": (8, 6, 64), "degrees": (10, 1, 30)},
}


@pytest.fixture
def no_compiling(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finds, "compile_flight", lambda _note, **_many: None)


def asked(vehicle: Any, **settings: int) -> tuple[Work, list[str], list[float]]:
    notes: list[str] = []
    shares: list[float] = []
    work = Work(
        vehicle=vehicle, changes={}, settings=settings, folder=Path(), note=notes.append, share=shares.append
    )
    return work, notes, shares


def test_every_kind_of_job_may_be_set_so_far() -> None:
    told = {
        key: {one.key: (one.start, one.low, one.high) for one in entry.kind.settings}
        for key, entry in KINDS.items()
    }
    assert told == SETTINGS


@pytest.mark.parametrize(
    ("items", "chosen"),
    [
        ([("a", 1.0, False), ("b", 3.0, False), ("c", 2.0, False)], "b"),
        ([("a", 1.0, True), ("b", 3.0, False), ("c", 2.0, False)], "a"),
        ([("a", 1.0, True), ("b", 3.0, True), ("c", 4.0, False)], "b"),
    ],
)
def test_ballast_is_what_is_marked_so_then_what_weighs_most(
    items: list[tuple[str, float, bool]], chosen: str
) -> None:
    """Up to two and a half times of it, and fins from seven to thirteen tenths of their span."""
    item = tuple(SimpleNamespace(name=n, mass=SimpleNamespace(value=m), ballast=b) for n, m, b in items)
    sheet = SimpleNamespace(item=item, fin=(SimpleNamespace(name="fins"), SimpleNamespace(name="canards")))
    vehicle = cast("LoadedVehicle", SimpleNamespace(sheet=sheet))
    kilos = next(mass for name, mass, _ in items if name == chosen)
    assert [(one.kind, one.name, one.low, one.high) for one in finds._variables(vehicle)] == [
        ("ballast", chosen, 0.0, 2.5 * kilos),
        ("span", "fins", 0.7, 1.3),
        ("span", "canards", 0.7, 1.3),
    ]


def test_without_items_or_fins_it_is_said_what_is_missing(no_compiling: None) -> None:
    item = SimpleNamespace(name="ballast", mass=SimpleNamespace(value=1.0), ballast=True)
    no_fins = SimpleNamespace(skin=None, sheet=SimpleNamespace(item=(item,), fin=()))
    nothing = SimpleNamespace(skin=None, sheet=SimpleNamespace(item=(), fin=()))
    with pytest.raises(MissingData, match="no fins to trade"):
        finds.trade(asked(no_fins)[0])
    with pytest.raises(MissingData, match="no fins to set against ballast"):
        finds.region(asked(no_fins, steps=3)[0])
    with pytest.raises(MissingData, match="no item that could be ballast"):
        finds.region(asked(nothing, steps=3)[0])


def judged_in_region(vehicle: LoadedVehicle, monkeypatch: pytest.MonkeyPatch, *, goes: bool) -> Any:
    """Three spans by three ballasts: those go that have their span or more and half the ballast or more."""
    place = next(n for n, item in enumerate(vehicle.sheet.item) if item.ballast)
    kilos = vehicle.sheet.item[place].mass.value

    def judge(_vehicle: object, changes: dict[tuple[object, ...], object]) -> Judged:
        written = str(changes[("item", place, "mass")]).split()
        ballast = float(written[0]) * {"g": 1e-3, "kg": 1.0}[written[1]]
        outline = cast("list[list[str]]", changes.get(("fin", 0, "outline"), [["0 mm", "190 mm"]]))
        span_mm = max(float(outward.split()[0]) for _, outward in outline)
        fit = goes and span_mm > 189.0 and ballast > 1.2 * kilos
        return Judged(mass_kg=8.0 + ballast, missing=0.0 if fit else 0.5, is_go=fit, apogee_m=400.0)

    monkeypatch.setattr("finial.findings.design_judge.judge_design", judge)
    work, notes, shares = asked(vehicle, steps=3)
    found = finds.region(work)
    assert notes == ["9 designs, by the quick look"]
    assert shares == pytest.approx([n / 9 for n in range(1, 10)])
    return found


def test_a_region_tells_how_many_go_and_offers_the_lightest(
    lighthouse: LoadedVehicle, monkeypatch: pytest.MonkeyPatch, no_compiling: None
) -> None:
    found = judged_in_region(lighthouse, monkeypatch, goes=True)
    fin = lighthouse.sheet.fin[0].name
    ballast = next(one for one in lighthouse.sheet.item if one.ballast)
    assert found.headline == f"At 4 of 9 points of span of {fin} and {ballast.name} nothing fails."
    (row,) = found.tries
    assert row.label == "the lightest that goes"
    # Half of the most, 2387.5 g, to the next 5 g, in the sheet's own unit.
    assert row.change["item[1].mass"] == "2.385 kg +- 0.01 kg"
    assert judged_in_region(lighthouse, monkeypatch, goes=False).tries == ()


def test_trading_offers_the_best_eight_by_their_number(
    lighthouse: LoadedVehicle, monkeypatch: pytest.MonkeyPatch, no_compiling: None
) -> None:
    tried = tuple(
        SimpleNamespace(
            changes={("fin", 0, "count"): n},
            is_best=n != 5,
            count=n,
            span=1.0,
            station_m=0.5,
            ballast_kg=1.0,
            look=SimpleNamespace(span_m=0.12, mass_kg=9.0, apogee_m=400.0, rail_exit_low_m_s=20.0),
        )
        for n in range(3, 14)
    )

    def traded(_vehicle: object, given: Any, told: Any) -> Any:
        assert given.fin == lighthouse.sheet.fin[0].name
        assert given.item == next(one.name for one in lighthouse.sheet.item if one.ballast)
        told(10)
        return tried

    monkeypatch.setattr("finial.sizing.trade.fin_trade", traded)
    monkeypatch.setattr("finial.sizing.trade.combinations", lambda _vehicle, _asked: 40)
    monkeypatch.setattr("finial.report.pictures.size_front.size_front", lambda _tried, **_units: "<svg/>")
    monkeypatch.setattr(Work, "tries", lambda _work, label, changes: ((label, changes),))
    work, notes, shares = asked(lighthouse)
    found = finds.trade(work)
    assert (notes, shares) == (["40 fins, each with the ballast it needs"], [0.25])
    assert found.headline == "10 of 11 designs that no other beats"
    assert found.pictures == {"fins-against-ballast": "<svg/>"}
    counts = [3, 4, 6, 7, 8, 9, 10, 11]
    assert [label for label, _ in cast("Any", found.tries)] == [
        f"{n}: {count} fins of 120 mm, 1 kg of ballast" for n, count in enumerate(counts, 1)
    ]


@pytest.mark.parametrize("wanted", [0, 1])
def test_odds_too_small_to_count_stand_in_a_campaign_that_was_asked_for_them(
    lighthouse: LoadedVehicle, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, wanted: int
) -> None:
    led: list[int] = []

    def rare_odds(campaign: Any, _spot: object, **_threads: int) -> tuple[RareOdds, ...]:
        led.append(campaign.flights)
        return (RareOdds(asked=Asked.OVER_CEILING, share=2e-5, low=1e-5, high=4e-5, flights=9000),)

    monkeypatch.setattr("finial.campaign.rare.rare_odds", rare_odds)
    work, notes, _ = asked(lighthouse, flights=100, seed=1, rare=wanted)
    found = finds.campaign(replace(work, folder=tmp_path))
    told = {section.key: section.facts for section in found.sections}
    assert led == [100] * wanted
    assert ("rare" in told, "leading flights towards what is feared" in notes) == (wanted == 1, wanted == 1)
    if wanted:
        ((_, words),) = told["rare"]
        assert words.startswith("1 in 50,000")


def test_nothing_to_mend_offers_nothing(
    lighthouse: LoadedVehicle, monkeypatch: pytest.MonkeyPatch, no_compiling: None
) -> None:
    monkeypatch.setattr("finial.findings.mending.mend", lambda _vehicle, _note: None)
    found = finds.mend(asked(lighthouse)[0])
    assert found.headline == "Nothing fails: there is nothing to mend."
    assert found.tries == ()


def test_a_change_without_a_field_in_the_sheet_is_not_offered(lighthouse: LoadedVehicle) -> None:
    work, _, _ = asked(lighthouse)
    assert work.tries("none", {}) == ()
    (row,) = work.tries("fins", {("fin", 0, "count"): 5})
    assert (row.label, list(cast("dict[str, object]", row.change).values())) == ("fins", ["5"])


def test_how_far_it_came_is_written_three_times_a_second_and_a_note_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tenth in two seconds leaves eighteen; by a look of less than a second and a half nobody can tell."""
    clock = [100.0]
    monkeypatch.setattr("finial.web.jobs.work.time.monotonic", lambda: clock[0])
    teller = Teller(folder=tmp_path)

    def after(seconds: float, share: float) -> tuple[float | None, float | None, str]:
        clock[0] += seconds
        teller.share(share)
        told = Progress(**json.loads((tmp_path / "progress.json").read_text()))
        return told.share, None if told.left_s is None else round(told.left_s, 6), told.note

    assert after(0.0, 0.0) == (0.0, None, "")
    assert after(0.29, 0.05) == (0.0, None, "")
    assert after(0.01, 0.05) == (0.05, None, "")
    teller.note("flying")
    assert after(1.70, 0.1) == (0.1, 18.0, "flying")
    clock[0] += 0.1
    teller.note("landing")
    assert after(0.0, 0.2) == (0.1, 18.9, "landing")
