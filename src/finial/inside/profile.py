# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""The vehicle from the side: its real outline, and what a plane along the axis cuts.

All lies in the plane of a roll angle: stations aft, and distance from the axis towards that roll angle.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.inside.cavity import Cavity, Regions, is_step
from finial.inside.things import Kind, Thing, thing_mesh

Region = Any
"""A plane region as a shapely geometry."""
Intervals = list[tuple[float, float]]
"""Pieces of one line across the vehicle, rising [m]."""
_THIN_M = 20e-6


def silhouette(cavity: Cavity, roll_rad: float) -> Region:
    r"""Outline of the vehicle seen at right angles to a roll angle, holes that go through it left open.

    .. math::  S = \bigcup_s \{ (s, \; p \cdot \hat u) : p \in F(s) \}, \qquad
               \hat u = (\cos\phi, \sin\phi)

    with the skin's section :math:`F(s)` at each station.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.
    roll_rad : float
        Roll angle that points up in the picture [rad].

    Returns
    -------
    outline : shapely geometry
        Polygons in (station, distance from the axis) [m].

    Notes
    -----
    Exact at the cuts; between two of them edges run straight, so that a round rim is off by less than the
    space of the cuts, 1/200 of the length.

    References
    ----------
    .. [1] Shadow of plane regions; plain geometry.

    Examples
    --------
    Two posts beside one another, joined at the top: a gap is left between them.

    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.mesh import Mesh
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> cavity = cavity_of([Printed(name="post", mended=repaired(post), outside=True)], slice_skin([post]))
    >>> round(silhouette(cavity, 0.0).area, 4)
    0.1
    """
    along = np.array([math.cos(roll_rad), math.sin(roll_rad)])
    return ribbon(cavity.stations_m, [_shadow(region, along) for region in cavity.skin])


def _shadow(region: Any, along: NDArray[np.float64]) -> Intervals:
    """Intervals that a region covers on a line, overlapping ones joined."""
    import shapely

    found: Intervals = []
    for piece in shapely.get_parts(region):
        corners = shapely.get_coordinates(piece)
        if len(corners):
            across = corners @ along
            found.append((float(across.min()), float(across.max())))
    return _joined(found)


def _joined(found: Intervals) -> Intervals:
    joined: Intervals = []
    for low, high in sorted(found):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def cut_through(cavity: Cavity, regions: Regions, roll_rad: float) -> Region:
    """Find what a plane through the axis cuts of a row of regions, such as the print of one part.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.
    regions : ndarray of shapely geometry, shape (n,)
        Regions at the cavity's stations.
    roll_rad : float
        Roll angle of the plane [rad].

    Returns
    -------
    cut : shapely geometry
        Polygons in (station, distance from the axis) [m].

    Notes
    -----
    As :func:`silhouette`.

    References
    ----------
    .. [1] Plane cut; plain geometry.

    Examples
    --------
    A post with a hole half way up: full ahead of it, two walls beside it.

    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.75, length_m=0.5, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> cavity = cavity_of([part], slice_skin([post]))
    >>> round(cut_through(cavity, cavity.printed[0], 0.0).area, 3)
    0.07
    """
    import shapely

    along = np.array([math.cos(roll_rad), math.sin(roll_rad)])
    line = shapely.LineString(np.outer([-cavity.length_m, cavity.length_m], 2 * along))
    pieces, number = shapely.get_parts(shapely.intersection(regions, line), return_index=True)
    rows: list[Intervals] = [[] for _ in regions]
    for piece, k in zip(pieces, number.tolist(), strict=True):
        across = shapely.get_coordinates(piece) @ along
        if len(across) > 1 and np.ptp(across) > _THIN_M:
            rows[k].append((float(across.min()), float(across.max())))
    return ribbon(cavity.stations_m, [_joined(row) for row in rows])


