"""Holes in the mesh that the tunnel closes by itself, and details that its cells cannot see."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.edges import edge_table
from finial.shape.holes import rims_of
from finial.tunnel.cutting.crossings import HALF
from finial.tunnel.cutting.faces import all_crossings, doubled_normals, in_cells, turned_alike
from finial.tunnel.links import GridBox
from finial.tunnel.records import TunnelShape

_AXES = tuple(int(np.flatnonzero((HALF == axis).all(axis=1))[0]) for axis in np.eye(3, dtype=int))
"""Which of the 13 directions runs along each axis."""
_SAME = 1e-5
"""Crossings nearer than this are one, through an edge of two triangles [cells]."""
_STEEP = 0.5
"""Least cosine between line and normal for a wall to be told from a wire by the lines beside it."""
_SLANT = 2
"""Cells by which such a wall is cut farther on by the line beside: tan 60 degrees, rounded up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaks:
    """Holes of a mesh: air would pass into the shape there."""

    widths_m: tuple[float, ...]
    """Reach of each hole's rim, the widest first [m]."""
    loose_edges: int
    """Edges of one triangle alone that belong to no closed rim."""

    @property
    def holes(self) -> int:
        """How many holes."""
        return len(self.widths_m)


def leaks(shape: TunnelShape) -> Leaks:
    """Find the holes of a shape.

    Parameters
    ----------
    shape : TunnelShape
        Triangles [m]; corners that lie on one another are one.

    Returns
    -------
    found : Leaks
        Their number and sizes; a single sheet is a hole as large as itself.

    Notes
    -----
    Exact for rims that do not touch one another.

    References
    ----------
    .. [1] Definition: the boundary of the triangles.

    Examples
    --------
    >>> corner = TunnelShape(points_m=np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]),
    ...                      triangles=np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3]]))
    >>> found = leaks(corner)
    >>> found.holes, round(found.widths_m[0], 3), found.loose_edges
    (1, 1.414, 0)
    """
    closed, loose = rims_of(edge_table(turned_alike(shape.triangles)))
    widths = (float(np.linalg.norm(np.ptp(shape.points_m[rim], axis=0))) for rim in closed)
    return Leaks(widths_m=tuple(sorted(widths, reverse=True)), loose_edges=loose)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """What is finer than a cell, counted in pieces of lattice lines along the three axes."""

    cut: int
    """Pieces that the surface cuts."""
    wires: int
    """Of these, through what is thinner than a cell along and across the piece: most of the air slips by."""
    gaps: int
    """Of these, from one surface over a gap narrower than a cell to another: no air flows there."""

    @property
    def wire_share(self) -> float:
        """Share of the cut pieces in wires; of nothing cut, 0 [-]."""
        return self.wires / self.cut if self.cut else 0.0

    @property
    def gap_share(self) -> float:
        """Share of the cut pieces in gaps; of nothing cut, 0 [-]."""
        return self.gaps / self.cut if self.cut else 0.0


def lost_below(shape: TunnelShape, box: GridBox) -> Lost:
    """Count what is too fine for the cells: wires that are not walls, and gaps that are shut.

    Parameters
    ----------
    shape : TunnelShape
        Triangles [m], closed.
    box : GridBox
        Cells.

    Returns
    -------
    lost : Lost
        Plates thinner than a cell are not counted: they stay walls.

    Notes
    -----
    Sharp tips count as wires where they are thinner than a cell, and so does a wire inside the body. A line
    meets a wire as often as the wire is thick, so that a wire of a tenth of a cell shows in one of ten
    places; one shorter than a few cells may not show at all.

    References
    ----------
    .. [1] M. W. Crofton, 1868 (from memory): lines of equal density meet a surface by its area.

    Examples
    --------
    >>> corner = TunnelShape(points_m=np.array([[-9.0, -9, -9], [9, -9, -9], [-9, 9, -9], [-9, -9, 9]]),
    ...                      triangles=np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]))
    >>> lost = lost_below(corner, GridBox(origin_m=(-10.5, -10.5, -10.5), cell_m=1.0, counts=(22, 22, 22)))
    >>> lost.gaps, lost.wire_share < 0.01
    (0, True)
    """
    triangles = turned_alike(shape.triangles)
    points = in_cells(shape.points_m, triangles, box.origin_m, box.cell_m)
    piece, shares, owners = all_crossings(points, triangles, box.counts)
    cut = wires = gaps = 0
    for axis, way in enumerate(_AXES):
        chosen = piece % len(HALF) == way
        cells = piece[chosen] // len(HALF)
        normals = doubled_normals(points, triangles[owners[chosen]])
        thin, shut = _near_pairs(cells, shares[chosen], normals, axis, box.counts)
        known = np.unique(cells)
        cut += len(known)
        wires += int(_stands_alone(thin, known, axis, box.counts).sum())
        gaps += len(shut)
    return Lost(cut=cut, wires=wires, gaps=gaps)


def _near_pairs(
    cells: NDArray[np.int64],
    shares: NDArray[np.float32],
    normals: NDArray[np.float64],
    axis: int,
    counts: tuple[int, int, int],
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Cells where a line goes in and within a cell out again, and where it goes out and in again."""
    stride = (1, counts[0], counts[0] * counts[1])[axis]
    number = cells // stride % counts[axis]
    line, place = cells - number * stride, number + shares.astype(np.float64)
    order = np.lexsort([place, line])
    line, place, cells, normals = line[order], place[order], cells[order], normals[order]
    leaves = normals[:, axis] > 0.0
    steep = np.abs(normals[:, axis]) > _STEEP * np.linalg.norm(normals, axis=1)
    apart = place[1:] - place[:-1]
    pairs = (line[1:] == line[:-1]) & (leaves[1:] != leaves[:-1]) & steep[1:] & steep[:-1]
    first = np.flatnonzero(pairs & (apart > _SAME) & (apart < 1.0))
    return np.unique(cells[first[~leaves[first]]]), np.unique(cells[first[leaves[first]]])


def _stands_alone(
    thin: NDArray[np.int64], cut: NDArray[np.int64], axis: int, counts: tuple[int, int, int]
) -> NDArray[np.bool_]:
    """Whether neither line beside a thin part, on one of the two other axes, is cut near it."""
    strides = 1, counts[0], counts[0] * counts[1]
    alone = np.zeros(len(thin), dtype=bool)
    for other in range(3):
        if other != axis:
            beside = np.zeros(len(thin), dtype=bool)
            for along in range(-_SLANT, _SLANT + 1):
                near = thin + along * strides[axis]
                beside |= np.isin(near - strides[other], cut) | np.isin(near + strides[other], cut)
            alone |= ~beside
    return alone
