"""Thin plates along the wind: walls with air close behind them, and where the air leaves them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.lattice import WEIGHTS
from finial.tunnel.links import GridBox, Links
from finial.tunnel.neighbours import in_cells, summed_by, summed_round

THICK_CELLS = 3.0
"""A wall whose other side lies nearer is that of a plate; what is thicker is a body."""
LEAST_CELLS = 1.6
"""Fins are blown at no thinner than this: with no cell inside it the air goes round a plate's tail."""
RIM_CELLS = 2
"""Cells that rims and roots of a plate reach beyond what is flat round it."""
HELD_CELLS = 3
"""Cells ahead of a plate's tail in which its sides hold their air, so that it leaves there."""
_ALONG = 0.5
"""Sine of the angle to the wind up to which a plate lies along it: beyond it, it is a plate across."""
_AGAINST = -0.5
"""Cosine between two sides that look away from one another."""
_STEP = 0.5
_LEAST_SHARE = 0.02
"""Of the weight of the links round a cell, that a face ahead or behind must have to count."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlateLinks:
    """Which links meet thin plates along the wind, each shape (l,)."""

    sides: NDArray[np.bool_]
    """Links that meet a side with the other one close behind."""
    all: NDArray[np.bool_]
    """Those, and links at the plates' rims and roots."""


def plates_of(
    links: Links, box: GridBox, towards: tuple[float, float, float], edges: NDArray[np.bool_]
) -> PlateLinks:
    r"""Find the links of the air that meet a thin plate along the wind.

    .. math::  |n \cdot u| < \tfrac12, \qquad t < 3 \, \Delta x

    with :math:`n` the normal, :math:`u` the wind and :math:`t` the way square through the plate.

    Parameters
    ----------
    links : Links
        All cut pieces of the box.
    box : GridBox
    towards : (float, float, float)
        Unit vector of the wind [-].
    edges : ndarray of bool, shape (l,)
        Links within a cell of an edge: without any other, it is a tip or a needle.

    Returns
    -------
    plates : PlateLinks

    Notes
    -----
    Looked for half a cell after another behind each wall: a cell of the air there whose own walls look the
    other way. Good to half a cell. Rims and roots reach two cells beyond the last cell that is no edge's.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> links = Links(cells=np.array([1, 2]), directions=np.array([5, 6]), shares=np.full(2, 0.5, np.float32),
    ...               normals=np.array([[0, 0, -1], [0, 0, 1]], np.float32), outside=np.ones(2, bool))
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(1, 1, 4))
    >>> flat = np.zeros(2, bool)
    >>> [plates_of(links, box, wind, flat).sides.tolist() for wind in ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))]
    [[True, True], [False, False]]
    """
    sides = _sides(links, box, towards)
    core = sides & ~edges
    if not core.any():
        return PlateLinks(sides=core, all=core)
    near = links.outside & _grown(core, links, box, RIM_CELLS)
    return PlateLinks(sides=sides & near, all=near)


def _sides(links: Links, box: GridBox, towards: tuple[float, float, float]) -> NDArray[np.bool_]:
    found = np.zeros(len(links.cells), dtype=bool)
    normals = links.normals.astype(float)
    asked = np.flatnonzero(links.outside & (np.abs(normals @ np.array(towards)) < _ALONG))
    if not len(asked):
        return found
    cells, mean = _looks(links, normals)
    feet = in_cells(links, box)[asked]
    for deep in np.arange(_STEP, THICK_CELLS + _STEP, _STEP):
        behind = _flat(np.rint(feet - deep * normals[asked]).astype(np.int64), box)
        at = np.minimum(np.searchsorted(cells, behind), len(cells) - 1)
        away = np.einsum("lk,lk->l", mean[at], normals[asked]) < _AGAINST
        found[asked] |= (cells[at] == behind) & away
    return found


def _grown(marked: NDArray[np.bool_], links: Links, box: GridBox, by: int) -> NDArray[np.bool_]:
    """Links whose cells lie within so many cells of the cell of a marked one."""
    cells, slot = np.unique(links.cells, return_inverse=True)
    near = np.bincount(slot, marked, len(cells)) > 0
    for _ in range(by):
        near = summed_round(near[:, None].astype(float), cells, box)[:, 0] > 0
    return near[slot]


def held_at_tails(
    links: Links, box: GridBox, towards: tuple[float, float, float], edges: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    r"""Find the links near edges where the air leaves: a face behind the wind is near and none ahead of it.

    .. math::  n \cdot u > \tfrac12

    with :math:`n` the normal of the face and :math:`u` the wind.

    Parameters
    ----------
    links : Links
    box : GridBox
    towards : (float, float, float)
        Unit vector of the wind [-].
    edges : ndarray of bool, shape (l,)
        Links within a cell of an edge.

    Returns
    -------
    found : ndarray of bool, shape (l,)
        Those at such edges, and those within ``HELD_CELLS`` of them.

    Notes
    -----
    An edge that stands across both has its air held as that of a body.

    References
    ----------
    .. [1] Judgement from trials of plates at 3 to 10 degrees, no source.

    Examples
    --------
    >>> one = Links(cells=np.array([0]), directions=np.array([4]), shares=np.full(1, 0.5, np.float32),
    ...             normals=np.array([[1, 0, 0]], np.float32), outside=np.ones(1, bool))
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(2, 1, 1))
    >>> held_at_tails(one, box, (1.0, 0.0, 0.0), np.ones(1, bool)).tolist()
    [True]
    """
    cells, slot = np.unique(links.cells, return_inverse=True)
    weights = np.where(links.outside, np.array(WEIGHTS)[links.directions], 0.0)
    along = links.normals.astype(float) @ np.array(towards)
    faces = np.column_stack([weights, weights * (along > _ALONG), weights * (along < -_ALONG)])
    whole, behind, ahead = summed_round(summed_by(faces, slot, len(cells)), cells, box).T
    leaves = (behind > _LEAST_SHARE * whole) & (ahead <= _LEAST_SHARE * whole)
    return _grown(edges & leaves[slot], links, box, HELD_CELLS)


def _looks(links: Links, normals: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Cells of the air at walls, and where the walls of each look in the mean, shapes (c,) and (c, 3)."""
    cells, slot = np.unique(links.cells[links.outside], return_inverse=True)
    weights = np.array(WEIGHTS)[links.directions[links.outside]]
    mean = summed_by(weights[:, None] * normals[links.outside], slot, len(cells))
    long = np.linalg.norm(mean, axis=1, keepdims=True)
    return cells, mean / np.where(long > 0.0, long, 1.0)


def _flat(at: NDArray[np.int64], box: GridBox) -> NDArray[np.int64]:
    inside = np.clip(at, 0, np.array(box.counts) - 1)
    return (inside[:, 2] * box.counts[1] + inside[:, 1]) * box.counts[0] + inside[:, 0]
