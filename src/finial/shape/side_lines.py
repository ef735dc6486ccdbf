"""What is seen of a solid from one side: outlines and sharp edges that nothing hides."""

import math

import numpy as np
from numpy.typing import NDArray

from finial.shape.mesh import area_vectors

_SHARP = math.cos(math.radians(25.0))
"""Cosine of the least angle between faces whose edge is drawn [-]; chosen: circles have finer facets."""
_BEHIND = 1e-5
"""What lies this far behind another face over the size of the whole is hidden [-]."""


def side_lines(vertices_m: NDArray[np.float64], faces: NDArray[np.int64]) -> NDArray[np.float64]:
    """Lines of a solid seen along y, from the side of negative y.

    Parameters
    ----------
    vertices_m : ndarray, shape (V, 3)
        Corners [m].
    faces : ndarray, shape (F, 3)
        Corner numbers of closed bodies, outward counter-clockwise [-].

    Returns
    -------
    lines_m : ndarray, shape (L, 2, 2)
        Both ends of each line, x to the right and z up [m].

    Notes
    -----
    Outlines, and edges between faces that part by 25 degrees or more. An edge is shown whole or not at all,
    by its middle: where something hides half of one, the picture is wrong by that half.

    References
    ----------
    .. [1] Definition: parallel projection; an edge is hidden where a face lies between it and the eye.

    Examples
    --------
    >>> corners = np.array([[x, y, z] for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])
    >>> sides = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    >>> faces = np.array([one for a, b, c, d in sides for one in ((a, b, c), (a, c, d))])
    >>> len(side_lines(corners, faces))
    4
    """
    normals = _normals(vertices_m, faces)
    facing = normals[:, 1] < -1e-9
    edges, pairs = _edges(faces)
    first, second = pairs.T
    is_outline = facing[first] != facing[second]
    is_sharp = facing[first] & facing[second] & ((normals[first] * normals[second]).sum(axis=1) < _SHARP)
    ends = vertices_m[edges[is_outline | is_sharp]]
    return _unhidden(ends, vertices_m[faces[facing]], float(np.ptp(vertices_m, axis=0).max(initial=0.0)))


def _normals(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> NDArray[np.float64]:
    across = area_vectors(vertices[faces])
    return across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-300)


def _edges(faces: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Every edge that two faces share, and those two."""
    edges = np.sort(faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    owners = np.repeat(np.arange(len(faces)), 3)
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    edges, owners = edges[order], owners[order]
    same = np.flatnonzero((edges[:-1] == edges[1:]).all(axis=1))
    return edges[same], np.stack([owners[same], owners[same + 1]], axis=1)


def _unhidden(ends: NDArray[np.float64], facing: NDArray[np.float64], size: float) -> NDArray[np.float64]:
    """Leave out lines whose middle lies behind a face that looks at the eye."""
    import shapely

    middles = ends.mean(axis=1)
    tree = shapely.STRtree([shapely.Polygon(one) for one in facing[:, :, [0, 2]]])
    at = [shapely.Point(one) for one in middles[:, [0, 2]]]
    line, face = tree.query(at, predicate="intersects")
    depth = _depth(facing[face], middles[line][:, [0, 2]])
    hidden = np.unique(line[depth < middles[line, 1] - _BEHIND * size])
    return np.delete(ends, hidden, axis=0)[:, :, [0, 2]]


def _depth(triangles: NDArray[np.float64], at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height y of the plane of each triangle at (x, z); none of them stands edge-on."""
    a, normal = triangles[:, 0], area_vectors(triangles)
    along = normal[:, 0] * (at[:, 0] - a[:, 0]) + normal[:, 2] * (at[:, 1] - a[:, 2])
    return a[:, 1] - along / normal[:, 1]
