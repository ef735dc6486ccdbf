# pyright: reportUnknownMemberType=false
# The types of shapely's functions leave their keywords open.
"""The room inside at every station: skin, what is printed, and what is left between."""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finial.inside.things import Thing, placed_outline_m, thing_mesh
from finial.printing.walls import PrintedWalls
from finial.shape.cut import Cut, cuts
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired
from finial.shape.skin import Skin
from finial.shape.stations import ONE_STEP_M, Step, first_cuts, steps

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CLOSEST_M = 2e-3
"""Cuts need not stand closer than this where nothing changes [m]."""
_CUTS = 200
_SMOOTH_M = 10e-6
"""Corners nearer than this to the line through their neighbours are left out [m]."""

Regions = NDArray[np.object_]
"""Plane regions as shapely geometries, body (y, z) [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Printed:
    """A part of the vehicle as drawn, and the holes that are said but not drawn; equal only to itself."""

    name: str
    mended: Repaired
    outside: bool
    walls: PrintedWalls | None = None
    """``None`` for a part that is solid as drawn."""
    bores: tuple[Thing, ...] = ()
    """Room that is printed or cut into it but not drawn."""

    @property
    def span_m(self) -> tuple[float, float]:
        """Stations the part reaches from and to [m]."""
        return _span(self)

    @property
    def is_hollow(self) -> bool:
        """True for a print without infill: what its walls enclose is room."""
        return self.walls is not None and self.walls.infill == 0.0


@lru_cache(maxsize=128)
def _span(part: Printed) -> tuple[float, float]:
    """Found once: a mesh may have a million corners, and every look asks again."""
    stations = -part.mended.mesh.vertices_m[:, 0]
    return float(stations.min()), float(stations.max())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cavity:
    """Skin, printed plastic and free room at rising stations; equal only to itself."""

    stations_m: NDArray[np.float64]
    """Shape (n,)."""
    length_m: float
    parts: tuple[Printed, ...]
    skin: Regions
    """Everything within the outer outline, shape (n,)."""
    printed: Regions
    """Plastic of each part, infill counted as full, shape (parts, n)."""
    free: Regions
    """What the skin holds and no plastic fills, shape (n,)."""
    free_edge: Regions
    """Boundaries of ``free``."""
    skin_edge: Regions
    doubts: tuple[str, ...] = ()
    """Parts whose cuts do not close: taken as full."""

    def around(self, fore_m: float, aft_m: float) -> NDArray[np.int64]:
        """Numbers of the cuts between two stations and of one on either side.

        Parameters
        ----------
        fore_m, aft_m : float
            Stations, the fore one first [m].

        Returns
        -------
        numbers : ndarray of int, shape (k,)
            Rising; where the stations lie beyond the ends, the cut at the end.

        Notes
        -----
        Exact.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> from finial.shape.repair import repaired
        >>> from finial.shape.sections import slice_skin
        >>> from finial.shape.tiers import Tier, tiers_mesh
        >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
        >>> room = cavity_of([Printed(name="post", mended=repaired(post), outside=True)], slice_skin([post]))
        >>> room.stations_m[room.around(0.501, 0.502)].round(3).tolist()
        [0.5, 0.504]
        """
        first = int(np.searchsorted(self.stations_m, fore_m, side="right")) - 1
        last = int(np.searchsorted(self.stations_m, aft_m, side="left"))
        return np.arange(max(first, 0), min(last, len(self.stations_m) - 1) + 1)


def cavity_of(parts: Sequence[Printed], skin: Skin) -> Cavity:
    r"""Cut every part into what is plastic and what is room.

    .. math::  F(s) = S(s) \setminus \bigcup_p \Big( \bigcup_b \big( B_b(s) \setminus
               \bigcup_{c \in b} C_c(s) \big) \setminus \bigcup_h H_h(s) \Big)

    with :math:`S` the skin, :math:`B` the bodies of a part, :math:`C` their closed cavities and
    :math:`H` the holes that are said.

    Parameters
    ----------
    parts : sequence of Printed
        All parts in body axes, those of the skin and those inside.
    skin : Skin
        The outer outlines.

    Returns
    -------
    cavity : Cavity
        Regions at about 200 stations, on both sides of every step [m].

    Raises
    ------
    MeshError
        If the skin has no section.

    Notes
    -----
    Infill counts as full: a thing there needs a hole that is drawn or said. Where a part is
    printed without infill its walls alone are plastic, floors and roofs of the same thickness
    included. Bodies of one part that overlap count once; a cut that does not close counts as full.
    Between two cuts the room is taken to change evenly; a ledge of less than a thousandth of the
    frontal area may be missed.

    References
    ----------
    .. [1] Set operations on plane sections; the rule for cavities is that of ``finial.mass.solids``.

    Examples
    --------
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> part = Printed(name="post", mended=repaired(post), outside=True)
    >>> room = cavity_of([part], slice_skin([post]))
    >>> float(room.free[50].area), round(float(room.printed[0, 50].area), 6)
    (0.0, 0.01)
    """
    import shapely

    stations = _stations(parts, skin.length_m)
    bodies = [_bodies(part.mended, stations) for part in parts]
    outer = _skin_regions([full for part, (full, _) in zip(parts, bodies, strict=True) if part.outside])
    found = [
        (_plastic(part, full, stations), closed) for part, (full, closed) in zip(parts, bodies, strict=True)
    ]
    printed = np.array([regions for regions, _ in found], dtype=object).reshape(len(parts), len(stations))
    with np.errstate(invalid="ignore", divide="ignore"):
        free = shapely.difference(outer, _united(list(printed)))
    shapely.prepare(free)
    shapely.prepare(outer)
    return Cavity(
        stations_m=stations,
        length_m=skin.length_m,
        parts=tuple(parts),
        skin=outer,
        printed=printed,
        free=free,
        free_edge=shapely.boundary(free),
        skin_edge=shapely.boundary(outer),
        doubts=tuple(part.name for part, (_, closed) in zip(parts, found, strict=True) if not closed),
    )


def _stations(parts: Sequence[Printed], length_m: float) -> NDArray[np.float64]:
    """Both sides of every ledge, in and out, and evenly in between."""
    meshes = [part.mended.mesh for part in parts]
    across = np.concatenate([mesh.vertices_m[:, 1:] for mesh in meshes])
    extents: NDArray[np.float64] = np.ptp(across, axis=0)
    ledges = _with_ends_of_bores(steps(meshes, float(np.prod(extents))), parts, length_m)
    fixed = first_cuts(meshes, length_m, ledges)
    spacing = max(length_m / _CUTS, CLOSEST_M)
    gaps: list[NDArray[np.float64]] = [
        np.linspace(a, b, int(np.ceil((b - a) / spacing)), endpoint=False)[1:]
        for a, b in itertools.pairwise(fixed)
        if b - a > spacing
    ]
    return np.unique(np.concatenate([fixed, *gaps]))


def _with_ends_of_bores(
    drawn: tuple[Step, ...], parts: Sequence[Printed], length_m: float
) -> tuple[Step, ...]:
    """Add the ends of holes that are said: ledges that no mesh shows."""
    every = list(drawn)
    for end in sorted(end for part in parts for bore in part.bores for end in bore.span_m):
        near = any(step.fore_m - ONE_STEP_M < end < step.aft_m + ONE_STEP_M for step in every)
        if 0.0 < end < length_m and not near:
            every.append(Step(fore_m=end, aft_m=end))
    return tuple(sorted(every, key=lambda step: step.fore_m))


def _skin_regions(drawn: Sequence[Regions]) -> Regions:
    """Everything that the outside parts enclose, holes filled."""
    return np.array([_filled(one) for one in _united(drawn)], dtype=object)


def _united(regions: Sequence[Regions]) -> Regions:
    """Union of rows of regions, station by station."""
    import shapely

    rows = np.array(regions, dtype=object).reshape(len(regions), -1)
    return np.asarray(shapely.union_all(rows, axis=0), dtype=object)


def _filled(region: Any) -> Any:
    import shapely

    pieces = shapely.get_parts(region)
    pieces = pieces[shapely.get_type_id(pieces) == shapely.GeometryType.POLYGON]
    if len(pieces) == 1 and not len(pieces[0].interiors):
        return pieces[0]
    return shapely.union_all(shapely.polygons(shapely.get_exterior_ring(pieces)))


def _plastic(part: Printed, full: Regions, stations_m: NDArray[np.float64]) -> Regions:
    """Plastic of a part at each station, of its bodies what walls and said holes leave."""
    import shapely

    if part.is_hollow and part.walls is not None:
        full = _walls_alone(part.mended, stations_m, full, part.walls.wall_m)
    for bore in part.bores:
        full = shapely.difference(full, regions_of(bore, stations_m))
    return full


def _walls_alone(mended: Repaired, stations_m: NDArray[np.float64], full: Regions, wall_m: float) -> Regions:
    """Leave the walls: what is a wall's thickness from any surface is room, floors and roofs stay."""
    import shapely

    inner = shapely.buffer(full, -wall_m, join_style="mitre")
    for shift in (-wall_m, wall_m):
        inner = shapely.intersection(inner, _bodies(mended, stations_m + shift)[0])
    return shapely.difference(full, inner)


