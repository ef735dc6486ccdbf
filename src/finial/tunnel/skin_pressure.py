"""The mean pressure that a run read at its own cells, wherever else on the skin it is asked for."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive

_NEIGHBOURS = 3
_TOUCHING = 0.05
"""A place nearer than this share of the reach counts no more than one so near."""
_MIDDLE_OF = 7
MOST_PRESSURE = 1.2
"""No slow air presses harder than 1 where it stands still; the lattice's own error is let pass above it."""


def middle_pressures(
    places_m: NDArray[np.float64], pressures: NDArray[np.float64], reach_m: float
) -> NDArray[np.float64]:
    r"""Pressure coefficient of each place, freed of single cells that read wildly.

    .. math::  \tilde C_p = \mathrm{median} \, \{ C_{p, i} : d_i \le r \}

    over the seven nearest places :math:`i`, itself among them, with :math:`d_i` how far each is.

    Parameters
    ----------
    places_m : ndarray, shape (p, 3)
        Where pressures were read [m].
    pressures : ndarray, shape (p,)
        What was read there [-].
    reach_m : float
        How far a place is asked, :math:`r` [m].

    Returns
    -------
    middle : ndarray, shape (p,)
        Pressure coefficients [-]; not a number where even the middle one is above 1.2, which no slow air
        is pressed to: there it is not known.

    Raises
    ------
    OutsideRange
        If the reach is not above 0.

    Notes
    -----
    Cells of the lattice that a wall cuts in few links read up to 8 either way between two sides of a thin fin
    on 10 cells to a width; their neighbours do not. What is narrower than the reach goes with them.

    References
    ----------
    .. [1] J. W. Tukey, Exploratory Data Analysis, 1977 (from memory): the running median.

    Examples
    --------
    >>> places = np.array([[0.0, 0, 0], [1, 0, 0], [2, 0, 0], [3, 0, 0]])
    >>> middle_pressures(places, np.array([0.1, 8.0, 0.1, 0.2]), 1.5).round(2).tolist()
    [nan, 0.1, 0.2, 0.15]
    """
    require_positive(reach_m=reach_m)
    if not len(places_m):
        return np.empty(0)
    near, values = _near(places_m, pressures, places_m, reach_m, _MIDDLE_OF)[:2]
    middle = np.nanmedian(np.where(near, values, np.nan), axis=1)
    return np.where(middle > MOST_PRESSURE, np.nan, middle)


def pressures_near(
    places_m: NDArray[np.float64],
    pressures: NDArray[np.float64],
    wanted_m: NDArray[np.float64],
    reach_m: float,
) -> NDArray[np.float64]:
    r"""Pressure coefficient at points, from the nearest places that it was read at.

    .. math::  C_p = \frac{\sum_i C_{p, i} / d_i^2}{\sum_i 1 / d_i^2}, \qquad d_i \le r

    over the three nearest places :math:`i`, with :math:`d_i` how far each is.

    Parameters
    ----------
    places_m : ndarray, shape (p, 3)
        Where it was read [m].
    pressures : ndarray, shape (p,)
        What was read there [-].
    wanted_m : ndarray, shape (m, 3)
        Where it is asked for [m].
    reach_m : float
        How far a place speaks [m].

    Returns
    -------
    found : ndarray, shape (m,)
        Pressure coefficients [-]; not a number where no place lies within reach: there it is not known.

    Raises
    ------
    OutsideRange
        If the reach is not above 0.

    Notes
    -----
    A mean of what was read: never above its largest nor below its least. Within a cell of an edge it is that
    of both sides, unless one asks from a little outside one of them, as :func:`before_corners` does.

    References
    ----------
    .. [1] D. Shepard, "A two-dimensional interpolation function for irregularly-spaced data", Proceedings of
       the 23rd ACM national conference, 1968 (from memory).

    Examples
    --------
    >>> places, asked = np.array([[0.0, 0, 0], [1, 0, 0]]), np.array([[0.5, 0, 0], [0, 0, 0], [9, 0, 0]])
    >>> pressures_near(places, np.array([1.0, -1.0]), asked, 1.5).round(2).tolist()
    [0.0, 0.99, nan]
    """
    require_positive(reach_m=reach_m)
    if not len(places_m) or not len(wanted_m):
        return np.full(len(wanted_m), np.nan)
    near, values, away = _near(places_m, pressures, wanted_m, reach_m, _NEIGHBOURS)
    weights = np.where(near, 1.0 / np.maximum(away, _TOUCHING * reach_m) ** 2, 0.0)
    whole = weights.sum(axis=1)
    return np.where(whole > 0.0, (weights * values).sum(axis=1) / np.where(whole > 0.0, whole, 1.0), np.nan)


