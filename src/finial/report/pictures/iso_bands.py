"""Where values on a raster reach an edge, as paths: contours run straight between the nodes."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

STEP: Final = 10
"""Units of a path from node to node."""
_CORNERS: Final = ((0, 0), (0, 1), (1, 1), (1, 0))
"""Row and column of a square's corners, one after the other round it."""


def iso_bands(values: NDArray[np.float64], edges: Sequence[float]) -> tuple[str, ...]:
    """Path of the part that reaches each edge: drawn one over the other they part the bands.

    The last row is on top, at 0 units; the first column at 0 units on the left.

    Examples
    --------
    >>> iso_bands(np.array([[0.0, 0.0], [1.0, 1.0]]), [0.5, 2.0])
    ('M10 5V0H0V5z', '')
    >>> iso_bands(np.ones((2, 4)), [0.5])
    ('M0 0h30v10h-30z',)
    """
    return tuple("".join([*_whole(values >= edge), *_parts(values, edge)]) for edge in edges)


def filled(values: NDArray[np.float64], air: NDArray[np.bool_], rounds: int = 3) -> NDArray[np.float64]:
    """Carry values into the shape from its neighbours, so that a contour ends at the wall, not in it."""
    known, found = air.copy(), np.where(air, values, 0.0)
    for _ in range(rounds):
        around, weight = np.zeros_like(found), np.zeros_like(found)
        for axis in (0, 1):
            for way in (1, -1):
                near = np.roll(known, way, axis)
                around += np.where(near, np.roll(found, way, axis), 0.0)
                weight += near
        told = ~known & (weight > 0)
        found[told] = around[told] / weight[told]
        known |= told
    return found


def _whole(reach: NDArray[np.bool_]) -> Iterator[str]:
    """Squares that reach the edge at all corners, each row's neighbours as one."""
    whole = reach[:-1, :-1] & reach[:-1, 1:] & reach[1:, 1:] & reach[1:, :-1]
    padded = np.pad(whole, ((0, 0), (1, 1))).astype(np.int8)
    turns = np.diff(padded, axis=1)
    rows, starts = np.nonzero(turns == 1)
    ends = np.nonzero(turns == -1)[1]
    for row, start, end in zip(rows.tolist(), starts.tolist(), ends.tolist(), strict=True):
        wide, top = STEP * (end - start), STEP * (len(whole) - 1 - row)
        yield f"M{STEP * start} {top}h{wide}v{STEP}h-{wide}z"


def _parts(values: NDArray[np.float64], edge: float) -> Iterator[str]:
    """Squares that the contour goes through, cut by it."""
    corners = np.stack([values[row : len(values) - 1 + row, column : values.shape[1] - 1 + column]
                        for row, column in _CORNERS])  # fmt: skip
    reach = corners >= edge
    cut = reach.any(axis=0) & ~reach.all(axis=0)
    rows, columns = np.nonzero(cut)
    here, inside = corners[:, cut], reach[:, cut]
    after, inside_after = np.roll(here, -1, axis=0), np.roll(inside, -1, axis=0)
    crossed = inside != inside_after
    share = np.where(crossed, (edge - here) / np.where(crossed, after - here, 1.0), 0.0)
    turn = np.array(_CORNERS, dtype=float)
    onward = np.roll(turn, -1, axis=0) - turn
    places = np.stack([turn[:, None, :] + np.zeros_like(share)[..., None],
                       turn[:, None, :] + share[..., None] * onward[:, None, :]])  # fmt: skip
    x = np.rint(STEP * (columns + places[..., 1])).astype(int)
    y = np.rint(STEP * (len(values) - 1 - rows - places[..., 0])).astype(int)
    wanted = np.stack([inside, crossed])
    for number in range(len(rows)):
        points = [
            (int(x[kind, corner, number]), int(y[kind, corner, number]))
            for corner in range(len(_CORNERS))
            for kind in (0, 1)
            if wanted[kind, corner, number]
        ]
        yield path(points, closed=True)


def path(points: Sequence[tuple[int, int]], *, closed: bool = False) -> str:
    """Write a line through whole units in few letters; empty where it has no length.

    Examples
    --------
    >>> path([(0, 0), (0, 5), (3, 5), (3, 5), (4, 9)])
    'M0 0V5H3L4 9'
    """
    kept = [points[0], *(new for old, new in pairwise(points) if new != old)]
    if len(set(kept)) < (3 if closed else 2):
        return ""
    written = f"M{kept[0][0]} {kept[0][1]}"
    for (x, y), (u, v) in pairwise(kept):
        written += f"V{v}" if u == x else f"H{u}" if v == y else f"L{u} {v}"
    return written + ("z" if closed else "")
