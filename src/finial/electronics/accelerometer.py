"""What an accelerometer makes of a flight, and when a computer that trusts it takes the top for reached."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange

_TOWARD = (0.0, 0.5 * math.pi, math.pi, 1.5 * math.pi)
"""Sides to which its axis may lean [rad]."""
_STEP_S = 1e-3
"""Between two readings in which a threshold is looked for [s]; computers read ten times as slowly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accelerometer:
    """How far one may be off.

    Raises
    ------
    OutsideRange
        If its range is not positive, or its offset or tilt is negative.
    """

    range_m_s2: float
    """Beyond this it reads no more."""
    offset_m_s2: float = 0.0
    """What it shows at rest beside gravity, either way."""
    tilt_rad: float = 0.0
    """Between its axis and the vehicle's."""

    def __post_init__(self) -> None:
        """Refuse what no accelerometer is."""
        require_positive(range_m_s2=self.range_m_s2)
        require_not_negative(offset_m_s2=self.offset_m_s2, tilt_rad=self.tilt_rad)


def largest_felt(felt_m_s2: NDArray[np.float64], tilt_rad: float) -> float:
    r"""Largest acceleration along an axis that may lean to any side.

    .. math::  \max_i \left( |a_x| \cos \delta + \sqrt{a_y^2 + a_z^2} \, \sin \delta \right)_i

    Parameters
    ----------
    felt_m_s2 : ndarray, shape (n, 3)
        Felt by the body, without gravity, body axes [m/s^2].
    tilt_rad : float
        Between the axis and the vehicle's, :math:`\delta` [rad].

    Returns
    -------
    largest : float
        Either way along the axis [m/s^2].

    Notes
    -----
    Exact for a rigid body; what a charge or a cord does to the sled is not in it. Range: 0 to a quarter turn.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(largest_felt(np.array([[30.0, 40.0, 0.0]]), 0.0), 6)
    30.0
    """
    along, across = np.abs(felt_m_s2[:, 0]), np.hypot(felt_m_s2[:, 1], felt_m_s2[:, 2])
    return float((along * math.cos(tilt_rad) + across * math.sin(tilt_rad)).max())


def longest_held(
    times_s: NDArray[np.float64], felt_m_s2: NDArray[np.float64], told: Accelerometer, held_s: float
) -> float:
    r"""Largest acceleration that an accelerometer shows without a break for some time, at its worst.

    .. math::  \max_t \min_{t \le \tau \le t + T} \mathrm{min}(a_x \cos \delta - a_\perp \sin \delta - b,\; r)

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        From lift-off to the top [s].
    felt_m_s2 : ndarray, shape (n, 3)
        Felt by the body, without gravity, body axes [m/s^2].
    told : Accelerometer
        Range :math:`r`, offset :math:`b` and tilt :math:`\delta` of its axis.
    held_s : float
        How long, :math:`T` [s].

    Returns
    -------
    acceleration : float
        Least that it may show through the best of all such times; 0 where the flight is no longer than that
        [m/s^2].

    Raises
    ------
    OutsideRange
        If the time is not positive.

    Notes
    -----
    Read every millisecond, straight lines between the steps of the flight. Range: rigid bodies; the ring of a
    sled or a burning motor is not in it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    50 m/s^2 for two seconds, then nothing: held for one second, not for three.

    >>> times = np.array([0.0, 2.0, 2.001, 10.0])
    >>> felt = np.array([50.0, 50.0, 0.0, 0.0])[:, None] * np.array([1.0, 0.0, 0.0])
    >>> good = Accelerometer(range_m_s2=500.0)
    >>> [round(longest_held(times, felt, good, held), 6) for held in (1.0, 3.0)]
    [50.0, 0.0]
    """
    held = _held(*_every_millisecond(times_s, _least_shown(felt_m_s2, told)), held_s)
    return float(held.max()) if held.size else 0.0


