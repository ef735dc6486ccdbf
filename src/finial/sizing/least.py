"""The least of something that is enough."""

from collections.abc import Callable

from finial.core.errors import NotConverged, OutsideRange

_MOST_STEPS = 60


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
    Halving: 20 questions for a millionth of the interval. Where :math:`g` does not rise, the answer
    is enough but need not be the smallest.

    References
    ----------
    .. [1] Bisection; any text on numerical methods.

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
    if _asked(spare, low) >= 0.0:
        return low, 2
    asked = 2
    while high - low > tolerance and asked < _MOST_STEPS:
        middle = 0.5 * (low + high)
        asked += 1
        if _asked(spare, middle) >= 0.0:
            high = middle
        else:
            low = middle
    return high, asked


def _asked(spare: Callable[[float], float], value: float) -> float:
    answer = spare(value)
    if answer != answer:
        raise NotConverged(f"at {value:g} the answer is not a number")
    return answer
