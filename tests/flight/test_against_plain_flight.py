"""The compiled core against the same physics written anew in plain Python and SciPy."""

import importlib.util
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from finial.flight.example import example_air, example_inputs
from finial.flight.fly import fly

_EVENTS = (
    "lift-off",
    "fore button leaves",
    "rail exit",
    "apogee",
    "drogue out",
    "drogue open",
    "main out",
    "main open",
    "ground",
)


@cache
def _plain():
    path = Path(__file__).resolve().parents[2] / "bench" / "plain_flight.py"
    spec = importlib.util.spec_from_file_location("plain_flight", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _awkward():
    """A flight with everything crooked: thrust line, body, cant, updraught, roll of the buttons, friction."""
    base = example_inputs()
    table = base.air_table
    heights = np.linspace(0.0, 300.0, 31)
    air = replace(
        example_air(7.0),
        wind_heights_m=heights,
        wind_east_m_s=5.0 + 2.0 * np.sin(heights / 25.0),
        wind_north_m_s=-3.0 + np.cos(heights / 40.0),
        wind_up_m_s=0.8 * np.sin(heights / 30.0),
    )
    return replace(
        base,
        air=air,
        thrust=replace(base.thrust, offset_m=(0.002, -0.001), tilt_rad=(0.004, 0.006)),
        rail=replace(base.rail, tilt_rad=0.12, bearing_rad=2.2, roll_rad=0.7, friction=0.2, stand_m=1.25),
        air_table=replace(
            table,
            roll_moment=np.full_like(table.roll_moment, 0.03),
            side_force=(0.02, -0.03),
            side_moment=(0.05, 0.01),
            drag_line_m=(0.001, -0.002),
        ),
    )


@cache
def _pair(name):
    inputs = {"calm": example_inputs, "awkward": _awkward}[name]()
    return _plain().fly_plainly(inputs, rtol=1e-9), fly(inputs, tolerance=1e-10)


@pytest.mark.parametrize("event", _EVENTS)
@pytest.mark.parametrize("name", ["calm", "awkward"])
def test_events_and_states_agree(name, event):
    plain, trace = _pair(name)
    when, state = plain.events[event]
    happened = next(found for found in trace.events if found.name == event)
    assert happened.time_s == pytest.approx(when, abs=1e-5)
    row = int(np.searchsorted(trace.times_s, happened.time_s))
    assert trace.positions_m[row] == pytest.approx(state[0:3], abs=1e-4)
    assert trace.velocities_m_s[row] == pytest.approx(state[3:6], abs=1e-4)


@pytest.mark.parametrize("name", ["calm", "awkward"])
def test_attitude_and_rates_agree_at_apogee(name):
    plain, trace = _pair(name)
    state = plain.events["apogee"][1]
    row = int(np.searchsorted(trace.times_s, trace.event("apogee").time_s))
    assert abs(trace.quaternions[row] @ state[6:10]) == pytest.approx(1.0, abs=1e-9)
    assert trace.rates_rad_s[row] == pytest.approx(state[10:13], abs=1e-4)
