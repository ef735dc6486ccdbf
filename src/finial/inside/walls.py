# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Walls as they are drawn: how thick the mesh really is, and where prints take each other's room."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.inside.cavity import Cavity, Printed, is_step, regions_of

INNER_PAST_BASE_M = 0.05
"""How far an inner part, such as a motor tube, may reach past the base [m]; common practice."""
_BESIDE_END_M = 2e-3
"""How far from the ends of a part a cut is no edge [m]."""
_LEAST_AREA_M2 = 1e-6
"""An overlap of prints smaller than this is the facets' doing [m^2]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnWall:
    """Thinnest place of a hollow part."""

    part: str
    thickness_m: float
    station_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Two printed parts that take the same room."""

    first: str
    second: str
    depth_m: float
    station_m: float


def drawn_walls(cavity: Cavity) -> tuple[DrawnWall, ...]:
    r"""Thinnest wall between the outside and any hole or cavity, of every hollow part.

    .. math::  t = \min_s d(\text{outline}, \text{hole}) \cos\beta, \qquad
               \tan\beta = \frac{1}{P} \left| \frac{dA}{ds} \right|

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.

    Returns
    -------
    walls : tuple of DrawnWall
        One for each part that has a hole somewhere [m].

    Notes
    -----
    Sections across the axis read a wall that slopes by :math:`\beta` too thick; the mean slope of
    the outline takes that out for cones and domes, not for a wall that slopes on one side alone.
    Holes that are said but not drawn count as drawn; one that leaves the outline leaves no wall.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind, Thing
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.7, length_m=0.6, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> round(drawn_walls(cavity_of([part], slice_skin([post])))[0].thickness_m, 4)
    0.02
    """
    found = (_thinnest(cavity, number) for number in range(len(cavity.parts)))
    return tuple(one for one in found if one is not None)


def _thinnest(cavity: Cavity, number: int) -> DrawnWall | None:
    import shapely

    regions, name = cavity.printed[number], cavity.parts[number].name
    opened = next(_cut_open(cavity, number), None)
    if opened is not None:
        return DrawnWall(part=name, thickness_m=0.0, station_m=opened)
    hollow = np.flatnonzero([_has_hole(region) for region in regions])
    if not len(hollow):
        return None
    slope = _slopes(cavity, number)
    best = (math.inf, 0.0)
    for k in hollow:
        for piece in shapely.get_parts(regions[k]):
            for inner in getattr(piece, "interiors", ()):
                thick = float(piece.exterior.distance(inner)) * math.cos(math.atan(slope[k]))
                best = min(best, (thick, float(cavity.stations_m[k])))
    return DrawnWall(part=name, thickness_m=best[0], station_m=best[1])


def _cut_open(cavity: Cavity, number: int) -> Iterator[float]:
    """Find stations where a hole that is said leaves the outline: there is no wall round it any more."""
    import shapely

    part = cavity.parts[number]
    fore, aft = (part.span_m[0] + _BESIDE_END_M, part.span_m[1] - _BESIDE_END_M)
    for bore in part.bores:
        begins, ends = max(fore, bore.span_m[0]), min(aft, bore.span_m[1])
        at = np.flatnonzero((cavity.stations_m > begins) & (cavity.stations_m < ends))
        holes = regions_of(bore, cavity.stations_m[at])
        around = [_filled(region) for region in cavity.printed[number, at]]
        outside = shapely.area(shapely.difference(holes, np.array(around, dtype=object)))
        yield from (float(one) for one in cavity.stations_m[at[outside > _LEAST_AREA_M2]])


def _has_hole(region: Any) -> bool:
    import shapely

    return any(len(getattr(piece, "interiors", ())) for piece in shapely.get_parts(region))


def _slopes(cavity: Cavity, number: int) -> NDArray[np.float64]:
    """Mean slope of a part's outline at each cut, ledges left out [-]."""
    import shapely

    stations = cavity.stations_m
    filled = [_filled(region) for region in cavity.printed[number]]
    area, rim = shapely.area(filled), shapely.length(filled)
    step = np.diff(area) / np.diff(stations)
    step[is_step(stations)] = 0.0
    ahead, behind = np.append(0.0, step), np.append(step, 0.0)
    steepest = np.where(np.abs(ahead) < np.abs(behind), ahead, behind)
    return np.abs(steepest) / np.maximum(rim, 1e-6)


def _filled(region: Any) -> Any:
    """Region without its holes."""
    import shapely

    pieces = [piece for piece in shapely.get_parts(region) if piece.geom_type == "Polygon"]
    return shapely.union_all([shapely.Polygon(piece.exterior) for piece in pieces])


