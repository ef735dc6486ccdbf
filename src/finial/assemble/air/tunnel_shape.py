"""The shape that the tunnel blows on: the meshes as they were placed, and the sheet's fins as plates."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import gcd
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.fins import all_fins, fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.picture import fin_plate
from finial.core.content import content_hash
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet
from finial.shape.measures import radius_at, section_at
from finial.shape.planar import grown, overlap, united
from finial.shape.plates import flat_triangles, slab_faces
from finial.shape.repair import Repaired
from finial.shape.skin import Section, Skin
from finial.tunnel.records import TunnelShape

_INSET_WIDTHS = 0.003
"""The filling ends so far inside the skin, less than any wall is thick."""
_END_WIDTHS = 1e-4
"""It ends so far before an open or closed end: no two faces in one plane."""
_TOLD_APART_M = 1e-7
"""Points nearer than this are the same, on whatever machine they were placed."""
_ROOT_M = 1e-6
_SEAM_M = 1e-6
"""Two sections closer than this are the two sides of one sharp step."""

Piece = tuple[NDArray[np.float64], NDArray[np.int64]]
"""Points in body axes, shape (n, 3), and triangles, shape (m, 3)."""


def tunnel_shape(vehicle: LoadedVehicle, *, bare: bool = False, least_m: float = 0.0) -> TunnelShape:
    """Everything of a vehicle that the air meets, closed, in the axes of the tunnel.

    Parameters
    ----------
    vehicle : LoadedVehicle
        As loaded.
    bare : bool
        Without the fins of the sheet; those that are part of a mesh stay.
    least_m : float
        Thickness that the sheet's fins are drawn with at least [m].

    Returns
    -------
    shape : TunnelShape
        Stations [m] along the first axis, body y and z across. A filling inside the skin closes open ends
        and cavities: the shape counts as full everywhere, as it does for the sections.
    """
    plates = [
        fin_plate(_sunk(_as_thick(fin, least_m), vehicle.skin, number), number)
        for fin, number in _each_fin(vehicle, bare=bare)
    ]
    return _joined([*_outside(vehicle), *_filling(vehicle.skin), *plates])


def shape_hash(vehicle: LoadedVehicle, *, bare: bool = False) -> str:
    """Hash what the air meets, to a tenth of a micrometre: the same for the same sheet everywhere.

    How the shape is filled inside, and how deep roots are sunk, is left out: it follows the stations of the
    cuts, and no air meets it.
    """
    plates = [fin_plate(fin, number) for fin, number in _each_fin(vehicle, bare=bare)]
    met = _joined([*_outside(vehicle), *plates])
    return content_hash(np.round(met.points_m / _TOLD_APART_M).astype(np.int64), met.triangles)


def _outside(vehicle: LoadedVehicle) -> list[Piece]:
    return [_outer(part.mended) for part in vehicle.parts if part.spec.outside]


def _each_fin(vehicle: LoadedVehicle, *, bare: bool) -> list[tuple[FinSet, int]]:
    fins = () if bare else fin_sets(vehicle)
    return [(fin, number) for fin in fins for number in range(fin.count)]


def shape_repeats(vehicle: LoadedVehicle, *, bare: bool = False) -> int:
    """How often the shape repeats in one turn about its axis; 144 stands for alike all round."""
    fins = (*(() if bare else fin_sets(vehicle)), *vehicle.mesh_fins)
    own = (1 if any(fin.offset_m) else fin.count for fin in fins)
    return gcd(vehicle.body.repeats, *own)


def leaks(vehicle: LoadedVehicle) -> tuple[tuple[str, int], ...]:
    """Outside parts whose meshes stay open, and how many edges: inside and outside are a guess there."""
    return tuple(
        (part.spec.name, part.mended.open_edges)
        for part in vehicle.parts
        if part.spec.outside and part.mended.open_edges
    )


def shortest_chord_m(vehicle: LoadedVehicle) -> float | None:
    """Give the least mean chord of all fins, those of meshes too: area over reach [m]; ``None``: no fins."""
    chords = [_mean_chord_m(fin.outline_m) for fin in all_fins(vehicle)]
    return min(chords, default=None)


def _mean_chord_m(outline_m: NDArray[np.float64]) -> float:
    along, outward = outline_m.T
    area = 0.5 * abs(float(along @ np.roll(outward, -1) - outward @ np.roll(along, -1)))
    return area / max(float(np.ptp(outward)), _TOLD_APART_M)


def _joined(pieces: Sequence[Piece]) -> TunnelShape:
    """One shape; stations run aft, which mirrors body axes, so that triangles are turned too."""
    starts = np.cumsum([0, *(len(points) for points, _ in pieces)])
    points = np.concatenate([points for points, _ in pieces]) * np.array([-1.0, 1.0, 1.0])
    triangles = np.concatenate(
        [faces[:, ::-1] + start for (_, faces), start in zip(pieces, starts[:-1], strict=True)]
    )
    points.flags.writeable = triangles.flags.writeable = False
    return TunnelShape(points_m=points, triangles=triangles)


def _outer(mended: Repaired) -> Piece:
    """Leave out closed cavities."""
    solid = np.array(mended.hosts) < 0
    return mended.mesh.vertices_m, mended.mesh.faces[solid[mended.body_of_face]]


def _as_thick(fin: FinSet, least_m: float) -> FinSet:
    tip = None if fin.tip_thickness_m is None else max(fin.tip_thickness_m, least_m)
    return replace(fin, thickness_m=max(fin.thickness_m, least_m), tip_thickness_m=tip)


def _sunk(fin: FinSet, skin: Skin, number: int) -> FinSet:
    """Draw the root in to the skin where that falls away under it: no air passes between."""
    outline = fin.outline_m.copy()
    roll = fin.rolls_rad[number]
    for corner in np.flatnonzero(outline[:, 1] <= _ROOT_M):
        station = fin.station_m + float(outline[corner, 0])
        if 0.0 <= station <= skin.length_m:
            there = radius_at(section_at(skin, station), roll, fin.offset_m)
            outline[corner, 1] = min(0.0, there - fin.root_radius_m) - fin.thickness_m
    return replace(fin, outline_m=outline)


@kept(4)
def _filling(skin: Skin) -> tuple[Piece, ...]:
    return tuple(_slabs(skin))


def _slabs(skin: Skin) -> Iterator[Piece]:
    """Fill between sections with closed slabs as large as both allow: bores and cavities count as full."""
    end_m = _END_WIDTHS * skin.width_m
    cut = [section for section in skin.sections if section.loops]
    gaps = [after.station_m - before.station_m for before, after in pairwise(cut)]
    for number, (before, after) in enumerate(pairwise(cut)):
        if gaps[number] <= _SEAM_M:
            continue
        begins = number == 0 or gaps[number - 1] <= _SEAM_M
        ends = number == len(gaps) - 1 or gaps[number + 1] <= _SEAM_M
        fore, aft = before.station_m + begins * end_m, after.station_m - ends * end_m
        if aft > fore:
            yield from _between(before, after, (fore, aft), _INSET_WIDTHS * skin.width_m)


def _between(before: Section, after: Section, ends_m: tuple[float, float], inset_m: float) -> Iterator[Piece]:
    from shapely import get_parts
    from shapely.geometry import Polygon

    both = overlap(_area(before), _area(after))
    for part in get_parts(grown(both, -inset_m)):
        if isinstance(part, Polygon) and not part.is_empty:
            corners, flat = flat_triangles(np.asarray(part.exterior.coords)[:-1])
            if len(flat):
                yield _slab(corners, *ends_m), slab_faces(flat, len(corners))


def _area(section: Section) -> Any:
    from shapely.geometry import Polygon

    return united(Polygon(loop) for loop in section.loops)


def _slab(corners: NDArray[np.float64], fore_m: float, aft_m: float) -> NDArray[np.float64]:
    """Corners of both sides; counter-clockwise in y and z looks forward, so the fore side comes first."""
    return np.concatenate(
        [np.column_stack([np.full(len(corners), -station), corners]) for station in (fore_m, aft_m)]
    )
