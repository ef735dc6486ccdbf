"""Dense solve in blocks small enough that the linear algebra library stays on one core."""

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

_LARGEST_BLOCK = 96
"""OpenBLAS factors matrices of 100 rows and more on several threads. On a machine with other
work those threads wait for each other: a solve of 0.4 ms was seen to take 100 to 500 ms."""
_MOST_PRODUCTS = 64**3
"""OpenBLAS multiplies matrices on several threads where rows x inner x columns is more than this, and
its last bits then follow the number of threads: another process would get another answer."""


def solve_in_blocks(matrix: NDArray[np.float64], right: NDArray[np.float64]) -> NDArray[np.float64]:
    """Solve ``matrix @ x = right`` by block elimination.

    Parameters
    ----------
    matrix : ndarray, shape (n, n)
        Left side, in any unit [any].
    right : ndarray, shape (n, columns)
        Right sides [any].

    Returns
    -------
    x : ndarray, shape (n, columns)
        Unit of the right side over that of the left [any].

    Notes
    -----
    Rows are exchanged inside blocks only, so the leading blocks must not be close to
    singular: true for boundary-element matrices in their natural order. The same to the last
    bit however many threads the linear algebra library has, on machines of one type.

    References
    ----------
    .. [1] Block Gauss elimination: G. H. Golub and C. F. Van Loan, Matrix Computations, chapter 3; from
       memory, not re-read.

    Examples
    --------
    >>> matrix = np.diag([2.0] * 200) + np.eye(200, k=1)
    >>> x = solve_in_blocks(matrix, matrix @ np.ones((200, 1)))
    >>> bool(np.allclose(x, 1.0))
    True
    """
    size = len(matrix)
    count = -(-size // _LARGEST_BLOCK)
    edges = np.linspace(0, size, count + 1).astype(int)
    work, known = matrix.copy(), right.copy()
    rows: list[tuple[slice[int, int], NDArray[np.floating[Any]], NDArray[np.floating[Any]]]] = []
    for start, end in pairwise(edges):
        here, rest = slice(start, end), slice(end, size)
        both = np.linalg.solve(work[here, here], np.hstack([work[here, rest], known[here]]))
        ahead, answer = both[:, : size - end], both[:, size - end :]
        work[rest, rest] -= _times(work[rest, here], ahead)
        known[rest] -= _times(work[rest, here], answer)
        rows.append((here, ahead, answer))
    found = np.zeros_like(known)
    for here, ahead, answer in reversed(rows):
        found[here] = answer - _times(ahead, found[here.stop :])
    return found


def _times(left: NDArray[np.floating[Any]], right: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
    """Multiply a few rows at a time, so few that one thread does it."""
    inner, columns = right.shape
    few = max(_MOST_PRODUCTS // max(inner * columns, 1), 1)
    parts = [left[low : low + few] @ right for low in range(0, len(left), few)]
    return np.vstack(parts) if parts else np.zeros((0, columns))