def first_held(
    times_s: NDArray[np.float64], felt_m_s2: NDArray[np.float64], over_m_s2: float, held_s: float
) -> float | None:
    r"""When an acceleration along the axis has been exceeded without a break for some time.

    .. math::  \min \{ t : a_x(\tau) \ge a_0,\; t - T \le \tau \le t \}

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        From lift-off to the top [s].
    felt_m_s2 : ndarray, shape (n, 3)
        Felt by the body, without gravity, body axes [m/s^2].
    over_m_s2 : float
        Threshold, :math:`a_0` [m/s^2].
    held_s : float
        How long it must be exceeded, :math:`T` [s].

    Returns
    -------
    time : float or None
        After the first of the times [s]; ``None`` where that never happens.

    Raises
    ------
    OutsideRange
        If the time is not positive.

    Notes
    -----
    Of an accelerometer without errors. Range: rigid bodies.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> times = np.array([0.0, 0.5, 0.501, 2.0])
    >>> felt = np.array([10.0, 10.0, 50.0, 50.0])[:, None] * np.array([1.0, 0.0, 0.0])
    >>> round(first_held(times, felt, 30.0, 0.25), 2), first_held(times, felt, 60.0, 0.25)
    (0.75, None)
    """
    grid, read = _every_millisecond(times_s, felt_m_s2[:, 0])
    held = np.flatnonzero(_held(grid, read, held_s) >= over_m_s2)
    return None if held.size == 0 else float(grid[held[0]] - grid[0] + held_s)


def longest_knock(over_m_s2: float, drop_m: float) -> float:
    r"""How long a knock on a vehicle that stands may hold an upright accelerometer over a threshold.

    .. math::  T = \frac{2 \sqrt{2 g h}}{a_0 - g}

    Parameters
    ----------
    over_m_s2 : float
        Threshold, gravity's own pull on the pad counted, :math:`a_0` [m/s^2].
    drop_m : float
        Height from which a drop is as hard a knock, :math:`h` [m].

    Returns
    -------
    time : float
        Without a break; infinity for a threshold that standing still exceeds [s].

    Raises
    ------
    OutsideRange
        If the height is negative.

    Notes
    -----
    Most that the speed changes as it comes down and springs back as fast; nothing springs back whole. However
    hard the knock is, it has no more than that. Range: one knock; a rail that rings on is not in it.

    References
    ----------
    .. [1] Momentum, free fall, and Newton's law of restitution with coefficient 1.

    Examples
    --------
    >>> round(longest_knock(3 * STANDARD_GRAVITY_M_S2, 0.2), 2), longest_knock(9.0, 0.2)
    (0.2, inf)
    """
    require_not_negative(drop_m=drop_m)
    spare = over_m_s2 - STANDARD_GRAVITY_M_S2
    return math.inf if spare <= 0.0 else 2.0 * math.sqrt(2.0 * STANDARD_GRAVITY_M_S2 * drop_m) / spare


def _least_shown(felt_m_s2: NDArray[np.float64], told: Accelerometer) -> NDArray[np.float64]:
    """Return the least it may show [m/s^2], its axis leaning to any side and its offset against it."""
    across = np.hypot(felt_m_s2[:, 1], felt_m_s2[:, 2])
    least = felt_m_s2[:, 0] * math.cos(told.tilt_rad) - across * math.sin(told.tilt_rad) - told.offset_m_s2
    return np.minimum(least, told.range_m_s2)


