"""The field and what lies round it in GeoJSON (RFC 7946): longitude and latitude in degrees."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError, Fault
from finial.core.trees import is_list, is_table
from finial.files.source import read_text


class MarkKind(StrEnum):
    """What lies on or round a field."""

    PAD = "pad"
    PEOPLE = "people"
    ROAD = "road"
    BUILDING = "building"
    WATER = "water"
    TREES = "trees"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One thing on the map: points, a line, or an outline with holes; angles in degrees as in the file."""

    kind: MarkKind
    name: str
    rings_deg: tuple[NDArray[np.float64], ...]
    """An outline and its holes; or one line, or one point, of (n, 2) longitude and latitude [deg]."""
    is_area: bool


FIELD = "field"
_ACCEPTED = "GeoJSON with exactly one Polygon of the field, longitude before latitude"
_KINDS = ", ".join((FIELD, *MarkKind))
_FEWEST = 4


def read_field(path: Path) -> tuple[NDArray[np.float64], ...]:
    """Read the rings of the field: the outer edge, then holes; each (n, 2), longitude and latitude [deg].

    The first point of a ring is repeated at its end, as the standard demands.

    Raises
    ------
    BuildSheetError
        If it is no JSON, holds no or several polygons, a coordinate is no place on earth, a ring
        is not closed, has too few points or crosses itself.
    """
    values = _loaded(path)
    polygons = list(_polygons(values, FIELD))
    if len(polygons) != 1:
        raise _refused(path, f"{len(polygons)} polygons", _ACCEPTED)
    rings = tuple(_ring(path, index, ring) for index, ring in enumerate(polygons[0]))
    if not rings:
        raise _refused(path, "a polygon without an edge", _ACCEPTED)
    _refuse_crossing(path, rings)
    return rings


def read_marks(path: Path) -> tuple[Mark, ...]:
    """Read what lies round the field: features whose property ``kind`` is one of ``MarkKind``.

    Raises
    ------
    BuildSheetError
        If it is no JSON, a kind is not known, a shape is no Polygon, LineString or Point, or a coordinate is
        no place on earth.
    """
    return tuple(mark for feature in _features(_loaded(path)) for mark in _marks(path, feature))


def _loaded(path: Path) -> Any:
    try:
        return json.loads(read_text(path, wanted="a GeoJSON file"))
    except (ValueError, RecursionError) as error:
        raise _refused(path, f"not JSON: {error}", _ACCEPTED) from error


def _features(values: Any) -> Iterator[dict[str, Any]]:
    if is_table(values) and values.get("type") == "FeatureCollection" and is_list(values.get("features")):
        yield from (one for one in values["features"] if is_table(one))
    elif is_table(values) and values.get("type") == "Feature":
        yield values


def _told(feature: Any, key: str) -> str:
    """Return a property of a feature, empty where it has none."""
    properties = feature.get("properties")
    return str(properties.get(key) or "") if is_table(properties) else ""


def _marks(path: Path, feature: dict[str, Any]) -> Iterator[Mark]:
    kind, geometry = _told(feature, "kind"), feature.get("geometry")
    shape = str(geometry.get("type")) if is_table(geometry) else "nothing"
    if kind == FIELD or (not kind and shape in ("Polygon", "MultiPolygon")):
        return
    if kind not in list(MarkKind):
        raise _refused(path, f"a {shape} of kind {kind!r}", f'"kind" under its "properties": {_KINDS}')
    coordinates = geometry.get("coordinates") if is_table(geometry) else None
    if shape == "Polygon" and is_list(coordinates) and coordinates:
        rings = tuple(_ring(path, index, ring) for index, ring in enumerate(coordinates))
        _refuse_crossing(path, rings)
    elif shape in ("LineString", "Point"):
        rings = (_points(path, kind, [coordinates] if shape == "Point" else coordinates),)
    else:
        raise _refused(path, f"a {kind} that is a {shape}", "a Polygon, a LineString or a Point")
    yield Mark(kind=MarkKind(kind), name=_told(feature, "name"), rings_deg=rings, is_area=shape == "Polygon")


def _polygons(values: Any, kind: str) -> Iterator[list[Any]]:
    """Polygons of the field, however they are wrapped: those of another kind are left out."""
    if not is_table(values):
        return
    shape = values.get("type")
    coordinates = values.get("coordinates")
    if shape == "FeatureCollection" and is_list(values.get("features")):
        for feature in values["features"]:
            yield from _polygons(feature, kind)
    elif shape == "Feature" and _told(values, "kind") in ("", kind):
        yield from _polygons(values.get("geometry"), kind)
    elif shape == "Polygon" and is_list(coordinates):
        yield coordinates
    elif shape == "MultiPolygon" and is_list(coordinates):
        yield from (part for part in coordinates if is_list(part))


def _ring(path: Path, index: int, given: Any) -> NDArray[np.float64]:
    name = "the outer edge" if index == 0 else f"hole {index}"
    ring = _points(path, name, given)
    if len(ring) < _FEWEST or not np.array_equal(ring[0], ring[-1]):
        accepted = "rings of four points or more, the last equal to the first"
        raise _refused(path, f"{name}: {len(ring)} points, or not closed", accepted)
    return ring


def _points(path: Path, name: str, given: Any) -> NDArray[np.float64]:
    try:
        points = np.array([[float(point[0]), float(point[1])] for point in given]).reshape(-1, 2)
    except (TypeError, ValueError, IndexError, KeyError, OverflowError) as error:
        raise _refused(path, f"{name}: a point that is not two numbers", _ACCEPTED) from error
    if len(points) == 0:
        raise _refused(path, f"{name}: 0 points", _ACCEPTED)
    if not (np.all(np.isfinite(points)) and np.all(np.abs(points) <= [180.0, 90.0])):
        slip = "latitude before longitude?" if np.all(np.abs(points[:, ::-1]) <= [180.0, 90.0]) else ""
        raise _refused(path, f"{name}: a point beyond 180 or 90 deg", _ACCEPTED, slip)
    return points


def _refuse_crossing(path: Path, rings: tuple[NDArray[np.float64], ...]) -> None:
    from shapely import Polygon
    from shapely.validation import explain_validity

    words = explain_validity(Polygon(rings[0], rings[1:]))
    if words != "Valid Geometry":
        slip = "two points swapped? walk round the field in one direction"
        raise _refused(path, f"{words[0].lower()}{words[1:]}", "an edge that does not cross itself", slip)


def _refused(path: Path, given: str, accepted: str, likely_slip: str = "") -> BuildSheetError:
    fault = Fault(
        file=str(path), field="field polygon", given=given, accepted=accepted, likely_slip=likely_slip
    )
    return BuildSheetError([fault])