def overlaps(cavity: Cavity) -> Iterator[Overlap]:
    """Find printed parts that stand in one another.

    .. math::  d = 2 A / P

    with the area :math:`A` and rim :math:`P` of what both fill in one cut.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.

    Yields
    ------
    overlap : Overlap
        One for each pair, where it is deepest [m].

    Notes
    -----
    The depth is exact for a thin strip and half the width of a round overlap. Overlaps of less than 1 mm^2
    are the facets' doing. Holes that are said count; a shoulder in its bore is clear.

    References
    ----------
    .. [1] Hydraulic radius of a strip: plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = [Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.5)]
    >>> drawn = [tiers_mesh(post), tiers_mesh(post, tip_station_m=0.49)]
    >>> parts = [Printed(name=n, mended=repaired(m), outside=True) for n, m in zip("ab", drawn, strict=True)]
    >>> [round(one.depth_m, 6) for one in overlaps(cavity_of(parts, slice_skin(drawn)))]
    [0.01]
    """
    import shapely

    for first in range(len(cavity.parts)):
        for second in range(first + 1, len(cavity.parts)):
            fore = max(cavity.parts[first].span_m[0], cavity.parts[second].span_m[0])
            aft = min(cavity.parts[first].span_m[1], cavity.parts[second].span_m[1])
            at = np.flatnonzero((cavity.stations_m > fore + 1e-4) & (cavity.stations_m < aft - 1e-4))
            if not len(at):
                continue
            one: NDArray[np.object_] = cavity.printed[first, at]
            other: NDArray[np.object_] = cavity.printed[second, at]
            both = shapely.intersection(one, other)
            area, rim = shapely.area(both), shapely.length(both)
            depth = np.where(area > _LEAST_AREA_M2, 2 * area / np.maximum(rim, 1e-9), 0.0)
            worst = int(depth.argmax())
            if depth[worst] > 0.0:
                yield Overlap(
                    first=cavity.parts[first].name,
                    second=cavity.parts[second].name,
                    depth_m=min(float(depth[worst]), aft - fore),
                    station_m=float(cavity.stations_m[at[worst]]),
                )


def strays(cavity: Cavity) -> Iterator[Overlap]:
    """Find inner parts that stand out of the skin, sideways or beyond its ends.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.

    Yields
    ------
    stray : Overlap
        One for each such part and the outside part it leaves, where it stands out farthest [m].

    Notes
    -----
    Sideways the depth is twice area over rim of what lies outside, exact for a thin strip; past the base
    50 mm are let pass.

    References
    ----------
    .. [1] As :func:`overlaps`.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.5)])
    >>> thin = Tier(sides=4, across_m=0.02, across_top_m=0.02, height_m=0.5)
    >>> stick = tiers_mesh([thin], tip_station_m=-0.1)
    >>> parts = [Printed(name="post", mended=repaired(post), outside=True)]
    >>> parts += [Printed(name="stick", mended=repaired(stick), outside=False)]
    >>> found = strays(cavity_of(parts, slice_skin([post])))
    >>> [(one.first, one.second, round(one.depth_m, 3)) for one in found]
    [('stick', 'post', 0.1)]
    """
    outer = [part for part in cavity.parts if part.outside]
    for number, part in enumerate(cavity.parts):
        if part.outside:
            continue
        fore, aft = part.span_m
        ahead, behind = -fore, aft - cavity.length_m - INNER_PAST_BASE_M
        ends = [
            (ahead, 0.0, min(outer, key=lambda one: one.span_m[0])),
            (behind, cavity.length_m, max(outer, key=lambda one: one.span_m[1])),
        ]
        depth, station, left = max([*ends, _aside(cavity, number)], key=lambda end: end[0])
        if depth > 0.0:
            yield Overlap(first=part.name, second=left.name, depth_m=depth, station_m=station)


def _aside(cavity: Cavity, number: int) -> tuple[float, float, Printed]:
    """How far a part stands sideways out of the skin at most [m], where, and of which part."""
    import shapely

    out = shapely.difference(cavity.printed[number], cavity.skin)
    area, rim = shapely.area(out), shapely.length(out)
    depth = np.where(area > _LEAST_AREA_M2, 2 * area / np.maximum(rim, 1e-9), 0.0)
    worst = int(depth.argmax())
    station = float(cavity.stations_m[worst])
    outer = (part for part in cavity.parts if part.outside)
    near = min(outer, key=lambda part: max(part.span_m[0] - station, station - part.span_m[1]))
    return float(depth[worst]), station, near