def ribbon(stations_m: NDArray[np.float64], rows: Sequence[Intervals]) -> Region:
    """Join intervals at rising stations to plane regions, pieces that overlap from one to the next.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    rows : sequence of lists of intervals
        One list for each station [m].

    Returns
    -------
    region : shapely geometry
        Polygons in (station, distance) [m].

    Notes
    -----
    Where one piece becomes two it is parted in the middle of their gap. A piece that ends between two cuts
    tapers to a point half way, at a ledge it ends.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> round(ribbon(np.array([0.0, 1.0]), [[(0.0, 1.0)], [(0.0, 2.0)]]).area, 3)
    1.5
    """
    import shapely

    ledge = is_step(stations_m)
    drawn: list[NDArray[np.float64]] = []
    for k, (here, there) in enumerate(itertools.pairwise(rows)):
        ends = float(stations_m[k]), float(stations_m[k + 1])
        drawn += [_slab(ends, *pair) for pair in _pairs(here, there)]
        if not ledge[k]:
            drawn += [_tip(ends[0], ends[1], piece) for piece in _alone(here, there)]
            drawn += [_tip(ends[1], ends[0], piece) for piece in _alone(there, here)]
    if not drawn:
        return shapely.Polygon()
    solid = [shapely.Polygon(corners) for corners in drawn]
    whole = shapely.union_all(shapely.make_valid(np.array(solid, dtype=object)))
    return shapely.simplify(shapely.buffer(whole, 0.0), _THIN_M)


def _slab(
    ends_m: tuple[float, float], here: tuple[float, float], there: tuple[float, float]
) -> NDArray[np.float64]:
    return np.array(
        [(ends_m[0], here[0]), (ends_m[0], here[1]), (ends_m[1], there[1]), (ends_m[1], there[0])]
    )


def _tip(from_m: float, to_m: float, piece: tuple[float, float]) -> NDArray[np.float64]:
    middle = sum(piece) / 2
    return np.array([(from_m, piece[0]), (from_m, piece[1]), ((from_m + to_m) / 2, middle)])


def _meet(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] <= other[1] and other[0] <= one[1]


def _alone(here: Intervals, there: Intervals) -> Intervals:
    return [one for one in here if not any(_meet(one, other) for other in there)]


