"""The lean that gyroscopes carry, in one filter with the climb, and whether both are known as they say."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.flown import leaning
from finial.flown.example import example_sensed
from finial.flown.lean import attitude_doubt, lean_at
from finial.flown.smoothing import smoothed
from finial.flown.turning import attitudes

G = STANDARD_GRAVITY_M_S2
TIMES = np.arange(-5.0, 12.0, 0.02)
BEND_RAD_S, ROLL_RAD_S = 0.08, 1.5
BURN_S, TOP_S = 3.0, 11.0
AT_S = 10.0


@dataclass(frozen=True)
class Motion:
    """A push of 60 m/s^2 for 3 s, then drag, along an axis that leans and rolls."""

    start: float
    rates: np.ndarray
    side: float = 0.0
    """Roll angle of the side that it leans over."""

    @property
    def lean(self):
        return self.start + np.cumsum(self.rates * np.where(TIMES > 0.0, 0.02, 0.0))

    @property
    def push(self):
        return np.where(TIMES < BURN_S, 60.0, -2.0)

    @property
    def climb(self):
        """Speed and height."""
        rises = np.where(TIMES <= 0.0, 0.0, self.push * np.cos(self.lean) - G)
        speed = np.concatenate([[0.0], np.cumsum(0.5 * (rises[1:] + rises[:-1]) * 0.02)])
        return speed, np.concatenate([[0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * 0.02)])


BENDING = Motion(start=0.0, rates=np.full(len(TIMES), BEND_RAD_S))
SPEED = BENDING.climb[0]
JERKED, JERKED_ASIDE = (
    Motion(start=0.3, rates=np.where((TIMES > 0.4) & (TIMES < 1.0), 0.5, 0.0), side=side)
    for side in (0.0, 0.5 * np.pi)
)


def told(seed, moved=BENDING, *, drift=0.0, scale=1.0, askew=(0.0, 0.0), felt_scale=1.0, offset=0.0):
    """Readings of a motion by sensors that are off."""
    chance, count = np.random.default_rng(seed), len(TIMES)
    roll = moved.side + ROLL_RAD_S * np.where(TIMES > 0.0, TIMES, 0.0)
    across = np.where(TIMES > 0.0, moved.rates, 0.0)
    rates = np.column_stack(
        [
            np.where(TIMES > 0.0, ROLL_RAD_S, 0.0),
            scale * across * np.sin(roll),
            scale * across * np.cos(roll),
        ]
    )
    rates += np.where(TIMES[:, None] > 0.0, drift, 0.0) + 0.01 * chance.standard_normal((count, 3))
    felt = np.zeros((count, 3))
    on_pad = TIMES <= 0.0
    felt[:, 0] = np.where(on_pad, G * np.cos(moved.start), moved.push) * felt_scale + offset
    # Sensors that sit askew feel a part of the weight across the axis, on the pad.
    felt[on_pad, 1:] += G * (
        np.array(askew) + np.sin(moved.start) * np.array([-np.cos(moved.side), np.sin(moved.side)])
    )
    return replace(
        example_sensed(),
        times_s=TIMES,
        heights_m=moved.climb[1] + 0.6 * chance.standard_normal(count),
        height_noise_m=0.6,
        felt_m_s2=felt + 0.2 * chance.standard_normal((count, 3)),
        felt_noise_m_s2=0.2,
        saturated=np.zeros(count, dtype=bool),
        turning_rad_s=rates,
    )


def without_heights(log):
    return replace(log, heights_m=np.full(len(TIMES), np.nan))


def off_by_chance(seed):
    """A log by sensors as bad as they are taken to be."""
    chance = np.random.default_rng(1000 + seed)
    return told(
        seed,
        drift=chance.normal(0.0, np.radians(0.2), 3),
        scale=1.0 + chance.normal(0.0, 0.01),
        askew=tuple(chance.normal(0.0, np.radians(1.0), 2)),
        felt_scale=1.0 + chance.normal(0.0, 0.01),
        offset=chance.normal(0.0, 0.3),
    )


def smooth(log):
    return smoothed(log, attitudes(log, 0.0), TOP_S)


def leans(climb, at_s=AT_S):
    return lean_at(climb.times_s, climb.leans_rad, climb.lean_sigmas_rad, at_s)


def test_attitudes_follow_a_body_that_bends_over_while_it_rolls():
    turns = attitudes(told(1), 0.0)
    assert np.degrees(np.arccos(turns[:, 2, 0]) - BENDING.lean)[TIMES > 0.5] == pytest.approx(0.0, abs=1.5)
    assert np.einsum("nij,nkj->nik", turns, turns) == pytest.approx(np.tile(np.eye(3), (len(TIMES), 1, 1)))


@pytest.mark.parametrize("heights", [True, False])
def test_leans_and_speeds_lie_in_their_intervals_nine_times_in_ten(heights):
    lean_held, speed_held, row = [], [], int(np.searchsorted(TIMES, 8.0))
    for seed in range(120):
        log = off_by_chance(seed)
        climb = smooth(log if heights else without_heights(log))
        found = leans(climb)
        lean_held.append(found.low <= BEND_RAD_S * AT_S <= found.high)
        off = abs(climb.speeds_m_s[row] - SPEED[row])
        speed_held.append(off < 1.645 * climb.speed_sigmas_m_s[row])
    assert 0.82 < np.mean(lean_held) < 0.98
    assert 0.82 < np.mean(speed_held) <= 1.0


def jerked_unseen(moved=JERKED):
    """It jerks over by 17 degrees while rates are missing; the same with all its rates."""
    log = told(3, moved)
    missing = (TIMES > 0.38) & (TIMES < 1.02)
    return replace(log, turning_rad_s=np.where(missing[:, None], np.nan, log.turning_rad_s)), log


@pytest.mark.parametrize("moved", [JERKED, JERKED_ASIDE])
def test_attitudes_follow_a_jerk_over_either_side(moved):
    turns = attitudes(told(3, moved), 0.0)
    assert np.degrees(np.arccos(turns[:, 2, 0]) - moved.lean)[TIMES > 1.2] == pytest.approx(0.0, abs=2.5)


@pytest.mark.parametrize("moved", [JERKED, JERKED_ASIDE])
def test_heights_tell_a_lean_that_no_gyroscope_saw(moved):
    log, truth = jerked_unseen(moved)[0], moved.lean[-1]
    with_heights, without = leans(smooth(log)), leans(smooth(without_heights(log)))
    assert abs(without.value - truth) > np.radians(9.0)
    assert abs(with_heights.value - truth) < np.radians(3.0)
    assert with_heights.low < truth < with_heights.high
    assert with_heights.half_width < 0.3 * without.half_width


def test_a_doubtful_lean_makes_a_speed_doubtful_however_many_rows_there_are():
    row = np.searchsorted(TIMES, 9.0)
    doubtful, sure = (smooth(without_heights(one)).speed_sigmas_m_s[row] for one in jerked_unseen())
    assert doubtful > 1.4 * sure


def test_rows_that_are_missing_widen_the_lean():
    log = told(1)
    holes = log.turning_rad_s.copy()
    holes[(TIMES > 4.0) & (TIMES < 5.0)] = np.nan
    whole, broken = (leans(smooth(one)).half_width for one in (log, replace(log, turning_rad_s=holes)))
    assert broken > 1.1 * whole


def test_a_start_that_no_accelerometer_tells_is_known_less_well():
    log = told(1)
    blind = replace(log, felt_m_s2=np.full_like(log.felt_m_s2, np.nan))
    assert attitude_doubt(blind).start_rad == pytest.approx(np.radians(3.0))
    assert attitude_doubt(log).start_rad < np.radians(1.1)


def test_without_gyroscopes_there_is_none():
    with pytest.raises(OutsideRange):
        attitude_doubt(example_sensed())
    assert smoothed(example_sensed(), attitudes(example_sensed(), 0.0), 5.2).leans_rad is None


def test_a_charge_in_the_pressure_is_passed_over_beside_an_attitude_too():
    log = told(3)
    heights, row = log.heights_m.copy(), np.searchsorted(TIMES, 7.0)
    heights[row : row + 3] -= 400.0
    plain, spiked = smooth(log), smooth(replace(log, heights_m=heights))
    assert spiked.spikes >= 3
    assert np.abs(spiked.heights_m - plain.heights_m)[row - 30 : row + 30].max() < 0.5


def test_a_barometer_that_is_late_or_sucked_at_is_found_out():
    """A quarter of a second late, or 0.08 of the dynamic pressure too high: the push tells, beside it."""
    speed, height = BENDING.climb
    late = np.interp(TIMES - 0.25, TIMES, height)
    sucked = height + 0.08 * speed**2 / (2.0 * G)
    for read in (late, sucked):
        log = replace(told(3), heights_m=read + 0.6 * np.random.default_rng(5).standard_normal(len(TIMES)))
        climb, fast = smooth(log), (TIMES > 2.5) & (TIMES < 8.0)
        assert np.abs(read - height)[fast].max() > 15.0
        assert np.abs(climb.heights_m - height)[fast].max() < 6.0
        assert np.abs(climb.speeds_m_s - speed)[fast].max() < 1.5


def test_rows_that_each_smoothed_row_stands_for_are_meant_and_as_many_stay_as_they_are():
    known, values = np.arange(5.0), np.column_stack([np.arange(5.0), 10.0 * np.arange(5.0)])
    assert leaning._meant(known, values, known) is values
    # Two rows for each; the last one stands for nothing.
    assert leaning._meant(known, values, known[::2][:2]).tolist() == [[0.5, 5.0], [2.5, 25.0]]


def test_a_lean_is_as_sure_as_the_attitude_in_the_plane_that_it_leans_in():
    """Known to 0.03 rad about east, to 0.04 about north; upright, to the root of their mean square."""
    spreads = np.zeros((3, 7, 7))
    spreads[:, 5, 5], spreads[:, 6, 6] = 0.03**2, 0.04**2
    axis = np.array([[0.0, np.sin(0.2), np.cos(0.2)], [np.sin(0.2), 0.0, np.cos(0.2)], [0.0, 0.0, 1.0]])
    states = leaning._States(means=np.zeros((3, 7)), spreads=spreads, passed=np.zeros((3, 2)))
    felt = SimpleNamespace(axis=axis)
    found = leaning._leaning(states, felt, np.zeros((3, 2)))
    assert found.leans_rad == pytest.approx([0.2, 0.2, 0.0], abs=1e-7)
    assert found.lean_sigmas_rad == pytest.approx([0.03, 0.04, np.sqrt((0.03**2 + 0.04**2) / 2)])
