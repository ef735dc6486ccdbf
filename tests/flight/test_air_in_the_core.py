"""The core's own column of air and load table against the packages they come from."""

from dataclasses import replace

import numpy as np
import pytest

from finial.atmosphere.day import Day, air_over_pad
from finial.atmosphere.wind import terrain_named, wind_profile
from finial.flight.example import example_inputs, plain_table
from finial.flight.fly import fly
from finial.flight.inputs import Start

_UP = np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0])


def _thrown(speed_m_s, **changes):
    inputs = replace(example_inputs(), air_table=plain_table(), canopies=(), **changes)
    thrust = replace(inputs.thrust, thrusts_n=np.zeros(4))
    start = Start(
        time_s=10.0,
        position_m=np.zeros(3),
        velocity_m_s=np.array([0.0, 0.0, speed_m_s]),
        quaternion=_UP,
        rates_rad_s=np.zeros(3),
    )
    return fly(replace(inputs, thrust=thrust), start=start)


@pytest.mark.parametrize("lapse_k_m", [0.0065, 0.0, 0.009])
def test_density_and_sound_follow_the_day(lapse_k_m):
    # Thrown to 18 km, through the tropopause.
    air = replace(example_inputs().air, lapse_k_m=lapse_k_m)
    trace = _thrown(600.0, air=air)
    day = Day(ground_asl_m=240.0, pressure_pa=98_500.0, temperature_k=295.15, lapse_k_m=lapse_k_m)
    moving = trace.airspeeds_m_s > 1.0
    column = air_over_pad(day, np.maximum(trace.positions_m[moving, 2], 0.0))
    density = 2.0 * trace.dynamic_pressures_pa[moving] / trace.airspeeds_m_s[moving] ** 2
    sound = trace.airspeeds_m_s[moving] / trace.machs[moving]
    assert trace.positions_m[:, 2].max() > 17_000.0
    assert density == pytest.approx(column.density_kg_m3, rel=1e-9)
    assert sound == pytest.approx(column.sound_speed_m_s, rel=1e-9)


def test_wind_is_straight_between_its_heights_and_constant_beyond():
    profile = wind_profile(6.0, np.radians(250.0), terrain_named("level open"))
    air = replace(
        example_inputs().air,
        wind_heights_m=profile.heights_m,
        wind_east_m_s=profile.east_m_s,
        wind_north_m_s=profile.north_m_s,
    )
    trace = _thrown(100.0, air=air)
    heights = trace.positions_m[:, 2]
    wind = [np.interp(heights, profile.heights_m, part) for part in (profile.east_m_s, profile.north_m_s)]
    flow = trace.velocities_m_s - np.column_stack([*wind, np.zeros_like(heights)])
    assert heights.max() > 400.0
    assert trace.airspeeds_m_s == pytest.approx(np.linalg.norm(flow, axis=1), rel=1e-9)


def test_roll_angle_is_where_the_cross_wind_blows_to():
    # Body y and z as the rail sets them; wind blowing along +y of the body gives roll 0, +z a quarter turn.
    inputs = example_inputs()
    rail = replace(inputs.rail, tilt_rad=0.0, bearing_rad=0.0)
    for east, north, roll in ((0.0, 5.0, 0.0), (-5.0, 0.0, np.pi / 2), (5.0, 0.0, 1.5 * np.pi)):
        air = replace(
            inputs.air,
            wind_heights_m=np.zeros(1),
            wind_east_m_s=np.array([east]),
            wind_north_m_s=np.array([north]),
        )
        trace = fly(replace(inputs, rail=rail, air=air))
        assert np.cos(trace.rolls_rad[0] - roll) == pytest.approx(1.0, abs=1e-12)
        assert trace.alphas_rad[0] == pytest.approx(np.pi / 2, abs=1e-12)
