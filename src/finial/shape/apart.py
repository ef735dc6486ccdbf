"""How much posts that stand apart take up together: a lattice is as large as what stands round it."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

_HALF = (0.4, 0.6)
"""Shares of the length between which a shape turns from a body with legs into a lattice."""


def around_posts_m2(
    stations_m: NDArray[np.float64], outlines: Sequence[Sequence[NDArray[np.float64]]]
) -> float:
    """Area within the line drawn tightly round posts that stand apart along half the length.

    Parameters
    ----------
    stations_m : array
        Stations of the sections [m], shape (n,), rising.
    outlines : sequence of sequences of arrays
        Outer outlines of each section [m], shape (k, 2) each.

    Returns
    -------
    area_m2 : float
        What at least half the length has, round its several outlines [m^2]: a mean over four to six tenths
        of the length, so that nothing jumps as posts grow longer. 0 where sections are of one outline.

    Notes
    -----
    Four bars of a tower 200 mm wide are 200 mm wide, not as wide as one bar of all their plastic: margins
    in widths, and the force below which a centre of pressure means nothing, stand on it. Legs under a body
    do not widen it.

    References
    ----------
    .. [1] A judgement of this project, no source.

    Examples
    --------
    >>> bar = np.array([[0.0, 0.0], [0.01, 0.0], [0.01, 0.01], [0.0, 0.01]])
    >>> frame = [bar + [y, z] for y in (0.0, 0.19) for z in (0.0, 0.19)]
    >>> round(around_posts_m2(np.array([0.0, 1.0]), [frame, frame]), 6)
    0.04
    >>> around_posts_m2(np.array([0.0, 1.0]), [[bar], [bar]])
    0.0
    """
    if max(map(len, outlines)) < 2:
        return 0.0
    # Each section stands for half the way to either neighbour.
    edges = np.concatenate([stations_m[:1], (stations_m[1:] + stations_m[:-1]) / 2.0, stations_m[-1:]])
    lengths = np.diff(edges)
    areas = np.array([_around(loops) if len(loops) > 1 else 0.0 for loops in outlines])
    order = np.argsort(areas)[::-1]
    shares = np.concatenate([[0.0], np.cumsum(lengths[order])]) / max(float(lengths.sum()), 1e-12)
    kept = np.diff(np.clip(shares, *_HALF))
    return float(kept @ areas[order] / (_HALF[1] - _HALF[0]))


def _around(loops: Sequence[NDArray[np.float64]]) -> float:
    # shapely's stubs leave the array open
    points: Any = np.concatenate(loops)
    return float(shapely.MultiPoint(points).convex_hull.area)
