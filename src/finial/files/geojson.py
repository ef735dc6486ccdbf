"""The field as a polygon in GeoJSON (RFC 7946): longitude and latitude in degrees."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError, Fault
from finial.core.trees import is_list, is_table
from finial.files.source import read_text

_ACCEPTED = "GeoJSON with exactly one Polygon, longitude before latitude"
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
    try:
        values = json.loads(read_text(path, wanted="a GeoJSON file"))
    except (ValueError, RecursionError) as error:
        raise _refused(path, f"not JSON: {error}", _ACCEPTED) from error
    polygons = list(_polygons(values))
    if len(polygons) != 1:
        raise _refused(path, f"{len(polygons)} polygons", _ACCEPTED)
    rings = tuple(_ring(path, index, ring) for index, ring in enumerate(polygons[0]))
    if not rings:
        raise _refused(path, "a polygon without an edge", _ACCEPTED)
    _refuse_crossing(path, rings)
    return rings


def _polygons(values: Any) -> Iterator[list[Any]]:
    if not is_table(values):
        return
    kind = values.get("type")
    coordinates = values.get("coordinates")
    if kind == "FeatureCollection" and is_list(values.get("features")):
        for feature in values["features"]:
            yield from _polygons(feature)
    elif kind == "Feature":
        yield from _polygons(values.get("geometry"))
    elif kind == "Polygon" and is_list(coordinates):
        yield coordinates
    elif kind == "MultiPolygon" and is_list(coordinates):
        yield from (part for part in coordinates if is_list(part))


def _ring(path: Path, index: int, given: Any) -> NDArray[np.float64]:
    name = "the outer edge" if index == 0 else f"hole {index}"
    try:
        ring = np.array([[float(point[0]), float(point[1])] for point in given])
    except (TypeError, ValueError, IndexError, KeyError, OverflowError) as error:
        raise _refused(path, f"{name}: a point that is not two numbers", _ACCEPTED) from error
    if len(ring) < _FEWEST or not np.array_equal(ring[0], ring[-1]):
        accepted = "rings of four points or more, the last equal to the first"
        raise _refused(path, f"{name}: {len(ring)} points, or not closed", accepted)
    if not (np.all(np.isfinite(ring)) and np.all(np.abs(ring) <= [180.0, 90.0])):
        slip = "latitude before longitude?" if np.all(np.abs(ring[:, ::-1]) <= [180.0, 90.0]) else ""
        raise _refused(path, f"{name}: a point beyond 180 or 90 deg", _ACCEPTED, slip)
    return ring


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
