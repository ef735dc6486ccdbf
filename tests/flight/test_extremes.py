"""What stands out in a flight."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.example import example_inputs
from finial.flight.extremes import extremes
from finial.flight.fly import fly, fly_stepping
from finial.flight.packing.pack import Stepping


def test_peaks_match_a_much_finer_trace():
    coarse = extremes(fly(example_inputs()))
    fine = extremes(fly_stepping(example_inputs(), Stepping(tolerance=1e-9, samples=8)))
    for name in ("max_speed", "max_mach", "max_dynamic_pressure", "max_acceleration", "max_pressure_angle"):
        assert getattr(coarse, name).value == pytest.approx(getattr(fine, name).value, rel=2e-3)
    assert coarse.max_canopy_acceleration.value == pytest.approx(fine.max_canopy_acceleration.value, rel=5e-3)


def test_the_largest_angle_stands_at_rail_exit():
    found = extremes(fly(example_inputs()))
    assert found.max_alpha.time_s == pytest.approx(fly(example_inputs()).event("rail exit").time_s, abs=1e-9)
    assert found.rail_exit_alpha_rad > found.max_alpha.value > 0.5 * found.rail_exit_alpha_rad


def test_thrust_to_weight_is_that_of_the_rail():
    inputs = example_inputs()
    steady = replace(
        inputs.thrust, times_s=np.array([0.0, 2.0]), thrusts_n=np.array([400.0, 400.0]), ignition_delay_s=0.0
    )
    found = extremes(fly(replace(inputs, thrust=steady)))
    assert found.thrust_to_weight == pytest.approx(400.0 / (8.35 * 9.80665), rel=1e-6)


def test_landing_and_drift():
    trace = fly(example_inputs())
    found = extremes(trace)
    assert (found.landing_east_m, found.landing_north_m) == tuple(trace.positions_m[-1, :2])
    assert found.drift_m == pytest.approx(np.hypot(*trace.positions_m[-1, :2]))
    assert found.landing_speed_m_s == trace.event("ground").speed_m_s
    assert found.apogee.value == pytest.approx(trace.positions_m[:, 2].max(), abs=1e-4)
    assert found.flight_time_s == trace.event("ground").time_s - trace.event("lift-off").time_s


def test_what_never_came_is_none():
    found = extremes(fly_stepping(example_inputs(), Stepping(time_limit_s=1.0)))
    assert found.apogee is None
    assert found.drift_m is None
    assert found.max_canopy_acceleration is None
    assert found.flight_time_s is None


def test_an_empty_trace_is_refused():
    trace = fly(example_inputs())
    with pytest.raises(OutsideRange, match="empty"):
        extremes(replace(trace, times_s=np.zeros(0)))
