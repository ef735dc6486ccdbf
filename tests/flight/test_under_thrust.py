"""A flight that turns over, throws its canopy under thrust or flies into the ground is told as that."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flight.example import example_inputs, example_table
from finial.flight.fly import fly
from finial.flight.inputs import AFTER_LIFT_OFF
from finial.flight.timing import trigger_time
from finial.flight.trace import EventKind, Trace
from finial.flight.under_thrust import lean_from_vertical, thrust_ends, turned_over, under_thrust


def sound() -> Trace:
    return fly(example_inputs())


def beside(offset_m: float, **changes) -> Trace:
    inputs = example_inputs()
    return fly(replace(inputs, thrust=replace(inputs.thrust, offset_m=(offset_m, 0.0)), **changes))


@pytest.mark.parametrize("lean_deg", [0.0, 5.0, 60.0, 90.0, 135.0, 180.0])
@pytest.mark.parametrize("bearing_deg", [0.0, 70.0, 250.0])
def test_lean_is_that_of_the_rotation(lean_deg, bearing_deg):
    # Built without the formula: the axis as a vector, then the quaternion that turns east onto it.
    lean, bearing = np.radians([lean_deg, bearing_deg])
    axis = np.array([math.sin(lean) * math.sin(bearing), math.sin(lean) * math.cos(bearing), math.cos(lean)])
    half = np.array([1.0 + axis[0], 0.0, -axis[2], axis[1]])
    quaternion = half / np.linalg.norm(half)
    assert lean_from_vertical(quaternion[None])[0] == pytest.approx(lean, abs=1e-7)


def test_a_sound_flight_is_not_lost():
    flown = under_thrust(sound())
    assert flown.turned_over_s is None
    assert flown.early == ()
    assert turned_over(sound()) is None
    assert flown.burnt_out_s == pytest.approx(2.1)  # 0.1 s of delay and a curve of 2 s
    assert math.radians(3.0) < flown.lean.angle_rad < math.radians(30.0)


def test_thrust_beside_the_balance_point_turns_it_over_under_thrust():
    trace = beside(0.06)
    flown = under_thrust(trace)
    left = trace.event(EventKind.RAIL_EXIT).time_s
    assert left < flown.turned_over_s < flown.burnt_out_s
    assert flown.turned_over_s == turned_over(trace)
    assert flown.lean.angle_rad > math.pi / 2.0
    assert turned_over(beside(0.1)) < turned_over(trace)


def test_a_little_beside_leans_and_does_not_turn():
    straight, aside = under_thrust(beside(0.0)), under_thrust(beside(0.004))
    assert aside.turned_over_s is None
    assert aside.lean.angle_rad != pytest.approx(straight.lean.angle_rad, abs=math.radians(1.0))


def test_a_canopy_timed_under_thrust_is_early():
    inputs = example_inputs()
    main = replace(inputs.canopies[1], trigger=AFTER_LIFT_OFF, threshold=1.0, delay_s=0.0)
    trace = fly(replace(inputs, canopies=(main,)))
    flown = under_thrust(trace)
    assert flown.early[0].kind is EventKind.OUT
    # What happens to the attitude under the canopy is not computed, and must not count.
    assert flown.lean.time_s <= trace.event(EventKind.OUT, "main").time_s


def test_a_flight_into_the_ground_under_thrust():
    inputs = example_inputs()
    thrust = replace(inputs.thrust, times_s=np.array([0.0, 0.05, 30.0, 30.1]), offset_m=(0.1, 0.0))
    trace = fly(replace(inputs, thrust=thrust, canopies=()))
    flown = under_thrust(trace)
    assert trace.event(EventKind.BURNOUT) is None
    assert flown.burnt_out_s == thrust_ends(trace) == trace.times_s[-1]


def test_an_unstable_vehicle_turns_over_coasting_too():
    # Centre of pressure ahead of the balance point, and a push so short that it coasts when it turns.
    inputs = example_inputs()
    thrust = replace(
        inputs.thrust,
        times_s=np.array([0.0, 0.01, 0.35, 0.36]),
        thrusts_n=np.array([0.0, 1.0, 1.0, 0.0]) * 1900.0,
    )
    trace = fly(replace(inputs, thrust=thrust, air_table=example_table(pressure_station_m=0.5), canopies=()))
    over = turned_over(trace)
    assert under_thrust(trace).turned_over_s is None
    assert over > thrust_ends(trace)
    assert over < trace.event(EventKind.APOGEE).time_s


def test_sinking_over_the_top_is_no_turning_over():
    # A calm, straight flight: at apogee the air comes from any side, at next to no speed.
    inputs = example_inputs()
    trace = fly(replace(inputs, canopies=()))
    assert float(trace.alphas_rad.max()) > math.radians(20.0)
    assert turned_over(trace) is None


def test_what_never_left_the_rail_has_no_flight_under_thrust():
    inputs = example_inputs()
    weak = replace(inputs.thrust, thrusts_n=0.01 * inputs.thrust.thrusts_n)
    trace = fly(replace(inputs, thrust=weak))
    assert under_thrust(trace) is None
    assert turned_over(trace) is None


def test_nonsense_is_refused():
    with pytest.raises(OutsideRange, match=r"\(n, 4\)"):
        lean_from_vertical(np.zeros((4, 3)))
    with pytest.raises(OutsideRange, match="empty"):
        under_thrust(replace(sound(), times_s=np.zeros(0)))


def test_triggers_come_when_their_canopies_do():
    trace = sound()
    apogee, lift_off = trace.event(EventKind.APOGEE), trace.event(EventKind.LIFT_OFF)
    assert trigger_time(trace, "apogee") == apogee.time_s
    assert trigger_time(trace, "apogee") + 0.5 == pytest.approx(trace.event(EventKind.OUT, "drogue").time_s)
    assert trigger_time(trace, "time", 2.5) == pytest.approx(lift_off.time_s + 2.5)
    out = trace.event(EventKind.OUT, "main").time_s - 0.2
    step = np.diff(trace.times_s).max()
    assert out - 1e-9 <= trigger_time(trace, "altitude", 150.0) <= out + step
    assert trigger_time(trace, "altitude", -1.0) is None


def test_a_height_passed_on_the_way_up_does_not_count():
    trace = sound()
    assert trigger_time(trace, "altitude", 50.0) > trace.event(EventKind.APOGEE).time_s


def test_an_unknown_trigger_is_refused():
    with pytest.raises(OutsideRange, match="accepted are apogee"):
        trigger_time(sound(), "burnout")
