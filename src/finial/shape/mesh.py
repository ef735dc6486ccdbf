"""A triangle mesh in body axes."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError

FACES_AT_ONCE: Final = 32_768
"""Faces that are looked at together: what is done with so few stays in the nearest memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Triangles in metres, counter-clockwise seen from outside.

    ``vertices_m`` has shape (n, 3), ``faces`` shape (m, 3). Both are read-only.

    Raises
    ------
    MeshError
        If the arrays have other shapes, a coordinate is not finite, or a face
        names a vertex that is not there.
    """

    vertices_m: NDArray[np.float64]
    faces: NDArray[np.int64]

    def __post_init__(self) -> None:
        """Check the arrays and lock them."""
        vertices = np.array(self.vertices_m, dtype=np.float64)
        faces = np.array(self.faces, dtype=np.int64)
        if vertices.ndim != 2 or vertices.shape[1] != 3 or faces.ndim != 2 or faces.shape[1] != 3:
            raise MeshError(
                f"a mesh needs (n, 3) vertices and (m, 3) faces: got {vertices.shape}, {faces.shape}"
            )
        if not np.isfinite(vertices).all():
            bad = int((~np.isfinite(vertices).all(axis=1)).argmax())
            raise MeshError(f"vertex {bad} has a coordinate that is not a finite number")
        if len(faces) and not 0 <= faces.min() <= faces.max() < len(vertices):
            raise MeshError(f"a face names a vertex outside 0 to {len(vertices) - 1}")
        vertices.flags.writeable = False
        faces.flags.writeable = False
        object.__setattr__(self, "vertices_m", vertices)
        object.__setattr__(self, "faces", faces)

    @property
    def triangles_m(self) -> NDArray[np.float64]:
        """Corner coordinates [m], shape (m, 3, 3): face, corner, axis."""
        return self.vertices_m[self.faces]

    def corner_columns_m(self) -> Iterator[NDArray[np.float64]]:
        """Give corners number by number, some faces at a time.

        Returns
        -------
        columns : iterator of ndarray, shape (3, 3, k)
            Axis, corner, face [m].

        Notes
        -----
        Sums of three are far quicker so, and what is done with so few faces stays in the nearest memory.

        References
        ----------
        .. [1] Bookkeeping; no formula.

        Examples
        --------
        >>> flat = Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 2, 0]], faces=[[0, 1, 2]])
        >>> [columns[1, :, 0].tolist() for columns in flat.corner_columns_m()]
        [[0.0, 0.0, 2.0]]
        """
        columns = np.ascontiguousarray(self.vertices_m.T)
        for low in range(0, max(len(self.faces), 1), FACES_AT_ONCE):
            yield np.take(columns, np.ascontiguousarray(self.faces[low : low + FACES_AT_ONCE].T), axis=1)


def area_vectors(triangles_m: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Tell which way triangles face and how large they are.

    .. math:: \mathbf{A} = \tfrac{1}{2} (\mathbf{b} - \mathbf{a}) \times (\mathbf{c} - \mathbf{a})

    Parameters
    ----------
    triangles_m : ndarray, shape (n, 3, 3)
        Corners a, b, c of each, counter-clockwise seen from where it faces [m].

    Returns
    -------
    areas : ndarray, shape (n, 3)
        Square to each triangle, as long as its area [m^2]; zero for one without area.

    Notes
    -----
    Any triangles.

    References
    ----------
    .. [1] Definition of the vector area.

    Examples
    --------
    >>> area_vectors(np.array([[[0.0, 0, 0], [2, 0, 0], [0, 2, 0]]])).tolist()
    [[0.0, 0.0, 2.0]]
    """
    return area_columns(triangles_m.transpose(2, 1, 0)).T


def area_columns(corners_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area vectors as :func:`area_vectors`, of corners as ``Mesh.corner_columns_m`` gives them.

    Parameters
    ----------
    corners_m : ndarray, shape (3, 3, n)
        Axis, corner, triangle [m].

    Returns
    -------
    areas : ndarray, shape (3, n)
        Axis, triangle [m^2].

    Notes
    -----
    Any triangles.

    References
    ----------
    .. [1] Definition of the vector area.

    Examples
    --------
    >>> area_columns(np.array([[[0.0], [2], [0]], [[0], [0], [2]], [[0], [0], [0]]]))[2].tolist()
    [2.0]
    """
    return crossed(corners_m[:, 1] - corners_m[:, 0], corners_m[:, 2] - corners_m[:, 0]) / 2.0


def crossed(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cross products of vectors that stand as columns: NumPy's own takes rows, and twice as long.

    Parameters
    ----------
    one, other : ndarray, shape (3, n)
        Vectors [any].

    Returns
    -------
    products : ndarray, shape (3, n)
        One for each pair [product of both units].

    Notes
    -----
    Bit by bit as NumPy's.

    References
    ----------
    .. [1] Definition of the cross product.

    Examples
    --------
    >>> crossed(np.array([[1.0], [0.0], [0.0]]), np.array([[0.0], [1.0], [0.0]])).ravel().tolist()
    [0.0, 0.0, 1.0]
    """
    (x, y, z), (a, b, c) = one, other
    return np.stack([y * c - z * b, z * a - x * c, x * b - y * a])


def used_only(faces: NDArray[np.int64], count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Corners that faces use, and the faces by their places among these.

    Parameters
    ----------
    faces : ndarray of int, shape (m, 3)
        Corner numbers, below ``count``.
    count : int
        Corners there are.

    Returns
    -------
    used : ndarray of int, shape (k,)
        Numbers of the corners in use, rising.
    faces : ndarray of int, shape (m, 3)
        Places in ``used``.

    Notes
    -----
    As NumPy's ``unique`` with its inverse, without a sort.

    References
    ----------
    .. [1] Bookkeeping; no formula.

    Examples
    --------
    >>> [found.tolist() for found in used_only(np.array([[4, 1, 7]]), 9)]
    [[1, 4, 7], [[1, 0, 2]]]
    """
    there = np.zeros(count, dtype=bool)
    there[faces] = True
    return np.flatnonzero(there), (np.cumsum(there) - 1)[faces]
