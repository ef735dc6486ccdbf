"""Steps from a log to what happened, each on rows few enough to count."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.statistics import NINETY
from finial.flown import events, lean, leaning, noise, turning
from finial.flown.happening import Certainty, Seen


def climb(times, heights, speeds=None, *, felt=True, sigma=0.1):
    times, heights = np.array(times, dtype=float), np.array(heights, dtype=float)
    speeds = np.gradient(heights, times) if speeds is None else np.array(speeds, dtype=float)
    return SimpleNamespace(
        times_s=times,
        heights_m=heights,
        speeds_m_s=speeds,
        accelerations_m_s2=np.full(len(times), -10.0),
        height_sigmas_m=np.full(len(times), sigma),
        speed_sigmas_m_s=np.full(len(times), sigma),
        felt=felt,
    )


def ends(time):
    return time.low, time.value, time.high


def test_the_median_of_five_passes_over_single_rows():
    assert events._calm(np.array([1.0, 2.0, 90.0, 3.0, 4.0, 5.0])).tolist() == [1.0, 2.0, 3.0, 4.0, 5.0, 5.0]


def test_the_rail_ends_between_two_rows_by_the_climb():
    """Pad at 1 m: 3 m are reached half between the rows at 0.4 s, 3 m, and 0.6 s, 5 m."""
    one = climb([-0.4, -0.2, 0.0, 0.2, 0.4, 0.6, 0.8], [0.9, 1.1, 1.0, 1.5, 3.0, 5.0, 8.0])
    (found,) = events._rail_exit(one, 3.0)
    # Speed there 12.5 m/s: 1.645 * 0.1 / 12.5 is less than a step of 0.2 s.
    assert ends(found.time) == pytest.approx((0.3, 0.5, 0.7))
    assert (found.kind, found.height_m, found.certainty) == (
        Seen.RAIL_EXIT,
        pytest.approx(4.0),
        Certainty.LIKELY,
    )
    one.felt, one.height_sigmas_m = False, np.full(7, 5.0)
    (vague,) = events._rail_exit(one, 3.0)
    assert ends(vague.time)[2] - 0.5 == pytest.approx(NINETY * 5.0 / 12.5)
    assert vague.certainty is Certainty.HINT
    assert events._rail_exit(one, 7.5) == []
    # Without rows before lift-off the pad is at nothing.
    assert events._on_pad(climb([0.0, 1.0], [5.0, 6.0])) == 0.0


def felt(times, axial, across=0.0):
    times, axial = np.array(times, dtype=float), np.array(axial, dtype=float)
    return SimpleNamespace(
        times_s=times,
        axial_m_s2=axial,
        sizes_m_s2=np.hypot(axial, across),
        saturated=np.zeros(len(times), dtype=bool),
        has_heights=True,
    )


def test_the_rail_ends_where_the_push_has_lifted_it_so_far():
    """Forty over what was felt on the pad, from the first row on: 20 t^2, three metres at 0.387 s."""
    times = np.arange(-50, 101) / 100
    one = felt(times, np.where(times < 0.0, 10.0, 50.0))
    (found,) = events._rail_exit_felt(one, None, 3.0)
    time = found.time.value
    assert time == pytest.approx(math.sqrt(3.0 / 20.0) - 0.005, abs=1e-3)
    assert found.time.high - time == pytest.approx(0.01 + 0.02 * time)
    assert (found.height_m, found.speed_m_s) == (3.0, pytest.approx(40.0 * (time + 0.005), abs=0.05))
    assert events._rail_exit_felt(one, None, 25.0) == []
    # Where it felt more than it tells, the climb decides.
    one.saturated[60] = True
    fallen_back = events._rail_exit_felt(one, climb([-1.0, 0.5, 1.0], [0.0, 2.0, 4.0]), 3.0)
    assert fallen_back[0].time.value == pytest.approx(0.75)


def test_burnout_is_where_the_push_falls_through_nothing():
    """Sixty until 1 s, five to 1.1 s, then minus two: weak from 1.02 s, through nothing at 1.12 s."""
    times = np.arange(0, 200) / 50
    one = felt(times, np.select([times < 1.01, times < 1.11], [60.0, 5.0], -2.0))
    found = events._burnout_felt(one)
    assert ends(found) == pytest.approx((1.02 - 0.02, 1.12, 1.12 + 0.05))
    assert events._burnout_felt(felt(times, np.full(200, 60.0))) is None
    assert events._burnout_felt(felt(times[:4], [60.0, 5.0, -2.0, -2.0])) is None
    # Without any felt it is where it is fastest, from 0.2 s before to 0.4 s after.
    blind = felt(times, np.full(200, np.nan))
    fastest = events._burnout(
        blind, climb([0.0, 1.0, 2.0, 3.0], [0.0, 10.0, 40.0, 50.0], [0.0, 20.0, 30.0, 5.0])
    )
    assert ends(fastest.time) == pytest.approx((1.8, 2.0, 2.4))
    assert fastest.certainty is Certainty.HINT
    told = events._burnout(one, climb(times, times))
    assert told.certainty is Certainty.SURE
    one.has_heights = False
    assert events._burnout(one, climb(times, times)).certainty is Certainty.LIKELY


def test_the_top_is_where_the_speed_falls_through_nothing():
    """Six up at 4 s, two down at 5 s: three quarters of the way."""
    one = climb([0, 1, 2, 3, 4, 5, 6], [0, 20, 36, 48, 56, 58, 52], [20, 18, 14, 10, 6, -2, -8])
    found = events._apogee(one, 1.0)
    # 1.645 * 0.1 / 10 is less than half a step.
    assert ends(found.time) == pytest.approx((4.25, 4.75, 5.25))
    assert found.certainty is Certainty.SURE
    assert found.height_m == pytest.approx(57.5)
    one.felt, one.speed_sigmas_m_s, one.accelerations_m_s2 = False, np.full(7, 3.0), np.full(7, 1.0)
    vague = events._apogee(one, 1.0)
    assert vague.certainty is Certainty.LIKELY
    assert vague.time.high - 4.75 == pytest.approx(NINETY * 3.0 / 3.0)
    assert events._apogee(one, 5.0) is None
    assert events._apogee(climb([0, 1, 2], [0, 1, 2], [1, 1, 1]), 0.0) is None
    assert events._apogee(climb([0, 1, 2], [2, 1, 0], [-1, -1, -1]), -1.0) is None


def landing(fall=5.0, rest=0.2, noise_m=0.1, end_speed=0.0):
    """Falls from 50 m at 10 s; down, within two metres of rest, near 20 s."""
    times = np.arange(0.0, 30.0, 0.1)
    heights = np.maximum(50.0 - fall * np.maximum(times - 10.0, 0.0), 0.0) + rest * (times % 0.2 > 0.05)
    one = climb(times, heights, sigma=noise_m)
    one.speeds_m_s = np.where(times > 27.5, end_speed, np.where(times < 20.0, -fall, 0.0))
    return one


def test_it_has_landed_once_it_stays_within_two_metres_of_where_it_rests():
    found = events._landing(landing(), 10.0)
    # Above 2 m until 19.6 s; at 5 m/s a metre more takes 0.2 s, and two metres either way 0.4 s.
    assert found.time.value == pytest.approx(19.6 + 0.2, abs=0.11)
    assert found.time.high - found.time.value == pytest.approx(2.0 / 5.0)
    assert found.kind is Seen.LANDING
    # Noise of a metre makes three of two.
    assert events._landing(landing(noise_m=1.0), 10.0).time.high - events._landing(
        landing(noise_m=1.0), 10.0
    ).time.value == pytest.approx(3.0 / 5.0)
    assert events._landing(landing(rest=4.5), 10.0) is None
    assert events._landing(landing(end_speed=-0.9), 10.0) is not None
    assert events._landing(landing(end_speed=-1.1), 10.0) is None
    assert events._landing(landing(), 25.0) is None


def separated(kick, at=5.0, before=2.0, *, missing=()):
    times = np.arange(0.0, 10.0, 0.1).round(6)
    sizes = np.where(np.abs(times - at) < 0.05, kick, before)
    sizes[list(missing)] = np.nan
    one = SimpleNamespace(times_s=times, sizes_m_s2=sizes)
    return events._separation(one, climb(times, 10.0 * times), 1.0, 9.0)


def test_the_first_kick_of_two_g_over_what_was_before_parts_it():
    (found,) = separated(22.1)
    assert ends(found.time) == pytest.approx((4.85, 4.95, 5.05))
    assert found.certainty is Certainty.LIKELY
    assert separated(21.9) == []
    assert separated(30.0, before=12.0) == []
    # Not within 0.3 s of burnout, not from the landing on, and not right behind a gap.
    assert separated(40.0, at=1.3) == []
    assert separated(40.0, at=9.0) == []
    assert separated(40.0, missing=(45, 46, 47, 48)) == []
    assert len(separated(40.0, missing=(45, 46))) == 1


def test_a_canopy_is_full_within_a_tenth_of_its_fall(monkeypatch):
    times = np.arange(0.0, 10.0, 1.0)
    speeds = np.array([0, -20, -20, -20, -12, -5.6, -5.4, -5.0, -5.0, -5.0])
    fast = SimpleNamespace(end_s=3.0)
    slow = SimpleNamespace(start_s=7.0, end_s=9.0, rate=SimpleNamespace(value=5.0))
    monkeypatch.setattr(events, "slower", lambda pairs: pairs)
    (found,) = events._openings(climb(times, 100.0 - times, speeds), ((fast, slow),))
    assert ends(found.time) == pytest.approx((4.0, 6.0, 8.0))
    never = SimpleNamespace(start_s=3.2, end_s=9.0, rate=SimpleNamespace(value=1.0))
    (found,) = events._openings(climb(times, 100.0 - times, speeds), ((fast, never),))
    assert ends(found.time) == pytest.approx((2.9, 3.2, 3.5))


def test_a_sensor_is_stuck_in_three_rows_at_its_end_far_from_the_middle():
    rows = np.array([0.0, 1.0, 0.0, 16.0, 16.0, 16.0, 0.0, -1.0, -1.0, -1.0])
    assert np.flatnonzero(noise.saturated(rows)).tolist() == [3, 4, 5]
    assert not noise.saturated(np.array([0.0, 16.0, 16.0, 0.0, 1.0])).any()
    low = np.array([0.0, 1.0, 0.5, -16.0, -16.0, -16.0, 0.5])
    assert np.flatnonzero(noise.saturated(low)).tolist() == [3, 4, 5]
    # Half the range from the median counts.
    even = np.array([1.0, 1.0, 1.0, 0.0, -1.0, -1.0, -1.0])
    assert np.flatnonzero(noise.saturated(even)).tolist() == [0, 1, 2, 4, 5, 6]
    assert not noise.saturated(np.full(4, np.nan)).any()
    assert noise.saturated(np.array([15.91, -15.93, 15.0, np.nan]), 16.0).tolist() == [
        False,
        True,
        False,
        False,
    ]


def test_unseen_turning_grows_with_the_square_of_how_long_it_lasts():
    """Thirty degrees a second: after two missing steps of half a second a quarter and three quarters."""
    times = np.array([0.0, 0.5, 1.0, 1.5, 2.0])
    steps = np.diff(times, prepend=0.0)
    found = lean._unseen(times, steps, np.array([False, False, True, True, False]))
    assert found == pytest.approx(np.radians(30.0) ** 2 * np.array([0.0, 0.0, 0.25, 0.75, 0.0]))


def test_small_turns_raise_and_turn_vectors():
    """About east by 0.1: what points north rises; about north: what points east falls."""
    vectors = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.6, 0.8, 0.0]])
    errors = np.array([[0.3, 0.1], [0.1, 0.3], [0.5, 0.25]])
    assert leaning._raised(vectors, errors) == pytest.approx([-0.1, 0.1, 0.4 - 0.15])
    east, north = np.array([[math.pi / 2, 0.0]]), np.array([[0.0, math.pi / 2]])
    up = np.array([[0.0, 0.0, 1.0]])
    assert leaning._turned(up, east) == pytest.approx(np.array([[0.0, -1.0, 0.0]]), abs=1e-12)
    assert leaning._turned(up, north) == pytest.approx(np.array([[1.0, 0.0, 0.0]]), abs=1e-12)
    # About the axis itself nothing turns, and by nothing nothing does.
    assert leaning._turned(np.array([[2.0, 0.0, 0.0]]), east) == pytest.approx(np.array([[2.0, 0.0, 0.0]]))
    assert leaning._turned(up, np.zeros((1, 2))).tolist() == up.tolist()
    # A sixth of a turn about the east takes (1, 1, 0) to (1, 1/2, sqrt(3)/2).
    sixth = leaning._turned(np.array([[1.0, 1.0, 0.0]]), np.array([[math.pi / 3, 0.0]]))
    assert sixth == pytest.approx(np.array([[1.0, 0.5, math.sqrt(0.75)]]))


def test_how_it_stood_on_the_pad_is_what_was_felt_or_the_rail():
    pad = np.array([True, True, True, False])
    one = SimpleNamespace(felt_m_s2=np.array([[8.0, 6.0, 0.0]] * 2 + [[np.nan] * 3, [0.0, 0.0, 90.0]]))
    assert turning._up_on_pad(one, pad, 0.1) == pytest.approx([0.8, 0.6, 0.0])
    by_rail = [math.cos(0.1), math.sin(0.1), 0.0]
    for felt_here in ([4.9, 8.7, 0.0], [0.9, 0.0, 0.0], [np.nan] * 3, [-8.0, 6.0, 0.0]):
        one.felt_m_s2[:3] = felt_here
        assert turning._up_on_pad(one, pad, 0.1) == pytest.approx(by_rail)
    assert turning._up_on_pad(one, np.zeros(4, dtype=bool), 0.1) == pytest.approx(by_rail)


def test_a_slow_bend_is_taken_out_of_what_swings():
    ramp = np.linspace(-1.0, 1.0, 50)
    assert turning._bend(ramp, 2.0 + ramp - 3.0 * ramp**3) == pytest.approx(2.0 + ramp - 3.0 * ramp**3)
    assert abs(turning._bend(ramp, np.sin(40.0 * ramp))).max() < 0.3
