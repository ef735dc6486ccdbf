"""Carry intervals through a formula that rises or falls in each of its arguments."""

from collections.abc import Callable
from itertools import product

from finial.core.estimates import Estimate


def over_corners(
    function: Callable[..., float], *estimates: Estimate, method: str = "", source: str = ""
) -> Estimate:
    r"""Value and interval of a formula whose arguments are intervals.

    .. math::  f = f(v_1, \dots, v_n), \qquad [\min, \max] \text{ of } f \text{ over all } 2^n \text{ corners}

    Parameters
    ----------
    function : callable
        Takes one number per estimate, in its unit, and returns a number.
    *estimates : Estimate
        The arguments, at most 8.
    method, source : str
        Noted on the answer.

    Returns
    -------
    answer : Estimate
        In the function's unit; known as well as the weakest argument.

    Raises
    ------
    OutsideRange
        If the function answers with a number that is not finite.

    Notes
    -----
    Range: exact when the function rises or falls in each argument over its whole interval, whatever the
    others are. A peak inside the box is missed.

    References
    ----------
    .. [1] Moore, Interval Analysis, Prentice-Hall 1966; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, spread
    >>> wide = spread(2.0, 0.5, known_by=KnownBy.ASSUMED)
    >>> answer = over_corners(lambda a, b: a / b, wide, wide)
    >>> answer.value, round(answer.low, 6), answer.high
    (1.0, 0.333333, 3.0)
    """
    value = function(*(estimate.value for estimate in estimates))
    ends = [
        (estimate.low,) if estimate.low == estimate.high else (estimate.low, estimate.high)
        for estimate in estimates
    ]
    reached = [function(*corner) for corner in product(*ends)] + [value]
    return Estimate(
        value=value,
        low=min(reached),
        high=max(reached),
        known_by=max(estimate.known_by for estimate in estimates),
        method=method,
        source=source,
        inside_range=all(estimate.inside_range for estimate in estimates),
    )
