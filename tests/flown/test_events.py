"""What happened in a flight whose every moment is known: even push, even fall, corners where they are put."""

from dataclasses import replace

import numpy as np
import pytest
from even_climb import LIFT_OFF, STEP_S, TIMES, climb

from finial.flown.events import happenings
from finial.flown.falls import falls, slower
from finial.flown.happening import Certainty, Seen
from finial.flown.sensed import Sensed


def sensed(*, axial=True, heights=True, kick=8.0, size=60.0):
    """One g on the pad, six in the push, a little drag after it, and one kick."""
    felt = np.full((len(TIMES), 3), np.nan)
    if axial:
        felt[:] = 0.0
        felt[:, 0] = np.select([TIMES < 0.0, TIMES <= 1.0], [10.0, 60.0], -0.2)
        felt[np.abs(TIMES - kick) < 0.5 * STEP_S, 1] = size
    return Sensed(
        times_s=TIMES,
        heights_m=climb().heights_m if heights else np.full(len(TIMES), np.nan),
        height_noise_m=0.3,
        felt_m_s2=felt,
        felt_noise_m_s2=0.1,
        saturated=np.zeros(len(TIMES), dtype=bool),
        turning_rad_s=np.full((len(TIMES), 3), np.nan),
    )


def told(read=None, smooth=None, rail_m=4.0):
    return {one.kind: one for one in happenings(read or sensed(), smooth or climb(), LIFT_OFF, rail_m)}


def test_every_moment_is_found_where_it_was_put() -> None:
    found = happenings(sensed(), climb(), LIFT_OFF, 4.0)
    times = [(one.kind, one.time.value) for one in found]
    assert [kind for kind, _ in times] == [
        *(Seen.LIFT_OFF, Seen.RAIL_EXIT, Seen.BURNOUT, Seen.APOGEE),
        *(Seen.SEPARATION, Seen.CANOPY_FULL, Seen.LANDING),
    ]
    # 4 m at 50 m/s^2; 25 m and 125 m up; down 5.5 m/s after 14.5 of the 15 m/s.
    assert [time for _, time in times] == pytest.approx([0.0, 0.4, 1.02, 6.0, 7.99, 11.49, 24.05], abs=0.03)


def test_what_is_told_beside_a_moment_is_read_there() -> None:
    found = told()
    assert found[Seen.APOGEE].height_m == pytest.approx(150.0, abs=0.1)
    assert found[Seen.APOGEE].speed_m_s == pytest.approx(0.0, abs=0.05)
    assert found[Seen.RAIL_EXIT].height_m == 4.0
    assert found[Seen.RAIL_EXIT].speed_m_s == pytest.approx(20.0, abs=0.6)
    assert found[Seen.SEPARATION].height_m == pytest.approx(130.0, abs=0.3)
    assert found[Seen.BURNOUT].speed_m_s == pytest.approx(50.0, abs=0.3)


def test_every_moment_has_its_doubt() -> None:
    halves = {kind: one.time.half_width for kind, one in told().items()}
    # A row and 2 % of the time; nine in ten of 0.2 m/s over 10 m/s^2; one row; 2 m at 5 m/s.
    assert halves[Seen.RAIL_EXIT] == pytest.approx(0.02 + 0.02 * 0.4, abs=1e-3)
    assert halves[Seen.APOGEE] == pytest.approx(1.645 * 0.2 / 10.0, abs=1e-3)
    assert halves[Seen.SEPARATION] == pytest.approx(0.02, abs=1e-6)
    assert halves[Seen.LANDING] == pytest.approx(0.4, abs=1e-3)
    assert halves[Seen.CANOPY_FULL] == pytest.approx(0.3, abs=1e-3)
    burnout = told()[Seen.BURNOUT].time
    assert burnout.value - burnout.low == pytest.approx(0.02, abs=1e-6)
    assert burnout.high - burnout.value == pytest.approx(0.05, abs=1e-6)


def test_two_sensors_make_sure_what_one_makes_likely() -> None:
    both = told()
    sure = {kind for kind, one in both.items() if one.certainty is Certainty.SURE}
    assert sure == {Seen.LIFT_OFF, Seen.BURNOUT, Seen.APOGEE}
    alone = told(sensed(heights=False))
    assert alone[Seen.LIFT_OFF].certainty is alone[Seen.BURNOUT].certainty is Certainty.LIKELY
    barometer = told(sensed(axial=False), climb(felt=False))
    assert barometer[Seen.APOGEE].certainty is barometer[Seen.LIFT_OFF].certainty is Certainty.LIKELY
    assert barometer[Seen.BURNOUT].certainty is barometer[Seen.RAIL_EXIT].certainty is Certainty.HINT
    assert Seen.SEPARATION not in barometer


