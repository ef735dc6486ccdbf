# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Crossings of lattice lines with triangles, line by line along one direction at a time."""

import math

import numpy as np

from finial.tunnel.cutting.compiled import inner, outer

HALF = np.array(
    [(i, j, k) for k in (0, 1) for j in (-1, 0, 1) for i in (-1, 0, 1) if (k, j, i) > (0, 0, 0)],
    dtype=np.int64,
)
"""The 13 directions of which no two are opposite: each leads to a cell of larger flat index."""
TOLERANCE = 1e-7
"""By which a triangle reaches over its edges [cells]: lines through an edge hit both its triangles, so none
slips through between them."""
_A_POINT = 1e-9


@outer
def crossings(points, triangles, first, counts, room):
    """Find where lattice lines cross triangles.

    Along a direction the lattice falls into parallel lines. Seen along them, a triangle stays a triangle and
    the lines are a plane square grid of points, so that each triangle meets just the lines whose points lie
    in it: rows of that grid are cut with the triangle's edges.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Corners, in cells from the centre of the first cell [cells].
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle [-].
    first : int
        Number of the first triangle [-].
    counts : ndarray of int, shape (3,)
        Cells of the box [-].
    room : tuple of ndarray, each of shape (k,)
        Overwritten: thirteen times the flat index of the piece's lower cell plus its direction, the way
        along it from there [-], and the triangle [-].

    Returns
    -------
    found : int
        Number of crossings; those beyond ``k`` were not written.

    References
    ----------
    .. [1] J. D. Foley et al., Computer Graphics: Principles and Practice, 2nd ed. 1990, section 3.6 (from
       memory): filling polygons by rows.
    """
    found = 0
    seen = np.empty((3, 3))
    low, span = np.empty(3), np.empty(3)
    out = room[0], room[1], room[2], np.empty(3, np.int64)
    for number in range(len(triangles)):
        for axis in range(3):
            a = points[triangles[number, 0], axis]
            b = points[triangles[number, 1], axis]
            c = points[triangles[number, 2], axis]
            low[axis] = min(a, b, c)
            span[axis] = max(a, b, c) - low[axis]
        if _is_beside(low, span, counts):
            continue
        for way in range(13):
            # Along the axis that the triangle reaches least on, the rows are the fewest.
            along = -1
            for axis in range(3):
                if HALF[way, axis] != 0 and (along < 0 or span[axis] < span[along]):
                    along = axis
            turn = HALF[way, along]
            for corner in range(3):
                point = points[triangles[number, corner]]
                other, last = (along + 1) % 3, (along + 2) % 3
                seen[corner, 0] = point[other] - turn * HALF[way, other] * point[along]
                seen[corner, 1] = point[last] - turn * HALF[way, last] * point[along]
                seen[corner, 2] = point[along]
            found = _lines_through(seen, (way, along, turn), first + number, counts, out, found)
    return found


@inner
def _is_beside(low, span, counts):
    """Say whether a triangle lies wholly beside the box."""
    for axis in range(3):
        if low[axis] > counts[axis] or low[axis] + span[axis] < -1.0:
            return True
    return False


@inner
def _lines_through(seen, direction, owner, counts, out, found):
    """Add the crossings of one triangle with the lines of one direction; ``seen``: across twice, along."""
    row, column = 0, 1
    reach_0 = max(seen[0, 0], seen[1, 0], seen[2, 0]) - min(seen[0, 0], seen[1, 0], seen[2, 0])
    reach_1 = max(seen[0, 1], seen[1, 1], seen[2, 1]) - min(seen[0, 1], seen[1, 1], seen[2, 1])
    if reach_1 < reach_0:
        row, column = 1, 0
    low = min(seen[0, row], seen[1, row], seen[2, row])
    high = max(seen[0, row], seen[1, row], seen[2, row])
    line = math.ceil(low - TOLERANCE)
    while line <= high + TOLERANCE:
        at = min(max(float(line), low), high)
        start, start_along, stop, stop_along = _row_through(seen, row, column, at)
        place = math.ceil(start - TOLERANCE)
        while place <= stop + TOLERANCE:
            share = 0.5
            if stop - start > _A_POINT:
                share = min(max((place - start) / (stop - start), 0.0), 1.0)
            along = start_along + share * (stop_along - start_along)
            if row == 0:
                found = _keep((line, place, along), direction, owner, counts, out, found)
            else:
                found = _keep((place, line, along), direction, owner, counts, out, found)
            place += 1
        line += 1
    return found


@inner
def _row_through(seen, row, column, at):
    """Both ends of a row inside a triangle: place across and along at the lower, then at the upper end."""
    start, stop = np.inf, -np.inf
    start_along, stop_along = 0.0, 0.0
    for corner in range(3):
        after = (corner + 1) % 3
        a, b = seen[corner, row], seen[after, row]
        if min(a, b) > at or max(a, b) < at:
            continue
        share = 0.0
        if a != b:
            share = (at - a) / (b - a)
        for _ in range(2):
            place = seen[corner, column] + share * (seen[after, column] - seen[corner, column])
            along = seen[corner, 2] + share * (seen[after, 2] - seen[corner, 2])
            if place < start:
                start, start_along = place, along
            if place > stop:
                stop, stop_along = place, along
            if a != b:
                break
            share = 1.0
    return start, start_along, stop, stop_along


@inner
def _keep(place, direction, owner, counts, out, found):
    """Write one crossing down, unless the piece of line leaves the box."""
    across, last_across, along = place
    way, axis, turn = direction
    pieces, shares, owners, cell = out
    whole = math.floor(along)
    share = along - whole
    other, last = (axis + 1) % 3, (axis + 2) % 3
    cell[axis] = whole
    cell[other] = across + turn * HALF[way, other] * whole
    cell[last] = last_across + turn * HALF[way, last] * whole
    if turn < 0:
        # The line was followed against its direction: the piece begins at the other end.
        for each in range(3):
            cell[each] -= HALF[way, each]
        share = 1.0 - share
    for each in range(3):
        if cell[each] < 0 or cell[each] >= counts[each]:
            return found
        if cell[each] + HALF[way, each] < 0 or cell[each] + HALF[way, each] >= counts[each]:
            return found
    if found < len(pieces):
        flat = (cell[2] * counts[1] + cell[1]) * counts[0] + cell[0]
        pieces[found] = flat * 13 + way
        shares[found] = share
        owners[found] = owner
    return found + 1
