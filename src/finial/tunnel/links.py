"""Lattice lines that the shape cuts."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.tunnel.cutting import crossings, pieces, sweep
from finial.tunnel.cutting.faces import all_crossings, areas, doubled_normals, in_cells, turned_alike
from finial.tunnel.cutting.seal import INSIDE, Seals, sealed
from finial.tunnel.cutting.winding import Tree, closes, tree_of, winding_number
from finial.tunnel.lattice import DIRECTIONS
from finial.tunnel.records import Stream, TunnelShape

_LEAST_SHARE = 1e-3
_LEAST_AREA = 1e-12
"""Triangles below it have no face, and their neighbours' edges close over them [cells^2]."""
_HALF = tuple(tuple(int(step) for step in each) for each in crossings.HALF)
_AHEAD = np.array([DIRECTIONS.index(each) for each in _HALF])
_BACK = np.array([DIRECTIONS.index((-each[0], -each[1], -each[2])) for each in _HALF])


@dataclass(frozen=True, slots=True, kw_only=True)
class GridBox:
    """A box of cubic cells, with the place of its first cell's centre."""

    origin_m: tuple[float, float, float]
    """Centre of cell (0, 0, 0) [m]: station, across a, across b."""
    cell_m: float
    counts: tuple[int, int, int]
    """Cells along station, a, b. The flat index of cell (i, j, k) is (k * counts[1] + j) * counts[0] + i."""

    @property
    def cells(self) -> int:
        """How many cells there are."""
        return math.prod(self.counts)

    def section_m2(self, stream: Stream) -> float:
        r"""Give the area that the wind goes through.

        .. math::  S = \sum_a |u_a| \, l_b l_c

        Parameters
        ----------
        stream : Stream

        Returns
        -------
        section : float
            [m^2].

        Notes
        -----
        All that the box shows to the wind.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=0.5, counts=(4, 2, 6))
        >>> box.section_m2(Stream(angle_rad=0.0))
        3.0
        """
        lengths = np.array(self.counts) * self.cell_m
        return float(lengths.prod() / lengths @ np.abs(stream.towards))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Links:
    """Pieces of lattice lines, cell to neighbour, cut by the surface; each cut gives one from either side."""

    cells: NDArray[np.int64]
    """Flat index of the cell that the piece starts from, shape (l,)."""
    directions: NDArray[np.int64]
    """Direction of the lattice that it points along, shape (l,)."""
    shares: NDArray[np.float32]
    """Way to the surface over the whole piece, above 0 and at most 1, shape (l,)."""
    normals: NDArray[np.float32]
    """Unit normal of the surface there, out of the shape's skin as its triangles turn, shape (l, 3)."""
    outside: NDArray[np.bool_]
    """The cell that it starts from lies in the air, not inside the shape, shape (l,)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Cuts:
    """Pieces that are cut, each once: in the order of cells, then of the 13 directions."""

    cells: NDArray[np.int64]
    """Lower cell of each."""
    ways: NDArray[np.int64]
    near: NDArray[np.float32]
    """Way to the nearest crossing from the lower cell, over the whole piece."""
    near_owner: NDArray[np.int32]
    """Triangle there."""
    far: NDArray[np.float32]
    """Way to the farthest, again from the lower cell."""
    far_owner: NDArray[np.int32]

    def upper(self, counts: tuple[int, int, int]) -> NDArray[np.int64]:
        """Upper cell of each."""
        return self.cells + _steps(counts)[self.ways]


def cut_links(shape: TunnelShape, box: GridBox) -> Links:
    """Find every piece of a lattice line, from a cell to one of its 26 neighbours, that a triangle crosses.

    Parameters
    ----------
    shape : TunnelShape
        Triangles [m].
    box : GridBox
        Cells; pieces that leave the box are left out.

    Returns
    -------
    links : Links
        In the order of cells, then of directions. A piece that is crossed more than once has its nearest
        crossing from either end.

    Raises
    ------
    OutsideRange
        If the shape has no triangle.

    Notes
    -----
    Walls thinner than a cell stay walls, since lines are cut and not cells filled. Triangles reach 1e-7 cells
    over their edges, so no line slips through a seam. The shape is swollen by 2e-4 cells, so that no
    cell's centre lies on a face that runs with the lattice. Shares are kept between 0.001 and 1. A cell is
    inside where the winding number is above 1/2: on a closed mesh that is told once for all cells that hang
    together, on an open one for each cell that a link starts from. There triangles that look the other way
    than their neighbours are turned first, and pieces through holes are cut where the winding number passes
    1/2.

    References
    ----------
    .. [1] G. Barill et al., Fast winding numbers for soups and clouds, ACM Trans. Graphics 37, 2018.
    .. [2] A. Jacobson, L. Kavan and O. Sorkine-Hornung, ACM Trans. Graphics 32, 2013.

    Examples
    --------
    >>> wall = TunnelShape(points_m=np.array([[0.5, -9, -9], [0.5, 9, -9], [0.5, 0, 9]]),
    ...                    triangles=np.array([[0, 1, 2]]))
    >>> links = cut_links(wall, GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(2, 1, 1)))
    >>> links.cells.tolist(), links.shares.round(3).tolist(), links.outside.tolist()
    ([0, 1], [0.5, 0.5], [True, True])
    """
    if not len(shape.triangles):
        raise OutsideRange("a shape without triangles cuts nothing: at least one is needed")
    triangles = turned_alike(shape.triangles)
    points = in_cells(shape.points_m, triangles, box.origin_m, box.cell_m)
    faces = triangles[areas(points, triangles) > _LEAST_AREA]
    cuts = _cuts(points, faces, box.counts)
    bare = _links(cuts, points, faces, box.counts)
    at, back = _different(bare.cells)
    made = tree_of(points[triangles])
    if closes(triangles):
        inside = _inside(bare.cells[at], cuts, made, box.counts)
        return replace(bare, outside=~inside[back])
    seals = sealed(
        lambda cells: winding_number(made, _places(cells, box.counts)),
        bare.cells[at],
        13 * cuts.cells + cuts.ways,
        box.counts,
    )
    return _with_seals(bare, seals, box.counts)


def _steps(counts: tuple[int, int, int]) -> NDArray[np.int64]:
    """Flat steps of the 13 directions, all above 0 in a box that is wider than two cells."""
    return crossings.HALF @ np.array([1, counts[0], counts[0] * counts[1]])


def _cuts(points: NDArray[np.float64], triangles: NDArray[np.int64], counts: tuple[int, int, int]) -> _Cuts:
    found, shares, owners = all_crossings(points, triangles, counts)
    order = np.argsort(found)
    many = len(found)
    piece = np.empty(many, dtype=np.int64)
    near, far = np.empty(many, dtype=np.float32), np.empty(many, dtype=np.float32)
    near_owner, far_owner = np.empty(many, dtype=np.int32), np.empty(many, dtype=np.int32)
    count = pieces.nearest(order, found, shares, owners, (piece, near, near_owner, far, far_owner))
    return _Cuts(
        cells=piece[:count] // 13,
        ways=piece[:count] % 13,
        near=near[:count],
        near_owner=near_owner[:count],
        far=far[:count],
        far_owner=far_owner[:count],
    )


def _links(
    cuts: _Cuts, points: NDArray[np.float64], triangles: NDArray[np.int64], counts: tuple[int, int, int]
) -> Links:
    """Links from either end of the cut pieces, all as if they started outside."""
    cells = np.concatenate([cuts.cells, cuts.upper(counts)])
    directions = np.concatenate([_AHEAD[cuts.ways], _BACK[cuts.ways]])
    shares = np.concatenate([cuts.near, 1 - cuts.far])
    owners = np.concatenate([cuts.near_owner, cuts.far_owner])
    order = _in_order(cells, directions)
    normal = doubled_normals(points, triangles[owners[order]])
    return Links(
        cells=cells[order],
        directions=directions[order],
        shares=np.clip(shares[order], _LEAST_SHARE, 1.0).astype(np.float32),
        normals=(normal / np.linalg.norm(normal, axis=1, keepdims=True)).astype(np.float32),
        outside=np.ones(len(cells), dtype=bool),
    )


def _in_order(cells: NDArray[np.int64], directions: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.argsort(cells * len(DIRECTIONS) + directions)


def _with_seals(bare: Links, seals: Seals, counts: tuple[int, int, int]) -> Links:
    """Links with those that close holes; a seal's normal runs along its piece, out of the inside."""
    cells = np.concatenate([bare.cells, seals.cells, seals.cells + _steps(counts)[seals.ways]])
    directions = np.concatenate([bare.directions, _AHEAD[seals.ways], _BACK[seals.ways]])
    order = _in_order(cells, directions)
    cells = cells[order]
    shares = np.concatenate([bare.shares, seals.shares, 1 - seals.shares])[order]
    along: NDArray[np.float32] = crossings.HALF[seals.ways].astype(np.float32)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    out = along * np.where(seals.is_lower_inside, 1, -1)[:, None].astype(np.float32)
    return Links(
        cells=cells,
        directions=directions[order],
        shares=np.clip(shares, _LEAST_SHARE, 1.0).astype(np.float32),
        normals=np.concatenate([bare.normals, out, out])[order],
        outside=~seals.is_inside[np.searchsorted(seals.known, cells)],
    )


