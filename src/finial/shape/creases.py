"""Creases of a mesh: edges at which two faces meet at an angle, and corners at which more than two do."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.bodies import components
from finial.shape.mesh import Mesh, area_vectors

ASKEW_RAD = float(np.radians(1.5))
"""What leans by less than this is flat, or runs straight across, and stands a little askew."""
_FOLD_RAD, _SHARP_RAD = np.radians(2.0), np.radians(20.0)
"""Less than the first is flat; what folds by the second is an edge, not part of a rounding."""
_LONG = 1.8
"""So is a crease so many times as long as the faces beside it are wide."""
_CORNER = 1e-7
_MOST_RIDGES = 20

_Column = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A place where flat faces or ridges look along the axis: its first and last station [m]."""

    fore_m: float
    aft_m: float
    looks: int = 0
    """1 where its faces look ahead, -1 where they look aft, 0 where both do and for ridges."""


def level_creases(mesh: Mesh, faces: NDArray[np.int64], *, sharp: bool = False) -> NDArray[np.int64]:
    """Edges across the axis, or a little askew, that faces fold at.

    Parameters
    ----------
    mesh : Mesh
        Mesh in body axes [m].
    faces : ndarray of int, shape (m, 3)
        The faces of it that are looked at: vertex numbers.
    sharp : bool
        Without those that only round something.

    Returns
    -------
    edges : ndarray of int, shape (e, 2)
        Vertex numbers.

    Notes
    -----
    Edges count that lean by less than 1.5 degrees and fold by 2 degrees or more: a line drawn across a flat
    face, as triangles need them, is no crease. Sharp ones fold by 20 degrees, or are nearly twice as long as
    the faces beside them are wide, as those of a cylinder that lies across.

    References
    ----------
    .. [1] No published method: as flat faces that stand a little askew.

    Examples
    --------
    A box has eight edges across its axis; the two lines across its ends are no creases.

    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> len(level_creases(post, post.faces))
    8
    """
    return _folds(mesh, faces, sharp=sharp)[0]


def ridges(mesh: Mesh, least_m: float) -> tuple[Step, ...]:
    """Stretches that creases across the axis take up from which all falls away, or to which all comes in.

    Parameters
    ----------
    mesh : Mesh
        Mesh in body axes [m].
    least_m : float
        Length from which on a ridge counts [m].

    Returns
    -------
    found : tuple of Step
        First and last station of each [m]; the longest, 20 at most.

    Notes
    -----
    Flat faces are not its business, and only sharp creases count. The ridge of a roof on a nave beside its
    tower, and the lower edge of a wedge: a plate there is as wide as the ridge is long, and no face is flat.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> corners = [[0.0, -0.1, 0.0], [0.0, 0.1, 0.0]]
    >>> corners += [[-0.1, y, z] for y in (-0.1, 0.1) for z in (-0.1, 0.1)]
    >>> faces = [[0, 2, 3], [1, 5, 4], [0, 3, 5], [0, 5, 1], [0, 1, 4], [0, 4, 2], [2, 4, 5], [2, 5, 3]]
    >>> roof = Mesh(vertices_m=np.array(corners), faces=np.array(faces))
    >>> [step.fore_m + 0.0 for step in ridges(roof, 0.05)]
    [0.0]
    """
    edges, least, most, steep = _folds(mesh, mesh.faces, sharp=True)
    stations = -mesh.vertices_m[:, 0]
    edges = edges[steep & ((least >= 0.0) | (most <= 0.0))]
    if not len(edges):
        return ()
    piece = components(len(stations), edges)[edges[:, 0]]
    gap = np.diff(mesh.vertices_m[edges], axis=1)[:, 0]
    length = np.bincount(piece, weights=np.hypot(gap[:, 1], gap[:, 2]))
    longest = np.argsort(-length)[:_MOST_RIDGES]
    each = [stations[edges[piece == number]] for number in longest[length[longest] >= least_m]]
    return tuple(Step(fore_m=float(own.min()), aft_m=float(own.max())) for own in each)


