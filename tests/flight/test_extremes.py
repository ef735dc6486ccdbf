"""What stands out in a flight."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.example import example_inputs
from finial.flight.extremes import extremes
from finial.flight.fly import fly, fly_stepping
from finial.flight.inputs import Start
from finial.flight.packing.pack import Stepping
from finial.flight.trace import EventKind


def test_peaks_match_a_much_finer_trace():
    coarse = extremes(fly(example_inputs()))
    fine = extremes(fly_stepping(example_inputs(), Stepping(tolerance=1e-9, samples=8)))
    for name in ("max_speed", "max_mach", "max_dynamic_pressure", "max_acceleration"):
        assert getattr(coarse, name).value == pytest.approx(getattr(fine, name).value, rel=2e-3)


def test_top_speed_is_that_of_the_ascent_not_of_the_fall_under_canopies():
    trace = fly(example_inputs())
    found = extremes(trace)
    assert found.max_speed.time_s < trace.event(EventKind.APOGEE).time_s
    row = int(np.searchsorted(trace.times_s, found.max_speed.time_s))
    assert found.max_speed.value == pytest.approx(float(np.linalg.norm(trace.velocities_m_s, axis=1).max()))
    assert found.max_speed.height_agl_m == trace.positions_m[row, 2]


def test_a_vehicle_that_falls_shut_counts_its_fall():
    inputs = example_inputs()
    shut = tuple(replace(canopy, works=False) for canopy in inputs.canopies)
    high = Start(
        time_s=10.0,
        position_m=np.array([0.0, 0.0, 2000.0]),
        velocity_m_s=np.array([0.0, 0.0, 1.0]),
        quaternion=np.array([math.sqrt(0.5), 0.0, math.sqrt(0.5), 0.0]),
        rates_rad_s=np.zeros(3),
    )
    trace = fly(replace(inputs, canopies=shut), start=high)
    assert extremes(trace).max_speed.value > 80.0


def test_felt_acceleration_is_the_length_of_its_vector():
    trace = fly(example_inputs())
    felt = np.sqrt((trace.accelerations_m_s2**2).sum(axis=1))
    assert extremes(trace).max_acceleration.value == pytest.approx(
        felt[trace.times_s <= trace.event(EventKind.OUT, "drogue").time_s].max(), rel=1e-12
    )


def test_nothing_to_look_at_is_refused():
    trace = fly(example_inputs())
    with pytest.raises(OutsideRange, match="empty"):
        extremes(replace(trace, times_s=np.zeros(0)))
    out = replace(trace.events[0], kind=EventKind.OUT, canopy="main", time_s=-1.0)
    with pytest.raises(OutsideRange, match="under a canopy"):
        extremes(replace(trace, events=(out,)))