def _near(
    places_m: NDArray[np.float64],
    pressures: NDArray[np.float64],
    wanted_m: NDArray[np.float64],
    reach_m: float,
    most: int,
) -> tuple[NDArray[np.bool_], NDArray[np.float64], NDArray[np.float64]]:
    """Find the nearest places of each point: whether there is one, its pressure, how far, shape (m, k)."""
    from scipy.spatial import KDTree

    tree: Any = KDTree(places_m)
    ranks = [*range(1, min(most, len(places_m)) + 1)]
    found: tuple[NDArray[np.float64], NDArray[np.int64]] = tree.query(
        wanted_m, k=ranks, distance_upper_bound=reach_m
    )
    away, which = found
    near = np.isfinite(away)
    return near, np.where(near, pressures[np.where(near, which, 0)], 0.0), away


def spread_out(places_m: NDArray[np.float64], apart_m: float) -> NDArray[np.int64]:
    r"""Choose places of which no two are nearer to each other than a distance, and none farther from one.

    .. math::  |x_i - x_j| > a \;\; (i \ne j)

    Parameters
    ----------
    places_m : ndarray, shape (p, 3)
        All places [m].
    apart_m : float
        The distance, :math:`a` [m].

    Returns
    -------
    chosen : ndarray, shape (c,)
        Numbers of those that stay [-], rising.

    Notes
    -----
    Taken in the order given: the first stays, and drops all that are too near to it. Any distance holds; of
    0 all that differ stay. Both sides of a plate stay where it is thicker than the distance.

    References
    ----------
    .. [1] R. L. Cook, "Stochastic sampling in computer graphics", ACM Transactions on Graphics 5, 1986 (from
       memory): points that keep their distance.

    Examples
    --------
    >>> spread_out(np.array([[0.0, 0, 0], [1, 0, 0], [2.5, 0, 0]]), 1.2).tolist()
    [0, 2]
    """
    if not len(places_m):
        return np.empty(0, dtype=np.int64)
    from scipy.spatial import KDTree

    tree: Any = KDTree(places_m)
    open_ = np.ones(len(places_m), dtype=bool)
    chosen: list[int] = []
    for number in range(len(places_m)):
        if open_[number]:
            chosen.append(number)
            open_[tree.query_ball_point(places_m[number], apart_m)] = False
    return np.array(chosen, dtype=np.int64)


def before_corners(triangles_m: NDArray[np.float64], out_m: float) -> NDArray[np.float64]:
    r"""Points a little outside the corners of triangles: what lies near them is of that side.

    .. math::  x_i = \tfrac{9}{10} c_i + \tfrac{1}{30} (c_1 + c_2 + c_3) + o \, n

    with :math:`c_i` the corners and :math:`n` the normal.

    Parameters
    ----------
    triangles_m : ndarray, shape (m, 3, 3)
        Corners, counter-clockwise seen from outside [m].
    out_m : float
        How far outside, :math:`o` [m].

    Returns
    -------
    points_m : ndarray, shape (m, 3, 3)
        One for each corner [m], drawn in by a tenth, so that neighbours round an edge do not share it; in the
        plane of a triangle that has no area.

    Notes
    -----
    Any triangles. A plate thinner than the distance has points on each side of it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> before_corners(np.array([[[0.0, 0, 0], [3, 0, 0], [0, 3, 0]]]), 0.5).round(2).tolist()
    [[[0.1, 0.1, 0.5], [2.8, 0.1, 0.5], [0.1, 2.8, 0.5]]]
    """
    a, b, c = np.moveaxis(triangles_m, 1, 0)
    doubled = np.cross(b - a, c - a)
    size = np.linalg.norm(doubled, axis=1, keepdims=True)
    out = out_m * doubled / np.maximum(size, np.finfo(float).tiny)
    return triangles_m + 0.1 * (triangles_m.mean(axis=1, keepdims=True) - triangles_m) + out[:, None]
