"""How often a shape repeats round its axis, so that loads need be worked out over one repeat only."""

from collections.abc import Sequence
from math import gcd

import numpy as np
from numpy.typing import NDArray

ALIKE = 2e-3
"""Loads that differ by less than this share of their largest are alike: the panels' own error."""
CENTRED = 1e-4
"""Sections whose centroids are nearer to the axis than this share of the width stand on it."""
ORDERS = (144, 72, 48, 36, 24, 18, 16, 12, 9, 8, 6, 4, 3, 2)


def is_even(tensors: NDArray[np.float64]) -> bool:
    """Whether tensors are the same in every direction.

    Parameters
    ----------
    tensors : ndarray, shape (n, 2, 2)
        Tensors across the axis, in one unit [any].

    Returns
    -------
    even : bool
        True if none differs from its mean by more than 2e-3 of the largest entry.

    Notes
    -----
    2e-3 is the panels' own error.

    References
    ----------
    .. [1] A symmetric tensor is the same in every direction if it is a multiple of the unit tensor.

    Examples
    --------
    >>> is_even(np.eye(2)[None]), is_even(np.diag([1.0, 2.0])[None])
    (True, False)
    """
    if not tensors.size:
        return True
    mean = tensors.trace(axis1=1, axis2=2)[:, None, None] / 2 * np.eye(2)
    return bool(np.abs(tensors - mean).max() <= ALIKE * max(float(np.abs(tensors).max()), 1e-300))


def repeats_per_turn(tensors: NDArray[np.float64], profiles: Sequence[NDArray[np.float64]]) -> int:
    """How often everything repeats in one turn: 1, or one of ``ORDERS``.

    Parameters
    ----------
    tensors : ndarray, shape (n, 2, 2)
        Tensors across the axis, in one unit [any].
    profiles : sequence of ndarray, shape (n, 145)
        Values over roll every 2.5 degrees, both ends of the turn given, each in its unit [any].

    Returns
    -------
    repeats : int
        144 for a shape that is alike all round.

    Raises
    ------
    ValueError
        If a profile has another number of roll angles.

    Notes
    -----
    Exact to ``ALIKE``; a tensor that is not the same in every direction repeats twice.

    References
    ----------
    .. [1] Symmetry of second-rank tensors: more than twofold in the plane means even.

    Examples
    --------
    >>> turn = np.radians(np.arange(0.0, 361.0, 2.5))
    >>> repeats_per_turn(np.eye(2)[None], [1.0 + 0.1 * np.cos(4 * turn)[None]])
    4
    """
    even = is_even(tensors)
    for order in ORDERS:
        step = ORDERS[0] // order
        if (order <= 2 or even) and all(_repeats(each, step) for each in profiles):
            return order
    return 1


def _repeats(profile: NDArray[np.float64], step: int) -> bool:
    if profile.shape[-1] != ORDERS[0] + 1:
        raise ValueError(f"a profile needs {ORDERS[0] + 1} roll angles: got {profile.shape[-1]}")
    turn = profile[..., :-1]
    return bool(np.abs(np.roll(turn, step, axis=-1) - turn).max() <= ALIKE * np.abs(turn).max())


def rolls_needed(repeats: int, rolls_rad: NDArray[np.float64]) -> int:
    """How many of evenly spaced roll angles stand for all.

    Parameters
    ----------
    repeats : int
        How often everything repeats in one turn.
    rolls_rad : ndarray, shape (r,)
        Roll angles [rad].

    Returns
    -------
    needed : int
        The first so many; all of them if they are not a whole turn.

    Notes
    -----
    Exact: the count over its greatest common divisor with the repeats.

    References
    ----------
    .. [1] Symmetry of a turn.

    Examples
    --------
    >>> quarter = np.radians(np.arange(0.0, 360.0, 15.0))
    >>> rolls_needed(4, quarter), rolls_needed(1, quarter), rolls_needed(4, quarter[:5])
    (6, 24, 5)
    """
    count = len(rolls_rad)
    whole = np.allclose(np.diff(rolls_rad), 2 * np.pi / count, rtol=0, atol=1e-9)
    return count // gcd(repeats, count) if whole and count > 1 else count


def round_the_turn(values: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Lay values over one repeat round the whole turn.

    Parameters
    ----------
    values : ndarray, shape (n, r, ...)
        Values over one repeat, roll along the second axis [any].
    count : int
        Number of roll angles wanted, a multiple of ``r``.

    Returns
    -------
    values : ndarray, shape (n, count, ...)
        The same over and over [any].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> round_the_turn(np.array([[1.0, 2.0]]), 4).tolist()
    [[1.0, 2.0, 1.0, 2.0]]
    """
    return np.concatenate([values] * (count // values.shape[1]), axis=1)
