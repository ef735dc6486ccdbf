# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Room between a thing and the walls, and the widest circle that is free."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import numpy as np
from numpy.typing import NDArray

from finial.core.kept_parts import kept
from finial.inside.cavity import Cavity, is_step, regions_of
from finial.inside.things import Kind, Thing

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

THROUGH_THE_BASE = frozenset({Kind.MOTOR, Kind.MOTOR_TUBE, Kind.ROD, Kind.NUT, Kind.BULKHEAD})
"""What may stick out of the base, where the way out aft is open."""
_MOTOR_OUT_DIAMETERS, _OTHERS_OUT_M = 2.0, 0.03
"""How far: a motor by so many of its diameters [-], the others so far [m]; common practice."""
DRILLED = frozenset({Kind.ROD, Kind.NUT, Kind.SCREW, Kind.TAB})
"""What runs in holes and pockets of its own in prints; it only has to stay inside the skin."""
_NOTHING_M2 = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class WallGap:
    """Nearest distance between a thing and skin or print; negative where it runs into it."""

    thing: str
    wall: str
    """Name of the part it meets."""
    gap_m: float
    station_m: float
    outside: bool
    """True where it leaves the skin, false where it runs into plastic."""


def widest_at(cavity: Cavity, station_m: float, offset_m: tuple[float, float]) -> float:
    """Diameter of the free circle about a point of a station.

    Parameters
    ----------
    cavity : Cavity
        Skin, print and room.
    station_m : float
        Station; the nearest cut stands for it [m].
    offset_m : tuple of float
        Point off the axis (y, z) [m].

    Returns
    -------
    diameter_m : float
        Twice the distance to the nearest print or skin [m]; 0 where the point is not free.

    Notes
    -----
    Exact at the cut, at most 1/400 of the length or 1 mm away.

    References
    ----------
    .. [1] Largest circle about a point of a plane region; plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.7, length_m=0.6, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> room = cavity_of([part], slice_skin([post]))
    >>> round(widest_at(room, 0.8, (0.0, 0.0)), 4), widest_at(room, 0.2, (0.0, 0.0))
    (0.06, 0.0)
    """
    import shapely

    at = int(np.abs(cavity.stations_m - station_m).argmin())
    point = shapely.Point(offset_m)
    if not shapely.intersects(cavity.free[at], point):
        return 0.0
    edge: BaseGeometry = cavity.free_edge[at]
    return 2 * float(shapely.distance(point, edge))


def wall_gap(thing: Thing, cavity: Cavity) -> WallGap:
    r"""Distance of a thing from everything round it that is skin or print.

    .. math::  g = \min_s \left( \pm d(c, \partial F(s)) - r \right)

    with :math:`c` its middle at each station, :math:`F` the free room, and the lower sign where
    the middle lies outside of it.

    Parameters
    ----------
    thing : Thing
        The thing; rods and screws run in holes of their own, so only the skin counts for them.
    cavity : Cavity
        Skin, print and room.

    Returns
    -------
    gap : WallGap
        Distance [m] and what is met; negative where it must move, or the hole must grow, by as much.

    Notes
    -----
    Exact to the facets of the mesh where the room does not change between two cuts, which stand at
    most 1/200 of the length apart; on slopes the ends are read off in between. What ends on a ledge
    within 0.3 mm counts as ending there.

    References
    ----------
    .. [1] Plain geometry of plane sections.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.7, length_m=0.6, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> room = cavity_of([part], slice_skin([post]))
    >>> motor = Thing(name="motor", kind=Kind.MOTOR, middle_m=0.8, length_m=0.4, across_m=0.054)
    >>> round(wall_gap(motor, room).gap_m, 4)
    0.003
    """
    found = _nearest(thing, cavity)
    if isinstance(found, WallGap):
        return found
    wall, outside = _met(thing, cavity, found.cut)
    return WallGap(thing=thing.name, wall=wall, gap_m=found.gap_m, station_m=found.station_m, outside=outside)


