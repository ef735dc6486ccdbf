"""Places spread over a surface and along its edges, the same at every run."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.edges import edge_table
from finial.shape.mesh import Mesh, area_vectors

GENTLE_RAD = np.radians(45.1)
"""An edge that turns by less is part of a rounding; one that turns by more is seen by its other face."""
_STEPS = (0.7548776662466927, 0.5698402909980532)
"""Multiples of these fill a square evenly, however many are taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfacePlaces:
    """Places on a surface, and the way out of it there."""

    points_m: NDArray[np.float64]
    outward: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Creases:
    """Places along edges, and what each stands for: length times mitre."""

    places: SurfacePlaces
    weight_m: NDArray[np.float64]


def places_on(mesh: Mesh, count: int) -> SurfacePlaces:
    r"""Places that each stand for the same share of the surface.

    .. math::  p = a + \sqrt{u} \, (1 - v) (b - a) + \sqrt{u} \, v (c - a)

    Parameters
    ----------
    mesh : Mesh
        Closed [m].
    count : int
        How many [-].

    Returns
    -------
    places : SurfacePlaces
        Points, shape (count, 3) [m], and normals of unit length, shape (count, 3) [-].

    Notes
    -----
    Every face is met as often as its area says, give or take one. Range: any closed mesh with a surface.

    References
    ----------
    .. [1] R. Osada and others, Shape distributions, ACM Trans. Graphics 21, 2002, from memory: even places
       on a triangle. M. Roberts, 2018, from memory: the two steps.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> places = places_on(post, 420)
    >>> int((np.abs(places.outward[:, 0]) > 0.5).sum())
    20
    """
    triangles = mesh.triangles_m
    normals = area_vectors(triangles)
    sizes = np.linalg.norm(normals, axis=1)
    owner = _shared(sizes, count)
    turn = np.arange(1, count + 1)[:, None] * np.array(_STEPS) % 1.0
    root, along = np.sqrt(turn[:, :1]), turn[:, 1:]
    a, b, c = np.moveaxis(triangles[owner], 1, 0)
    return SurfacePlaces(
        points_m=a + root * (1 - along) * (b - a) + root * along * (c - a),
        outward=normals[owner] / sizes[owner, None],
    )


def creases_on(mesh: Mesh, count: int) -> Creases:
    r"""Places along the edges that turn a little, and those that turn in, each by its mitre.

    .. math::  \sum_i l_i k_i, \qquad k = \tan(\theta / 2) \;(\theta > 0), \quad \theta / 2 \;(\theta < 0)

    Parameters
    ----------
    mesh : Mesh
        Closed [m].
    count : int
        How many places at most [-].

    Returns
    -------
    creases : Creases
        Weights, shape (k,), below zero where the surface turns in [m]; none for a shape of sharp edges alone.

    Notes
    -----
    Edges that turn out by 45 degrees or more are left out. Range: any closed mesh.

    References
    ----------
    .. [1] J. Steiner, 1840, from memory: area of an outline drawn in by a little.

    Examples
    --------
    A rounding of 16 faces turns out by nearly pi times its length.

    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=16, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> round(float(creases_on(post, 100).weight_m.sum()), 2)
    3.18
    """
    table = edge_table(mesh.faces)
    half, across = table.pairs.T
    one, other, ends = half // 3, across // 3, np.column_stack([table.tail[half], table.head[half]])
    normals = area_vectors(mesh.triangles_m)
    sizes = np.linalg.norm(normals, axis=1)
    whole = (sizes[one] > 0.0) & (sizes[other] > 0.0)
    one, other, ends = one[whole], other[whole], ends[whole]
    first, second = (normals[face] / sizes[face, None] for face in (one, other))
    along = np.diff(mesh.vertices_m[ends], axis=1)[:, 0]
    length = np.linalg.norm(along, axis=1)
    turned = np.sum(np.cross(first, second) * along, axis=1) / np.maximum(length, 1e-12)
    angle = np.arctan2(turned, np.sum(first * second, axis=1))
    mitre: NDArray[np.float64] = np.tan(np.clip(angle, 0.0, GENTLE_RAD) / 2)
    weight: NDArray[np.float64] = length * np.where(angle > 0.0, mitre, angle / 2)
    weight[angle > GENTLE_RAD] = 0.0
    weight[angle < -GENTLE_RAD] /= 2
    if not np.abs(weight).sum() > 0.0:
        return Creases(
            places=SurfacePlaces(points_m=np.empty((0, 3)), outward=np.empty((0, 3))), weight_m=np.empty(0)
        )
    owner = _shared(np.abs(weight), count)
    share = (np.arange(1, count + 1) * _STEPS[0] % 1.0)[:, None]
    start = mesh.vertices_m[ends[owner, 0]]
    middle = (first + second)[owner]
    return Creases(
        places=SurfacePlaces(
            points_m=start + share * along[owner],
            outward=middle / np.maximum(np.linalg.norm(middle, axis=1, keepdims=True), 1e-12),
        ),
        weight_m=np.sign(weight[owner]) * np.abs(weight).sum() / count,
    )


def _shared(sizes: NDArray[np.float64], count: int) -> NDArray[np.int64]:
    """Find what each of evenly spaced shares of the whole falls into."""
    upto: NDArray[np.float64] = np.cumsum(sizes)
    wanted: NDArray[np.float64] = (np.arange(count) + 0.5) / count * float(upto[-1])
    return np.searchsorted(upto, wanted)
