"""A flight that begins from exactly rest: it has not passed its apogee before it has moved."""

from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import Start
from finial.flight.trace import EventKind


def from_rest(height_m: float, **changes: object):
    inputs = example_inputs()
    upright = np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0])
    start = Start(
        time_s=0.0, position_m=np.array([0.0, 0.0, height_m]), velocity_m_s=np.zeros(3), quaternion=upright,
        rates_rad_s=np.zeros(3),
    )  # fmt: skip
    return fly(replace(inputs, **changes), start=start)


def test_a_launch_from_rest_climbs_before_its_apogee() -> None:
    inputs = example_inputs()
    at_once = replace(inputs.thrust, ignition_delay_s=0.0)
    thrusts = np.array(at_once.thrusts_n, dtype=float)
    thrusts[0] = thrusts.max()
    apogee = from_rest(1.0, thrust=replace(at_once, thrusts_n=thrusts)).event(EventKind.APOGEE)
    assert apogee is not None
    assert apogee.time_s > 2.0
    assert apogee.height_agl_m > 50.0


def test_what_is_dropped_from_rest_is_past_its_apogee_at_once() -> None:
    silent = replace(example_inputs().thrust, thrusts_n=np.zeros_like(example_inputs().thrust.thrusts_n))
    apogee = from_rest(500.0, thrust=silent).event(EventKind.APOGEE)
    assert apogee is not None
    assert apogee.time_s == pytest.approx(0.0, abs=0.02)
    assert apogee.height_agl_m == pytest.approx(500.0, abs=0.1)