def _bodies(mended: Repaired, stations_m: NDArray[np.float64]) -> tuple[Regions, bool]:
    """Union of all bodies less their own cavities, and whether every cut closes."""
    import shapely

    regions: list[Regions] = []
    closed = True
    for number, host in enumerate(mended.hosts):
        if host >= 0:
            continue
        solid, whole = _one_body(mended, number, stations_m)
        closed &= whole
        for cavity, owner in enumerate(mended.hosts):
            if owner == number:
                solid = shapely.difference(solid, _one_body(mended, cavity, stations_m)[0])
        regions.append(solid)
    return _united(regions), closed


def _one_body(mended: Repaired, number: int, stations_m: NDArray[np.float64]) -> tuple[Regions, bool]:
    found = cuts(_body_mesh(mended, number), stations_m)
    return np.array([_region(one) for one in found], dtype=object), not any(len(one.loose_m) for one in found)


def _body_mesh(mended: Repaired, number: int) -> Mesh:
    if len(mended.hosts) == 1:
        return mended.mesh
    faces = mended.mesh.faces[mended.body_of_face == number]
    used, compact = np.unique(faces, return_inverse=True)
    return Mesh(vertices_m=mended.mesh.vertices_m[used], faces=compact.reshape(-1, 3))


def _region(cut: Cut) -> Any:
    """Return what one body fills: inside an odd number of its loops; full where its lines do not close."""
    import shapely

    if len(cut.loose_m):
        from finial.shape.outline import outline

        return outline(0.0, [cut]).shape
    loops = [loop for loop in cut.loops if len(loop) >= 3]
    if not loops:
        return shapely.Polygon()
    rings = shapely.simplify([shapely.Polygon(loop) for loop in loops], _SMOOTH_M, preserve_topology=False)
    sound = shapely.make_valid(np.asarray(rings, dtype=object))
    return sound[0] if len(sound) == 1 else _odd(sound)


