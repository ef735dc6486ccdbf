"""The flight's error follows its tolerance; the closed forms are met to their rounding."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs, plain_table
from finial.flight.fly import fly
from finial.flight.inputs import MassHistory, Start

_G = 9.80665
_GAS = 287.05287


def _free(inputs, tolerance, velocity, rates=(0.0, 0.0, 0.0), height=0.0):
    thrust = replace(inputs.thrust, thrusts_n=np.zeros(4))
    start = Start(
        time_s=5.0,
        position_m=np.array([0.0, 0.0, height]),
        velocity_m_s=np.array(velocity),
        quaternion=np.array([math.sqrt(0.5), 0.0, -math.sqrt(0.5), 0.0]),
        rates_rad_s=np.array(rates),
    )
    quiet = replace(inputs, thrust=thrust, air_table=inputs.air_table, canopies=())
    return fly(quiet, tolerance=tolerance, start=start)


def _still(pressure_pa, lapse_k_m):
    air = example_inputs().air
    return replace(
        air,
        ground_asl_m=0.0,
        pressure_pa=pressure_pa,
        temperature_k=300.0,
        lapse_k_m=lapse_k_m,
        wind_east_m_s=0.0 * air.wind_east_m_s,
        wind_north_m_s=0.0 * air.wind_north_m_s,
    )


def _landing_error(tolerance):
    exact = fly(example_inputs(), tolerance=1e-12).positions_m[-1]
    return float(np.linalg.norm(fly(example_inputs(), tolerance=tolerance).positions_m[-1] - exact))


@pytest.mark.parametrize(("tolerance", "allowed_m"), [(1e-4, 0.1), (1e-5, 0.02), (1e-8, 1e-4)])
def test_landing_error_by_tolerance(tolerance, allowed_m):
    assert _landing_error(tolerance) < allowed_m


def test_apogee_by_tolerance():
    heights = [fly(example_inputs(), tolerance=at).event("apogee").height_agl_m for at in (1e-4, 1e-10)]
    assert heights[0] == pytest.approx(heights[1], abs=0.005)


def test_vacuum_parabola_to_rounding():
    inputs = replace(example_inputs(), air=_still(0.0, 0.0065))
    velocity = np.array([30.0, -20.0, 90.0])
    trace = _free(inputs, 1e-5, velocity)
    seconds = 2.0 * 90.0 / _G
    assert trace.times_s[-1] - 5.0 == pytest.approx(seconds, rel=1e-11)
    assert trace.positions_m[-1, :2] == pytest.approx(velocity[:2] * seconds, rel=1e-11)
    assert trace.event("apogee").height_agl_m == pytest.approx(90.0**2 / (2.0 * _G), rel=1e-12)


@pytest.mark.parametrize(("tolerance", "allowed"), [(1e-4, 1e-4), (1e-6, 3e-6), (1e-9, 3e-9)])
def test_quadratic_drag_closed_form(tolerance, allowed):
    # Constant density (autoconvective lapse): height = vt^2 / (2 g) ln(1 + v^2 / vt^2).
    density, area, mass, speed = 1.1, 0.015, 8.0, 140.0
    air = _still(density * _GAS * 300.0, _G / _GAS)
    # The balance point on the axis, or the drag would turn the vehicle.
    centres = example_inputs().mass.centres_m * np.array([1.0, 0.0, 0.0])
    inputs = replace(
        example_inputs(),
        air=air,
        air_table=plain_table(drag_area_m2=area),
        mass=replace(example_inputs().mass, centres_m=centres),
    )
    trace = _free(inputs, tolerance, (0.0, 0.0, speed))
    terminal = math.sqrt(2.0 * mass * _G / (density * area))
    expected = terminal**2 / (2.0 * _G) * math.log(1.0 + (speed / terminal) ** 2)
    assert trace.event("apogee").height_agl_m == pytest.approx(expected, rel=allowed)


@pytest.mark.parametrize(("tolerance", "allowed"), [(1e-5, 1e-4), (1e-7, 1e-6), (1e-9, 1e-8)])
def test_free_tumbling_keeps_energy_and_momentum(tolerance, allowed):
    tensor = np.array([[0.3, 0.02, -0.05], [0.02, 0.9, 0.04], [-0.05, 0.04, 1.4]])
    mass = MassHistory(
        times_s=np.zeros(1),
        masses_kg=np.array([8.0]),
        centres_m=np.array([[-0.7, 0.0, 0.0]]),
        inertias_kg_m2=tensor[None],
    )
    inputs = replace(example_inputs(), mass=mass, air=_still(0.0, 0.0065))
    trace = _free(inputs, tolerance, (0.0, 0.0, 40.0), rates=(2.0, 1.0, -3.0))
    rates = trace.rates_rad_s
    energy = np.einsum("ni,ij,nj->n", rates, tensor, rates)
    w, x, y, z = trace.quaternions.T
    spin = rates @ tensor
    along_up = 2 * (x * z - w * y) * spin[:, 0] + 2 * (y * z + w * x) * spin[:, 1]
    momentum_up = along_up + (1 - 2 * (x * x + y * y)) * spin[:, 2]
    assert energy == pytest.approx(energy[0], rel=allowed)
    assert momentum_up == pytest.approx(momentum_up[0], abs=allowed * np.linalg.norm(spin[0]))


def _upright(speed: float, rates: list[float]) -> Start:
    """Straight up at a speed, turning."""
    return Start(
        time_s=5.0,
        position_m=np.zeros(3),
        velocity_m_s=np.array([0.0, 0.0, speed]),
        quaternion=np.array([math.sqrt(0.5), 0.0, -math.sqrt(0.5), 0.0]),
        rates_rad_s=np.array(rates),
    )


def test_spring_of_the_wind_closed_form():
    """Small pitching of a vehicle without damping in constant-density air swings at its own rate.

    Textbook weathercock: omega^2 = (1/2 rho v^2) S slope (station of pressure - balance) / I; the
    speed is held by having almost infinite mass... so the check is over two swings only.
    """
    inertia, balance, pressure, slope = 1.2, 0.7, 1.0, 8.0
    table = plain_table(area_m2=0.0133)
    along = np.full((2, 1, 1), slope)
    table = replace(table, along=along, along_moment=along * pressure / table.width_m)
    mass = MassHistory(
        times_s=np.zeros(1),
        masses_kg=np.array([1e6]),
        centres_m=np.array([[-balance, 0.0, 0.0]]),
        inertias_kg_m2=np.diag([0.02, inertia, inertia])[None],
    )
    density, speed = 1.2, 100.0
    air = _still(density * _GAS * 300.0, _G / _GAS)
    inputs = replace(example_inputs(), mass=mass, air=air, air_table=table, gravity_m_s2=0.0)
    base = replace(inputs, thrust=replace(inputs.thrust, thrusts_n=np.zeros(4)))
    start = _upright(speed, [0.0, 0.05, 0.0])
    rate = math.sqrt(0.5 * density * speed**2 * 0.0133 * slope * (pressure - balance) / inertia)
    trace = fly(base, tolerance=1e-9, start=start)
    swing = trace.times_s < 5.0 + 4.0 * math.pi / rate
    expected = 0.05 * np.cos(rate * (trace.times_s[swing] - 5.0))
    assert trace.rates_rad_s[swing, 1] == pytest.approx(expected, abs=1e-4)


def test_pitch_and_yaw_die_out_each_at_its_own_rate():
    """Without air forces turning dies out as exp(M t), M = 1/2 rho v S d^2 D / (2 I); textbook."""
    inertia, density, speed = 1.2, 1.2, 100.0
    pitch, yaw, both = -900.0, -300.0, 150.0
    table = replace(
        plain_table(area_m2=0.0133),
        pitch_damping=np.array([pitch]),
        yaw_damping=np.array([yaw]),
        yaw_by_pitch=np.array([both]),
        damping_centre_m=0.7,
    )
    mass = MassHistory(
        times_s=np.zeros(1),
        masses_kg=np.array([1e6]),
        centres_m=np.array([[-0.7, 0.0, 0.0]]),
        inertias_kg_m2=np.diag([inertia, inertia, inertia])[None],
    )
    air = _still(density * _GAS * 300.0, _G / _GAS)
    inputs = replace(example_inputs(), mass=mass, air=air, air_table=table, gravity_m_s2=0.0)
    base = replace(inputs, thrust=replace(inputs.thrust, thrusts_n=np.zeros(4)))
    start = _upright(speed, [0.0, 0.02, 0.01])
    trace = fly(base, tolerance=1e-9, start=start)
    soon = trace.times_s < 5.3
    strength, axes = np.linalg.eigh(np.array([[pitch, both], [both, yaw]]))
    fading = 0.5 * density * speed * 0.0133 * table.width_m**2 / (2.0 * inertia) * strength
    then = np.exp(fading * (trace.times_s[soon, None] - 5.0)) * (axes.T @ [0.02, 0.01])
    assert trace.rates_rad_s[soon, 1:] == pytest.approx(then @ axes.T, abs=2e-5)
    assert abs(trace.rates_rad_s[soon, 1][-1]) < 0.018