def wall_room(thing: Thing, cavity: Cavity) -> float:
    """Distance of a thing from everything round it [m], without asking what that is.

    Parameters
    ----------
    thing : Thing
        The thing.
    cavity : Cavity
        Skin, print and room.

    Returns
    -------
    gap_m : float
        As that of :func:`wall_gap` [m].

    Notes
    -----
    As :func:`wall_gap`.

    References
    ----------
    .. [1] As :func:`wall_gap`.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> room = cavity_of([Printed(name="post", mended=repaired(post), outside=True)], slice_skin([post]))
    >>> stick = Thing(name="stick", kind=Kind.ROD, middle_m=0.5, length_m=0.2, across_m=0.01)
    >>> round(wall_room(stick, room), 4)
    0.045
    """
    return _nearest(thing, cavity).gap_m


@dataclass(frozen=True, slots=True, kw_only=True)
class _Nearest:
    gap_m: float
    station_m: float
    cut: int


def _nearest(thing: Thing, cavity: Cavity) -> _Nearest | WallGap:
    (fore, aft), base = thing.span_m, _base_behind(thing, cavity)
    inner = cavity.around(fore, min(aft, base))
    gaps = _gaps_at(thing, cavity, inner)
    stations, gaps, inner = _within(cavity, inner, gaps, (fore, aft if base == cavity.length_m else base))
    worst = int(gaps.argmin()) if len(gaps) else 0
    beyond = _beyond(thing, cavity, base)
    if beyond is not None and (not len(gaps) or beyond.gap_m < gaps[worst]):
        return beyond
    if not len(gaps):  # a nut on the end of a rod that sticks out of the base: nothing is round it
        return WallGap(thing=thing.name, wall="", gap_m=math.inf, station_m=cavity.length_m, outside=True)
    gap = float(gaps[worst])
    if gap < 0.0:
        gap, worst = _shortest_way(stations, gaps, worst)
    return _Nearest(gap_m=gap, station_m=float(stations[worst]), cut=int(inner[worst]))


def _base_behind(thing: Thing, cavity: Cavity) -> float:
    """Station where the body about a thing ends [m]: ahead of the feet of a shape that stands on legs."""
    import shapely

    if thing.kind not in THROUGH_THE_BASE or not thing.is_upright:
        return cavity.length_m
    about = shapely.Point(thing.offset_m).buffer(thing.across_m / 2)
    body = np.flatnonzero(shapely.intersects(cavity.skin, about))
    if not len(body) or body[-1] == len(cavity.stations_m) - 1:
        return cavity.length_m
    return float(cavity.stations_m[body[-1]])


def _beyond(thing: Thing, cavity: Cavity, base_m: float) -> WallGap | None:
    """How far it sticks out of the tip, or of the base where it may not."""
    fore_m, aft_m = thing.span_m
    ahead = -fore_m
    behind = aft_m - base_m
    carried = thing.kind is Kind.NUT or fore_m < base_m
    if carried and behind <= _may_stick_out_m(thing):
        behind = 0.0
    most = max(ahead, behind)
    if most <= 0.0:
        return None
    end = (
        min(cavity.parts, key=lambda part: part.span_m[0])
        if ahead >= behind
        else max(cavity.parts, key=lambda part: part.span_m[1])
    )
    station = 0.0 if ahead >= behind else base_m
    return WallGap(thing=thing.name, wall=end.name, gap_m=-most, station_m=station, outside=True)


def _may_stick_out_m(thing: Thing) -> float:
    if thing.kind is Kind.MOTOR:
        return _MOTOR_OUT_DIAMETERS * thing.across_m
    return _OTHERS_OUT_M if thing.kind in THROUGH_THE_BASE else 0.0


