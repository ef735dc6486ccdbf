"""When it left the pad, by the accelerometer or by the barometer alone."""

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.flown.noise import reading_noise

FEWEST_ON_PAD = 8
_LEAST_PUSH_M_S2 = 5.0
"""Felt above the weight; the kick of a hand or the wind pushes less, or not for long."""
_LEAST_SPEED_M_S = 5.0
"""Gained in the window: a knock on the pad gains none."""
_WINDOW_S = 0.5
_LEAST_RISE_M = 8.0
_FIRST_RISE_M = 25.0


def lift_off_felt(times_s: NDArray[np.float64], axial_m_s2: NDArray[np.float64]) -> Estimate | None:
    r"""When the accelerometer began to feel the push that made it leave.

    .. math::  \int_t^{t + 0.5\,\mathrm{s}} (a - a_0)\,dt \ge 5\ \mathrm{m/s}

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    axial_m_s2 : ndarray, shape (n,)
        Felt along the axis to the tip; one g on the pad [m/s^2].

    Returns
    -------
    time : Estimate or None
        On the clock of the times [s]; between two rows. ``None`` where no push made it leave.

    Raises
    ------
    OutsideRange
        If fewer than eight rows stand before it: the recorder woke up in flight.

    Notes
    -----
    Holds for pushes of half a g above the weight and more. What the pad felt before is the median of
    the rows before. Off by the rise of the thrust, some hundredths of a second.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> times = np.arange(0.0, 3.0, 0.01)
    >>> felt = np.where(times < 1.0, 9.81, 60.0) + 0.01 * np.sin(300.0 * times)
    >>> lift_off_felt(times, felt).high
    1.0
    """
    known = np.isfinite(axial_m_s2)
    times, felt = times_s[known], axial_m_s2[known]
    if len(times) < FEWEST_ON_PAD:
        return None
    rest = _rest(felt)
    pushes = felt - rest
    speed = np.concatenate([[0.0], np.cumsum(0.5 * (pushes[1:] + pushes[:-1]) * np.diff(times))])
    later = np.interp(times + _WINDOW_S, times, speed)
    leaves = (pushes > _LEAST_PUSH_M_S2) & (later - speed > _LEAST_SPEED_M_S)
    if not leaves.any():
        return None
    first = int(np.argmax(leaves))
    if first < FEWEST_ON_PAD:
        raise OutsideRange(f"{first} rows before lift-off: {FEWEST_ON_PAD} on the pad are needed")
    quiet = 4.0 * reading_noise(felt[: max(first, FEWEST_ON_PAD)])
    while first > FEWEST_ON_PAD and pushes[first - 1] > max(quiet, 0.2 * _LEAST_PUSH_M_S2):
        first -= 1
    return _between(float(times[first - 1]), float(times[first]), "accelerometer")


def lift_off_risen(times_s: NDArray[np.float64], heights_m: NDArray[np.float64]) -> Estimate | None:
    r"""When the climb began, from how the first metres of it grew.

    .. math::  \sqrt{h} = \sqrt{a / 2}\; (t - t_0)

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    heights_m : ndarray, shape (n,)
        Heights by the barometer, from any zero [m].

    Returns
    -------
    time : Estimate or None
        On the clock of the times [s]. ``None`` where it never rose by 8 m.

    Raises
    ------
    OutsideRange
        If fewer than eight rows stand before it: the recorder woke up in flight.

    Notes
    -----
    Holds for a thrust that is even over the first 25 m. A barometer that lags tells it late; the low end
    allows for 0.3 s.

    References
    ----------
    .. [1] Motion at even acceleration; any text on mechanics.

    Examples
    --------
    >>> times = np.arange(0.0, 4.0, 0.05)
    >>> heights = 30.0 * np.maximum(times - 1.0, 0.0) ** 2 + 0.01 * np.sin(300.0 * times)
    >>> round(lift_off_risen(times, heights).value, 1)
    1.0
    """
    known = np.isfinite(heights_m)
    times, heights = times_s[known], heights_m[known]
    if len(times) < FEWEST_ON_PAD:
        return None
    first = _risen(times, heights)
    if first is None:
        return None
    first = max(first, 4)
    zero, noise = float(np.median(heights[:first])), reading_noise(heights[:first])
    # The first metres alone: on the way down it comes through the same heights again.
    risen = np.flatnonzero(heights[first : first + 200] - zero >= _FIRST_RISE_M)
    end = first + max(int(risen[0]) if risen.size else 1, 1)
    start = first
    while start > 1 and heights[start - 1] - zero > 3.0 * noise:
        start -= 1
    span = slice(start, max(end, start + 3))
    slope, at = np.polyfit(times[span], np.sqrt(np.maximum(heights[span] - zero, 0.0)), 1)
    found = -float(at) / float(slope) if slope > 0.0 else float(times[start])
    step = float(np.median(np.diff(times)))
    found = min(max(found, float(times[start]) - 1.0), float(times[start]))
    before = int(np.searchsorted(times, found))
    if before < FEWEST_ON_PAD:
        raise OutsideRange(f"{before} rows before lift-off: {FEWEST_ON_PAD} on the pad are needed")
    return Estimate(
        value=found,
        low=found - 0.3 - step,
        high=found + max(0.1, step),
        known_by=KnownBy.MEASURED,
        method="barometer",
    )


def _risen(times: NDArray[np.float64], heights: NDArray[np.float64]) -> int | None:
    """First row from which the next half second stands clear above the rows before."""
    count = max(FEWEST_ON_PAD, int(0.02 * len(times)))
    zero = float(np.median(heights[:count]))
    least = max(_LEAST_RISE_M, 8.0 * reading_noise(heights[:count]))
    above = heights - zero > least
    # A receiver that tells one place a second has no two in half of one.
    window_s = max(_WINDOW_S, 1.5 * float(np.median(np.diff(times))))
    lasting = np.minimum(np.searchsorted(times, times + window_s), len(times) - 1)
    total = np.concatenate([[0], np.cumsum(above)])
    span = np.arange(len(times))
    share = (total[lasting + 1] - total[span]) / (lasting + 1 - span)
    leaves = above & (share > 0.9) & (lasting > span)
    return int(np.argmax(leaves)) if leaves.any() else None


def _rest(felt: NDArray[np.float64]) -> float:
    """Say what the first rows felt; one g where they feel something else than a body at rest does."""
    told = float(np.median(felt[:FEWEST_ON_PAD]))
    return told if 0.5 < told / STANDARD_GRAVITY_M_S2 < 1.5 else STANDARD_GRAVITY_M_S2


def _between(low: float, high: float, method: str) -> Estimate:
    return Estimate(value=0.5 * (low + high), low=low, high=high, known_by=KnownBy.MEASURED, method=method)
