"""How much of a print's walls is counted twice: where they meet in bars, spires and corners."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.kept_parts import kept
from finial.mass.surface_places import GENTLE_RAD, Creases, SurfacePlaces, creases_on, places_on
from finial.shape.repair import Repaired
from finial.shape.united import Body, mesh_of, united

_PLACES = 700
_CREASES = 300
_AROUND = 8
_LEAN_RAD = np.radians(60.0)
"""Slanting looks go so far off the straight way in, and see walls that turn by more than a crease does."""
_REACH = 3.0
"""Walls: a wall that bounds this one stands no farther along a slanting look."""
_GENTLE = 1.0 - np.cos(GENTLE_RAD)
_OPPOSITE = 1.5
"""One less the cosine from which a wall stands opposite: the look straight in sees how thick it is there."""
_START = 1e-3
"""Walls: looks begin so far inside the surface, past what rounding leaves of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shape:
    """A part as one solid, and where its walls are looked at: the same for walls of any thickness."""

    solid: Body
    places: SurfacePlaces
    looks: NDArray[np.float64]
    creases: Creases
    surface_m2: float


def wall_share(part: Repaired, wall_m: float) -> float:
    r"""Plastic in the walls over wall thickness times surface.

    .. math::  c = \frac{1}{S w} \left( \int \min(w, s) \, dS - \sum_i l_i \, k_i \min(w, s_i)^2 \right)

    Parameters
    ----------
    part : Repaired
        One part in body axes [m].
    wall_m : float
        Thickness of its walls, :math:`w` [m].

    Returns
    -------
    share : float
        1 for walls that never meet, down to 0 for a sheet [-]; 1 also where bodies cannot be united.

    Raises
    ------
    OutsideRange
        If the wall is not above zero.

    Notes
    -----
    What lies nearer to the surface :math:`S` than a wall is laid as wall, each place of it once:
    :math:`s` is how deep the ball that touches the surface at a place may grow until it touches another
    wall, half the thickness of a plate, and the distance from a square edge near one. One look straight
    in and eight slanting all round find that wall, at 700 places over the surface. Edges that turn out by
    45 degrees or less, of length :math:`l_i`, have a mitre of :math:`k_i = \tan(\theta_i / 2)`,
    what turns in a sector of :math:`\theta_i / 2` more, half of it where it turns by more: such edges
    meet. Bars of 5 mm along, across and aslant come within 1.5 %, their lattice within 3 %.

    References
    ----------
    .. [1] What slicing programs lay down: lines along the outline and whole layers under roofs,
       inwards, until none fits (common practice).
    .. [2] H. Blum, A transformation for extracting new descriptors of shape, 1967, from memory: the balls
       within a shape that touch it twice.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    >>> round(wall_share(post, 0.002), 2), round(wall_share(post, 0.06), 2)
    (0.98, 0.4)
    """
    require_positive(wall_m=wall_m)
    return _share(part, wall_m)


# The weight of a part, and its infill, are moved on the page: what its mesh says stays.
@kept(64)
def _share(part: Repaired, wall_m: float) -> float:
    shape = _shape(part)
    if shape is None:
        return 1.0
    depth = float(_depths(shape.solid, shape.places, shape.looks, wall_m).mean()) / wall_m
    creases = shape.creases
    bent = float((creases.weight_m * _bent(shape.solid, creases.places, wall_m) ** 2).sum())
    return float(np.clip(depth - bent / (shape.surface_m2 * wall_m), 0.0, 1.0))


# A search tries hundreds of thicknesses of the same parts.
@kept(16)
def _shape(part: Repaired) -> _Shape | None:
    solid = united(part)
    if solid is None:
        return None
    mesh = mesh_of(solid)
    places = places_on(mesh, _PLACES)
    return _Shape(
        solid=solid,
        places=places,
        looks=_looks(places.outward),
        creases=creases_on(mesh, _CREASES),
        surface_m2=solid.surface_area(),
    )


def _bent(solid: Body, edges: SurfacePlaces, wall_m: float) -> NDArray[np.float64]:
    """Depth of the walls at edges that hardly turn, seen along the middle between their faces."""
    return _depths(solid, edges, -edges.outward[:, None], wall_m)


def _looks(outward: NDArray[np.float64]) -> NDArray[np.float64]:
    """Ways to look from places, shape (n, 9, 3): straight in, and slanting all round, no two places alike."""
    turns = 2 * np.pi * np.arange(_AROUND) / _AROUND
    first = np.cross(outward, np.eye(3)[np.argmin(np.abs(outward), axis=1)])
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    second = np.cross(outward, first)
    about = (turns + np.arange(len(outward))[:, None] * np.pi * (3 - np.sqrt(5)))[..., None]
    aside = np.cos(about) * first[:, None] + np.sin(about) * second[:, None]
    slanting = np.sin(_LEAN_RAD) * aside - np.cos(_LEAN_RAD) * outward[:, None]
    return np.concatenate([-outward[:, None], slanting], axis=1)


def _depths(
    solid: Body, places: SurfacePlaces, looks: NDArray[np.float64], wall_m: float
) -> NDArray[np.float64]:
    """How far balls that touch the surface at places grow, at most to a wall, by what is looked at."""
    starts = places.points_m - _START * wall_m * places.outward
    ends = starts[:, None] + _REACH * wall_m * looks
    depths = np.full(len(starts), wall_m)
    seen = [
        (owner, number, *hits[0].position, *hits[0].normal)
        for owner, (start, row) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True))
        for number, end in enumerate(row)
        if (hits := solid.ray_cast(start, end))
    ]
    if not seen:
        return depths
    found = np.array(seen)
    owner, straight, normals = found[:, 0].astype(np.int64), found[:, 1] == 0, found[:, 5:]
    facing = 1.0 - np.sum(places.outward[owner] * normals, axis=1)
    away = np.sum((found[:, 2:5] - places.points_m[owner]) * normals, axis=1)
    bounds = (facing > _GENTLE) & (straight | (facing < _OPPOSITE))
    np.minimum.at(depths, owner[bounds], np.maximum(away[bounds], 0.0) / facing[bounds])
    return depths