def test_without_a_felt_push_the_fastest_moment_counts_and_the_rail_is_read_off_the_climb() -> None:
    found = told(sensed(axial=False), climb(felt=False))
    burnout, leaves = found[Seen.BURNOUT].time, found[Seen.RAIL_EXIT]
    assert (burnout.low, burnout.value, burnout.high) == pytest.approx((0.8, 1.0, 1.4))
    assert leaves.time.value == pytest.approx(0.4, abs=0.01)
    # Nine in ten of 0.3 m at the 21 m/s of the row that is past it.
    assert leaves.time.half_width == pytest.approx(1.645 * 0.3 / 21.0, abs=1e-4)
    assert Seen.RAIL_EXIT not in told(sensed(axial=False), climb(felt=False), rail_m=200.0)
    assert Seen.RAIL_EXIT not in told(rail_m=5000.0)
    assert Seen.RAIL_EXIT not in told(rail_m=None)


def test_a_saturated_push_is_not_summed_up() -> None:
    full = replace(sensed(), saturated=(TIMES > 0.0) & (TIMES < 1.0))
    leaves = told(full)[Seen.RAIL_EXIT]
    assert leaves.time.half_width == pytest.approx(1.645 * 0.3 / 21.0, abs=1e-4)
    assert leaves.certainty is Certainty.LIKELY


@pytest.mark.parametrize(
    ("kick", "size", "seen"),
    [(8.0, 20.5, True), (8.0, 19.5, False), (1.2, 60.0, False), (1.9, 60.0, True), (24.1, 60.0, False)],
)
def test_a_kick_of_two_g_between_burnout_and_landing_parts_it(kick, size, seen) -> None:
    assert (Seen.SEPARATION in told(sensed(kick=kick, size=size))) is seen


def test_nothing_lands_that_still_falls_and_nothing_peaks_that_still_climbs() -> None:
    smooth = climb()
    cut = smooth.times_s < 20.0
    falling = _cut(smooth, cut)
    found = told(_read(sensed(), cut), falling)
    assert Seen.LANDING not in found
    assert {Seen.APOGEE, Seen.SEPARATION, Seen.CANOPY_FULL} <= set(found)
    climbing = smooth.times_s < 5.0
    assert set(told(_read(sensed(), climbing), _cut(smooth, climbing))) == {
        Seen.LIFT_OFF,
        Seen.RAIL_EXIT,
        Seen.BURNOUT,
    }


def _cut(smooth, rows):
    arrays = ("times_s", "heights_m", "speeds_m_s", "accelerations_m_s2", "height_sigmas_m")
    arrays += ("speed_sigmas_m_s", "acceleration_sigmas_m_s2")
    return replace(smooth, **{name: getattr(smooth, name)[rows] for name in arrays})


def _read(read, rows):
    arrays = ("times_s", "heights_m", "felt_m_s2", "saturated", "turning_rad_s")
    return replace(read, **{name: getattr(read, name)[rows] for name in arrays})


def test_steady_falls_have_their_ends_and_their_rates() -> None:
    fast, slow = falls(climb(), 6.0, 24.0)
    assert (fast.start_s, fast.end_s) == pytest.approx((8.0, 11.0), abs=0.05)
    assert (slow.start_s, slow.end_s) == pytest.approx((11.5, 23.98), abs=0.05)
    assert (fast.rate.value, slow.rate.value) == pytest.approx((20.0, 5.0), abs=0.01)
    # Two of 0.3 m over three seconds; 2 % where that is more.
    assert fast.rate.half_width == pytest.approx(0.4, abs=1e-2)
    assert slow.rate.half_width == pytest.approx(max(1.645 * 0.3 * 2**0.5 / 12.48, 0.1), abs=1e-3)
    assert (fast.from_m, fast.to_m, fast.middle_m) == pytest.approx((130.0, 70.0, 100.0), abs=1.0)
    assert slower((fast, slow)) == ((fast, slow),)
    assert slower((slow, fast)) == ()


def test_a_gust_between_falls_of_one_rate_joins_them_and_a_long_one_does_not() -> None:
    def gust(long_s, faster=0.0):
        smooth = climb()
        shaken = (TIMES >= 15.0) & (TIMES < 15.0 + long_s)
        after = (TIMES >= 15.0 + long_s) & (TIMES < 24.25)
        speeds = np.where(after, smooth.speeds_m_s - faster, smooth.speeds_m_s)
        waves = np.where(shaken, 2.0, smooth.accelerations_m_s2)
        return falls(replace(smooth, speeds_m_s=speeds, accelerations_m_s2=waves), 6.0, 24.0)

    assert [len(gust(2.0)), len(gust(2.6))] == [2, 3]
    assert [len(gust(1.0, 1.2)), len(gust(1.0, 1.3))] == [2, 3]
