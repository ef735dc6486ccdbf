"""How a vehicle leaves its rail: speeds at both buttons, the wind there, what odd buttons do to it."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.example import example_air, example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import FlightInputs, Rail
from finial.flight.rail_exit import RailExit, lean_by_play, rail_exit, two_button_travel, wind_angle, wind_at
from finial.flight.trace import EventKind

BALANCE_M = 0.73
"""Balance point of the invented vehicle at lift-off."""


def left(fore_m: float, aft_m: float, **changes) -> RailExit:
    inputs: FlightInputs = replace(example_inputs(), **changes)
    rail = replace(inputs.rail, fore_button_m=fore_m, aft_button_m=aft_m)
    return rail_exit(fly(replace(inputs, rail=rail)), rail, inputs.air)


def test_speed_off_the_rail_by_the_closed_form():
    # v = sqrt(2 a s) under steady thrust, with no air, no friction and the rail upright: FLT-05.
    inputs = example_inputs()
    steady = replace(
        inputs.thrust, times_s=np.array([0.0, 2.0]), thrusts_n=np.array([400.0, 400.0]), ignition_delay_s=0.0
    )
    rail = Rail(length_m=3.0, tilt_rad=0.0, bearing_rad=0.0, fore_button_m=0.6, aft_button_m=1.1)
    even = replace(
        inputs.mass,
        times_s=np.zeros(1),
        masses_kg=np.array([8.0]),
        centres_m=np.array([[-BALANCE_M, 0.0, 0.0]]),
        inertias_kg_m2=inputs.mass.inertias_kg_m2[:1],
    )
    air = replace(inputs.air, pressure_pa=0.0)
    found = rail_exit(fly(replace(inputs, thrust=steady, mass=even, rail=rail, air=air)), rail, air)
    push = 400.0 / 8.0 - 9.80665
    travel = 3.0 - (inputs.thrust.nozzle_station_m - 0.6)
    assert found.fore_speed_m_s == pytest.approx(math.sqrt(2.0 * push * travel), rel=1e-5)
    assert found.aft_speed_m_s == pytest.approx(math.sqrt(2.0 * push * (travel + 0.5)), rel=1e-5)
    assert found.speed_m_s == found.fore_speed_m_s  # the fore button leaves first, ahead of the balance point


def test_buttons_at_the_tail_gain_no_speed():
    usual, tail = left(0.62, 1.15), left(1.08, 1.15)
    assert tail.fore_speed_m_s > usual.speed_m_s + 1.0
    # Held only until the balance point passes the rail's end, where a button abreast of it would leave.
    abreast = left(BALANCE_M, 1.15)
    # Buttons close together rub harder, so it is a little slower there.
    assert tail.speed_m_s == pytest.approx(abreast.speed_m_s, rel=5e-3)
    assert tail.speed_m_s < abreast.speed_m_s
    assert tail.held_until_s < fly_event(1.08, 1.15, EventKind.FORE_LEAVES)


def fly_event(fore_m: float, aft_m: float, kind: EventKind) -> float:
    inputs = example_inputs()
    trace = fly(replace(inputs, rail=replace(inputs.rail, fore_button_m=fore_m, aft_button_m=aft_m)))
    return trace.event(kind).time_s


def test_buttons_ahead_of_the_balance_point_leave_early_and_slow():
    assert left(0.3, 0.5).speed_m_s < left(0.62, 1.15).speed_m_s - 0.5


def test_the_wind_is_that_at_the_end_of_the_rail():
    found = left(0.62, 1.15)
    height = 3.6 * math.cos(math.radians(3.0))
    air = example_air(4.0)
    nodes = (4.0 * (2.0 / 10.0) ** 0.15, 4.0 * (5.0 / 10.0) ** 0.15)
    assert found.wind_m_s == pytest.approx(np.interp(height, [2.0, 5.0], nodes), rel=1e-9)
    assert wind_at(air, 10.0) == pytest.approx(4.0)
    assert found.angle_rad == pytest.approx(math.atan(found.wind_m_s / found.speed_m_s))


@pytest.mark.parametrize(("speed", "wind", "degrees"), [(52 * 0.3048, 20 * 0.44704, 29.4), (15.0, 5.0, 18.4)])
def test_angle_of_the_wind_at_exit(speed, wind, degrees):
    # FLT-06, plain trigonometry: 20 mph at 52 ft/s, 5 at 15 m/s.
    assert math.degrees(wind_angle(speed, wind)) == pytest.approx(degrees, abs=0.05)


def test_a_long_ride_on_one_button_turns_it_more():
    short, long = left(0.62, 0.72), left(0.3, 1.15)
    assert long.turned_rad > 3.0 * short.turned_rad
    assert long.turning_rad_s > short.turning_rad_s


def test_thrust_beside_the_axis_turns_it_on_one_button():
    inputs = example_inputs()
    aside = replace(inputs.thrust, offset_m=(0.02, 0.0))
    assert left(0.62, 1.15, thrust=aside).turned_rad > 2.0 * left(0.62, 1.15).turned_rad


def test_no_wind_makes_no_angle():
    found = left(0.62, 1.15, air=example_air(0.0))
    assert (found.wind_m_s, found.angle_rad) == (0.0, 0.0)


def test_what_never_left_has_no_exit():
    inputs = example_inputs()
    weak = replace(inputs.thrust, thrusts_n=0.01 * inputs.thrust.thrusts_n)
    assert rail_exit(fly(replace(inputs, thrust=weak)), inputs.rail, inputs.air) is None


def test_play_over_gap():
    lean = lean_by_play(0.55)
    assert [math.degrees(one) for one in (lean.low, lean.value, lean.high)] == pytest.approx(
        [0.1042, 0.2083, 0.3125], abs=1e-3
    )
    assert lean_by_play(0.07).value > math.radians(1.0) > lean_by_play(0.2).value
    with pytest.raises(OutsideRange):
        lean_by_play(0.0)


def test_travel_on_two_buttons_over_travel_on_one():
    rail = Rail(length_m=2.0, tilt_rad=0.0, bearing_rad=0.0, fore_button_m=0.2, aft_button_m=1.1)
    # The foot stands at 1.2 m: the fore button begins 1.0 m up and rides 1.0 m; the gap is 0.9 m.
    assert two_button_travel(rail, 1.2) == pytest.approx(1.0 / 0.9)
    assert two_button_travel(replace(rail, length_m=1.0), 1.2) == pytest.approx(0.0)
    with pytest.raises(OutsideRange, match="nearer to the tip"):
        two_button_travel(replace(rail, aft_button_m=0.2), 1.2)
