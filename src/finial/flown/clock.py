"""The recorder's clock: counters that wrap, recorders that begin anew, rows that are missing."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange

WIDE_GAP = 5.0
"""A step so many times the usual one is a gap."""


def unwrapped(counts_s: NDArray[np.float64], wraps_at_s: float) -> NDArray[np.float64]:
    """Add up what a counter lost each time it began again from zero.

    Parameters
    ----------
    counts_s : ndarray, shape (n,)
        Times as counted [s].
    wraps_at_s : float
        Time at which the counter begins again from 0 [s].

    Returns
    -------
    times_s : ndarray, shape (n,)
        Times that no longer fall where the counter wrapped [s].

    Raises
    ------
    OutsideRange
        If a count lies outside 0 to the wrap, or the wrap is not above zero.

    Notes
    -----
    A fall by more than half of the wrap is a wrap; a smaller one stays, for it is a recorder that
    began anew. Gaps longer than one turn of the counter cannot be seen.

    References
    ----------
    .. [1] Arithmetic modulo the counter's length; definition.

    Examples
    --------
    >>> unwrapped(np.array([65.0, 65.5, 0.464]), 65.536).tolist()
    [65.0, 65.5, 66.0]
    """
    if not 0.0 < wraps_at_s < np.inf:
        raise OutsideRange(f"a counter that begins again at {wraps_at_s} s")
    if not np.all((counts_s >= 0.0) & (counts_s <= wraps_at_s)):
        raise OutsideRange(f"counts outside 0 to {wraps_at_s} s, where the counter begins again")
    turns = np.concatenate([[0], np.cumsum(np.diff(counts_s) < -0.5 * wraps_at_s)])
    return np.asarray(counts_s + turns * wraps_at_s, dtype=float)


def pieces(times_s: NDArray[np.float64]) -> tuple[tuple[int, int], ...]:
    """Stretches of rows over which the clock never goes back.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times of the rows [s].

    Returns
    -------
    stretches : tuple of (int, int)
        First row of each, and the row after its last.

    Notes
    -----
    Two rows of one time stay together: see :func:`without_repeats`.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> pieces(np.array([0.0, 0.1, 0.2, 0.0, 0.1]))
    ((0, 3), (3, 5))
    """
    cuts = [0, *(np.flatnonzero(np.diff(times_s) < 0.0) + 1).tolist(), len(times_s)]
    return tuple(pairwise(cuts))


def without_repeats(times_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Say which rows to keep where several carry one time: the first.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that never fall [s].

    Returns
    -------
    kept : ndarray, shape (n,)
        True for the first row of each time [-].

    Notes
    -----
    A clock coarser than the rows loses the rows in between.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> without_repeats(np.array([0.0, 0.1, 0.1])).tolist()
    [True, True, False]
    """
    return np.concatenate([[True], np.diff(times_s) > 0.0])


def gaps(times_s: NDArray[np.float64], factor: float = WIDE_GAP) -> NDArray[np.int64]:
    """Rows after which rows are missing.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Times that rise [s].
    factor : float
        How many usual steps make a gap [-].

    Returns
    -------
    rows : ndarray, shape (k,)
        The last row before each gap [-].

    Raises
    ------
    OutsideRange
        If there are fewer than three rows.

    Notes
    -----
    The usual step is the median. A recorder that turns slow after the landing has no gaps there, if
    most of its rows are slow.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> gaps(np.array([0.0, 0.1, 0.2, 1.2, 1.3])).tolist()
    [2]
    """
    if len(times_s) < 3:
        raise OutsideRange(f"{len(times_s)} rows tell no usual step")
    steps = np.diff(times_s)
    return np.flatnonzero(steps > factor * np.median(steps))
