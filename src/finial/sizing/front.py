"""Which of many designs are worth a look: those that no other beats in everything."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange


def undominated(costs: ArrayLike) -> NDArray[np.bool_]:
    r"""Mark the designs on the Pareto front: nothing else is at least as good in all and better in one.

    .. math::  \{ i : \nexists j : c_j \le c_i \wedge c_j \ne c_i \}

    Parameters
    ----------
    costs : array_like, shape (n, k)
        Less is better in every column; a row that is not finite is never marked.

    Returns
    -------
    marked : ndarray of bool, shape (n,)

    Raises
    ------
    OutsideRange
        If the costs are no table.

    Notes
    -----
    Compares every pair: 10 000 designs take a second.

    References
    ----------
    .. [1] Pareto optimality; any text on optimisation with several aims.

    Examples
    --------
    >>> undominated([[1, 3], [2, 2], [3, 1], [3, 3]]).tolist()
    [True, True, True, False]
    """
    table = np.asarray(costs, dtype=float)
    if table.ndim != 2:
        raise OutsideRange(f"costs of shape {table.shape}: accepted is one row for each design")
    finite = np.all(np.isfinite(table), axis=1)
    marked = finite.copy()
    for index in np.flatnonzero(finite):
        no_worse = np.all(table[finite] <= table[index], axis=1)
        better = np.any(table[finite] < table[index], axis=1)
        marked[index] = not np.any(no_worse & better)
    return marked