def _folds(
    mesh: Mesh, faces: NDArray[np.int64], *, sharp: bool
) -> tuple[NDArray[np.int64], _Column, _Column, NDArray[np.bool_]]:
    """Level creases, how far aft faces beside each lead, at least and at most, and where none is flat.

    Square to the crease: along it the corner of a facet that hardly falls may stand ahead of one that leans.
    """
    both = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    face, third = np.tile(np.arange(len(faces)), 3), np.concatenate([faces[:, 2], faces[:, 0], faces[:, 1]])
    gap = np.abs(mesh.vertices_m[both[:, 1]] - mesh.vertices_m[both[:, 0]])
    across = np.hypot(gap[:, 1], gap[:, 2])
    level = gap[:, 0] < np.tan(ASKEW_RAD) * across
    both, face, third = np.sort(both[level], axis=1), face[level], third[level]
    if not len(both):
        return both, np.empty(0), np.empty(0), np.empty(0, dtype=bool)
    keys = both[:, 0].astype(np.int64) * len(mesh.vertices_m) + both[:, 1]
    _, first, edge = np.unique(keys, return_index=True, return_inverse=True)
    number = np.bincount(edge)
    normals, area_m2 = _normals(mesh.vertices_m[faces[face]])
    mean = np.column_stack([np.bincount(edge, weights=each) for each in normals.T]) / number[:, None]
    even = np.linalg.norm(mean, axis=1)
    folded = (number > 1) & (even < np.cos(_FOLD_RAD / 2))
    if sharp:
        length = across[level][first]
        wide = np.bincount(edge, weights=2.0 * area_m2) / number / np.maximum(length, 1e-300)
        folded &= (even < np.cos(_SHARP_RAD / 2)) | (length > _LONG * wide)
    begin, end, beside = (mesh.vertices_m[each] for each in (both[:, 0], both[:, 1], third))
    along, off = end - begin, beside - begin
    share = np.sum(off * along, axis=1) / np.maximum(np.sum(along * along, axis=1), 1e-300)
    leads = share * along[:, 0] - off[:, 0]
    least, most = np.full(len(number), np.inf), np.full(len(number), -np.inf)
    np.minimum.at(least, edge, leads)
    np.maximum.at(most, edge, leads)
    flat = np.bincount(edge, weights=np.abs(normals[:, 0]) > np.cos(ASKEW_RAD)) > 0
    return both[first[folded]], least[folded], most[folded], ~flat[folded]


def corner_stations(mesh: Mesh) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Stations of a mesh's corners, those that level creases join together, and how long their creases are.

    Parameters
    ----------
    mesh : Mesh
        Mesh in body axes [m].

    Returns
    -------
    stations_m, lengths_m : ndarray, shape (n,)
        In no order [m]; no length for a corner without level creases.

    Notes
    -----
    A corner is where faces of three directions or more meet: vertices amid a flat face or along an edge,
    as finer triangles have them, are none. The rim of a tier that leans a little has the station of its mean.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> points = post.vertices_m + 0.01 * post.vertices_m[:, [1, 0, 0]] * [1.0, 0.0, 0.0]
    >>> stations, lengths = corner_stations(Mesh(vertices_m=points, faces=post.faces))
    >>> np.sort(stations).round(6).tolist(), lengths.round(3).tolist()
    ([0.0, 1.0], [0.4, 0.4])
    """
    corners, creases = stands_as_corner(mesh), level_creases(mesh, mesh.faces)
    piece = components(len(mesh.vertices_m), creases)
    gap = np.diff(mesh.vertices_m[creases], axis=1)[:, 0]
    size = int(piece.max(initial=-1)) + 1
    run = np.hypot(gap[:, 1], gap[:, 2])
    length = np.bincount(piece[creases[:, 0]], weights=run, minlength=size).astype(np.float64)
    of = piece[corners]
    mean = np.bincount(of, weights=-mesh.vertices_m[corners, 0], minlength=size)
    found = np.unique(of)
    return (mean / np.maximum(np.bincount(of, minlength=size), 1))[found], length[found]


def stands_as_corner(mesh: Mesh) -> NDArray[np.bool_]:
    r"""Tell whether the faces round each vertex look in three directions or more.

    .. math::  \det\left( \frac{\sum_f n_f n_f^T}{\max(k, 1)} \right) > \epsilon

    Parameters
    ----------
    mesh : Mesh
        Faces with normals :math:`n_f`, of which :math:`k` meet in a vertex.

    Returns
    -------
    corners : (n,) array of bool
        True where they do, and where fewer than three faces meet.

    Notes
    -----
    Any mesh; facets of a rounding, a degree or so apart, make no corner.

    References
    ----------
    .. [1] The determinant of a sum of products vanishes where all normals lie in a plane.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> block = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.1)])
    >>> bool(stands_as_corner(block).any())
    True
    """
    normals, _ = _normals(mesh.vertices_m[mesh.faces])
    spread = np.empty((len(mesh.vertices_m), 3, 3))
    vertex = mesh.faces.ravel()
    for row in range(3):
        for column in range(row, 3):
            product = np.repeat(normals[:, row] * normals[:, column], 3)
            spread[:, row, column] = spread[:, column, row] = np.bincount(
                vertex, weights=product, minlength=len(spread)
            )
    whole = np.trace(spread, axis1=1, axis2=2)
    few = np.bincount(vertex, minlength=len(spread)) < 3
    return few | (np.linalg.det(spread / np.maximum(whole, 1.0)[:, None, None]) > _CORNER)


def _normals(corners_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], _Column]:
    """Directions that triangles face, nothing for those without area, and their areas."""
    areas = area_vectors(corners_m)
    size = np.linalg.norm(areas, axis=1)
    return areas / np.where(size > 0.0, size, 1.0)[:, None], size