def _every_millisecond(
    times_s: NDArray[np.float64], read: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    grid = np.arange(float(times_s[0]), float(times_s[-1]) + 0.5 * _STEP_S, _STEP_S)
    return grid, np.interp(grid, times_s, read)


def _held(grid_s: NDArray[np.float64], read: NDArray[np.float64], held_s: float) -> NDArray[np.float64]:
    """Least reading from each time on for as long; empty where none is followed for so long."""
    require_positive(held_s=held_s)
    rows = math.ceil(held_s / _STEP_S - 1e-9) + 1
    if rows > len(grid_s):
        return np.empty(0)
    return np.lib.stride_tricks.sliding_window_view(read, rows).min(axis=1)


def top_by_felt(
    times_s: NDArray[np.float64], felt_m_s2: NDArray[np.float64], told: Accelerometer
) -> tuple[float, float]:
    r"""Time after the top at which an accelerometer takes it for reached, earliest and latest.

    .. math::  v(t) = \int_0^t \left( \mathrm{clip}(a \cdot e_\delta, \pm r) \pm b - g \right) dt,
               \qquad v(t_0) = 0

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        From lift-off to the top [s].
    felt_m_s2 : ndarray, shape (n, 3)
        Felt by the body, without gravity, body axes [m/s^2].
    told : Accelerometer
        Range :math:`r`, offset :math:`b` and tilt :math:`\delta` of its axis :math:`e_\delta`.

    Returns
    -------
    earliest, latest : float
        After the top; before it below zero [s].

    Raises
    ------
    OutsideRange
        If there are fewer than two times, or the offset reaches gravity: then it never ends.

    Notes
    -----
    Holds for computers that add up one axis and take all of gravity off it: on a flight that leans this alone
    is early. Beyond the top it is taken to fall freely, nothing out. Range: rigid bodies.

    References
    ----------
    .. [1] Newton's second law, trapezoidal rule.

    Examples
    --------
    Straight up, 50 m/s^2 felt for two seconds, then nothing: at the top after 10.2 s, by either of both ends
    of an offset of a hundredth of gravity 0.1 s early or late.

    >>> times = np.linspace(0.0, 100.0 / STANDARD_GRAVITY_M_S2, 5001)
    >>> felt = np.where(times < 2.0, 50.0, 0.0)[:, None] * np.array([1.0, 0.0, 0.0])
    >>> slightly = Accelerometer(range_m_s2=500.0, offset_m_s2=0.01 * STANDARD_GRAVITY_M_S2)
    >>> [round(after, 1) for after in top_by_felt(times, felt, slightly)]
    [-0.1, 0.1]
    """
    if len(times_s) < 2:
        raise OutsideRange("no flight to add up: give two times or more")
    if told.offset_m_s2 >= STANDARD_GRAVITY_M_S2:
        raise OutsideRange(
            f"an offset of {told.offset_m_s2} m/s2 is gravity itself: 0.05 g rather than 0.5 m?"
        )
    found = [
        _reached(times_s, _read(felt_m_s2, told, toward, offset), offset)
        for toward in _TOWARD
        for offset in (-told.offset_m_s2, told.offset_m_s2)
    ]
    return min(found), max(found)


def _read(
    felt_m_s2: NDArray[np.float64], told: Accelerometer, toward_rad: float, offset_m_s2: float
) -> NDArray[np.float64]:
    """Return what it shows [m/s^2] with its axis leaning to one side."""
    lean = math.sin(told.tilt_rad)
    axis = np.array([math.cos(told.tilt_rad), lean * math.cos(toward_rad), lean * math.sin(toward_rad)])
    return np.clip(felt_m_s2 @ axis, -told.range_m_s2, told.range_m_s2) + offset_m_s2


def _reached(times_s: NDArray[np.float64], read: NDArray[np.float64], offset_m_s2: float) -> float:
    """Time after the last one at which the speed it adds up is used up [s]."""
    gains = 0.5 * (read[1:] + read[:-1]) * np.diff(times_s) - STANDARD_GRAVITY_M_S2 * np.diff(times_s)
    speeds = np.concatenate([[0.0], np.cumsum(gains)])
    fastest = int(np.argmax(speeds))
    below = np.flatnonzero(speeds[fastest:] <= 0.0)
    if below.size == 0:
        return float(speeds[-1]) / (STANDARD_GRAVITY_M_S2 - offset_m_s2)
    at = fastest + int(below[0])
    if at == 0:
        return float(times_s[0] - times_s[-1])
    share = float(speeds[at - 1] / (speeds[at - 1] - speeds[at]))
    return float(times_s[at - 1] + share * (times_s[at] - times_s[at - 1]) - times_s[-1])
