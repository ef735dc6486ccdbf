"""Thrust that leans or stands off the balance point turns the vehicle as its moment says."""

from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs, plain_table
from finial.flight.fly import fly
from finial.flight.inputs import MassHistory, Start

_INERTIA, _BALANCE, _THRUST, _NOZZLE = 1.5, 0.7, 300.0, 1.2


def _pushed(offset_m=(0.0, 0.0), tilt_rad=(0.0, 0.0), centre=(0.0, 0.0)):
    """Free of air and weight, steady thrust, mass that stays: the rates after a second."""
    inputs = example_inputs()
    mass = MassHistory(
        times_s=np.zeros(1),
        masses_kg=np.array([8.0]),
        centres_m=np.array([[-_BALANCE, *centre]]),
        inertias_kg_m2=np.diag([0.02, _INERTIA, _INERTIA])[None],
    )
    thrust = replace(
        inputs.thrust,
        times_s=np.array([0.0, 10.0]),
        thrusts_n=np.array([_THRUST, _THRUST]),
        nozzle_station_m=_NOZZLE,
        offset_m=offset_m,
        tilt_rad=tilt_rad,
        ignition_delay_s=0.0,
    )
    base = replace(
        inputs,
        mass=mass,
        thrust=thrust,
        air_table=plain_table(),
        air=replace(inputs.air, pressure_pa=0.0),
        canopies=(),
        gravity_m_s2=0.0,
    )
    start = Start(
        time_s=1.0,
        position_m=np.array([0.0, 0.0, 500.0]),
        velocity_m_s=np.array([0.0, 0.0, 50.0]),
        quaternion=np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0]),
        rates_rad_s=np.zeros(3),
    )
    trace = fly(base, start=start, tolerance=1e-8)
    first = trace.times_s < 1.5
    return np.array(
        [np.interp(1.4, trace.times_s[first], rate) for rate in trace.rates_rad_s[first].T]
    ), trace


def test_a_leaning_thrust_line_turns_by_its_arm():
    """Closed form: rate = T sin(lean) (nozzle - balance) t / I; mechanics, calculated."""
    lean = 0.01
    rates, _ = _pushed(tilt_rad=(lean, 0.0))
    # Thrust leaning towards y at a point aft of the balance turns about -z.
    expected = -_THRUST * np.sin(lean) * (_NOZZLE - _BALANCE) * 0.4 / _INERTIA
    assert rates == pytest.approx([0.0, 0.0, expected], rel=1e-6, abs=1e-9)


def test_an_offset_thrust_line_turns_by_its_offset():
    rates, _ = _pushed(offset_m=(0.0, 0.004))
    assert rates == pytest.approx([0.0, _THRUST * 0.004 * 0.4 / _INERTIA, 0.0], rel=1e-6, abs=1e-9)


def test_an_offset_balance_point_is_an_offset_thrust_line():
    aside, _ = _pushed(centre=(0.003, 0.0))
    across, _ = _pushed(offset_m=(-0.003, 0.0))
    assert aside == pytest.approx(across, rel=1e-9, abs=1e-12)
    assert abs(aside[2]) > 0.01


def test_without_a_canopy_it_comes_down_nose_first_and_fast():
    inputs = example_inputs()
    stuck = tuple(replace(canopy, works=False) for canopy in inputs.canopies)
    trace = fly(replace(inputs, canopies=stuck))
    forward_up = 2.0 * (
        trace.quaternions[-1, 1] * trace.quaternions[-1, 3]
        - trace.quaternions[-1, 0] * trace.quaternions[-1, 2]
    )
    assert trace.ended == "ground"
    assert forward_up < -0.9
    assert trace.event("ground").speed_m_s > 50.0


def test_an_opened_vehicle_without_canopies_tumbles_at_its_own_terminal_speed():
    """Closed form: sqrt(2 m g / (rho CdA)) at the ground's density; calculated."""
    inputs = example_inputs()
    bundled = tuple(replace(canopy, fills=False) for canopy in inputs.canopies)
    still = replace(
        inputs.air,
        wind_east_m_s=0.0 * inputs.air.wind_east_m_s,
        wind_north_m_s=0.0 * inputs.air.wind_north_m_s,
    )
    area = 0.5
    trace = fly(replace(inputs, canopies=bundled, air=still, tumbling_drag_area_m2=area))
    density = 98_500.0 / (287.05287 * 295.15)
    terminal = np.sqrt(2.0 * 8.0 * 9.80665 / (density * area))
    assert trace.event("ground").speed_m_s == pytest.approx(terminal, rel=0.01)


def test_canopies_in_series_each_fill_and_slow():
    trace = fly(example_inputs())
    names = [event.name for event in trace.events]
    assert (
        names.index("drogue out")
        < names.index("drogue open")
        < names.index("main out")
        < names.index("main open")
    )
    at = {event.name: event for event in trace.events}
    assert at["main open"].speed_m_s < at["main out"].speed_m_s
    assert at["main open"].time_s > at["main out"].time_s
