"""The least of something that is enough."""

import math
from collections.abc import Callable

from finial.core.errors import NotConverged, OutsideRange

_SPARE = 1
"""Questions that may be asked beyond those of halving."""
_PULL = 0.2
"""How far the chord's root is pulled to the middle, as a share of the interval, at its first width."""
_Known = tuple[float, float]
"""A value, and what is to spare there."""


def least_enough(
    spare: Callable[[float], float], low: float, high: float, tolerance: float
) -> tuple[float, int]:
    r"""Smallest value with nothing missing, where more is never worse.

    .. math::  \min \{ x \in [a, b] : g(x) \ge 0 \}, \quad g\ \text{rising}

    Parameters
    ----------
    spare : callable
        What is to spare at a value, :math:`g`; negative where something is missing.
    low, high : float
        Where to look, :math:`a < b`.
    tolerance : float
        How far above the smallest the answer may lie, in the value's unit.

    Returns
    -------
    value : float
        Enough at this very value: the upper end of the last interval.
    evaluations : int
        How often ``spare`` was asked.

    Raises
    ------
    OutsideRange
        If the interval is empty or even its high end is not enough.
    NotConverged
        If ``spare`` answers with something that is no number.

    Notes
    -----
    Chords pulled towards the middle (ITP): fewer questions than halving where :math:`g` is smooth,
    at most one more where it is not. Where :math:`g` does not rise, the answer is enough but need not
    be the smallest.

    References
    ----------
    .. [1] Oliveira and Takahashi, ACM Trans. Mathematical Software 47 (2020) 5; from memory.

    Examples
    --------
    >>> value, _ = least_enough(lambda x: x * x - 2.0, 0.0, 2.0, 1e-6)
    >>> round(value, 5)
    1.41421
    """
    if not (low < high and tolerance > 0.0):
        raise OutsideRange(f"from {low} to {high} to {tolerance}: give a low end below a high one")
    top = _asked(spare, high)
    if top < 0.0:
        raise OutsideRange(f"even {high:g} is not enough: {-top:.3g} is still missing")
    bottom = _asked(spare, low)
    if bottom >= 0.0:
        return low, 2
    return _narrowed(spare, (low, bottom), (high, top), tolerance)


def _narrowed(
    spare: Callable[[float], float], less: _Known, enough: _Known, tolerance: float
) -> tuple[float, int]:
    """Close in from both ends, after at most ``_SPARE`` questions more than halving needs."""
    asked, first = 2, enough[0] - less[0]
    most = math.ceil(math.log2(max(first / tolerance, 1.0))) + _SPARE
    while enough[0] - less[0] > tolerance and asked < most + 2:
        room = 0.5 * (tolerance * 2.0 ** (most - asked + 2) - (enough[0] - less[0]))
        value = _next(less, enough, room, _PULL * (enough[0] - less[0]) ** 2 / first)
        answer = _asked(spare, value)
        less, enough = (less, (value, answer)) if answer >= 0.0 else ((value, answer), enough)
        asked += 1
    return enough[0], asked


def _next(less: _Known, enough: _Known, room: float, pull: float) -> float:
    """Where the chord is nought, pulled towards the middle, and no farther from it than there is room."""
    middle = 0.5 * (less[0] + enough[0])
    chord = less[0] - (enough[0] - less[0]) * less[1] / (enough[1] - less[1])
    off = chord - middle
    if not math.isfinite(off) or abs(off) <= pull:
        return middle
    return middle + math.copysign(min(abs(off) - pull, max(room, 0.0)), off)


def _asked(spare: Callable[[float], float], value: float) -> float:
    answer = spare(value)
    if answer != answer:
        raise NotConverged(f"at {value:g} the answer is not a number")
    return answer