def _gaps_at(thing: Thing, cavity: Cavity, at: NDArray[np.int64]) -> NDArray[np.float64]:
    """Signed distance at each cut."""
    drilled = thing.kind in DRILLED
    room, edge = _room_and_edge(cavity, drilled)
    if not len(at):
        return np.empty(0)
    if thing.is_upright and thing.is_round:
        gaps = _about_line(cavity, thing.offset_m, drilled)[at] - thing.across_m / 2
        gaps = np.where(np.isfinite(gaps), gaps, -thing.across_m)
        if thing.bore_m == 0.0 or (gaps >= 0.0).all():
            return gaps
    else:
        gaps = np.full(len(at), -1.0)
    low = np.flatnonzero(gaps < 0.0)
    gaps[low] = _outline_gaps(thing, cavity.stations_m[at[low]], room[at[low]], edge[at[low]])
    return gaps


def _room_and_edge(cavity: Cavity, drilled: bool) -> tuple[NDArray[np.object_], NDArray[np.object_]]:
    return (cavity.skin, cavity.skin_edge) if drilled else (cavity.free, cavity.free_edge)


# Whatever stands on one line along the vehicle, and however thick, has the same room round it.
@kept(64)
def _about_line(cavity: Cavity, offset_m: tuple[float, float], drilled: bool) -> NDArray[np.float64]:
    """Distance of the room's edge from a line along the vehicle at every cut [m], minus it outside."""
    import shapely

    room, edge = _room_and_edge(cavity, drilled)
    point = shapely.Point(offset_m)
    away = shapely.distance(edge, point)
    return np.where(shapely.intersects(room, point), away, -away)


def _outline_gaps(
    thing: Thing, stations_m: NDArray[np.float64], room: NDArray[np.object_], edge: NDArray[np.object_]
) -> NDArray[np.float64]:
    """Signed distance of whole sections: boxes, things that lean, tubes with something in their bore."""
    import shapely

    fore, aft = thing.span_m
    shown = regions_of(thing, np.clip(stations_m, fore + 1e-6, aft - 1e-6))
    with np.errstate(invalid="ignore", divide="ignore"):
        out = shapely.difference(shown, room)
        free = shapely.distance(shapely.boundary(shown), edge)
    gaps = np.where(np.isfinite(free), free, 0.0)
    for k in np.flatnonzero(shapely.area(out) > _NOTHING_M2):
        gaps[k] = -_depth(out[k], room[k])
    return gaps


def _depth(out: "BaseGeometry", room: "BaseGeometry") -> float:
    """How deep the part of a section outside its room reaches beyond that room [m]."""
    import shapely

    corners = shapely.points(shapely.get_coordinates(out))
    if shapely.is_empty(room):
        return math.sqrt(float(out.area))
    return float(shapely.distance(corners, room).max())


def _within(
    cavity: Cavity, at: NDArray[np.int64], gaps: NDArray[np.float64], ends_m: tuple[float, float]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64]]:
    """Cut the row of gaps to the thing's own span, the ends read off between the cuts beside them."""
    stations = cavity.stations_m[at]
    inside = (stations >= ends_m[0]) & (stations <= ends_m[1])
    ledge = is_step(stations) if len(stations) > 1 else np.empty(0, dtype=bool)
    ends: list[tuple[float, float, int]] = []
    for end in ends_m:
        after = int(np.searchsorted(stations, end))
        if not 0 < after < len(stations):
            continue
        before = after - 1
        nearer = before if abs(stations[before] - end) <= abs(stations[after] - end) else after
        if ledge[before]:
            gap = max(gaps[before], gaps[after])
        else:
            gap = float(np.interp(end, stations[[before, after]], gaps[[before, after]]))
        ends.append((end, float(gap), int(at[nearer])))
    ends_at, ends_gap, ends_cut = zip(*ends, strict=True) if ends else ((), (), ())
    own = stations[inside], gaps[inside], at[inside]
    found, near = np.append(own[0], ends_at), np.append(own[1], ends_gap)
    cuts = np.append(own[2], np.array(ends_cut, dtype=at.dtype))
    order = np.lexsort((cuts, near, found))
    return found[order], near[order], cuts[order]


