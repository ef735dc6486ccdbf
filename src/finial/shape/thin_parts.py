"""Flat parts of a section that stand outward: where fins show in a slice."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.cut import cuts
from finial.shape.mesh import Mesh
from finial.shape.skin import Section

_SLENDER = 2.5
_RADIAL_RAD = np.radians(30.0)
_TOUCHES = 0.25
"""A plate nearer to the body than this share of the threshold touches it."""
_NO_THICKNESS_M = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPart:
    """What one section shows of a plate."""

    station_m: float
    roll_rad: float
    root_m: float
    """Distance of its inner and outer end from the axis, along its roll angle [m]."""
    tip_m: float
    thickness_m: float
    touches: bool
    is_plate: bool
    """False for a stub: too short to tell from a rib by itself."""
    shape: Any
    """As a shapely geometry; ``None`` for a plate without thickness."""


def polygons_of(section: Section) -> Any:
    """Outer outlines of a section as one shapely geometry."""
    import shapely

    return shapely.union_all([shapely.Polygon(loop) for loop in section.loops])


def thin_parts(section: Section, limit_m: float) -> list[ThinPart]:
    """Parts thinner than a threshold that stand outward: plates nearly along the radius, and stubs."""
    import shapely

    if not section.loops:
        return []
    whole = polygons_of(section)
    core = whole.buffer(-limit_m / 2, join_style="mitre").buffer(limit_m / 2, join_style="mitre")
    rest = whole.difference(core.buffer(1e-3 * limit_m, join_style="mitre"))
    found = (_thin_part(section.station_m, part, core, limit_m) for part in shapely.get_parts(rest))
    return [part for part in found if part is not None]


def _thin_part(station_m: float, part: Any, core: Any, limit_m: float) -> ThinPart | None:
    import shapely

    if part.geom_type != "Polygon" or part.area < 1e-3 * limit_m**2:
        return None
    corners = shapely.get_coordinates(part.minimum_rotated_rectangle)
    sides = np.diff(corners[:3], axis=0)
    lengths = np.linalg.norm(sides, axis=1)
    longest = int(lengths.argmax())
    middle = np.array(part.centroid.coords[0])
    outward = middle / max(float(np.linalg.norm(middle)), 1e-12)
    thickness = part.area / max(float(lengths[longest]), 1e-12)
    lean = abs(float(sides[longest] @ outward)) / lengths[longest]
    slender = lengths[longest] >= _SLENDER * thickness
    if (slender and lean < np.cos(_RADIAL_RAD)) or thickness > 1.2 * limit_m:
        return None
    along = shapely.get_coordinates(part) @ outward
    return ThinPart(
        station_m=station_m,
        roll_rad=float(np.arctan2(outward[1], outward[0])) % (2.0 * np.pi),
        root_m=float(along.min()),
        tip_m=float(along.max()),
        thickness_m=float(thickness),
        touches=not core.is_empty and part.distance(core) < _TOUCHES * limit_m,
        is_plate=bool(slender),
        shape=part,
    )


def section_from(section: Section, whole: Any, taken: Sequence[Any], limit_m: float) -> Section | None:
    """Section without the plates taken off it; ``None`` if nothing is left."""
    import shapely

    if not taken:
        return section
    # A hair wider than the plate, so that no film of it stays behind.
    plates = shapely.union_all([plate.buffer(2e-3 * limit_m, join_style="mitre") for plate in taken])
    rest = whole.difference(plates)
    parts = [part for part in shapely.get_parts(rest) if part.area > limit_m**2]
    if not parts:
        return None
    body = shapely.MultiPolygon([shapely.Polygon(part.exterior) for part in parts])
    rings = [shapely.get_coordinates(part.exterior)[:-1] for part in shapely.orient_polygons(body).geoms]
    return Section(
        station_m=section.station_m,
        loops=tuple(rings),
        area_m2=float(body.area),
        perimeter_m=float(body.length),
        centroid_m=(body.centroid.x, body.centroid.y),
    )


def bare_plates(meshes: Sequence[Mesh], skin_sections: Sequence[Section]) -> list[ThinPart]:
    """Plates without thickness: cuts that are lines and enclose nothing.

    Slices lose them, since they have no area. Only what reaches beyond the outline counts.
    """
    stations = np.array([section.station_m for section in skin_sections])
    inside = stations[1:-1]
    found = []
    for mesh in meshes:
        for section, cut in zip(skin_sections[1:-1], cuts(mesh, inside), strict=True):
            lines = [loop for loop in cut.loops if _thickness(loop) < _NO_THICKNESS_M]
            lines += _chained(cut.loose_m)
            found += [part for line in lines if (part := _line_part(section, line)) is not None]
    return found


def _thickness(loop: NDArray[np.float64]) -> float:
    """Twice the area over the perimeter: the thickness of a thin loop [m]."""
    y, z = (loop - loop[0]).T
    area = abs(float(np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))) / 2
    around = float(np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum())
    return 2.0 * area / max(around, 1e-12)


def _chained(loose_m: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """Points of loose segments that hang together, one array a line."""
    import shapely

    if not len(loose_m):
        return []
    merged = shapely.line_merge(shapely.union_all(shapely.linestrings(loose_m)))
    return [shapely.get_coordinates(part) for part in shapely.get_parts(merged)]


def _line_part(section: Section, line: NDArray[np.float64]) -> ThinPart | None:
    """Part of a straight line that stands outward beyond the section."""
    import shapely

    beyond = shapely.LineString(line).difference(polygons_of(section)) if len(line) > 1 else None
    if beyond is None or beyond.is_empty:
        return None
    points = shapely.get_coordinates(beyond)
    far = points[np.linalg.norm(points, axis=1).argmax()]
    outward = far / max(float(np.linalg.norm(far)), 1e-12)
    along = points @ outward
    off = np.abs(points @ np.array([-outward[1], outward[0]])).max()
    if np.ptp(along) < 4.0 * off or np.ptp(along) < 1e-3:
        return None
    return ThinPart(
        station_m=section.station_m,
        roll_rad=float(np.arctan2(outward[1], outward[0])) % (2.0 * np.pi),
        root_m=float(along.min()),
        tip_m=float(along.max()),
        thickness_m=0.0,
        touches=bool(beyond.distance(polygons_of(section)) < 2e-4),
        is_plate=True,
        shape=None,
    )
