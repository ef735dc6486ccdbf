"""Cells at walls: where they and their links lie, and sums over what lies beside them."""

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.lattice import STEPS
from finial.tunnel.links import GridBox, Links


def summed_by(rows: NDArray[np.float64], slot: NDArray[np.int64], count: int) -> NDArray[np.float64]:
    r"""Add up the rows that belong to each slot.

    .. math::  a_{sk} = \sum_{n: \, slot_n = s} r_{nk}

    Parameters
    ----------
    rows : ndarray, shape (n, columns)
        What is added, of whatever unit [any unit].
    slot : ndarray of int, shape (n,)
        Of each row, 0 to ``count`` - 1 [-].
    count : int
        Slots [-].

    Returns
    -------
    added : ndarray, shape (count, columns)
        Sums, 0 for a slot without rows [any unit].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> summed_by(np.array([[1.0], [2.0], [4.0]]), np.array([0, 1, 1]), 3).tolist()
    [[1.0], [6.0], [0.0]]
    """
    added = np.zeros((count, rows.shape[1]))
    np.add.at(added, slot, rows)
    return added


def summed_round(rows: NDArray[np.float64], cells: NDArray[np.int64], box: GridBox) -> NDArray[np.float64]:
    r"""Add up the rows of each cell and of its 26 neighbours, as far as they have any.

    .. math::  a_{ck} = \sum_{d = 0}^{26} r_{c + d, \, k}

    Parameters
    ----------
    rows : ndarray, shape (c, columns)
        Of each cell [any unit].
    cells : ndarray of int, shape (c,)
        Their flat indices, rising, each once.
    box : GridBox

    Returns
    -------
    added : ndarray, shape (c, columns)
        [any unit].

    Notes
    -----
    Exact for cells that are not on the rim of their box.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(8, 8, 8))
    >>> summed_round(np.array([[1.0], [2.0], [4.0]]), np.array([100, 101, 103]), box).ravel().tolist()
    [3.0, 3.0, 4.0]
    """
    added = np.zeros_like(rows)
    for offset in flat_steps(box):
        beside: NDArray[np.int64] = cells + offset
        at = np.minimum(np.searchsorted(cells, beside), len(cells) - 1)
        added += np.where((cells[at] == beside)[:, None], rows[at], 0.0)
    return added


def flat_steps(box: GridBox) -> NDArray[np.int64]:
    r"""Give the step to the neighbour of each direction.

    .. math::  (c_k \, n_j + c_j) \, n_i + c_i

    Parameters
    ----------
    box : GridBox

    Returns
    -------
    steps : ndarray of int, shape (27,)
        In flat indices of the box [-].

    Notes
    -----
    Exact for cells that are not on the rim of their box.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> flat_steps(GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(4, 5, 6)))[:7].tolist()
    [0, 20, -20, 4, -4, 1, -1]
    """
    return (STEPS[:, 2] * box.counts[1] + STEPS[:, 1]) * box.counts[0] + STEPS[:, 0]


def in_cells(links: Links, box: GridBox) -> NDArray[np.float64]:
    r"""Tell where links meet the wall.

    .. math::  x = x_c + q \, c_l

    with :math:`x_c` the middle of the link's cell, :math:`q` its share and :math:`c_l` its direction.

    Parameters
    ----------
    links : Links
    box : GridBox

    Returns
    -------
    places : ndarray, shape (l, 3)
        From the middle of the box's first cell [cells].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> one = Links(cells=np.array([5]), directions=np.array([5]), shares=np.array([0.5], np.float32),
    ...             normals=np.array([[-1, 0, 0]], np.float32), outside=np.array([True]))
    >>> in_cells(one, GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(4, 4, 4))).tolist()
    [[1.5, 1.0, 0.0]]
    """
    rows, i = np.divmod(links.cells, box.counts[0])
    k, j = np.divmod(rows, box.counts[1])
    shares = links.shares.astype(np.float64)
    return np.stack([i, j, k], axis=1).astype(np.float64) + shares[:, None] * STEPS[links.directions]
