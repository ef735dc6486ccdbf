"""Flat plates as closed meshes."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.core.kept_parts import kept


def slab_faces(flat: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """Triangles of a plate: its first side as told, its second turned over, and the rim between the two.

    Parameters
    ----------
    flat : ndarray, shape (t, 3)
        Triangles of one side by the numbers of its corners [-].
    count : int
        Corners of one side, in order round its outline; those of the other side follow in the same order [-].

    Returns
    -------
    faces : ndarray, shape (2 t + 2 count, 3)
        Triangles by the numbers of all corners [-].

    Raises
    ------
    MeshError
        If there are fewer than three corners.

    Notes
    -----
    Exact. Every edge is shared by two triangles that run it in opposite directions.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> slab_faces(np.array([[0, 1, 2]]), 3).shape
    (8, 3)
    """
    if count < 3:
        raise MeshError(f"a plate of {count} corners: at least 3 are needed")
    near, far = np.arange(count), np.roll(np.arange(count), -1)
    rim = np.concatenate(
        [np.stack([far, near, near + count], axis=1), np.stack([far, near + count, far + count], axis=1)]
    )
    return np.concatenate([flat, flat[:, ::-1] + count, rim])


@kept(32)
def flat_triangles(outline_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Turn an outline counter-clockwise and cut it into triangles.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order [m]; where edges cross, the hull stands for it.

    Returns
    -------
    outline_m : ndarray, shape (k, 2)
        Corners counter-clockwise [m].
    triangles : ndarray, shape (t, 3)
        By the numbers of corners [-]; none for an outline without area.

    Notes
    -----
    Exact to a nanometre.

    References
    ----------
    .. [1] Constrained Delaunay triangulation, of the geometry library.

    Examples
    --------
    >>> outline, triangles = flat_triangles(np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]]))
    >>> len(outline), len(triangles)
    (4, 2)
    """
    from shapely import constrained_delaunay_triangles, get_coordinates, get_parts
    from shapely.geometry import Polygon
    from shapely.geometry.polygon import orient

    drawn = Polygon(outline_m)
    # A finding says that its edges cross; the picture shows how far it reaches.
    shape = drawn if drawn.is_valid else drawn.convex_hull
    if not isinstance(shape, Polygon):
        return np.empty((0, 2)), np.empty((0, 3), dtype=np.int64)
    outline = np.asarray(orient(shape).exterior.coords)[:-1]
    index = {tuple(point): place for place, point in enumerate(np.round(outline, 9))}
    triangles = map(orient, get_parts(constrained_delaunay_triangles(Polygon(outline))))
    flat = np.array(
        [[index[tuple(point)] for point in np.round(get_coordinates(one)[:3], 9)] for one in triangles]
    )
    return outline, flat
