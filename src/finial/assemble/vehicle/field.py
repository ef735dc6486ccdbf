"""How far it is from the pad to the field's edge, and what lies round it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.local_map import to_local
from finial.files.geojson import MarkKind
from finial.files.sheet import LoadedSheet


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MarkOnField:
    """One thing on the map, metres east and north of the pad; equal only to itself."""

    kind: MarkKind
    name: str
    rings_m: tuple[NDArray[np.float64], ...]
    """An outline and its holes, or one line or point."""
    is_area: bool


def field_marks(files: LoadedSheet) -> tuple[MarkOnField, ...]:
    """Everything that the field's file tells of besides its outline."""
    field = files.field
    if field is None:
        return ()
    place = field.pad_latitude_rad, field.pad_longitude_rad
    return tuple(
        MarkOnField(
            kind=mark.kind,
            name=mark.name,
            rings_m=tuple(to_local(ring, *place) for ring in mark.rings_deg),
            is_area=mark.is_area,
        )
        for mark in field.marks
    )


def field_rings_m(files: LoadedSheet) -> tuple[NDArray[np.float64], ...] | None:
    """Rings of the field's outline, metres east and north of the pad; ``None`` without an outline."""
    field = files.field
    if field is None:
        return None
    place = field.pad_latitude_rad, field.pad_longitude_rad
    return tuple(to_local(ring, *place) for ring in field.rings_deg)


def field_radius_m(files: LoadedSheet) -> float | None:
    """Distance from the pad to the edge [m]: as entered, else to the nearest point of the outline.

    A pad outside the outline, or in one of its holes, has no room at all: 0.
    """
    if files.site.field_radius is not None:
        return files.site.field_radius.value
    rings = field_rings_m(files)
    if rings is None:
        return None
    from shapely import Point, Polygon

    outline, pad = Polygon(rings[0], rings[1:]), Point(0.0, 0.0)
    return float(outline.boundary.distance(pad)) if outline.contains(pad) else 0.0
