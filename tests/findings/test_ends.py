"""What a number of the sheet may be off by counts: in an interval of the answer, or looked at end by end."""

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.changes import of_files
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import OutsideRange
from finial.core.units import Dimension, Quantity, parse_quantity
from finial.files.fields import put_at
from finial.files.toml_places import KeyPath
from finial.findings.check import load, readiness, silent
from finial.findings.ends import counted, end_findings, loose_numbers
from finial.findings.finding import Finding, OtherCheck, Verdict
from finial.findings.limits import Limits
from finial.findings.long_looks import looked_long
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth
from finial.findings.rule import Rule
from finial.findings.rules.plausible_rules import ToldNumber, numbers_of
from finial.report.finding_words import title, what_to_change, why

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEETS = ("skerry-light", "every-key")
IN_THE_WHOLE_LOOK = {"recovery.bay.lip.pull_test.tension", "fin.stays.anchor_holds", "fin.stays.preload"}
"""Counted by the whole look alone: a row of the defects holds the lip, a study of stays the wires."""
PLACED = Rule(key="plate-placed", stage="limits")


@pytest.fixture(scope="module")
def vehicles() -> dict[str, LoadedVehicle]:
    return {name: load(EXAMPLES / name / f"{name}.toml") for name in SHEETS}


@pytest.fixture(scope="module")
def before(vehicles) -> dict[str, str]:
    return {name: quick(one) for name, one in vehicles.items()}


def quick(vehicle: LoadedVehicle) -> str:
    return repr(readiness(vehicle, depth=Depth.QUICK).findings)


def told_at(vehicle: LoadedVehicle, place: str) -> Iterator[ToldNumber]:
    return (one for one in numbers_of(vehicle.sheet) if one.place == place)


def with_number(vehicle: LoadedVehicle, path: KeyPath, new: Quantity) -> LoadedVehicle:
    sheet = put_at(vehicle.sheet, path, new)
    return of_files(vehicle, replace(vehicle.files, sheet=sheet), codes_of)


@pytest.mark.parametrize("place", sorted(counted() - IN_THE_WHOLE_LOOK))
def test_what_is_said_to_be_counted_moves_the_answer(vehicles, before, place: str) -> None:
    moved = []
    for name, vehicle in vehicles.items():
        for told in told_at(vehicle, place):
            number = told.number
            wider = replace(number, tolerance=number.tolerance + min(5.0, 0.1 * abs(number.value) or 0.01))
            moved.append(quick(with_number(vehicle, told.path, wider)) != before[name])
            if any(moved):
                return
    assert any(moved), f"{place}: nothing in the answer holds its give or take"


def test_the_bearings_may_be_off_as_usual_and_what_is_counted_is_not_looked_at_again(vehicles) -> None:
    lighthouse = {
        one.told.place: one.reach for one in loose_numbers(vehicles["skerry-light"].sheet) if one.as_usual
    }
    # scatter.csv: 20 and 5 degrees.
    assert lighthouse == pytest.approx(
        {"launch.wind_from": math.radians(20), "launch.toward": math.radians(5)}, rel=1e-3
    )
    every = list(loose_numbers(vehicles["every-key"].sheet))
    assert {one.told.place for one in every}.isdisjoint(counted())
    assert all(one.reach > 0.0 for one in every)


def test_only_the_very_number_is_swapped(vehicles) -> None:
    sheet, new = vehicles["skerry-light"].sheet, Quantity(value=0.001, text="1 mm")
    swapped = put_at(sheet, ("fin", 0, "thickness"), new)
    assert swapped.fin[0].thickness is new
    assert swapped.fin[0].outline is sheet.fin[0].outline
    assert swapped.item is sheet.item


@pytest.mark.parametrize("name", SHEETS)
def test_every_number_is_swapped_in_its_own_place_alone(vehicles, name: str) -> None:
    sheet, new = vehicles[name].sheet, Quantity(value=4711.0, text="another")
    told = list(numbers_of(sheet))
    for index, one in enumerate(told):
        there = [each.number for each in numbers_of(put_at(sheet, one.path, new))]
        expected = [each.number for each in told]
        expected[index] = new
        assert there == expected, one.place


def nothing(_there: LoadedVehicle) -> list[Finding]:
    return []


