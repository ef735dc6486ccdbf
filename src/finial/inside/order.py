# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""Can each thing get to its place, and out again: through which opening, and what is in the way."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.core.kept_parts import kept
from finial.inside.cavity import Cavity, Printed, regions_of
from finial.inside.clearance import Gap, gap_between
from finial.inside.passing import may_share
from finial.inside.room import DRILLED
from finial.inside.things import Thing, lengthened

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

SNUG_M = 0.15e-3
"""What a print gives way by, and the flats of a faceted bore, on the radius [m]; common practice."""
_DIRECTIONS = 16
_FAR_LENGTHS = 2.0


class Way(StrEnum):
    """How a thing gets into one printed part."""

    FORE = "fore"
    """Through the part's fore end."""
    AFT = "aft"
    SIDE = "side"
    """Across, where the part is open on one side: a half shell, a window, a hatch."""
    SHUT = "shut"
    """Not at all once the part is printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """How a thing gets into a part before the parts are put together."""

    thing: str
    part: str
    way: Way
    short_m: float = 0.0
    """By how much the wider of both ends is too narrow for it, on the radius [m]; 0 where it gets in."""
    station_m: float = 0.0
    """Where it sticks [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """The way of a thing along its own axis to an opening."""

    thing: str
    opening_m: float
    """Station of the opening [m]."""
    gap_m: float
    """Least room round it on the way [m]; negative where it sticks."""
    blocker: str
    """Name of what comes nearest; empty where nothing is on the way."""
    station_m: float


def ways_in(thing: Thing, cavity: Cavity) -> tuple[WayIn, ...]:
    """How a thing gets into each printed part that it stands in, the parts still separate.

    It slides along its own axis to one end of the part, or goes in across where a side is open.

    Parameters
    ----------
    thing : Thing
        The thing in its place.
    cavity : Cavity
        The vehicle.

    Returns
    -------
    ways : tuple of WayIn
        One for each part round it, with what is missing on the radius [m]; none for rods and screws, which
        run in holes of their own.

    Notes
    -----
    Nothing turns corners, and across sixteen directions are tried. A print gives way by 0.15 mm on the
    radius.

    References
    ----------
    .. [1] Plain geometry; the play is common practice of printing.

    Examples
    --------
    A weight in a room open aft.

    >>> from finial.inside.cavity import cavity_of
    >>> from finial.inside.things import Kind
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.8, length_m=0.4, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> room = cavity_of([part], slice_skin([post]))
    >>> weight = Thing(name="weight", kind=Kind.BALLAST, middle_m=0.7, length_m=0.05, across_m=0.05)
    >>> [str(way.way) for way in ways_in(weight, room)]
    ['aft']
    """
    if thing.kind in DRILLED:
        return ()
    fore, aft = thing.span_m
    found: list[WayIn] = []
    for number, part in enumerate(cavity.parts):
        start, end = part.span_m
        if min(aft, end) - max(fore, start) > 1e-6 and _meets(thing, cavity, number):
            found.append(_way_into(thing, cavity, number, part))
    return tuple(found)


def _meets(thing: Thing, cavity: Cavity, number: int) -> bool:
    """Tell whether a part stands round the thing or beside it, somewhere along it."""
    import shapely

    at = cavity.around(*thing.span_m)
    cuts: NDArray[np.object_] = cavity.printed[number, at]
    return bool((shapely.area(cuts) > 0.0).any())


def _way_into(thing: Thing, cavity: Cavity, number: int, part: Printed) -> WayIn:
    fore, aft = thing.span_m
    start, end = part.span_m
    ways = {
        Way.AFT: _least(thing, cavity, (number,), (max(fore, start), max(end, aft))),
        Way.FORE: _least(thing, cavity, (number,), (min(start, fore), min(aft, end))),
    }
    way, (gap, station, _) = max(ways.items(), key=lambda one: one[1][0])
    if gap >= -SNUG_M - thing.pressed_in_m:
        return WayIn(thing=thing.name, part=part.name, way=way)
    if _open_aside(thing, cavity, number):
        return WayIn(thing=thing.name, part=part.name, way=Way.SIDE)
    return WayIn(thing=thing.name, part=part.name, way=Way.SHUT, short_m=-gap, station_m=station)


def passage(
    thing: Thing,
    cavity: Cavity,
    opening_m: float,
    fixed: Sequence[Thing] = (),
    parts: Iterable[int] | None = None,
) -> Passage:
    """Room on the way of a thing to an opening at a station [m], past prints and what stays in place.

    Parameters
    ----------
    thing : Thing
        What moves, along its own axis.
    cavity : Cavity
        The vehicle.
    opening_m : float
        Station of the opening [m], ahead of the thing or behind it.
    fixed : sequence of Thing
        What stays in place; whatever may share its room is passed over.
    parts : iterable of int, optional
        Numbers of the parts that stay in place; all by default.

    Returns
    -------
    passage : Passage
        Least room [m] and what gives it.

    Notes
    -----
    The thing keeps its direction and does not shrink; cloth, which does, is given the size it is
    squeezed to.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import cavity_of
    >>> from finial.inside.things import Kind
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.7, length_m=0.6, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> motor = Thing(name="motor", kind=Kind.MOTOR, middle_m=0.6, length_m=0.4, across_m=0.054)
    >>> way = passage(motor, cavity_of([part], slice_skin([post])), 1.0)
    >>> round(way.gap_m, 4), way.blocker
    (0.003, 'post')
    """
    fore, aft = thing.span_m
    chosen = tuple(range(len(cavity.parts)) if parts is None else parts)
    swept = (min(fore, opening_m), max(aft, opening_m))
    gap, station, number = _least(thing, cavity, chosen, swept)
    blocker = cavity.parts[number].name if number >= 0 else ""
    moved = lengthened(thing, *swept)
    for other in fixed:
        found = _in_the_way(moved, other)
        if found is not None and found.gap_m < gap:
            gap, station, blocker = found.gap_m, found.station_m, other.name
    return Passage(thing=thing.name, opening_m=opening_m, gap_m=gap, blocker=blocker, station_m=station)


# On the page one thing changes, and all others pass the same things and prints as before.
@lru_cache(maxsize=4096)
def _in_the_way(moved: Thing, other: Thing) -> Gap | None:
    """Gap to what stays; ``None`` for what is of the same set, or may take the same room."""
    if (other.kind, other.name) == (moved.kind, moved.name) or may_share(moved, other):
        return None
    return gap_between(moved, other)


@kept(1024)
def _least(
    thing: Thing, cavity: Cavity, parts: tuple[int, ...], swept_m: tuple[float, float]
) -> tuple[float, float, int]:
    """Least room between the thing, drawn out over a span, and prints; where, and which print."""
    moved = lengthened(thing, *swept_m)
    fore, aft = max(swept_m[0], 0.0), min(swept_m[1], cavity.length_m)
    at = np.flatnonzero((cavity.stations_m > fore) & (cavity.stations_m < aft))
    if not len(at) or not len(parts):
        return math.inf, 0.0, -1
    some = np.array(parts)[:, None], at
    gaps = np.full((len(parts), len(at)), -np.inf)
    if moved.is_upright and moved.is_round:
        gaps = _from_line(cavity, moved.offset_m)[some] - moved.across_m / 2
    if (moved.bore_m > 0.0 or not moved.is_round or not moved.is_upright) and gaps.min() < 0.0:
        gaps = _past(moved, cavity.stations_m[at], cavity.printed[some])
    row, column = np.unravel_index(int(gaps.argmin()), gaps.shape)
    return float(gaps[row, column]), float(cavity.stations_m[at[column]]), parts[int(row)]


# Whatever stands on one line along the vehicle, and however thick, has the same prints round it.
@kept(64)
def _from_line(cavity: Cavity, offset_m: tuple[float, float]) -> NDArray[np.float64]:
    """Distance of every print from a line along the vehicle at every cut [m]; infinite where none is."""
    import shapely

    away = shapely.distance(cavity.printed, shapely.Point(offset_m))
    return np.where(np.isfinite(away), away, np.inf)


def _past(thing: Thing, stations_m: NDArray[np.float64], printed: NDArray[np.object_]) -> NDArray[np.float64]:
    """Signed room between whole sections and prints: minus the mean depth where they overlap."""
    import shapely

    shown = regions_of(thing, stations_m)
    with np.errstate(invalid="ignore", divide="ignore"):
        apart = shapely.distance(printed, shown)
        both = shapely.intersection(printed, shown)
    depth = 2 * shapely.area(both) / np.maximum(shapely.length(both), 1e-9)
    return np.where(shapely.is_empty(printed) | shapely.is_empty(shown), np.inf, apart - depth)


@kept(256)
def _open_aside(thing: Thing, cavity: Cavity, number: int) -> bool:
    """Tell whether a thing can leave a part straight across, in one of sixteen directions."""
    import shapely

    fore, aft = thing.span_m
    at = np.flatnonzero((cavity.stations_m > fore) & (cavity.stations_m < aft))
    shown = regions_of(
        replace(thing, across_m=thing.across_m - 2 * SNUG_M, bore_m=0.0), cavity.stations_m[at]
    )
    # Upright, a thing shows the same outline everywhere: each is swept aside once.
    _, first, which = np.unique([id(one) for one in shown], return_index=True, return_inverse=True)
    printed = cast("list[BaseGeometry]", cavity.printed[number, at].tolist())
    angles = 2 * math.pi * np.arange(_DIRECTIONS) / _DIRECTIONS
    aside = _FAR_LENGTHS * cavity.length_m * np.column_stack([np.cos(angles), np.sin(angles)])
    # Walls that close all round shut every direction at once.
    if any(map(_closes_round, printed, shown)):
        return False
    outlines: list[BaseGeometry] = cast("Any", shown)[first].tolist()
    swept = [_swept(outline, aside) for outline in outlines]
    free: NDArray[np.intp] = np.arange(_DIRECTIONS)
    for outline, wall in zip(cast("list[int]", which.tolist()), printed, strict=True):
        free = free[~shapely.intersects(swept[outline][free], wall)]
        if not len(free):
            return False
    return True


def _closes_round(wall: "BaseGeometry", outline: "BaseGeometry") -> bool:
    """Tell whether an outline lies in a hole of a wall: whatever way it moves, it meets the wall."""
    import shapely

    parts: Iterable[Any] = shapely.get_parts(cast("Any", wall))
    holes = [hole for part in parts for hole in getattr(part, "interiors", ())]
    return any(shapely.Polygon(hole).covers(outline) for hole in holes) and not outline.is_empty


def _swept(outline: "BaseGeometry", aside_m: NDArray[np.float64]) -> NDArray[np.object_]:
    """Hull of an outline and itself moved aside, one for each direction; empty for an empty one."""
    import shapely

    corners: NDArray[np.float64] = shapely.get_coordinates(cast("Any", outline))
    if not len(corners):
        return np.full(len(aside_m), shapely.Polygon(), dtype=object)
    both = [np.broadcast_to(corners, (len(aside_m), *corners.shape)), corners + aside_m[:, None]]
    lines = np.asarray(shapely.linestrings(np.concatenate(both, axis=1)), dtype=object)
    return np.asarray(shapely.convex_hull(lines))