def _shortest_way(
    stations_m: NDArray[np.float64], gaps_m: NDArray[np.float64], worst: int
) -> tuple[float, int]:
    """Shortest move that clears a collision: across, or along where only one end is in the way."""
    across = float(gaps_m[worst])
    hit = np.flatnonzero(gaps_m < 0.0)
    if len(hit) == len(gaps_m):
        return across, worst
    along = -math.inf
    if hit[0] == 0 and (np.diff(hit) == 1).all():
        along = -float(stations_m[min(hit[-1] + 1, len(gaps_m) - 1)] - stations_m[0])
    elif hit[-1] == len(gaps_m) - 1 and (np.diff(hit) == 1).all():
        along = -float(stations_m[-1] - stations_m[max(hit[0] - 1, 0)])
    return max(across, along), worst


def _met(thing: Thing, cavity: Cavity, at: int) -> tuple[str, bool]:
    """Which part is met at a cut, and whether it is met from within its skin or left by it."""
    import shapely

    shown = _section_or_point(thing, float(cavity.stations_m[at]))
    # What the bare skin covers is covered with play, which is the costlier one to ask.
    leaves = not (shapely.covers(cavity.skin[at], shown) or shapely.covers(_with_play(cavity, at), shown))
    near = np.asarray(shapely.distance(cavity.printed[:, at], shown), dtype=float)
    overlap = np.zeros(len(near))
    for k in np.flatnonzero(near == 0.0):
        overlap[k] = cast("BaseGeometry", cavity.printed[k, at]).intersection(shown).area
    order = sorted(
        range(len(near)), key=lambda k: (-overlap[k], near[k] if np.isfinite(near[k]) else math.inf)
    )
    return cavity.parts[order[0]].name, bool(leaves)


# Many things end at one cut, and on the page they meet the same skin again.
@kept(256)
def _with_play(cavity: Cavity, at: int) -> "BaseGeometry":
    import shapely

    return cast("BaseGeometry", shapely.buffer(cavity.skin[at], 1e-5))


def _section_or_point(thing: Thing, station_m: float):
    import shapely

    fore, aft = thing.span_m
    section = regions_of(thing, np.array([min(max(station_m, fore + 1e-6), aft - 1e-6)]))[0]
    return shapely.Point(thing.offset_m) if shapely.is_empty(section) else section


def nearest_part(thing: Thing, cavity: Cavity) -> int | None:
    """Return the number of the part that stands nearest to a thing at its middle.

    Parameters
    ----------
    thing : Thing
        The thing.
    cavity : Cavity
        The cut vehicle.

    Returns
    -------
    number : int or None
        Of ``cavity.parts``; ``None`` where no part is cut at that station.

    Notes
    -----
    The distance is taken in the cut nearest to the middle of the thing, wherever along the axis that lies;
    a thing that leans is seen there as its section or, without one, its middle.

    References
    ----------
    .. [1] Distance of plane regions: OGC 06-103r4, Simple Feature Access.

    Examples
    --------
    >>> import shapely
    >>> from types import SimpleNamespace
    >>> hull, far = (shapely.Point(x, 0).buffer(0.05).boundary for x in (0.0, 0.3))
    >>> cavity = SimpleNamespace(stations_m=np.array([0.2]), printed=np.array([[far], [hull]]))
    >>> stick = Thing(name="stick", kind=Kind.ROD, middle_m=0.2, length_m=0.1, across_m=0.01)
    >>> nearest_part(stick, cavity)
    1
    """
    import shapely

    at = int(np.abs(cavity.stations_m - thing.middle_m).argmin())
    away = shapely.distance(cavity.printed[:, at], _section_or_point(thing, float(cavity.stations_m[at])))
    return int(np.nanargmin(away)) if np.isfinite(away).any() else None
