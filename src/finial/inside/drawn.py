# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""What the prints themselves show inside: rooms on the axis, the motor's bore, and round holes beside it."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.inside.cavity import Cavity, is_step

_LEAST_M = 5e-3
"""Rooms on the axis narrower than this radius are passed over [m]."""
_JUMP = 0.03
"""A change of radius over one step beyond this share parts two rooms [-]."""
_ROUND = 1.06
"""A room whose area is at most so many times that of the circle in it is round [-]; a square: 1.27."""
_STRAIGHT = 0.03
_LEVEL = 0.01
_OPENS_M = 0.01
"""A bore of one width, within 1 %, ends where the room is 3 % wider within this length [m]."""
_NOISE_M = 10e-6
"""Coordinates of a mesh that was turned or moved differ by less than this [m]."""
_SHORTEST_BORE_M = 0.05
"""A room at the base shorter than this is a recess ahead of which the bore begins [m]; the shortest motors
of high power are about 100 mm long."""
_AT_BASE = 0.02
_AT_BASE_M = 5e-3
_WIDEST_HOLE_M = 16e-3
_COMPACT = 0.93
"""Least 4 pi A / P^2 of a hole that is round [-]; a hexagon has 0.907."""
_SAME_M = 0.4e-3
SHORTEST_HOLE_M = 0.02
"""Shorter ones are no holes for rods [m]; chosen."""
_SAME_ROLL_RAD = math.radians(3.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnRoom:
    """Free room about the axis, between two stations."""

    fore_m: float
    aft_m: float
    across_m: float
    """Diameter of the widest straight tube that passes through all of it [m]."""
    widest_m: float
    is_round: bool

    @property
    def length_m(self) -> float:
        """From end to end [m]."""
        return self.aft_m - self.fore_m

    @property
    def is_straight(self) -> bool:
        """Whether it is as wide everywhere, within 3 %."""
        return self.widest_m <= (1.0 + _STRAIGHT) * self.across_m


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MotorRoom:
    """Room that is open at the base; equal only to itself."""

    across_m: float
    """Diameter of its bore, and of what stands behind it where that is narrower [m]."""
    is_bore: bool
    """Round and straight where it is narrowest, as a bore is; an open shell is not."""
    stations_m: NDArray[np.float64]
    """Stations from the base forward, as far as it reaches [m], shape (n,)."""
    clear_m: NDArray[np.float64]
    """Diameter of the free circle about the axis at each [m], shape (n,)."""

    def depth_m(self, across_m: float) -> float:
        """How far something of a diameter goes in from the base.

        Parameters
        ----------
        across_m : float
            Its diameter [m].

        Returns
        -------
        depth_m : float
            Depth [m]; 0 where it does not go in at all.

        Notes
        -----
        Exact at the cuts.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> cone = MotorRoom(across_m=0.1, is_bore=False, stations_m=np.array([1.0, 0.5, 0.0]),
        ...                  clear_m=np.array([0.1, 0.05, 0.01]))
        >>> cone.depth_m(0.04), cone.depth_m(0.2)
        (0.5, 0.0)
        """
        narrow = np.flatnonzero(self.clear_m < across_m - _NOISE_M)
        last = int(narrow[0]) - 1 if len(narrow) else len(self.clear_m) - 1
        return float(self.stations_m[0] - self.stations_m[last]) if last >= 0 else 0.0

    def takes(self, diameter_m: float, length_m: float, scale: float = 1.0) -> bool:
        """Whether something of a size goes in from the base, all of it.

        Parameters
        ----------
        diameter_m, length_m : float
            Its size [m].
        scale : float
            Of the room, over what is drawn [-].

        Returns
        -------
        takes : bool
            By its size alone; never for something without a length.

        Notes
        -----
        As :meth:`depth_m`.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> cone = MotorRoom(across_m=0.1, is_bore=False, stations_m=np.array([1.0, 0.5, 0.0]),
        ...                  clear_m=np.array([0.1, 0.05, 0.01]))
        >>> cone.takes(0.04, 0.6), cone.takes(0.04, 0.5), cone.takes(0.04, 0.6, scale=1.3)
        (False, True, True)
        """
        return 0.0 < length_m <= scale * self.depth_m(diameter_m / scale)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnHoles:
    """Round holes along the axis and beside it, alike and evenly spaced."""

    across_m: float
    on_circle_m: float
    """Diameter of the circle that they stand on [m]."""
    count: int
    first_at_rad: float
    fore_m: float
    aft_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """One hole in one cut."""

    cut: int
    y: float
    z: float
    across: float


def rooms_on_axis(cavity: Cavity) -> tuple[DrawnRoom, ...]:
    r"""Rooms about the axis that the prints leave, from tip to base.

    .. math::  r(s) = d(0, \partial F(s)), \qquad \text{round where } A \le 1.06 \, \pi r^2

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle, with the free room :math:`F` at each station.

    Returns
    -------
    rooms : tuple of DrawnRoom
        One for each stretch without a jump in width [m].

    Notes
    -----
    Range: rooms of 10 mm and more across, on the axis itself; in a leg or beside it nothing is looked for.
    Faceted rounds read up to 0.5 % narrow.

    References
    ----------
    .. [1] Largest circle about a point in a plane region: plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind, Thing
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> bore = Thing(name="bore", kind=Kind.OTHER, middle_m=0.8, length_m=0.4, across_m=0.054)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(bore,))
    >>> [room] = rooms_on_axis(cavity_of([part], slice_skin([post])))
    >>> round(room.across_m, 3), round(room.fore_m, 2), round(room.aft_m, 2), room.is_round
    (0.054, 0.6, 1.0, True)
    """
    return _rooms(cavity, *_clear(cavity))


def _rooms(cavity: Cavity, radius: list[float], near: list[bool]) -> tuple[DrawnRoom, ...]:
    step = is_step(cavity.stations_m)
    runs: list[list[int]] = []
    for k, clear in enumerate(radius):
        if clear < _LEAST_M:
            continue
        follows = bool(runs) and runs[-1][-1] == k - 1
        jumps = follows and bool(step[k - 1]) and abs(clear - radius[k - 1]) > _JUMP * radius[k - 1]
        if follows and not jumps:
            runs[-1].append(k)
        else:
            runs.append([k])
    parted = (part for run in runs for part in _parted(cavity.stations_m, run, radius))
    return tuple(_room(cavity, run, radius, near) for run in parted if len(run) > 1)


def _parted(stations_m: NDArray[np.float64], run: list[int], radius: Sequence[float]) -> list[list[int]]:
    """Part a room where a straight bore ends in a cone, as printing without support has it."""
    found = [run[:1]]
    for before, k in itertools.pairwise(run):
        ends = _ends_bore(stations_m, run, radius, before, -1) or _ends_bore(stations_m, run, radius, k, 1)
        if ends:
            found.append([k])
        else:
            found[-1].append(k)
    return found


def _ends_bore(
    stations_m: NDArray[np.float64], run: list[int], radius: Sequence[float], end: int, way: int
) -> bool:
    """Whether a bore reaches from a cut one way, and the room soon is wider beyond its end."""
    off = {k: way * float(stations_m[k] - stations_m[end]) for k in run}
    bore = [radius[k] for k in run if 0.0 <= off[k] <= _SHORTEST_BORE_M]
    beyond = [k for k in run if -_OPENS_M <= off[k] < 0.0]
    if max(off.values()) < _SHORTEST_BORE_M or not beyond:
        return False
    level = max(abs(one - radius[end]) for one in bore) <= _LEVEL * radius[end]
    next_one = max(beyond, key=lambda k: off[k])
    leaves = radius[next_one] > (1.0 + _LEVEL) * radius[end]
    return level and leaves and max(radius[k] for k in beyond) > (1.0 + _JUMP) * radius[end]


def _clear(cavity: Cavity) -> tuple[list[float], list[bool]]:
    """Radius of the free circle about the axis at each cut, and whether the room there is round."""
    import shapely

    middle = shapely.Point(0.0, 0.0)
    inside = shapely.contains_properly(cavity.free, middle)
    reach = np.where(inside, shapely.distance(cavity.free_edge, middle), 0.0)
    around = [
        _around(region, middle) if held else 0.0 for region, held in zip(cavity.free, inside, strict=True)
    ]
    is_round = [0.0 < area <= _ROUND * math.pi * r**2 for area, r in zip(around, reach, strict=True)]
    return [float(one) for one in reach], is_round


def _around(region: Any, middle: Any) -> float:
    """Area of the piece of a region that holds a point."""
    import shapely

    return sum(float(one.area) for one in shapely.get_parts(region) if one.contains(middle))


def _room(cavity: Cavity, run: Sequence[int], radius: Sequence[float], near: Sequence[bool]) -> DrawnRoom:
    found = [radius[k] for k in run]
    return DrawnRoom(
        fore_m=float(cavity.stations_m[run[0]]),
        aft_m=float(cavity.stations_m[run[-1]]),
        across_m=2 * min(found),
        widest_m=2 * max(found),
        is_round=bool(sum(near[k] for k in run) > len(run) / 2),
    )


def motor_room(cavity: Cavity) -> MotorRoom | None:
    """Find the room that a motor may slide into from the base.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.

    Returns
    -------
    room : MotorRoom or None
        Its diameter, and how wide it is ahead of the base [m]; ``None`` for a closed base.

    Notes
    -----
    As :func:`rooms_on_axis`; the base is the last 2 % of the length, 5 mm at least. A recess of less than
    50 mm at the base, as for a thrust plate, is looked through. A motor leaning or
    beside the axis is not looked for.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind, Thing
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> bore = Thing(name="bore", kind=Kind.OTHER, middle_m=0.8, length_m=0.4, across_m=0.054)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(bore,))
    >>> found = motor_room(cavity_of([part], slice_skin([post])))
    >>> round(found.across_m, 3), round(found.depth_m(0.05), 2), found.is_bore
    (0.054, 0.4, True)
    """
    radius, near = _clear(cavity)
    rooms = _rooms(cavity, radius, near)
    near_m = max(_AT_BASE_M, _AT_BASE * cavity.length_m)
    if not rooms or rooms[-1].aft_m < cavity.length_m - near_m:
        return None
    # Up to the first room that is no mere recess: what it and those behind it let through.
    long = [k for k, room in enumerate(rooms) if room.length_m >= _SHORTEST_BORE_M]
    way = rooms[long[-1] :] if long else rooms[-1:]
    narrowest = min(way, key=lambda room: room.across_m)
    last = int(np.searchsorted(cavity.stations_m, rooms[-1].aft_m, side="right")) - 1
    closed = [k for k in range(last + 1) if radius[k] < _LEAST_M]
    back = slice(last, closed[-1] if closed else None, -1)
    return MotorRoom(
        across_m=narrowest.across_m if narrowest.is_straight else min(2 * radius[last], *_mouths(way)),
        is_bore=narrowest.is_round and narrowest.is_straight,
        stations_m=cavity.stations_m[back],
        clear_m=2 * np.array(radius)[back],
    )


def _mouths(way: Sequence[DrawnRoom]) -> list[float]:
    """Widths of the rooms behind one that narrows by itself, as a shell does towards the tip [m]."""
    return [room.across_m for room in way[1:]] or [math.inf]


def holes_beside_axis(cavity: Cavity) -> tuple[DrawnHoles, ...]:
    """Find sets of round holes along the axis that stand evenly round it, as holes for rods do.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.

    Returns
    -------
    sets : tuple of DrawnHoles
        Two holes or more each, up to 16 mm across and 20 mm or longer [m, rad].

    Notes
    -----
    Holes that lean, or stand unevenly, are passed over. Diameters are of circles of equal area: a faceted
    hole reads up to 1 % narrow.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind, Thing
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> sizes = {"kind": Kind.OTHER, "middle_m": 0.5, "length_m": 1.0, "across_m": 0.0066}
    >>> pair = [Thing(name="hole", offset_m=(0.0, off), **sizes) for off in (0.04, -0.04)]
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=tuple(pair))
    >>> [found] = holes_beside_axis(cavity_of([part], slice_skin([post])))
    >>> found.count, round(found.across_m, 4), round(found.on_circle_m, 3)
    (2, 0.0066, 0.08)
    """
    tracks = _tracks(cavity)
    sets: list[DrawnHoles] = []
    while tracks:
        first = tracks[0]
        alike = [one for one in tracks if _alike(cavity, first, one)]
        tracks = [one for one in tracks if not any(one is other for other in alike)]
        found = _even(cavity, alike)
        sets += [found] if found else []
    return tuple(sets)


def _tracks(cavity: Cavity) -> list[list[_Seen]]:
    """Holes that run on from cut to cut, long enough to be meant."""
    tracks: list[list[_Seen]] = []
    for k, region in enumerate(cavity.free):
        for seen in _holes(k, region):
            same = next((one for one in tracks if _runs_on(one[-1], seen)), None)
            if same is None:
                tracks.append([seen])
            else:
                same.append(seen)
    at = cavity.stations_m
    return [one for one in tracks if at[one[-1].cut] - at[one[0].cut] >= SHORTEST_HOLE_M]


def _holes(cut: int, region: Any) -> list[_Seen]:
    import shapely

    found: list[_Seen] = []
    for piece in shapely.get_parts(region):
        across = 2 * math.sqrt(piece.area / math.pi)
        rim = float(piece.length)
        if not 0.0 < across <= _WIDEST_HOLE_M or 4 * math.pi * piece.area < _COMPACT * rim**2:
            continue
        middle = piece.centroid
        if math.hypot(middle.x, middle.y) > across / 2:
            found.append(_Seen(cut=cut, y=float(middle.x), z=float(middle.y), across=across))
    return found


def _runs_on(before: _Seen, after: _Seen) -> bool:
    # Pieces of a stack may show a cut without the hole at their joint.
    near = math.hypot(before.y - after.y, before.z - after.z) < _SAME_M
    return near and abs(before.across - after.across) < _SAME_M and 0 < after.cut - before.cut <= 3


def _alike(cavity: Cavity, one: Sequence[_Seen], other: Sequence[_Seen]) -> bool:
    at = cavity.stations_m
    here, there = one[0], other[0]
    same_circle = abs(math.hypot(here.y, here.z) - math.hypot(there.y, there.z)) < 2 * _SAME_M
    ends = abs(at[here.cut] - at[there.cut]) + abs(at[one[-1].cut] - at[other[-1].cut])
    return bool(same_circle and abs(here.across - there.across) < _SAME_M and ends < SHORTEST_HOLE_M)


def _even(cavity: Cavity, tracks: Sequence[Sequence[_Seen]]) -> DrawnHoles | None:
    """Set of alike holes, where they stand evenly round the axis."""
    rolls = sorted(math.atan2(one[0].z, one[0].y) % (2 * math.pi) for one in tracks)
    steps = np.diff([*rolls, rolls[0] + 2 * math.pi])
    if len(rolls) < 2 or float(np.ptp(steps)) > 2 * _SAME_ROLL_RAD:
        return None
    every = [seen for one in tracks for seen in one]
    return DrawnHoles(
        across_m=float(np.median([seen.across for seen in every])),
        on_circle_m=2 * float(np.median([math.hypot(seen.y, seen.z) for seen in every])),
        count=len(rolls),
        first_at_rad=rolls[0],
        fore_m=float(min(cavity.stations_m[one[0].cut] for one in tracks)),
        aft_m=float(max(cavity.stations_m[one[-1].cut] for one in tracks)),
    )