def whole(there: LoadedVehicle) -> tuple[Finding, ...]:
    found = answer(there)
    return looked_long(found, Limits(own=there.sheet.limits.own), (), silent).findings


def looked(vehicle: LoadedVehicle, *, low_fails: bool, high_fails: bool) -> list[Finding]:
    """Look with a judge that fails where the rail is shorter, or longer, than the sheet says."""
    length = vehicle.sheet.launch.rail_length
    wide = replace(length, tolerance=0.5)
    given = with_number(vehicle, ("launch", "rail_length"), wide)

    def look(there: LoadedVehicle) -> list[Finding]:
        now = there.sheet.launch.rail_length.value
        fails = (low_fails and now < length.value) or (high_fails and now > length.value)
        return [PLACED.holds(Verdict.NO_GO if fails else Verdict.CAUTION)]

    return end_findings(given, (), look(given), look=look, look_long=nothing)


@pytest.mark.parametrize(("low", "high"), [(True, False), (False, True), (True, True)])
def test_an_end_that_fails_is_not_known(vehicles, low: bool, high: bool) -> None:
    (found,) = looked(vehicles["skerry-light"], low_fails=low, high_fails=high)
    assert (found.key, found.verdict) == ("end-of-number", Verdict.NOT_KNOWN)
    assert found.subject.case == "rail_length"
    assert found.facts["end"] == ("low" if low else "high")
    assert found.facts["check"] == OtherCheck(key="plate-placed", subject=found.facts["check"].subject)


def test_where_no_end_fails_it_goes(vehicles) -> None:
    (found,) = looked(vehicles["skerry-light"], low_fails=False, high_fails=False)
    assert (found.key, found.verdict) == ("ends-of-numbers", Verdict.GO)


def test_what_fails_in_the_middle_is_not_told_again(vehicles) -> None:
    vehicle = vehicles["skerry-light"]
    failing = PLACED.holds(Verdict.NO_GO)
    for judged in ([failing], []):  # by the whole look, or by closed forms that the whole look settles
        (known,) = end_findings(vehicle, judged, [failing], look=lambda _: [failing], look_long=nothing)
        assert known.verdict is Verdict.GO


def test_what_only_the_whole_look_judges_is_looked_at_together(vehicles) -> None:
    vehicle = vehicles["skerry-light"]
    plate: KeyPath = ("motor", "thrust_plate", "thickness")
    thin = parse_quantity("8 mm +- 6 mm", Dimension.LENGTH)
    (found,) = end_findings(with_number(vehicle, plate, thin), (), (), look=nothing, look_long=whole)
    assert found.verdict is Verdict.NOT_KNOWN
    assert title(found) == "motor.thrust_plate.thickness of motor at the low end of what is taken for it"
    assert "The sheet says 8 mm +- 6 mm; there thrust plate breaks, max thrust fails." in why(found)
    assert what_to_change(found).startswith("Measure it")


def test_where_the_flight_is_lost_its_ends_follow_from_that(vehicles) -> None:
    vehicle = vehicles["skerry-light"]
    bare = of_files(
        vehicle, replace(vehicle.files, sheet=vehicle.sheet.model_copy(update={"fin": ()})), codes_of
    )
    found = readiness(bare)
    assert found.flight.lost
    (ends_told,) = (one for one in found.findings if one.key in ("end-of-number", "ends-of-numbers"))
    assert (ends_told.key, ends_told.verdict) == ("ends-of-numbers", Verdict.NOT_KNOWN)
    assert ends_told.cause == "lost-flight"
    assert "Mend what loses the flight" in what_to_change(ends_told)


def test_a_whole_look_that_is_refused_at_an_end_is_not_known(vehicles) -> None:
    def refused(_vehicle):
        raise OutsideRange("no such flight")

    plate: KeyPath = ("motor", "thrust_plate", "thickness")
    thin = parse_quantity("8 mm +- 6 mm", Dimension.LENGTH)
    doubtful = with_number(vehicles["skerry-light"], plate, thin)
    low, high = end_findings(doubtful, (), (), look=nothing, look_long=refused)
    assert (low.facts["end"], high.facts["end"]) == ("low", "high")
    for one in (low, high):
        assert (one.verdict, one.reasons) == (Verdict.NOT_KNOWN, ("refused",))
        assert [fix.key for fix in one.fixes] == ["measure"]
