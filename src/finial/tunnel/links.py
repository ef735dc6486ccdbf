"""Lattice lines that the shape cuts."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class GridBox:
    """A box of cubic cells, with the place of its first cell's centre."""

    origin_m: tuple[float, float, float]
    """Centre of cell (0, 0, 0) [m]: station, across a, across b."""
    cell_m: float
    counts: tuple[int, int, int]
    """Cells along station, a, b. The flat index of cell (i, j, k) is (k * counts[1] + j) * counts[0] + i."""


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