def _odd(polygons: "Iterable[BaseGeometry]") -> Any:
    import shapely

    region: BaseGeometry = shapely.Polygon()
    for polygon in polygons:
        region = shapely.symmetric_difference(region, polygon)
    return region


def regions_of(thing: Thing, stations_m: NDArray[np.float64]) -> Regions:
    """Cross-section of a thing at each station, empty beyond its ends, without what its bore leaves.

    Parameters
    ----------
    thing : Thing
        The thing.
    stations_m : ndarray, shape (n,)
        Rising stations [m].

    Returns
    -------
    regions : ndarray of shapely geometry, shape (n,)
        Plane regions, body (y, z) [m].

    Notes
    -----
    Round things are prisms of 48 sides that touch the circle from outside: 0.2 % too wide at corners.

    References
    ----------
    .. [1] Plane cut of a prism: ``shape.cut``.

    Examples
    --------
    >>> from finial.inside.things import Kind
    >>> box = Thing(name="box", kind=Kind.SLED, middle_m=0.5, length_m=0.2, across_m=0.02, depth_m=0.03)
    >>> [round(float(one.area), 6) for one in regions_of(box, np.array([0.3, 0.5]))]
    [0.0, 0.0006]
    """
    import shapely

    if thing.is_upright:
        fore, aft = thing.span_m
        inside = (stations_m >= fore) & (stations_m < aft)
        whole, nothing = shapely.Polygon(placed_outline_m(thing)), shapely.Polygon()
        solid = np.array([whole if one else nothing for one in inside], dtype=object)
    else:
        solid = np.array([_region(one) for one in cuts(thing_mesh(thing), stations_m)], dtype=object)
    if thing.bore_m == 0.0:
        return solid
    along = thing.forward
    step = (thing.middle_m - stations_m) / max(float(along[0]), 1e-3)
    middles = np.array(thing.offset_m) + step[:, None] * along[1:]
    return shapely.difference(solid, shapely.buffer(shapely.points(middles), thing.bore_m / 2, quad_segs=16))


def is_step(stations_m: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell for each space between neighbouring cuts whether it is a ledge rather than a slope.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].

    Returns
    -------
    ledges : ndarray of bool, shape (n - 1,)
        True where two cuts stand nearer than 0.3 mm.

    Notes
    -----
    Cuts stand that near only on both sides of a step.

    References
    ----------
    .. [1] ``shape.stations.ONE_STEP_M``; definition.

    Examples
    --------
    >>> is_step(np.array([0.0, 0.1, 0.1001])).tolist()
    [False, True]
    """
    return np.diff(stations_m) < ONE_STEP_M
