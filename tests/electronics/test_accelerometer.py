"""The top by an accelerometer, against flights that can be added up by hand."""

import math

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2 as G
from finial.core.errors import OutsideRange
from finial.electronics.accelerometer import (
    Accelerometer,
    first_held,
    largest_felt,
    longest_held,
    longest_knock,
    top_by_felt,
)

PUSH_M_S2, BURN_S = 60.0, 2.0
TOP_S = PUSH_M_S2 * BURN_S / G
"""A flight straight up without air: felt is the push alone, and the top comes as gravity has used it up."""


def flight(side_m_s2: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    times = np.sort(np.concatenate([np.linspace(0.0, TOP_S, 20_001), [BURN_S, BURN_S]]))
    push = np.where(np.arange(len(times)) <= int(np.searchsorted(times, BURN_S)), PUSH_M_S2, 0.0)
    felt = np.zeros((len(times), 3))
    felt[:, 0] = push
    felt[:, 1] = np.where(push > 0, side_m_s2, 0.0)
    return times, felt


def found(side_m_s2: float = 0.0, **told: float) -> tuple[float, float]:
    return top_by_felt(*flight(side_m_s2), Accelerometer(**{"range_m_s2": 1e4, **told}))


def test_a_perfect_one_finds_the_top_of_a_flight_straight_up() -> None:
    assert found() == pytest.approx((0.0, 0.0), abs=2e-3)


def test_an_offset_makes_gravity_larger_or_smaller() -> None:
    """By hand: push times burn is used up by gravity less the offset, or gravity and the offset."""
    offset = 0.3
    used_up = [PUSH_M_S2 * BURN_S / (G + sign * offset) - TOP_S for sign in (1, -1)]
    assert found(offset_m_s2=offset) == pytest.approx(used_up, abs=3e-3)


def test_a_leaning_axis_loses_the_cosine_of_the_push() -> None:
    lean = math.radians(8.0)
    by_hand = PUSH_M_S2 * math.cos(lean) * BURN_S / G - TOP_S
    assert by_hand < -0.1
    assert found(tilt_rad=lean) == pytest.approx((by_hand, by_hand), abs=3e-3)


def test_a_leaning_axis_adds_what_pushes_from_the_side_either_way() -> None:
    lean, side = math.radians(3.0), 20.0
    ends = [
        (PUSH_M_S2 * math.cos(lean) + sign * side * math.sin(lean)) * BURN_S / G - TOP_S for sign in (-1, 1)
    ]
    assert found(side_m_s2=side, tilt_rad=lean) == pytest.approx(ends, abs=3e-3)


def test_what_lies_beyond_the_range_is_lost() -> None:
    """It reads 50 of 60: a sixth of the speed, and of the climb's time, is gone."""
    assert found(range_m_s2=50.0) == pytest.approx((-TOP_S / 6, -TOP_S / 6), abs=3e-3)
    assert found(range_m_s2=61.0) == pytest.approx((0.0, 0.0), abs=3e-3)


def test_a_flight_that_leans_is_taken_for_slower_than_it_is() -> None:
    """Drag-free on a straight rail at 30 degrees: all of gravity is taken off, and only part of it slows it.

    Its axis follows the path; it feels the same push, and tops out as its upward part is used up.
    """
    times, felt = flight()
    lean = math.radians(30.0)
    upward_push = PUSH_M_S2 * math.cos(lean)
    true_top = upward_push * BURN_S / G
    kept = times <= true_top
    early, late = top_by_felt(times[kept], felt[kept], Accelerometer(range_m_s2=1e4))
    assert early == late == pytest.approx(TOP_S - true_top, abs=3e-3)


def test_one_that_never_sees_a_climb_fires_at_once() -> None:
    times = np.linspace(0.0, 5.0, 11)
    earliest, latest = top_by_felt(times, np.zeros((11, 3)), Accelerometer(range_m_s2=100.0))
    assert earliest == latest == -5.0


def test_the_largest_felt_leans_to_the_worst_side() -> None:
    felt = np.array([[30.0, 3.0, 4.0], [-40.0, 0.0, 0.0]])
    assert largest_felt(felt, 0.0) == 40.0
    lean = math.radians(60.0)
    assert largest_felt(felt, lean) == pytest.approx(max(30 * 0.5 + 5 * math.sin(lean), 40 * 0.5))


@pytest.mark.parametrize("told", [{"range_m_s2": 0.0}, {"offset_m_s2": -0.1}, {"tilt_rad": -0.1}])
def test_what_is_no_accelerometer_is_refused(told: dict[str, float]) -> None:
    with pytest.raises(OutsideRange):
        Accelerometer(**{"range_m_s2": 100.0, **told})


def test_an_offset_of_gravity_never_ends_and_no_flight_cannot_be_added_up() -> None:
    with pytest.raises(OutsideRange, match="gravity itself"):
        found(offset_m_s2=10.0)
    with pytest.raises(OutsideRange, match="two times or more"):
        top_by_felt(np.array([0.0]), np.zeros((1, 3)), Accelerometer(range_m_s2=100.0))


def held(held_s: float, side_m_s2: float = 0.0, **told: float) -> float:
    return longest_held(*flight(side_m_s2), Accelerometer(**{"range_m_s2": 1e4, **told}), held_s)


def test_a_push_is_held_for_as_long_as_it_lasts_and_no_longer() -> None:
    assert held(0.9 * BURN_S) == pytest.approx(PUSH_M_S2)
    assert held(1.1 * BURN_S) == pytest.approx(0.0)
    assert held(10 * TOP_S) == 0.0
    with pytest.raises(OutsideRange, match="held_s"):
        held(0.0)


def test_what_is_held_is_the_least_that_may_be_shown() -> None:
    """By hand: the cosine of the push, less the sine of what comes from the side, less the offset."""
    lean, side, offset = math.radians(3.0), 20.0, 0.4
    least = PUSH_M_S2 * math.cos(lean) - side * math.sin(lean) - offset
    assert held(1.0, side, tilt_rad=lean, offset_m_s2=offset) == pytest.approx(least)
    assert held(1.0, range_m_s2=50.0) == 50.0


def test_a_hard_start_that_breaks_off_is_no_lift_off() -> None:
    """60 for 0.2 s, nothing for 0.1 s, then 60 again: held for 0.25 s only 0.25 s after the second start."""
    times = np.array([0.0, 0.2, 0.2001, 0.3, 0.3001, 2.0])
    felt = np.array([60.0, 60.0, 0.0, 0.0, 60.0, 60.0])[:, None] * np.array([1.0, 0.0, 0.0])
    assert first_held(times, felt, 30.0, 0.25) == pytest.approx(0.55, abs=2e-3)
    assert first_held(times, felt, 30.0, 0.15) == pytest.approx(0.15, abs=2e-3)
    assert first_held(times, felt, 61.0, 0.15) is None


def test_a_knock_is_no_longer_than_its_change_of_speed_allows() -> None:
    """From 0.5 m and as fast again upwards: 6.263 m/s; net 2 g hold it for 0.319 s, net 20 g for a tenth."""
    assert longest_knock(3 * G, 0.5) == pytest.approx(6.2632 / (2 * G), rel=1e-4)
    assert longest_knock(21 * G, 0.5) == pytest.approx(6.2632 / (20 * G), rel=1e-4)
    assert longest_knock(G, 0.5) == math.inf


def test_a_speed_used_up_between_two_readings_is_so_along_a_straight_line() -> None:
    """Readings half a second apart: 10 m/s gained, then one gravity lost; gone after 10 / g."""
    times = np.array([0.0, 0.5, 1.0, 1.5, 2.0, 2.5])
    felt = np.zeros((6, 3))
    felt[:2, 0] = 20.0 + G
    low, high = top_by_felt(times, felt, Accelerometer(range_m_s2=1e4))
    # Half of a push that falls within the second half second: 10 m/s, then 10 + G / 2 - G / 2 / 2.
    speed = 10.0 + 0.25 * (20.0 + G) - 0.5 * G
    assert low == pytest.approx(1.0 + speed / G - 2.5)
    assert high == pytest.approx(low)
