"""Thrust that stops: how fast it falls, and how far the squeezed body springs back."""

import math

import numpy as np
from numpy.typing import ArrayLike

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.bounds import need_between

TAIL_FROM, TAIL_TO = 0.8, 0.1
"""Shares of the mean thrust between which the tail of a burn is timed [-]; chosen."""


def tail_off(times_s: ArrayLike, thrusts_n: ArrayLike) -> tuple[float, float]:
    r"""Time in which a thrust falls away at the end of the burn, and the thrust it falls from.

    .. math::  t_f = \max\{t : F \ge 0.1 \bar F\} - \max\{t : F \ge 0.8 \bar F\}, \qquad F_0 = 0.8 \bar F

    Parameters
    ----------
    times_s, thrusts_n : array_like, shape (n,)
        Thrust curve [s], [N]; straight between its points.

    Returns
    -------
    fall_s : float
        Time [s].
    from_n : float
        Thrust [N].

    Raises
    ------
    OutsideRange
        If times do not rise or there is no thrust.

    Notes
    -----
    Holds for curves that end by falling; one that stops dead falls in no time and springs back whole.

    References
    ----------
    .. [1] Definition; shares chosen.

    Examples
    --------
    >>> fall, last = tail_off([0.0, 0.1, 2.0, 2.2], [0.0, 100.0, 100.0, 0.0])
    >>> round(fall, 3), round(last, 1)
    (0.13, 74.5)
    """
    times, thrusts = np.asarray(times_s, dtype=float), np.asarray(thrusts_n, dtype=float)
    if times.ndim != 1 or times.shape != thrusts.shape or not (np.diff(times) > 0).all():
        raise OutsideRange("a thrust curve needs rising times, one thrust each")
    mean = float(np.trapezoid(thrusts, times)) / float(times[-1] - times[0])
    require_positive(mean_thrust_n=mean)
    high, low = (_last_time(times, thrusts, share * mean) for share in (TAIL_FROM, TAIL_TO))
    return max(low - high, 0.0), TAIL_FROM * mean


def _last_time(times: np.ndarray, thrusts: np.ndarray, level: float) -> float:
    """Last time the thrust stands at a level [s]."""
    last = int(np.flatnonzero(thrusts >= level)[-1])
    if last == times.size - 1:
        return float(times[last])
    share = (thrusts[last] - level) / (thrusts[last] - thrusts[last + 1])
    return float(times[last] + share * (times[last + 1] - times[last]))


def axial_period(axial_stiffness_n: float, length_m: float, mass_kg: float) -> float:
    r"""Period of the first swing of a free body along its axis.

    .. math::  T = 2 L \sqrt{\frac{m}{E A L}}

    Parameters
    ----------
    axial_stiffness_n : float
        Axial stiffness E A [N].
    length_m, mass_kg : float
        Length [m] and mass [kg].

    Returns
    -------
    period_s : float
        Period [s].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for an even bar free at both ends; lumps at the ends lengthen it.

    References
    ----------
    .. [1] Blevins, Formulas for Natural Frequency and Mode Shape, table 8-16; from memory.

    Examples
    --------
    >>> round(axial_period(2.0e6, 1.0, 8.0) * 1e3, 2)
    4.0
    """
    require_positive(axial_stiffness_n=axial_stiffness_n, length_m=length_m, mass_kg=mass_kg)
    return 2 * length_m * math.sqrt(mass_kg / (axial_stiffness_n * length_m))


def rebound_share(fall_s: float, period_s: float) -> float:
    r"""Share of a lost load that swings back the other way.

    .. math::  r = \left| \frac{\sin(\pi t / T)}{\pi t / T} \right|

    Parameters
    ----------
    fall_s : float
        Time in which the load falls to nothing [s].
    period_s : float
        Period of the swing [s].

    Returns
    -------
    share : float
        Amplitude over the load that was lost [-], 0 to 1.

    Raises
    ------
    OutsideRange
        If the period is not above zero or the time negative.

    Notes
    -----
    Holds for a load that falls evenly, without damping; one that stops at once swings back whole.

    References
    ----------
    .. [1] Response to a ramp: Clough and Penzien, Dynamics of Structures, chapter on impulsive loads;
       from memory.

    Examples
    --------
    >>> rebound_share(0.0, 0.004), round(rebound_share(0.002, 0.004), 4)
    (1.0, 0.6366)
    """
    require_positive(period_s=period_s)
    need_between(0.0, 1e6, fall_s=fall_s)
    turn = math.pi * fall_s / period_s
    return abs(math.sin(turn) / turn) if turn else 1.0
