"""A log put back into the model: truths found inside intervals, causes named, another flight noticed."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import NotConverged, OutsideRange
from finial.flight.fly import fly
from finial.logbook.compare import ComparedNumber, compared
from finial.logbook.fit import Problem, fitted
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.unknowns import UnknownKind, changed_inputs, unknowns_of

TRUTH = {"drag": 1.14, "thrust": 0.985, "burn time": 1.01, "delay main": 2.3, "canopy main": 0.95}
WORN = Sensors(
    kick_m_s2=250.0, lag_s=0.12, drift_pa_s=0.1, felt_scale=1.006, felt_offset_m_s2=-0.2, gap_s=(5.0, 0.6)
)


@pytest.fixture(scope="module")
def flown(foreseen):
    """The flight with other numbers than those of the sheet."""
    case = foreseen.case
    return fly(changed_inputs(case.inputs, TRUTH, case.spread.wind_speed_m_s))


@pytest.fixture
def log(told, foreseen, flown):
    """What a recorder with every fault kept of it."""
    return told(rehearsed(flown, foreseen.day, WORN, 11).csv())


@pytest.fixture
def found(log, foreseen):
    return refit((log,), foreseen.case.inputs, foreseen.case.spread)


def test_truths_are_found_inside_their_intervals_and_the_doubt_shrinks(found):
    for kind, canopy, share in (
        (UnknownKind.DRAG, "", 0.9),
        (UnknownKind.THRUST, "", 0.6),
        (UnknownKind.BURN_TIME, "", 0.9),
        (UnknownKind.DELAY, "main", 0.9),
        (UnknownKind.CANOPY, "main", 0.3),
    ):
        one = found.of(kind, canopy)
        # Two deviations, not 1.645: a test must not fail one time in ten.
        assert abs(one.after.value - TRUTH[one.unknown.key]) < 2.0 * one.sigma, one.unknown.key
        assert one.fixed > share
        assert one.after.high - one.after.low < one.before.high - one.before.low
    assert found.misfit < 1.5


def test_what_the_log_does_not_tell_stays_as_it_was(found):
    wind = found.of(UnknownKind.WIND)
    assert wind.fixed < 0.6
    assert wind.after.low < wind.unknown.value < wind.after.high
    assert found.of(UnknownKind.HEIGHT, "main") is None


def test_two_logs_tell_more_than_one(told, foreseen, flown, found):
    logs = tuple(told(rehearsed(flown, foreseen.day, WORN, seed).csv()) for seed in (11, 12))
    both = refit(logs, foreseen.case.inputs, foreseen.case.spread)
    for one in both.learnt[:2]:
        assert one.sigma < found.of(one.unknown.kind).sigma
    with pytest.raises(OutsideRange):
        refit((), foreseen.case.inputs, foreseen.case.spread)


def test_a_barometer_alone_tells_less(told, foreseen, flown, found):
    mapping = '[time]\ncolumn = 1\n[pressure]\ncolumn = 2\nunit = "hPa"\n'
    alone = refit(
        (told(rehearsed(flown, foreseen.day, WORN, 11).csv(), mapping),),
        foreseen.case.inputs,
        foreseen.case.spread,
    )
    assert alone.of(UnknownKind.DRAG).sigma > 1.5 * found.of(UnknownKind.DRAG).sigma
    assert (
        abs(alone.of(UnknownKind.DRAG).after.value - TRUTH["drag"]) < 2.5 * alone.of(UnknownKind.DRAG).sigma
    )


def test_differences_are_explained_by_what_caused_them(log, foreseen, found):
    case = foreseen.case
    told = compared(log, found, case.inputs, case.spread)
    by = {one.quantity: one for one in told.differences}
    low = by[ComparedNumber.APOGEE]
    assert low.measured.value < low.predicted.value
    assert low.causes[0].unknown.kind is UnknownKind.DRAG
    assert low.causes[0].explains == pytest.approx(low.measured.value - low.predicted.value, rel=0.35)
    assert low.causes[0].odds > 0.9
    late = by[ComparedNumber.SEPARATION_SPEED]
    assert late.outside
    assert late.causes[0].unknown.key == "delay main"
    assert low.corrected == pytest.approx(low.measured.value, rel=0.012)
    assert told.another < 0.1


def test_the_band_of_the_prediction_is_that_of_what_was_known(log, foreseen, found):
    case = foreseen.case
    narrow = compared(log, found, case.inputs, case.spread)
    surer = replace(
        found,
        learnt=tuple(
            replace(one, unknown=replace(one.unknown, sigma=0.5 * one.unknown.sigma)) for one in found.learnt
        ),
    )
    halved = compared(log, surer, case.inputs, case.spread)
    before, after = (each.differences[0].predicted for each in (narrow, halved))
    assert after.half_width == pytest.approx(0.5 * before.half_width, rel=0.1)
    # Steady falls go with the root of the drag area: half its doubt, nine in ten.
    (fall,) = [one for one in narrow.differences if one.quantity is ComparedNumber.FALL]
    sigma = found.of(UnknownKind.CANOPY, "main").unknown.sigma
    assert fall.predicted.half_width == pytest.approx(1.645 * 0.5 * sigma * fall.predicted.value, rel=0.1)


def test_a_log_of_another_motor_is_noticed(told, foreseen):
    case = foreseen.case
    wind = case.spread.wind_speed_m_s
    other = fly(changed_inputs(case.inputs, {"thrust": 0.7, "burn time": 1.5}, wind))
    log = told(rehearsed(other, foreseen.day, Sensors(), 2).csv())
    found = refit((log,), case.inputs, case.spread)
    assert compared(log, found, case.inputs, case.spread).another > 0.99


def test_unknowns_are_as_wide_as_the_scatter_of_the_sheet(foreseen):
    case = foreseen.case
    unknowns = {one.key: one for one in unknowns_of(case.inputs, case.spread)}
    assert list(unknowns) == ["drag", "thrust", "burn time", "friction", "wind", "canopy main", "delay main"]
    drag = next(draw for draw in case.spread.draws if draw.unit == "share" and draw.name == "drag")
    assert unknowns["drag"].sigma == pytest.approx(max(drag.below, drag.above) / np.sqrt(3.0))
    assert unknowns["wind"].value == case.spread.wind_speed_m_s


def test_changed_inputs_change_what_they_name(foreseen):
    inputs, wind = foreseen.case.inputs, foreseen.case.spread.wind_speed_m_s
    other = changed_inputs(
        inputs, {"thrust": 1.1, "burn time": 1.2, "wind": 2.0 * wind, "canopy main": 0.5}, wind
    )

    def impulse(one):
        return np.trapezoid(one.thrust.thrusts_n, one.thrust.times_s)

    assert impulse(other) == pytest.approx(1.1 * impulse(inputs))
    assert other.mass.times_s[-1] == pytest.approx(1.2 * inputs.mass.times_s[-1])
    assert np.allclose(other.air.wind_east_m_s, 2.0 * inputs.air.wind_east_m_s)
    assert other.canopies[0].drag_area_m2 == pytest.approx(0.5 * inputs.canopies[0].drag_area_m2)
    # A quarter turn clockwise, seen from above: what blew to the north blows to the east.
    turned = changed_inputs(inputs, {"wind turn": np.pi / 2.0}, wind).air
    assert np.allclose(turned.wind_east_m_s, inputs.air.wind_north_m_s)
    assert np.allclose(turned.wind_north_m_s, -inputs.air.wind_east_m_s)
    assert changed_inputs(inputs, {"friction": 0.2}, wind).rail.friction == 0.2
    assert changed_inputs(inputs, {"centre": 0.03}, wind).trim.station_shift_m == pytest.approx(0.03)
    assert changed_inputs(inputs, {"drag": 1.3}, wind).trim.axial_factor == pytest.approx(1.3)
    assert changed_inputs(inputs, {}, wind).thrust.thrusts_n.tolist() == inputs.thrust.thrusts_n.tolist()


ENDS = (np.full(2, -np.inf), np.full(2, np.inf))


def problem(residuals, sigmas=(10.0, 10.0), ends=ENDS):
    return Problem(residuals=residuals, before=np.zeros(2), sigmas=np.array(sigmas), ends=ends)


def line(values, noise=1.0):
    """Readings of a straight line, each known to ``noise``."""
    times = np.linspace(0.0, 1.0, 200)
    read = 2.0 + 3.0 * times + noise * np.random.default_rng(4).standard_normal(200)
    return (read - values[0] - values[1] * times) / noise


def test_least_squares_are_those_of_the_textbook():
    """Straight line: normal equations with what was known before, worked by hand here."""
    sigmas = np.array([10.0, 10.0])
    found = fitted(problem(line, sigmas))
    design = np.column_stack([np.ones(200), np.linspace(0.0, 1.0, 200)])
    read = line(np.zeros(2))
    covariance = np.linalg.inv(design.T @ design + np.diag(1.0 / sigmas**2))
    assert found.values == pytest.approx(covariance @ design.T @ read, abs=1e-3)
    # Residuals of unit noise widen by what chance makes of them, no more.
    assert found.sigmas == pytest.approx(np.sqrt(np.diagonal(covariance)) * found.stretch, rel=0.05)
    assert found.stretch < 1.15


def test_residuals_that_are_wider_or_run_together_widen_the_answer():
    plain = fitted(problem(line))
    wide = fitted(problem(lambda values: 3.0 * line(values)))
    assert wide.stretch == pytest.approx(3.0, rel=0.2)
    assert wide.sigmas[0] == pytest.approx(plain.sigmas[0], rel=0.2)

    def swings(values):
        return line(values) + 2.0 * np.sin(np.linspace(0.0, 20.0, 200))

    assert fitted(problem(swings)).stretch > 2.5


def test_ends_hold_and_a_fit_that_wanders_is_said():
    found = fitted(problem(line, ends=(np.full(2, -9.0), np.array([1.0, 9.0]))))
    assert found.values[0] == pytest.approx(1.0)

    with pytest.raises(NotConverged, match="60 steps"):
        # A thousand deviations away, four a step.
        fitted(problem(lambda values: np.full(20, 1e5 * (1e3 - values[0])), np.ones(2)))