def _pairs(here: Intervals, there: Intervals) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Pieces that run on into one another, each shared out among those it meets."""
    return [
        (
            _share(one, other, [after for after in there if _meet(one, after)]),
            _share(other, one, [before for before in here if _meet(before, other)]),
        )
        for one in here
        for other in there
        if _meet(one, other)
    ]


def _share(piece: tuple[float, float], for_one: tuple[float, float], among: Intervals) -> tuple[float, float]:
    """Part of a piece that goes on as one of several, cut in the middles of their gaps."""
    at = among.index(for_one)
    low = piece[0] if at == 0 else (among[at - 1][1] + for_one[0]) / 2
    high = piece[1] if at == len(among) - 1 else (for_one[1] + among[at + 1][0]) / 2
    return min(max(low, piece[0]), piece[1]), max(min(high, piece[1]), piece[0])


def thing_cut(thing: Thing, roll_rad: float) -> Region:
    """Find what a plane through the axis cuts of a thing, less its bore; empty where it misses it.

    Parameters
    ----------
    thing : Thing
        The thing.
    roll_rad : float
        Roll angle of the plane [rad].

    Returns
    -------
    cut : shapely geometry
        Polygons in (station, distance from the axis) [m].

    Notes
    -----
    Round things are prisms of 48 sides: 0.2 % too wide at most.

    References
    ----------
    .. [1] Plane cut of a convex prism: hull of the points where its edges cross the plane.

    Examples
    --------
    >>> tube = Thing(name="tube", kind=Kind.TUBE, middle_m=0.5, length_m=0.4, across_m=0.06, bore_m=0.05)
    >>> round(thing_cut(tube, 0.0).area, 4)
    0.004
    """
    whole = _prism_cut(thing, roll_rad)
    if thing.bore_m == 0.0:
        return whole
    bore = replace(thing, across_m=thing.bore_m, depth_m=0.0, bore_m=0.0, length_m=1.01 * thing.length_m)
    return whole.difference(_prism_cut(bore, roll_rad))


def _prism_cut(thing: Thing, roll_rad: float) -> Region:
    import shapely

    corners = thing_mesh(thing).vertices_m
    count = len(corners) // 2
    ring = np.arange(count)
    edges = np.concatenate(
        [
            np.column_stack([ring, np.roll(ring, -1)]),
            np.column_stack([ring, np.roll(ring, -1)]) + count,
            np.column_stack([ring, ring + count]),
        ]
    )
    off = corners[:, 1:] @ np.array([-math.sin(roll_rad), math.cos(roll_rad)])
    start, end = off[edges[:, 0]], off[edges[:, 1]]
    crosses = (start <= 0.0) != (end <= 0.0)
    if not crosses.any():
        return shapely.Polygon()
    share = (start / np.where(start == end, 1.0, start - end))[crosses, None]
    points = (1 - share) * corners[edges[crosses, 0]] + share * corners[edges[crosses, 1]]
    return _hull(points, roll_rad)


def thing_shadow(thing: Thing, roll_rad: float) -> Region:
    """Outline of a thing seen at right angles to a roll angle.

    Parameters
    ----------
    thing : Thing
        The thing.
    roll_rad : float
        Roll angle that points up in the picture [rad].

    Returns
    -------
    outline : shapely geometry
        A convex polygon in (station, distance from the axis) [m].

    Notes
    -----
    As :func:`thing_cut`.

    References
    ----------
    .. [1] Shadow of a convex body: hull of its corners' shadows.

    Examples
    --------
    >>> rod = Thing(name="rod", kind=Kind.ROD, middle_m=0.5, length_m=0.4, across_m=0.01, offset_m=(0.0, 0.1))
    >>> round(thing_shadow(rod, 0.0).area, 5), thing_cut(rod, 0.0).is_empty
    (0.004, True)
    """
    return _hull(thing_mesh(thing).vertices_m, roll_rad)


def _hull(points_m: NDArray[np.float64], roll_rad: float) -> Region:
    import shapely

    across = points_m[:, 1:] @ np.array([math.cos(roll_rad), math.sin(roll_rad)])
    hull = shapely.convex_hull(shapely.MultiPoint(np.column_stack([-points_m[:, 0], across])))
    return hull if hull.geom_type == "Polygon" else shapely.Polygon()


def telling_roll(cavity: Cavity, things: Sequence[Thing], also_rad: Sequence[float] = ()) -> float:
    """Roll angle of the plane through the axis that tells the most of a vehicle.

    Parameters
    ----------
    cavity : Cavity
        The cut vehicle.
    things : sequence of Thing
        Everything inside.
    also_rad : sequence of float
        Roll angles to try beside every fifteenth degree [rad].

    Returns
    -------
    roll_rad : float
        From 0 to below a half turn [rad]: the one that cuts the most things, a set of one name counted once;
        of equally good ones that which shows the largest outline, then the most screws, then the smallest.

    Notes
    -----
    Of each thing the share of its outline that the plane cuts counts, so that small things count as much
    as large ones.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=0, across_m=0.2, across_top_m=0.2, height_m=1.0)])
    >>> room = cavity_of([Printed(name="post", mended=repaired(post), outside=True)], slice_skin([post]))
    >>> size = {"kind": Kind.SLED, "middle_m": 0.5, "length_m": 0.1, "across_m": 0.03}
    >>> pair = [Thing(name=side, offset_m=(0.0, off), **size) for side, off in (("a", 0.08), ("b", -0.08))]
    >>> round(math.degrees(telling_roll(room, pair)))
    90
    """
    every_15 = {round(math.radians(degrees), 9) for degrees in range(0, 180, 15)}
    tried = sorted(every_15 | {round(roll % math.pi, 9) for roll in also_rad})
    solid = [thing for thing in things if thing.kind not in (Kind.SCREW, Kind.TAB)]
    screws = [thing for thing in things if thing.kind is Kind.SCREW]

    def told(roll: float) -> tuple[float, float, float, float]:
        return _cut_by(solid, roll), _largest_outline(cavity, roll), _cut_by(screws, roll), -roll

    return max(tried, key=told)


def _cut_by(things: Sequence[Thing], roll_rad: float) -> float:
    """How many sets of things a plane cuts, by the share of their outline."""
    shares: dict[str, float] = {}
    for thing in things:
        shadow = thing_shadow(thing, roll_rad).area
        share = thing_cut(replace(thing, bore_m=0.0), roll_rad).area / shadow if shadow > 0.0 else 0.0
        shares[thing.name] = max(shares.get(thing.name, 0.0), share)
    return round(sum(shares.values()), 1)


def _largest_outline(cavity: Cavity, roll_rad: float) -> float:
    """Width of the outline from rim to rim, summed over the stations [m^2]; to a hundredth."""
    import shapely

    corners, number = shapely.get_coordinates(cavity.skin, return_index=True)
    across = corners @ np.array([math.cos(roll_rad), math.sin(roll_rad)])
    low, high = np.full(len(cavity.skin), np.inf), np.full(len(cavity.skin), -np.inf)
    np.minimum.at(low, number, across)
    np.maximum.at(high, number, across)
    width = np.where(np.isfinite(low), high - low, 0.0)
    area = float(np.trapezoid(width, cavity.stations_m))
    return float(f"{area:.2g}")
