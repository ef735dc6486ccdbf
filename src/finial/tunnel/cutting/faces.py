"""Triangles on the lattice: their corners in cells, their normals, and all crossings with lattice lines."""

import numpy as np
from numpy.typing import NDArray

from finial.shape.bodies import body_of_each_face, turned_faces
from finial.shape.edges import edge_table
from finial.tunnel.cutting import crossings
from finial.tunnel.cutting.winding import closes, in_threads

_SWELL = 2e-4
"""By which corners move outward [cells]: cells whose centre lies on a face are inside, on all sides alike."""
_NUDGE = np.array([1.1e-6, 1.7e-6, 2.3e-6])
"""By which all corners are moved, for sheets that have no outside [cells]. No sum or difference is 0."""


def turned_alike(triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Turn the triangles that look the other way than their neighbours, in a mesh that does not close.

    Parameters
    ----------
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.

    Returns
    -------
    alike : ndarray of int, shape (m, 3)
        The same triangles in the same order; of a closed mesh untouched.

    Notes
    -----
    Exact where a body has two sides, as ``turned_faces``.

    References
    ----------
    .. [1] As ``turned_faces``.

    Examples
    --------
    >>> turned_alike(np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 2, 3]])).tolist()
    [[0, 2, 1], [0, 1, 3], [1, 2, 3], [3, 2, 0]]
    """
    if closes(triangles):
        return triangles
    edges = edge_table(triangles)
    turned = turned_faces(edges, body_of_each_face(edges))
    return np.where(turned[:, None], triangles[:, ::-1], triangles)


def in_cells(
    points_m: NDArray[np.float64],
    triangles: NDArray[np.int64],
    origin_m: tuple[float, float, float],
    cell_m: float,
) -> NDArray[np.float64]:
    """Give corners in cells from the centre of a box's first cell, swollen by a trifle.

    Parameters
    ----------
    points_m : ndarray, shape (n, 3)
        Corners [m].
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.
    origin_m : (float, float, float)
        Centre of the first cell [m].
    cell_m : float
        Size of a cell [m].

    Returns
    -------
    points : ndarray, shape (n, 3)
        [cells].

    Notes
    -----
    Each corner moves by 2e-4 cells along the mean of its triangles' normals, so that no cell's centre lies on
    a face; sheets without an outside are moved by 2e-6 cells.

    References
    ----------
    .. [1] After H. Edelsbrunner and E. P. Muecke, ACM Trans. Graphics 9, 1990 (from memory): ties are broken
       by a shift that is too small to see.

    Examples
    --------
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    >>> in_cells(corner, faces, (0.5, 0.5, 0.5), 0.5)[0].round(3).tolist()
    [-1.0, -1.0, -1.0]
    """
    points = (np.asarray(points_m, dtype=np.float64) - origin_m) / cell_m
    turned = doubled_normals(points, triangles)
    outward = np.empty_like(points)
    for axis in range(3):
        # Each triangle's area pulls at its three corners.
        pull = np.repeat(turned[:, axis], 3)
        outward[:, axis] = np.bincount(triangles.ravel(), pull, minlength=len(points))
    length = np.linalg.norm(outward, axis=1, keepdims=True)
    return points + _SWELL * outward / np.where(length > 0.0, length, 1.0) + _NUDGE


def all_crossings(
    points: NDArray[np.float64], triangles: NDArray[np.int64], counts: tuple[int, int, int]
) -> tuple[NDArray[np.int64], NDArray[np.float32], NDArray[np.int32]]:
    """Find all crossings of triangles with lattice lines.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Corners [cells].
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.
    counts : (int, int, int)
        Cells of the box.

    Returns
    -------
    found : tuple of ndarray, each of shape (k,)
        Piece (thirteen times its lower cell plus its direction), way along it from its lower cell over the
        whole piece [-], and triangle.

    Notes
    -----
    A line through an edge crosses both its triangles.

    References
    ----------
    .. [1] As ``crossings``.

    Examples
    --------
    >>> points = np.array([[0.25, -9.0, -9.0], [0.25, 9.0, -9.0], [0.25, 0.0, 9.0]])
    >>> [each.tolist() for each in all_crossings(points, np.array([[0, 1, 2]]), (2, 1, 1))]
    [[0], [0.25], [0]]
    """
    parts: dict[int, tuple[NDArray[np.int64], NDArray[np.float32], NDArray[np.int32]]] = {}
    whole = np.array(counts, dtype=np.int64)

    def work(start: int, stop: int) -> None:
        some = triangles[start:stop]
        # 13 directions of 1.42 cells on the mean, half of them square to a triangle: 9.3 to a square cell.
        most = 26.0 * counts[0] * counts[1] * counts[2]
        room = int(min(12 * areas(points, some).sum(), most)) + 4096
        while True:
            out = np.empty(room, np.int64), np.empty(room, np.float32), np.empty(room, np.int32)
            found = crossings.crossings(points, some, start, whole, out)
            if found <= room:
                parts[start] = out[0][:found], out[1][:found], out[2][:found]
                return
            room = found

    in_threads(len(triangles), work)
    columns = zip(*(parts[start] for start in sorted(parts)), strict=True)
    found, shares, owners = (np.concatenate(each) for each in columns)
    return found, shares, owners


def areas(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    """Give the area of each triangle.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Corners [any length].
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.

    Returns
    -------
    areas : ndarray, shape (m,)
        [that length^2].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> areas(np.eye(3) * 2.0, np.array([[0, 1, 2]])).round(4).tolist()
    [3.4641]
    """
    return 0.5 * np.linalg.norm(doubled_normals(points, triangles), axis=1)


def doubled_normals(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    """Give twice the area of each triangle times its normal.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Corners [any length].
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.

    Returns
    -------
    normals : ndarray, shape (m, 3)
        [that length^2].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> doubled_normals(np.array([[0.0, 0, 0], [2, 0, 0], [0, 2, 0]]), np.array([[0, 1, 2]])).tolist()
    [[0.0, 0.0, 4.0]]
    """
    a, b, c = (points[triangles[:, corner]] for corner in range(3))
    return np.cross(b - a, c - a)
