"""Doubt about the air table, and crooked bodies: the trim does what its equations say."""

from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import AirDepartures, Start

_UP = np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0])


def _flown(trim, table=None):
    inputs = example_inputs()
    return fly(replace(inputs, trim=trim, air_table=table or inputs.air_table))


def test_factors_are_those_on_the_table_itself():
    table = example_inputs().air_table
    names = ("along", "across", "along_moment", "across_moment")
    wide = replace(table, **{name: 1.2 * getattr(table, name) for name in names})
    draggy = replace(
        wide, axial_power_on=1.1 * table.axial_power_on, axial_power_off=1.1 * table.axial_power_off
    )
    by_table = _flown(AirDepartures(), draggy).positions_m[-1]
    by_trim = _flown(AirDepartures(axial_factor=1.1, across_factor=1.2)).positions_m[-1]
    assert by_trim == pytest.approx(by_table, abs=1e-3)
    assert np.linalg.norm(by_trim - _flown(AirDepartures()).positions_m[-1]) > 1.0


def test_shift_of_the_centre_of_pressure_is_that_of_the_table():
    table, shift = example_inputs().air_table, 0.05
    aft = replace(
        table,
        along_moment=table.along_moment + table.along * shift / table.width_m,
        across_moment=table.across_moment + table.across * shift / table.width_m,
    )
    by_table = _flown(AirDepartures(), aft).positions_m[-1]
    assert _flown(AirDepartures(station_shift_m=shift)).positions_m[-1] == pytest.approx(by_table, abs=1e-3)


def test_a_crooked_body_flies_at_its_trim_angle():
    """Moments about the balance point cancel: side (s_side - s) = slope alpha (s_p - s)."""
    inputs = example_inputs()
    table = replace(inputs.air_table, across=0.0 * inputs.air_table.across)
    table = replace(table, across_moment=0.0 * table.across)
    mass = replace(
        inputs.mass,
        centres_m=inputs.mass.centres_m * [1.0, 0.0, 0.0],
        inertias_kg_m2=np.array([np.diag([0.02, 1.0, 1.0])] * inputs.mass.times_s.size),
    )
    still = replace(inputs.air, wind_east_m_s=0.0 * inputs.air.wind_east_m_s)
    still = replace(still, wind_north_m_s=0.0 * still.wind_north_m_s)
    side, station = 0.2, 1.1
    base = replace(
        inputs,
        air_table=table,
        mass=mass,
        air=still,
        canopies=(),
        thrust=replace(inputs.thrust, thrusts_n=0.0 * inputs.thrust.thrusts_n),
        trim=AirDepartures(side=(side, 0.0), side_station_m=station),
        gravity_m_s2=0.0,
    )
    start = Start(
        time_s=5.0,
        position_m=np.zeros(3),
        velocity_m_s=np.array([0.0, 0.0, 60.0]),
        quaternion=_UP,
        rates_rad_s=np.zeros(3),
    )
    trace = fly(replace(base, thrust=replace(base.thrust, ignition_delay_s=0.0)), start=start)
    settled = (trace.times_s > 12.0) & (trace.times_s < 14.0)
    balance = -mass.centres_m[-1, 0]
    slope = float(np.mean(table.along[0, :, 0]))
    expected = side * (station - balance) / (slope * (1.03 - balance))
    assert np.mean(trace.alphas_rad[settled]) == pytest.approx(expected, rel=0.1)


def test_roll_moment_spins_the_body_up():
    spun = _flown(AirDepartures(roll_moment=0.02))
    assert (
        np.abs(spun.rates_rad_s[:, 0]).max() > 10.0 * np.abs(_flown(AirDepartures()).rates_rad_s[:, 0]).max()
    )


def test_a_bent_body_of_the_table_is_the_trim_with_the_same_force():
    table, station = example_inputs().air_table, 0.4
    bent = replace(table, side_force=(0.01, 0.02), side_moment=(0.004 / table.width_m, 0.008 / table.width_m))
    by_table = _flown(AirDepartures(), bent).positions_m[-1]
    by_trim = _flown(AirDepartures(side=(0.01, 0.02), side_station_m=station)).positions_m[-1]
    # The table's load falls with the squared cosine of the angle of attack, the trim's does not.
    assert by_table == pytest.approx(by_trim, abs=0.5)
    assert np.linalg.norm(by_table - _flown(AirDepartures()).positions_m[-1]) > 5.0


def test_drag_off_the_axis_pushes_the_nose_to_its_own_side():
    table = example_inputs().air_table
    one, other = (_flown(AirDepartures(), replace(table, drag_line_m=(side, 0.0))) for side in (0.01, -0.01))
    straight = _flown(AirDepartures()).positions_m[-1]
    one_way, other_way = (trace.positions_m[-1] - straight for trace in (one, other))
    assert np.linalg.norm(one_way) > 1.0
    assert float(one_way[:2] @ other_way[:2]) < 0.0
