"""How finely a sensor tells: its noise, its steps, and where it could tell no more."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange

_PER_MAD = 1.4826
"""Standard deviation of a normal noise over its median absolute deviation."""
_PLATEAU = 3


def reading_noise(readings: NDArray[np.float64]) -> float:
    r"""Noise of a sensor from how its readings jump from row to row.

    .. math::  \sigma = \max\left( \frac{1.4826}{\sqrt 2}\, \mathrm{med}\,|\Delta x|,\;
               \frac{s}{\sqrt{12}} \right)

    with the smallest step :math:`s` that the readings make.

    Parameters
    ----------
    readings : ndarray, shape (n,)
        Readings while nothing moves [any]; those that are not a number are left out.

    Returns
    -------
    sigma : float
        Standard deviation of one reading [unit of the readings].

    Raises
    ------
    OutsideRange
        If fewer than four readings are numbers.

    Notes
    -----
    Slow drift does not count; spikes hardly. Noise that lasts from row to row is told too small.

    References
    ----------
    .. [1] Rousseeuw and Croux, Alternatives to the median absolute deviation, Journal of the American
       Statistical Association 88 (1993) 1273, for the factor; the steps: uniform distribution.

    Examples
    --------
    >>> round(reading_noise(np.array([0.0, 1.0, 0.0, 1.0, 0.0])), 3)
    1.048
    """
    known = readings[np.isfinite(readings)]
    if len(known) < 4:
        raise OutsideRange(f"{len(known)} readings tell no noise")
    jumps = np.abs(np.diff(known))
    moved = jumps[jumps > 0.0]
    step = float(moved.min()) if moved.size else 0.0
    return float(max(_PER_MAD / np.sqrt(2.0) * np.median(jumps), step / np.sqrt(12.0)))


def saturated(readings: NDArray[np.float64], limit: float | None = None) -> NDArray[np.bool_]:
    """Say where a sensor stood at an end of what it can tell.

    Parameters
    ----------
    readings : ndarray, shape (n,)
        Readings [any].
    limit : float, optional
        Largest size that it can tell, where that is known [unit of the readings].

    Returns
    -------
    stuck : ndarray, shape (n,)
        True where what it felt was more than it tells [-].

    Notes
    -----
    Without a limit, three rows or more in a row at exactly the largest or least reading of all count, where
    that lies at least half the range of all from their median. A coarse sensor that rests at its least
    reading is taken for stuck; give the limit then.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> saturated(np.array([1.0, 16.0, 16.0, 16.0, 2.0, 0.0, 1.0, 1.0])).tolist()
    [False, True, True, True, False, False, False, False]
    """
    if limit is not None:
        return np.abs(readings) >= 0.995 * limit
    stuck = np.zeros(len(readings), dtype=bool)
    known = readings[np.isfinite(readings)]
    if not known.size:
        return stuck
    middle = float(np.median(known))
    for end in (float(known.max()), float(known.min())):
        if abs(end - middle) < 0.5 * float(np.ptp(known)) - 1e-12:
            continue
        at_end = (readings == end).astype(int)
        runs = np.flatnonzero(np.diff(np.concatenate([[0], at_end, [0]])))
        for first, last in zip(runs[::2], runs[1::2], strict=True):
            if last - first >= _PLATEAU:
                stuck[first:last] = True
    return stuck
