"""A triangle mesh in body axes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError


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
    first, second, third = triangles_m[:, 0], triangles_m[:, 1], triangles_m[:, 2]
    return np.cross(second - first, third - first) / 2.0
