"""How small a field is, where it is narrowest."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange


def least_side(outline_m: NDArray[np.float64]) -> float:
    r"""Smallest distance between two parallel lines that hold a field between them.

    .. math::  w = \min_n \left( \max_i n \cdot x_i - \min_i n \cdot x_i \right)

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners of the outer edge, :math:`x_i`, east and north [m].

    Returns
    -------
    side_m : float
        Shortest side of a rectangle, diameter of a circle [m].

    Raises
    ------
    OutsideRange
        If there are fewer than three corners, or a number is not finite.

    Notes
    -----
    Exact: the narrowest direction lies across an edge of the convex hull. Bays and holes in the field
    do not count: look at the map.

    References
    ----------
    .. [1] Houle and Toussaint, Computing the width of a set, IEEE Transactions on Pattern Analysis and
       Machine Intelligence 10 (1988) 761; from memory, not re-read.

    Examples
    --------
    >>> least_side(np.array([[0.0, 0.0], [900.0, 0.0], [900.0, 500.0], [0.0, 500.0]]))
    500.0
    """
    corners = np.asarray(outline_m, dtype=float)
    if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 3 or not np.isfinite(corners).all():
        raise OutsideRange("a field's outline needs three corners or more, all of them finite numbers")
    hull = np.array(_hull(corners.tolist()))
    along = np.roll(hull, -1, axis=0) - hull
    lengths = np.hypot(along[:, 0], along[:, 1])
    if not (lengths > 0.0).all():
        return 0.0
    across = np.column_stack([-along[:, 1], along[:, 0]]) / lengths[:, None]
    reach = across @ hull.T
    return float((reach.max(axis=1) - reach.min(axis=1)).min())


def _hull(points: list[list[float]]) -> list[list[float]]:
    """Corners of the convex hull, in order (Andrew 1979, monotone chain)."""
    ordered = sorted(points)
    return [*_chain(ordered), *_chain(ordered[::-1])]


def _chain(ordered: list[list[float]]) -> list[list[float]]:
    """One side of the hull, without its last corner."""
    chain: list[list[float]] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0.0:
            chain.pop()
        chain.append(point)
    return chain[:-1]


def _turn(first: list[float], second: list[float], third: list[float]) -> float:
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])
