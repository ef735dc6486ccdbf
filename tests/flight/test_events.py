"""What happens when, and what happens when something goes wrong."""

from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs, plain_table
from finial.flight.fly import fly, fly_stepping
from finial.flight.inputs import Start
from finial.flight.packing.pack import Stepping
from finial.flight.trace import EventKind


def _names(trace):
    return [event.name for event in trace.events]


def _with_thrust(times, thrusts):
    base = example_inputs()
    thrust = replace(base.thrust, times_s=np.array(times), thrusts_n=np.array(thrusts))
    return replace(base, thrust=thrust)


def test_a_full_flight_goes_through_every_event_in_order():
    trace = fly(example_inputs())
    assert _names(trace) == [
        "lift-off",
        "fore button leaves",
        "rail exit",
        "burnout",
        "apogee",
        "drogue out",
        "drogue open",
        "main out",
        "main open",
        "ground",
    ]
    assert trace.ended == "ground"
    assert [event.time_s for event in trace.events] == sorted(event.time_s for event in trace.events)


def test_lift_off_is_when_thrust_first_exceeds_weight_along_the_rail():
    # 400 N in 0.05 s, 0.1 s after the signal: the vehicle weighs 8.35 kg and barely burns before.
    inputs = example_inputs()
    smooth = replace(inputs, rail=replace(inputs.rail, friction=0.0), air_table=plain_table())
    weight = 8.35 * 9.80665 * np.cos(inputs.rail.tilt_rad)
    expected = 0.1 + weight / 8000.0
    assert fly(smooth).event("lift-off").time_s == pytest.approx(expected, abs=5e-6)


def test_apogee_is_where_the_climb_ends():
    trace = fly(example_inputs(), tolerance=1e-4)
    row = int(np.searchsorted(trace.times_s, trace.event("apogee").time_s))
    assert abs(trace.velocities_m_s[row, 2]) < 1e-4
    assert trace.event("apogee").height_agl_m == pytest.approx(trace.positions_m[:, 2].max(), abs=1e-4)


def test_main_comes_out_its_delay_after_its_altitude():
    trace = fly(example_inputs())
    out = trace.event(EventKind.OUT, "main")
    row = int(np.searchsorted(trace.times_s, out.time_s))
    passed = out.height_agl_m - 0.2 * trace.velocities_m_s[row, 2]
    assert passed == pytest.approx(150.0, abs=0.01)


def test_a_canopy_on_time_counts_from_lift_off():
    inputs = example_inputs()
    timed = replace(inputs.canopies[0], trigger="time", threshold=6.0, delay_s=0.25)
    trace = fly(replace(inputs, canopies=(timed, inputs.canopies[1])))
    assert trace.event(EventKind.OUT, "drogue").time_s - trace.event("lift-off").time_s == pytest.approx(
        6.25, abs=1e-9
    )
    assert trace.event("apogee").time_s > trace.event(EventKind.OUT, "drogue").time_s


def test_a_main_set_above_apogee_comes_out_at_apogee():
    inputs = example_inputs()
    high = replace(inputs.canopies[1], threshold=1000.0, delay_s=0.0)
    trace = fly(replace(inputs, canopies=(high,)))
    assert trace.event(EventKind.OUT, "main").time_s == trace.event("apogee").time_s


def test_canopies_that_never_come_out_make_a_ballistic_landing():
    inputs = example_inputs()
    stuck = tuple(replace(canopy, works=False) for canopy in inputs.canopies)
    trace = fly(replace(inputs, canopies=stuck))
    assert "drogue out" not in _names(trace)
    assert trace.event("ground").speed_m_s > 50.0
    nose_first = trace.alphas_rad[-1]
    assert nose_first < 0.2


def test_bundled_canopies_leave_the_tumbling_drag():
    inputs = example_inputs()
    bundled = tuple(replace(canopy, fills=False) for canopy in inputs.canopies)
    speed = fly(replace(inputs, canopies=bundled)).event("ground").speed_m_s
    # Weight over drag at the pad's density; 240 m of fall come close to the terminal speed.
    terminal = np.sqrt(2.0 * 8.0 * 9.80665 / (98_500.0 / (287.05287 * 295.15) * 0.06))
    assert 0.85 * terminal < speed < terminal


def test_full_canopies_fall_at_weight_equals_drag():
    trace = fly(example_inputs())
    row = int(np.searchsorted(trace.times_s, trace.event("ground").time_s - 5.0))
    density = 2.0 * trace.dynamic_pressures_pa[row] / trace.airspeeds_m_s[row] ** 2
    area = 0.06 + 0.25 + 3.4
    assert -trace.velocities_m_s[row, 2] == pytest.approx(
        np.sqrt(2 * 8.0 * 9.80665 / (density * area)), rel=0.01
    )


def test_too_little_thrust_never_leaves_the_pad():
    trace = fly(_with_thrust([0.0, 0.1, 2.0], [0.0, 60.0, 0.0]))
    assert trace.ended.startswith("never left the pad")
    assert "lift-off" not in _names(trace)


def test_a_kick_that_dies_slides_back_onto_the_stand():
    trace = fly(_with_thrust([0.0, 0.02, 0.10, 0.12, 2.0], [0.0, 200.0, 200.0, 30.0, 0.0]))
    assert trace.ended.startswith("never left the pad")
    assert _names(trace)[0] == "lift-off"
    # Same place, but the balance point has moved up the vehicle as the propellant burnt.
    moved = example_inputs().mass.centres_m[-1, 0] - example_inputs().mass.centres_m[0, 0]
    assert np.linalg.norm(trace.positions_m[-1] - trace.positions_m[0]) == pytest.approx(moved, abs=1e-5)
    assert np.all(trace.velocities_m_s[-1] == 0.0)


