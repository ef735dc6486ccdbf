"""Straight lines across the open places of a cut."""

import numpy as np
from numpy.typing import NDArray

SAME_POINT_M = 1e-7
"""Ends nearer than this are one point [m]."""

_STRAIGHT_COST = 0.02


def bridges(segments_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Straight lines that join free ends in pairs.

    .. math::  c = L \left( 0.02 + (1 - \cos\theta_1)^2 + (1 - \cos\theta_2)^2 \right)

    The cheapest pair goes first. A line costs its length :math:`L` times how sharply the outline
    would turn at its two ends: a gap in a flat wall is bridged along the wall, not across to the
    wall's inner side, however thin the wall is.

    Parameters
    ----------
    segments_m : ndarray, shape (s, 2, 2)
        Segments: segment, end, (y, z) [m].

    Returns
    -------
    lines_m : ndarray, shape (b, 2, 2)
        One line for each pair of free ends [m]: line, end, (y, z).

    Notes
    -----
    An end is free where an odd number of segments end within 1e-7 m. Of an odd number of free ends the
    dearest stays free. Cheapest first is quick, not the cheapest whole: what it drew is reported as the
    bridged share of the outline.

    References
    ----------
    .. [1] No published method: the cost and its 0.02 are ours.

    Examples
    --------
    >>> wall = np.array([[[0.0, 0.0], [1.0, 0.0]], [[1.2, 0.0], [3.0, 0.0]]])
    >>> bridges(wall)[0].tolist()
    [[1.0, 0.0], [1.2, 0.0]]
    """
    ends = np.concatenate([segments_m[:, 0], segments_m[:, 1]])
    inward = np.concatenate([segments_m[:, 1], segments_m[:, 0]])
    cells = np.round(ends / SAME_POINT_M).astype(np.int64)
    _, first, count = np.unique(cells, axis=0, return_index=True, return_counts=True)
    free = first[count % 2 == 1]
    if len(free) < 2:
        return np.empty((0, 2, 2))
    points, leaving = ends[free], ends[free] - inward[free]
    leaving /= np.maximum(np.linalg.norm(leaving, axis=1, keepdims=True), 1e-12)
    cost = _bridge_costs(points, leaving)
    chosen: list[tuple[NDArray[np.float64], NDArray[np.float64]]] = []
    for _ in range(len(free) // 2):
        a, b = np.unravel_index(np.argmin(cost), cost.shape)
        chosen.append((points[a], points[b]))
        cost[[a, b], :] = np.inf
        cost[:, [a, b]] = np.inf
    return np.array(chosen)


def _bridge_costs(points: NDArray[np.float64], leaving: NDArray[np.float64]) -> NDArray[np.float64]:
    gap = points[None, :, :] - points[:, None, :]
    length = np.linalg.norm(gap, axis=2)
    heading = gap / np.maximum(length, 1e-12)[:, :, None]
    straight_out = np.einsum("ijk,ik->ij", heading, leaving)
    straight_in = -np.einsum("ijk,jk->ij", heading, leaving)
    cost = length * (_STRAIGHT_COST + (1.0 - straight_out) ** 2 + (1.0 - straight_in) ** 2)
    np.fill_diagonal(cost, np.inf)
    return cost
