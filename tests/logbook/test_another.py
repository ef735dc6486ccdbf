"""A log of another flight: by its motor, its mass, the rail it stood on, the field it left from."""

from dataclasses import replace

import pytest

from finial.flight.fly import fly
from finial.logbook.another import AnotherSign, evidence, odds_of
from finial.logbook.compare import compared
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.unknowns import changed_inputs
from finial.report.refit_text import comparison_section
from finial.report.refit_words import signs_words
from finial.report.shown import Shown


@pytest.fixture
def judged(told, foreseen):
    """Odds and signs of a log of other inputs, or of another pad."""

    def made(inputs, day=None):
        case = foreseen.case
        log = told(rehearsed(fly(inputs), day or foreseen.day, Sensors(), 3).csv())
        found = refit((log,), case.inputs, case.spread)
        return compared(log, found, case.inputs, case.spread), found

    return made


def test_the_sheets_own_flight_is_its_own(judged, foreseen):
    told, _ = judged(foreseen.case.inputs)
    assert told.another < 1e-3
    assert all(one.weight < 0.5 for one in told.signs)
    assert {one.sign for one in told.signs} == set(AnotherSign)


@pytest.mark.parametrize(
    ("other", "key"), [({"burn time": 1.3}, "burn time"), ({"thrust": 0.7, "burn time": 1.5}, "burn time")]
)
def test_another_motor_is_told_by_its_burn(judged, foreseen, other, key):
    case = foreseen.case
    found, fit = judged(changed_inputs(case.inputs, other, case.spread.wind_speed_m_s))
    assert found.another > 0.99
    assert found.signs[0].unknown.key == key
    section = comparison_section(found, fit, Shown(us_units=False))
    assert any("burn time over the curve lies" in note for note in section.notes)


@pytest.mark.parametrize("factor", [0.75, 1.3])
def test_another_mass_is_told_by_push_and_fall(judged, foreseen, factor):
    inputs = foreseen.case.inputs
    mass = replace(
        inputs.mass,
        masses_kg=factor * inputs.mass.masses_kg,
        inertias_kg_m2=factor * inputs.mass.inertias_kg_m2,
    )
    found, _ = judged(replace(inputs, mass=mass))
    assert found.another > 0.99
    assert {one.unknown.key for one in found.signs[:2]} == {"thrust", "canopy main"}


def test_another_rail_is_told_by_how_it_stood(judged, foreseen):
    inputs = foreseen.case.inputs
    found, _ = judged(replace(inputs, rail=replace(inputs.rail, tilt_rad=0.45)))
    assert found.another > 0.99
    lean = next(one for one in found.signs if one.sign is AnotherSign.LEAN)
    assert lean.moved * 0.05 == pytest.approx(0.45 - foreseen.tilt_rad, rel=0.5)
    assert "angle on the rail" in signs_words(found.signs)


def test_another_field_is_told_by_its_pressure(judged, foreseen):
    high = replace(
        foreseen.day,
        ground_asl_m=foreseen.day.ground_asl_m + 1500.0,
        pressure_pa=foreseen.day.pressure_pa - 16_000.0,
    )
    found, _ = judged(foreseen.case.inputs, high)
    assert found.another > 0.99
    sign = next(one for one in found.signs if one.sign is AnotherSign.PRESSURE)
    assert sign.moved < -5.0
    assert "another field" in signs_words(found.signs)


def test_what_a_recorder_does_not_tell_is_no_sign(told, foreseen):
    case = foreseen.case
    mapping = '[time]\ncolumn = 1\n[acceleration]\nx = 3\nunit = "g"\nup = "+x"\n'
    log = told(rehearsed(foreseen.trace, foreseen.day, Sensors(), 3).csv(), mapping)
    found = refit((log,), case.inputs, case.spread)
    signs = evidence(log, found, case.spread, foreseen.tilt_rad, foreseen.day.pressure_pa)
    assert {one.sign for one in signs} <= {AnotherSign.MODEL, AnotherSign.MISFIT}
    assert odds_of(signs) < 0.1
