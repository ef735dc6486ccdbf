"""How well the moments of a logged flight are told, on made-up logs whose every row is known."""

import numpy as np
import pytest
from even_climb import LIFT_OFF, TIMES, climb
from numpy.typing import NDArray

from finial.flown.events import happenings
from finial.flown.falls import falls
from finial.flown.happening import LogEvent, Seen
from finial.flown.lift_off import lift_off_felt
from finial.flown.sensed import Sensed


def separations(times: NDArray[np.float64], kick_s: float) -> list[LogEvent]:
    """Separations seen where readings stand at these times, and one at 8 s kicks."""
    felt = np.zeros((len(times), 3))
    felt[:, 0] = np.select([times < 0.0, times <= 1.0], [10.0, 60.0], -0.2)
    felt[np.isclose(times, kick_s), 1] = 60.0
    read = Sensed(
        times_s=times,
        heights_m=np.interp(times, TIMES, climb().heights_m),
        height_noise_m=0.3,
        felt_m_s2=felt,
        felt_noise_m_s2=0.1,
        saturated=np.zeros(len(times), dtype=bool),
        turning_rad_s=np.full((len(times), 3), np.nan),
    )
    return [one for one in happenings(read, climb(), LIFT_OFF, 4.0) if one.kind is Seen.SEPARATION]


@pytest.mark.parametrize(("before_s", "seen"), [((7.6, 7.75, 7.9), 1), ((7.6, 7.9), 0)])
def test_a_kick_is_judged_by_three_readings_of_the_half_second_before(
    before_s: tuple[float, ...], seen: int
) -> None:
    sparse = np.array([*TIMES[TIMES < 7.4], *before_s, 8.0, *TIMES[TIMES > 8.2]])
    assert len(separations(sparse, 8.0)) == seen


def test_a_kick_between_close_readings_is_told_to_a_hundredth_of_a_second() -> None:
    dense = np.sort(np.append(TIMES, [7.996]))
    (found,) = separations(dense, 8.0)
    # Half of the 4 ms since the reading before it, give or take the least.
    assert found.time.value == pytest.approx(7.998)
    assert (found.time.value - found.time.low, found.time.high - found.time.value) == pytest.approx(
        (0.01, 0.01)
    )


def test_the_rate_of_a_fall_is_as_sure_as_the_heights_of_its_ends() -> None:
    """Both ends 3 m off by one sigma: 1.645 times the root of 18 m over the time between them."""
    fast, _ = falls(climb(height_sigma_m=3.0), 6.0, 24.0)
    assert fast.rate.value == pytest.approx(20.0, abs=0.1)
    half = 1.645 * 18.0**0.5 / (fast.end_s - fast.start_s)
    assert fast.rate.high - fast.rate.value == pytest.approx(half, rel=1e-3)
    assert fast.rate.value - fast.rate.low == pytest.approx(half, rel=1e-3)


def test_it_left_between_the_last_reading_at_rest_and_the_first_that_pushes() -> None:
    times = np.arange(0.0, 3.0, 0.01)
    felt = np.where(times < 0.995, 9.81, 60.0) + 0.01 * np.sin(300.0 * times)
    found = lift_off_felt(times, felt)
    assert found is not None
    assert (found.low, found.high) == pytest.approx((0.99, 1.0))
