# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Insides of all cells, from those at the surface: rows swept between their cut pieces."""

from finial.tunnel.cutting.compiled import outer


@outer
def sweep_rows(cells, rows, up, inside, stride, votes):
    """Vote for each cell of every row along one axis; a row without cuts lies outside.

    Parameters
    ----------
    cells : ndarray of int, shape (l,)
        Flat index of the cell at one end of each cut piece along this axis: rows one after another, rising
        within each [-].
    rows : ndarray of int, shape (l,)
        Number of the row that it lies in [-].
    up : ndarray of bool, shape (l,)
        The piece leads onward from that cell, not back [-].
    inside : ndarray of bool, shape (l,)
        That cell lies inside [-].
    stride : int
        Flat steps to the next cell of the row [-].
    votes : ndarray of int8, shape (all cells,)
        Raised by one for each cell that this axis finds inside [-].

    References
    ----------
    .. [1] Definition: between two cuts nothing changes.
    """
    for number in range(len(cells)):
        if up[number]:
            continue
        if not inside[number]:
            continue
        start = stop = cells[number]
        if number + 1 < len(cells) and up[number + 1] and rows[number + 1] == rows[number]:
            stop = cells[number + 1]
        for cell in range(start, stop + 1, stride):
            votes[cell] += 1
