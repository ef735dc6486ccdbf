# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Pieces of lattice lines: crossings of one piece taken together, and cells that hang together."""

from finial.tunnel.cutting.compiled import inner, outer
from finial.tunnel.cutting.crossings import HALF


@outer
def nearest(order, pieces, shares, owners, out):
    """Take the crossings of each piece together: the nearest from either end.

    Parameters
    ----------
    order : ndarray of int, shape (k,)
        Order of the crossings by piece [-].
    pieces, shares, owners : ndarray, shape (k,)
        As found [-].
    out : tuple of ndarray, each of shape (k,)
        Overwritten: piece, share and triangle nearest to its lower cell, then to its upper [-].

    Returns
    -------
    found : int
        Number of pieces.

    References
    ----------
    .. [1] Definition.
    """
    piece, near, near_owner, far, far_owner = out
    found = -1
    for place in order:
        share, owner = shares[place], owners[place]
        if found < 0 or pieces[place] != piece[found]:
            found += 1
            piece[found] = pieces[place]
            near[found] = far[found] = share
            near_owner[found] = far_owner[found] = owner
        elif share < near[found]:
            near[found], near_owner[found] = share, owner
        elif share > far[found]:
            far[found], far_owner[found] = share, owner
    return found + 1


@outer
def hang_together(cells, cut, counts, group):
    """Join cells that an uncut piece leads between.

    Parameters
    ----------
    cells : ndarray of int, shape (c,)
        Flat indices, rising [-].
    cut : ndarray of int, shape (c,)
        A bit for each of the 13 directions: that piece from this cell is cut [-].
    counts : ndarray of int, shape (3,)
        Cells of the box [-].
    group : ndarray of int, shape (c,)
        Overwritten: the same number for all that hang together, that of one of them [-].

    References
    ----------
    .. [1] R. E. Tarjan, J. ACM 22, 1975 (from memory): sets that are joined.
    """
    for number in range(len(cells)):
        group[number] = number
    for way in range(13):
        step = (HALF[way, 2] * counts[1] + HALF[way, 1]) * counts[0] + HALF[way, 0]
        ahead = 0
        for number in range(len(cells)):
            # Both rise, so the cell ahead is found by walking on.
            while ahead < len(cells) and cells[ahead] < cells[number] + step:
                ahead += 1
            if ahead == len(cells):
                break
            if cells[ahead] != cells[number] + step or cut[number] >> way & 1:
                continue
            if _stays_inside(cells[number], way, counts):
                _join(group, number, ahead)
    for number in range(len(cells)):
        group[number] = _root(group, number)


@inner
def _stays_inside(cell, way, counts):
    """Say whether a step from a cell stays in the box."""
    i = cell % counts[0] + HALF[way, 0]
    j = cell // counts[0] % counts[1] + HALF[way, 1]
    k = cell // (counts[0] * counts[1]) + HALF[way, 2]
    return 0 <= i < counts[0] and 0 <= j < counts[1] and 0 <= k < counts[2]


@inner
def _root(group, number):
    """Find the cell that stands for a cell's set, and shorten the way to it."""
    while group[number] != number:
        group[number] = group[group[number]]
        number = group[number]
    return number


@inner
def _join(group, one, other):
    """Make one set of two."""
    first, second = _root(group, one), _root(group, other)
    if first < second:
        group[second] = first
    else:
        group[first] = second
