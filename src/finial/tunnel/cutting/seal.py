"""Holes in a mesh, closed where the winding number passes one half."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.cutting.crossings import HALF

INSIDE = 0.5 + 1e-6
"""Winding number of either sign above which a cell is inside: on a single sheet it is one half."""
_AT_LEAST_APART = 1e-9
_NEAR_A_HOLE = 0.45
"""Cells whose winding number is nearer to one half than this may have the skin of a hole beside them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seals:
    """Uncut pieces that lead from the air to the inside, each once, and what was learnt on the way."""

    cells: NDArray[np.int64]
    """Lower cell of each, shape (s,)."""
    ways: NDArray[np.int64]
    """Which of the 13 directions, shape (s,)."""
    shares: NDArray[np.float32]
    """Way from the lower cell to a winding number of one half, over the whole piece, shape (s,)."""
    is_lower_inside: NDArray[np.bool_]
    known: NDArray[np.int64]
    """All cells that were looked at, rising, shape (k,)."""
    is_inside: NDArray[np.bool_]
    """Whether each lies inside, shape (k,)."""


def sealed(
    winding_of: Callable[[NDArray[np.int64]], NDArray[np.float64]],
    cells: NDArray[np.int64],
    cut: NDArray[np.int64],
    counts: tuple[int, int, int],
) -> Seals:
    """Follow the surface where the winding number is one half across what the triangles leave open.

    Parameters
    ----------
    winding_of : callable
        Gives the winding number about cells [-].
    cells : ndarray of int, shape (c,)
        Cells that a cut piece starts from, rising.
    cut : ndarray of int, shape (p,)
        Cut pieces: thirteen times the lower cell plus the direction, rising.
    counts : (int, int, int)
        Cells of the box.

    Returns
    -------
    seals : Seals
        What to cut too.

    Notes
    -----
    From the rim of a hole inwards, cell by cell; the skin over it bulges as the solid angle does. Over a
    single sheet nothing is sealed, since either side winds less than half.

    References
    ----------
    .. [1] A. Jacobson, L. Kavan and O. Sorkine-Hornung, ACM Trans. Graphics 32, 2013.

    Examples
    --------
    >>> row = sealed(lambda cells: 1.0 - cells / 4, np.array([1, 2]), np.array([0]), (5, 1, 1))
    >>> row.cells.tolist(), row.shares.tolist(), row.is_lower_inside.tolist()
    ([1], [1.0], [True])
    """
    winding = winding_of(cells)
    doubtful = np.abs(np.abs(winding) - 0.5) < _NEAR_A_HOLE
    known, winding, fresh = _learnt(winding_of, cells, winding, _neighbours(cells[doubtful], counts))
    fresh, found = known, np.zeros(0, dtype=np.int64)
    while len(fresh):
        new = _open_pieces(fresh, known, np.abs(winding) > INSIDE, cut, counts)
        new = np.setdiff1d(new, found)
        found = np.union1d(found, new)
        ends = np.union1d(new // 13, new // 13 + _steps(counts)[new % 13])
        known, winding, fresh = _learnt(winding_of, known, winding, _neighbours(ends, counts))
    lower, way = found // 13, found % 13
    near = np.abs(winding[np.searchsorted(known, lower)])
    far = np.abs(winding[np.searchsorted(known, lower + _steps(counts)[way])])
    apart = np.where(np.abs(far - near) > _AT_LEAST_APART, far - near, 1.0)
    return Seals(
        cells=lower,
        ways=way,
        shares=np.clip((0.5 - near) / apart, 0.0, 1.0).astype(np.float32),
        is_lower_inside=near > INSIDE,
        known=known,
        is_inside=np.abs(winding) > INSIDE,
    )


def _learnt(
    winding_of: Callable[[NDArray[np.int64]], NDArray[np.float64]],
    known: NDArray[np.int64],
    winding: NDArray[np.float64],
    more: NDArray[np.int64],
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.int64]]:
    """Known cells and their winding with more of them, and which of these are new."""
    fresh = np.setdiff1d(more, known)
    both = np.concatenate([known, fresh])
    order = np.argsort(both)
    return both[order], np.concatenate([winding, winding_of(fresh)])[order], fresh


def _steps(counts: tuple[int, int, int]) -> NDArray[np.int64]:
    return HALF @ np.array([1, counts[0], counts[0] * counts[1]])


def _open_pieces(
    fresh: NDArray[np.int64],
    known: NDArray[np.int64],
    inside: NDArray[np.bool_],
    cut: NDArray[np.int64],
    counts: tuple[int, int, int],
) -> NDArray[np.int64]:
    """Pieces with one end among fresh cells, both ends known, one inside and one not, and not cut."""
    found: list[NDArray[np.int64]] = []
    for way, step in enumerate(_steps(counts)):
        for lower in (
            fresh[_stays(fresh, HALF[way], counts)],
            fresh[_stays(fresh, -HALF[way], counts)] - step,
        ):
            both = _among(lower, known) & _among(lower + step, known)
            start = lower[both]
            unlike = inside[np.searchsorted(known, start)] != inside[np.searchsorted(known, start + step)]
            piece = 13 * start[unlike] + way
            found.append(piece[~_among(piece, cut)])
    return np.unique(np.concatenate(found))


def _among(some: NDArray[np.int64], rising: NDArray[np.int64]) -> NDArray[np.bool_]:
    if not len(rising):
        return np.zeros(len(some), dtype=bool)
    return rising[np.minimum(np.searchsorted(rising, some), len(rising) - 1)] == some


def _neighbours(cells: NDArray[np.int64], counts: tuple[int, int, int]) -> NDArray[np.int64]:
    steps = _steps(counts)
    ahead = [cells[_stays(cells, HALF[way], counts)] + steps[way] for way in range(13)]
    back = [cells[_stays(cells, -HALF[way], counts)] - steps[way] for way in range(13)]
    return np.unique(np.concatenate([cells, *ahead, *back]))


def _stays(
    cells: NDArray[np.int64], step: NDArray[np.int64], counts: tuple[int, int, int]
) -> NDArray[np.bool_]:
    """Whether a step from each cell stays in the box."""
    stays = np.ones(len(cells), dtype=bool)
    stride = 1
    for axis in range(3):
        end = cells // stride % counts[axis] + step[axis]
        stays &= (end >= 0) & (end < counts[axis])
        stride *= counts[axis]
    return stays
