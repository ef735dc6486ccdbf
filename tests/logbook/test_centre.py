"""The centre of pressure from the pitch frequency, and the friction that a rail hides."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.findings.check import load
from finial.flight.fly import fly
from finial.logbook.centre import centre_found
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.sheet_changes import LeftAlone, sheet_changes
from finial.logbook.unknowns import UnknownKind, changed_inputs

BUOY = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture
def swung(told, foreseen):
    """A log of the flight with its centre elsewhere, and what its swings tell beside the prediction."""

    def made(shift_m, seed):
        inputs, spread = foreseen.case.inputs, foreseen.case.spread
        trace = fly(changed_inputs(inputs, {"centre": shift_m}, spread.wind_speed_m_s))
        log = told(rehearsed(trace, foreseen.day, Sensors(), seed).csv())
        return log, centre_found(log, foreseen.trace, inputs, spread)

    return made


@pytest.mark.parametrize(("shift_m", "seed"), [(-0.05, 2), (0.0, 1), (0.05, 1)])
def test_the_swings_tell_how_far_the_centre_moved(swung, shift_m, seed):
    _, found = swung(shift_m, seed)
    assert found.shift.low < shift_m < found.shift.high
    assert found.shift.half_width < 0.037


def test_further_aft_it_swings_faster(swung):
    ahead, aft = (swung(shift, 3)[1].ratio.value for shift in (-0.05, 0.05))
    assert aft > 1.1 * ahead


def test_without_gyroscopes_or_without_doubt_nothing_is_told(told, foreseen, swung):
    log, _ = swung(0.0, 1)
    inputs, spread = foreseen.case.inputs, foreseen.case.spread
    sure = replace(spread, draws=tuple(draw for draw in spread.draws if draw.name != "centre of pressure"))
    assert centre_found(log, foreseen.trace, inputs, sure) is None
    still = replace(log.reading.sensed, turning_rad_s=np.full_like(log.reading.sensed.turning_rad_s, np.nan))
    quiet = replace(log, reading=replace(log.reading, sensed=still))
    assert centre_found(quiet, foreseen.trace, inputs, spread) is None


def test_the_refit_joins_the_swings_with_what_was_known(swung, foreseen):
    log, _ = swung(0.05, 1)
    inputs, spread = foreseen.case.inputs, foreseen.case.spread
    found = refit((log,), inputs, spread)
    centre = found.of(UnknownKind.CENTRE)
    assert abs(centre.after.value - 0.05) < 2.0 * centre.sigma
    assert centre.fixed > 0.3
    assert found.covariance.shape == (len(found.learnt),) * 2
    assert found.covariance[-1, -1] == pytest.approx(centre.sigma**2)
    assert found.inputs.trim.station_shift_m == pytest.approx(centre.after.value)
    # A few newtons over three metres of rail: no log of a flight tells them from the thrust.
    assert found.of(UnknownKind.FRICTION).fixed < 0.2
    reasons = {
        one.learnt.unknown.kind: one.reason
        for one in sheet_changes(load(BUOY), found.learnt, "log").untouched
    }
    assert reasons[UnknownKind.FRICTION] is LeftAlone.NOT_FIXED


def test_two_logs_of_one_flight_tell_the_centre_better(swung, foreseen):
    logs = tuple(swung(0.05, seed)[0] for seed in (1, 2))
    inputs, spread = foreseen.case.inputs, foreseen.case.spread
    one, two = (refit(each, inputs, spread).of(UnknownKind.CENTRE) for each in (logs[:1], logs))
    assert two.sigma < 0.9 * one.sigma