def _different(cells: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Where each different cell first stands in a rising list, and the number of the one at each place."""
    first = np.ones(len(cells), dtype=bool)
    first[1:] = cells[1:] != cells[:-1]
    return np.flatnonzero(first), np.cumsum(first) - 1


def _inside(
    cells: NDArray[np.int64], cuts: _Cuts, made: Tree, counts: tuple[int, int, int]
) -> NDArray[np.bool_]:
    """Whether each cell that links start from lies inside a closed shape; cells rise."""
    cut = np.zeros(len(cells), dtype=np.int64)
    np.bitwise_or.at(cut, np.searchsorted(cells, cuts.cells), 1 << cuts.ways)
    group = np.empty(len(cells), dtype=np.int64)
    pieces.hang_together(cells, cut, np.array(counts, dtype=np.int64), group)
    ones = np.flatnonzero(group == np.arange(len(cells)))
    answer = np.zeros(len(cells), dtype=bool)
    # Either way round, for shapes turned inside out.
    answer[ones] = np.abs(winding_number(made, _places(cells[ones], counts))) > INSIDE
    return answer[group]


def _places(cells: NDArray[np.int64], counts: tuple[int, int, int]) -> NDArray[np.float64]:
    i, j, k = cells % counts[0], cells // counts[0] % counts[1], cells // (counts[0] * counts[1])
    return np.column_stack([i, j, k]).astype(np.float64)


def inside_by(links: Links, counts: tuple[int, int, int]) -> NDArray[np.bool_]:
    """Find the cells that lie inside, from the links alone.

    Parameters
    ----------
    links : Links
        All cut pieces of the box.
    counts : (int, int, int)
        Its cells.

    Returns
    -------
    inside : ndarray of bool, shape (counts[2], counts[1], counts[0])
        Flat, it has the cells' own order.

    Notes
    -----
    Cells at the surface are told by winding number. The rest follows along rows between cuts, by most votes
    of the three axes, so that a hole in the mesh spoils single rows only.

    References
    ----------
    .. [1] As ``cut_links``.

    Examples
    --------
    >>> nothing = Links(cells=np.zeros(0, int), directions=np.zeros(0, int), shares=np.zeros(0, np.float32),
    ...                 normals=np.zeros((0, 3), np.float32), outside=np.zeros(0, bool))
    >>> inside_by(nothing, (2, 2, 2)).any().item()
    False
    """
    votes = np.zeros(counts[0] * counts[1] * counts[2], dtype=np.int8)
    strides = 1, counts[0], counts[0] * counts[1]
    for axis, stride in enumerate(strides):
        step = [0, 0, 0]
        step[axis] = 1
        ahead = links.directions == DIRECTIONS.index((step[0], step[1], step[2]))
        back = links.directions == DIRECTIONS.index((-step[0], -step[1], -step[2]))
        chosen = np.flatnonzero(ahead | back)
        cells = links.cells[chosen]
        rows = cells - cells // stride % counts[axis] * stride
        order = np.lexsort([ahead[chosen], cells, rows])
        chosen = chosen[order]
        sweep.sweep_rows(cells[order], rows[order], ahead[chosen], ~links.outside[chosen], stride, votes)
    return (votes >= 2).reshape(counts[2], counts[1], counts[0])
