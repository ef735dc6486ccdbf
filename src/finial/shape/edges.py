"""Edges of a mesh and the faces that meet there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.alike import in_order


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeTable:
    """Half-edges grouped by the edge they lie on.

    Half-edge ``h`` belongs to face ``h // 3`` and runs from ``tail[h]`` to ``head[h]``.
    ``order`` lists the half-edges edge by edge; edge ``e`` owns ``count[e]`` of them
    from ``start[e]``.
    """

    tail: NDArray[np.int64]
    head: NDArray[np.int64]
    order: NDArray[np.int64]
    start: NDArray[np.int64]
    count: NDArray[np.int64]

    @property
    def open_half_edges(self) -> NDArray[np.int64]:
        """Half-edges on the rim of a hole: one face only."""
        return self.order[self.start[self.count == 1]]

    @property
    def pairs(self) -> NDArray[np.int64]:
        """Half-edges that meet in twos, shape (p, 2).

        Where four or more faces meet, two bodies touch. A file lists its bodies one after
        another, so half-edges taken in twos in file order belong to one body.
        """
        if (self.count == 2).all():
            return self.order.reshape(-1, 2)
        even = self.count % 2 == 0
        start = np.repeat(self.start[even], self.count[even] // 2)
        nth = np.arange(len(start)) - np.repeat(
            np.cumsum(self.count[even] // 2) - self.count[even] // 2, self.count[even] // 2
        )
        return np.column_stack([self.order[start + 2 * nth], self.order[start + 2 * nth + 1]])


def edge_table(faces: NDArray[np.int64]) -> EdgeTable:
    """Group the half-edges of triangles by the edge they lie on.

    Parameters
    ----------
    faces : ndarray of int, shape (m, 3)
        Vertex numbers of each face, at least one face.

    Returns
    -------
    edges : EdgeTable
        Half-edge ``3 f + k`` runs from corner ``k`` of face ``f`` to its next corner.

    Notes
    -----
    Exact, in O(m log m). Holds for any number of faces at an edge; vertices that only lie on
    one another are different vertices (see ``welded``).

    References
    ----------
    .. [1] Definition of a half-edge table: an edge is the unordered pair of its two vertices.

    Examples
    --------
    >>> table = edge_table(np.array([[0, 1, 2], [2, 1, 3]]))
    >>> table.count.tolist(), table.pairs.tolist()
    ([1, 1, 2, 1, 1], [[1, 3]])
    """
    tail = faces.reshape(-1)
    head = np.roll(faces, -1, axis=1).reshape(-1)
    key = np.minimum(tail, head) * (int(faces.max()) + 1) + np.maximum(tail, head)
    order = in_order(key)
    ranked = key[order]
    start = np.flatnonzero(np.concatenate([[True], ranked[1:] != ranked[:-1]]))
    count = np.diff(np.append(start, len(ranked)))
    return EdgeTable(tail=tail, head=head, order=order, start=start, count=count)