def test_a_kick_followed_by_thrust_flies_after_all():
    trace = fly(_with_thrust([0.0, 0.02, 0.1, 0.12, 0.6, 0.65, 2.0], [0, 200, 200, 30, 30, 500, 0.0]))
    assert trace.ended == "ground"
    assert _names(trace).count("lift-off") == 1
    assert trace.event("fore button leaves").time_s > 0.7


def test_a_flight_longer_than_the_limit_says_so():
    trace = fly_stepping(example_inputs(), Stepping(time_limit_s=5.0))
    assert trace.ended.startswith("still in the air")


def test_a_flight_of_too_many_steps_says_so():
    trace = fly_stepping(example_inputs(), Stepping(most_steps=50))
    assert trace.ended == "too many steps"


def test_motion_that_grows_without_bound_ends_with_a_reason():
    inputs = example_inputs()
    table = inputs.air_table
    blown = replace(table, pitch_damping=np.full_like(table.pitch_damping, 1e7))
    trace = fly(replace(inputs, air_table=blown))
    assert trace.ended in {
        "the step shrank to nothing: the motion grows faster than it can be followed",
        "the numbers overflowed",
        "too many steps",
    }


def test_a_long_trace_is_kept_whole():
    # Finer than the first buffer holds: the flight is taken again with room enough.
    trace = fly_stepping(example_inputs(), Stepping(tolerance=1e-9, samples=8))
    assert trace.times_s.size > 4096
    assert trace.ended == "ground"
    assert np.all(np.diff(trace.times_s) >= 0.0)
    assert trace.times_s[-1] == trace.event("ground").time_s


def test_a_start_in_mid_burn_goes_on_as_the_flight_did():
    inputs = example_inputs()
    whole = fly(inputs, tolerance=1e-9)
    row = int(np.searchsorted(whole.times_s, 1.0))
    start = Start(
        time_s=float(whole.times_s[row]),
        position_m=whole.positions_m[row],
        velocity_m_s=whole.velocities_m_s[row],
        quaternion=whole.quaternions[row],
        rates_rad_s=whole.rates_rad_s[row],
    )
    rest = fly(inputs, tolerance=1e-9, start=start)
    assert rest.event("burnout").time_s == whole.event("burnout").time_s
    assert rest.positions_m[-1] == pytest.approx(whole.positions_m[-1], abs=1e-4)


def test_the_first_row_of_free_flight_stands_at_rail_exit():
    trace = fly(example_inputs())
    assert np.count_nonzero(trace.times_s == trace.event("rail exit").time_s) == 2


def test_an_accelerometer_on_the_stand_reads_gravity():
    trace = fly(example_inputs())
    assert np.linalg.norm(trace.accelerations_m_s2[0]) == pytest.approx(9.80665, rel=1e-12)
    assert trace.accelerations_m_s2[0, 0] == pytest.approx(9.80665 * np.cos(np.radians(3.0)), rel=1e-12)


def test_a_canopy_due_on_the_rail_comes_out_when_the_rail_is_left():
    inputs = example_inputs()
    early = replace(inputs.canopies[0], trigger="time", threshold=0.05, delay_s=0.0)
    trace = fly(replace(inputs, canopies=(early,)))
    assert trace.event(EventKind.OUT, "drogue").time_s == trace.event("rail exit").time_s
    assert trace.ended == "ground"


def test_filling_takes_its_distance_at_the_speed_of_the_fall():
    # First canopy: n D = v t + g t^2 / 2; the next one, at a steady fall: n D = v t.
    trace = fly(example_inputs())
    for name, distance, gravity in (("drogue", 8.0 * 0.65, 9.80665), ("main", 8.0 * 2.4, 0.0)):
        out, full = trace.event(EventKind.OUT, name), trace.event(EventKind.OPEN, name)
        speed = trace.airspeeds_m_s[int(np.searchsorted(trace.times_s, out.time_s))]
        seconds = full.time_s - out.time_s
        assert speed * seconds + gravity * seconds**2 / 2.0 == pytest.approx(distance, rel=1e-9)


def test_a_start_from_exactly_rest_is_no_apogee():
    """Let go at rest under 400 N: the top comes after the burn, not at the first moment."""
    inputs = replace(_with_thrust([0.0, 1.0, 1.001], [400.0, 400.0, 0.0]), air_table=plain_table())
    inputs = replace(inputs, thrust=replace(inputs.thrust, ignition_delay_s=0.0))
    upright = np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0])
    still = Start(
        time_s=0.0,
        position_m=np.array([0.0, 0.0, 5.0]),
        velocity_m_s=np.zeros(3),
        quaternion=upright,
        rates_rad_s=np.zeros(3),
    )
    top = fly(inputs, start=still).event("apogee")
    assert top.time_s > 1.0
    assert top.height_agl_m > 10.0


def test_what_is_let_go_at_rest_without_thrust_is_at_its_top():
    still = Start(
        time_s=60.0,
        position_m=np.array([0.0, 0.0, 50.0]),
        velocity_m_s=np.zeros(3),
        quaternion=np.array([1.0, 0.0, 0.0, 0.0]),
        rates_rad_s=np.zeros(3),
    )
    top = fly(example_inputs(), start=still).event("apogee")
    assert (top.time_s, top.height_agl_m) == (pytest.approx(60.0, abs=1e-6), pytest.approx(50.0, abs=1e-6))
