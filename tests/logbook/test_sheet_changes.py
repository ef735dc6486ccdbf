"""What a log puts into the sheet: at which places, known by what, and what it leaves alone."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.files.edit import set_values
from finial.findings.check import load
from finial.flight.fly import fly
from finial.logbook.prediction import predicted
from finial.logbook.refit import Learnt, refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.sheet_changes import LeftAlone, sheet_changes
from finial.logbook.unknowns import Unknown, UnknownKind, changed_inputs

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers"


@pytest.fixture
def sheet(tmp_path):
    shutil.copytree(BUOY, tmp_path / "it")
    return tmp_path / "it" / "buoy-tiers.toml"


@pytest.fixture
def found(told, foreseen):
    case = foreseen.case
    truth = {"drag": 1.2, "delay main": 1.9}
    trace = fly(changed_inputs(case.inputs, truth, case.spread.wind_speed_m_s))
    log = told(rehearsed(trace, foreseen.day, Sensors(), 5).csv())
    return refit((log,), case.inputs, case.spread)


def test_measured_values_stand_in_the_sheet_with_their_pedigree_and_comments_stay(sheet, found):
    before = sheet.read_text(encoding="utf-8")
    vehicle = load(sheet)
    changes = sheet_changes(vehicle, found.learnt, "flight.csv")
    set_values(sheet, changes.values)
    written = sheet.read_text(encoding="utf-8")
    comments = [line.partition("#")[2] for line in before.splitlines() if "#" in line]
    assert comments == [line.partition("#")[2] for line in written.splitlines() if "#" in line]
    after = load(sheet)
    drag = found.of(UnknownKind.DRAG)
    assert after.sheet.flown.drag.value == pytest.approx(drag.after.value, abs=1e-3)
    assert after.sheet.flown.logs == "flight.csv"
    canopy = after.sheet.recovery.canopy[0]
    assert canopy.delay.value == pytest.approx(1.9, abs=0.05)
    assert 0.0 < canopy.delay.tolerance < 0.1


def test_the_next_prediction_is_the_corrected_flight_and_its_band_narrows(sheet, found, foreseen):
    changes = sheet_changes(load(sheet), found.learnt, "flight.csv")
    set_values(sheet, changes.values)
    again = predicted(load(sheet))
    told = changed_inputs(
        foreseen.case.inputs,
        {
            "drag": found.of(UnknownKind.DRAG).after.value,
            "delay main": found.of(UnknownKind.DELAY, "main").after.value,
        },
        foreseen.case.spread.wind_speed_m_s,
    )
    assert again.trace.positions_m[:, 2].max() == pytest.approx(fly(told).positions_m[:, 2].max(), rel=2e-3)
    bands = [
        next(draw.above + draw.below for draw in one.case.spread.draws if draw.name == "drag")
        for one in (foreseen, again)
    ]
    assert bands[1] < 0.2 * bands[0]


def test_a_second_log_multiplies_what_the_first_has_told(sheet, found):
    vehicle = load(sheet)
    first = sheet_changes(vehicle, found.learnt, "one.csv").values
    set_values(sheet, first)
    second = sheet_changes(load(sheet), found.learnt, "two.csv").values
    factor = found.of(UnknownKind.DRAG).after.value
    assert float(second["flown", "drag"].partition(" ")[0]) == pytest.approx(factor**2, rel=2e-3)
    assert second["flown", "logs"] == "one.csv, two.csv"


def test_what_is_of_the_motor_the_day_or_not_told_stays(sheet, found):
    changes = sheet_changes(load(sheet), found.learnt, "x.csv")
    reasons = {one.learnt.unknown.key: one.reason for one in changes.untouched}
    assert reasons["thrust"] is LeftAlone.THAT_MOTOR
    assert reasons["burn time"] is LeftAlone.THAT_MOTOR
    assert reasons["wind"] is LeftAlone.THAT_DAY
    blind = replace(found, learnt=tuple(replace(one, fixed=0.3) for one in found.learnt))
    none = sheet_changes(load(sheet), blind.learnt, "x.csv")
    assert none.values == {}
    assert {one.reason for one in none.untouched} >= {LeftAlone.NOT_FIXED}


def test_a_drop_test_goes_before_a_log(sheet, found):
    set_values(sheet, {("recovery", "canopy", 0, "drop_test"): {"mass": "5 kg", "speed": "4 m/s"}})
    sure = replace(found, learnt=tuple(replace(one, fixed=0.9) for one in found.learnt))
    changes = sheet_changes(load(sheet), sure.learnt, "x.csv")
    reasons = {one.learnt.unknown.key: one.reason for one in changes.untouched}
    assert reasons["canopy main"] is LeftAlone.DROPPED
    assert ("recovery", "canopy", 0, "drag_area") not in changes.values


def test_tolerances_reach_as_far_as_nineteen_flights_of_twenty(sheet, found):
    wide = replace(found, learnt=tuple(replace(one, sigma=0.1, fixed=0.9) for one in found.learnt))
    values = sheet_changes(load(sheet), wide.learnt, "x.csv").values
    assert values[("flown",)]["drag"].endswith("+- 0.196")
    assert values["recovery", "canopy", 0, "delay"].endswith("+- 0.20 s")
    area, _, reach = values["recovery", "canopy", 0, "drag_area"].partition(" m2 +- ")
    before = float(area) / found.of(UnknownKind.CANOPY, "main").after.value
    assert float(reach.removesuffix(" m2")) == pytest.approx(0.196 * before, rel=0.03)
    sharp = replace(found, learnt=tuple(replace(one, sigma=1e-4, fixed=0.9) for one in found.learnt))
    # No two flights are alike to better than two in a hundred, whatever one log says.
    assert sheet_changes(load(sheet), sharp.learnt, "x.csv").values[("flown",)]["drag"].endswith("+- 0.020")


def number(kind, value, sigma, *, before=(0.0, 0.06), fixed=0.9, flights=1):
    """A number made up as a log might have told it."""
    estimate = Estimate(value=value, low=value - sigma, high=value + sigma, known_by=KnownBy.MEASURED)
    return Learnt(
        unknown=Unknown(kind=kind, value=before[0], sigma=before[1], low=-5.0, high=5.0),
        before=estimate,
        after=estimate,
        sigma=sigma,
        fixed=fixed,
        flights=flights,
    )


def test_the_centre_of_pressure_goes_into_the_table_of_what_flights_told(sheet, found):
    drag = found.of(UnknownKind.DRAG)
    values = sheet_changes(load(sheet), [drag, number(UnknownKind.CENTRE, -0.012, 0.005)], "a.csv").values
    assert set(values) == {("flown",)}
    assert values[("flown",)]["drag"].startswith(f"{drag.after.value:.3f}")
    set_values(sheet, values)
    first = load(sheet).sheet.flown
    assert first.pressure_centre.value == pytest.approx(-0.012)
    assert first.pressure_centre.tolerance == pytest.approx(1.96 * 0.005, abs=1e-4)
    assert (first.drag.value, first.logs) == (pytest.approx(drag.after.value, abs=1e-3), "a.csv")
    # The second flight was computed with that shift: what it tells comes on top.
    again = sheet_changes(load(sheet), [number(UnknownKind.CENTRE, 0.020, 0.0001)], "b.csv").values
    assert again == {("flown", "pressure_centre"): "8.0 mm +- 2.0 mm", ("flown", "logs"): "a.csv, b.csv"}


def test_friction_goes_to_the_rail_and_never_below_none(sheet):
    vehicle = load(sheet)
    told = number(UnknownKind.FRICTION, 0.30, 0.05, before=(0.0, 0.3))
    set_values(sheet, sheet_changes(vehicle, [told], "a.csv").values)
    assert load(sheet).sheet.flown.logs == "a.csv"
    friction = load(sheet).sheet.guide.friction
    assert (friction.value, friction.tolerance) == pytest.approx((0.30, 0.098), abs=1e-3)
    wide = number(UnknownKind.FRICTION, 0.05, 0.1, before=(0.0, 0.3))
    assert sheet_changes(vehicle, [wide], "a.csv").values["guide", "friction"] == "0.123 +- 0.123"
    hardly = number(UnknownKind.FRICTION, 0.05, 0.29, before=(0.0, 0.3), fixed=0.04)
    (stays,) = sheet_changes(vehicle, [hardly], "a.csv").untouched
    assert stays.reason is LeftAlone.NOT_FIXED


def test_without_buttons_friction_has_no_place(sheet):
    vehicle = load(sheet)
    bare = replace(vehicle, sheet=vehicle.sheet.model_copy(update={"guide": None}))
    (stays,) = sheet_changes(bare, [number(UnknownKind.FRICTION, 0.3, 0.05)], "a.csv").untouched
    assert stays.reason is LeftAlone.NO_PLACE
