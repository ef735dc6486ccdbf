"""On the rail, off it, and into the wind."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.frames import rotation_from_quaternion
from finial.flight.example import example_air, example_inputs, example_mass, example_table
from finial.flight.fly import fly
from finial.flight.packing.pack import rail_turn


def _westerly(pressure_station_m, speed_m_s=6.0):
    """Upright rail, wind from the west at all heights, everything on the axis."""
    base = example_inputs()
    mass = example_mass()
    centres = mass.centres_m * np.array([1.0, 0.0, 0.0])
    inertias = mass.inertias_kg_m2 * np.eye(3)
    air = replace(
        example_air(),
        wind_heights_m=np.zeros(1),
        wind_east_m_s=np.array([speed_m_s]),
        wind_north_m_s=np.zeros(1),
    )
    return replace(
        base,
        mass=replace(mass, centres_m=centres, inertias_kg_m2=inertias),
        air=air,
        air_table=example_table(pressure_station_m=pressure_station_m),
        rail=replace(base.rail, tilt_rad=0.0, bearing_rad=0.0),
    )


def _nose_east(trace, time_s):
    row = int(np.searchsorted(trace.times_s, time_s))
    return rotation_from_quaternion(trace.quaternions[row])[0, 0]


@pytest.mark.parametrize(("pressure_station_m", "sign"), [(1.03, 1.0), (1.40, -1.0)])
def test_tip_off_turns_about_the_aft_button(pressure_station_m, sign):
    # FLT-10, common practice: with the centre of pressure ahead of the aft button (1.15 m) the wind
    # turns the nose away from where it comes from; behind it, into the wind.
    trace = fly(_westerly(pressure_station_m))
    assert sign * _nose_east(trace, trace.event("rail exit").time_s) > 1e-5


def test_a_stable_vehicle_turns_into_the_wind_after_the_rail():
    trace = fly(_westerly(1.03))
    assert _nose_east(trace, trace.event("rail exit").time_s + 0.5) < -0.01
    apogee = int(np.searchsorted(trace.times_s, trace.event("apogee").time_s))
    assert trace.positions_m[apogee, 0] < -5.0


def test_an_unstable_vehicle_turns_away_from_the_wind():
    trace = fly(_westerly(0.55))
    assert _nose_east(trace, trace.event("rail exit").time_s + 0.3) > 0.05


def test_no_wind_straight_up_comes_down_on_the_rail():
    trace = fly(_westerly(1.03, speed_m_s=0.0))
    assert np.hypot(*trace.positions_m[-1, :2]) < 1e-9
    assert trace.alphas_rad[trace.times_s < trace.event("apogee").time_s - 0.01].max() < 1e-9


def test_the_body_neither_turns_nor_leaves_the_rail_before_the_fore_button():
    inputs = example_inputs()
    trace = fly(inputs)
    on_rail = trace.times_s < trace.event("fore button leaves").time_s
    assert np.all(trace.rates_rad_s[on_rail] == 0.0)
    turn = rail_turn(inputs.rail)
    across = (trace.positions_m[on_rail] @ turn)[:, 1:]
    assert across == pytest.approx(np.broadcast_to([0.001, -0.0005], across.shape), abs=1e-9)


def test_the_aft_button_stays_on_its_line_until_it_leaves():
    inputs = example_inputs()
    trace = fly(inputs, tolerance=1e-8)
    begin, end = trace.event("fore button leaves").time_s, trace.event("rail exit").time_s
    rows = np.flatnonzero((trace.times_s >= begin) & (trace.times_s <= end))
    mass_times = inputs.mass.times_s + inputs.thrust.ignition_delay_s
    turn = rail_turn(inputs.rail)
    for row in rows:
        centre = [np.interp(trace.times_s[row], mass_times, column) for column in inputs.mass.centres_m.T]
        arm = np.array([-inputs.rail.aft_button_m, 0.0, 0.0]) - centre
        button = trace.positions_m[row] + rotation_from_quaternion(trace.quaternions[row]) @ arm
        assert np.abs((button @ turn)[1:]).max() < 1e-7


def test_wind_on_the_tip_off_matters():
    # The same vehicle with buttons close together leaves the rail almost at once with both.
    inputs = _westerly(1.03)
    short = replace(inputs, rail=replace(inputs.rail, fore_button_m=1.149))
    pivoted = fly(inputs).rates_rad_s
    assert np.abs(pivoted).max() > 0.0
    exits = [fly(one).event("rail exit").time_s for one in (inputs, short)]
    turned = [_nose_east(fly(one), at) for one, at in zip((inputs, short), exits, strict=True)]
    assert abs(turned[1]) < 0.01 * abs(turned[0])


def test_friction_slows_the_vehicle_on_a_leaning_rail_as_on_a_slope():
    # Constant thrust, no wind, no drag: a = F/m - g (cos + mu sin), a textbook slope; the thrust line
    # and balance point on the axis, so both buttons' forces add up to the weight across the rail.
    inputs = _westerly(1.03, speed_m_s=0.0)
    thrust = replace(inputs.thrust, times_s=np.array([0.0, 5.0]), thrusts_n=np.array([300.0, 300.0]))
    mass = replace(
        inputs.mass,
        times_s=inputs.mass.times_s[:1],
        masses_kg=inputs.mass.masses_kg[:1],
        centres_m=inputs.mass.centres_m[:1],
        inertias_kg_m2=inputs.mass.inertias_kg_m2[:1],
    )
    tilt, friction = 0.3, 0.25
    rail = replace(inputs.rail, tilt_rad=tilt, friction=friction)
    vacuum = replace(inputs.air, pressure_pa=0.0)
    trace = fly(replace(inputs, thrust=thrust, mass=mass, rail=rail, air=vacuum), tolerance=1e-9)
    pull = 300.0 / 8.35 - 9.80665 * (math.cos(tilt) + friction * math.sin(tilt))
    travel = 3.6 - (1.205 - 0.62)
    assert trace.event("fore button leaves").speed_m_s == pytest.approx(
        math.sqrt(2 * pull * travel), rel=1e-6
    )


def test_the_button_side_faces_where_the_rail_leans():
    rail = replace(example_inputs().rail, tilt_rad=0.1, bearing_rad=math.pi / 2.0, roll_rad=0.4)
    turn = rail_turn(rail)
    side = turn @ np.array([0.0, math.cos(0.4), math.sin(0.4)])
    assert turn[:, 0] == pytest.approx([math.sin(0.1), 0.0, math.cos(0.1)])
    assert side == pytest.approx([math.cos(0.1), 0.0, -math.sin(0.1)])
    assert np.linalg.det(turn) == pytest.approx(1.0)
