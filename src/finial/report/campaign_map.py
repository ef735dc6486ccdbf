"""Landing points and the ellipse on the map: GeoJSON (RFC 7946) and KML (OGC 07-147r2)."""

import json
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from finial.campaign.landing import Ellipse
from finial.core.local_map import to_degrees
from finial.report.visible import visible

MOST_POINTS = 2000
_DIGITS = 7
"""Decimals of a degree: a centimetre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnMap:
    """What is drawn, metres east and north of the pad, and where the pad is."""

    name: str
    pad_rad: tuple[float, float]
    """Latitude and longitude."""
    landings_m: NDArray[np.float64]
    ellipse: Ellipse | None
    field_m: tuple[NDArray[np.float64], ...] | None
    rings_m: tuple[tuple[str, NDArray[np.float64]], ...] = ()
    """Further outlines with what they are called: hazard areas, places of people."""


def geojson(drawn: OnMap) -> str:
    """Pad, landing points (the first 2000), ellipse and field as one feature collection."""
    features = [_feature("Point", _degrees(drawn, np.zeros((1, 2)))[0], {"name": "pad"})]
    points = _degrees(drawn, drawn.landings_m[:MOST_POINTS])
    features.append(_feature("MultiPoint", points, {"name": f"{drawn.name}: landing points"}))
    if drawn.ellipse is not None:
        # The standard wants outer edges run anticlockwise; the outline runs clockwise.
        ring = _degrees(drawn, drawn.ellipse.outline_m()[::-1])
        words = (
            f"ellipse meant for {100 * drawn.ellipse.nominal:.0f} %, holds {100 * drawn.ellipse.held:.1f} %"
        )
        features.append(_feature("Polygon", [ring], {"name": words}))
    if drawn.field_m is not None:
        rings = [_degrees(drawn, ring) for ring in drawn.field_m]
        features.append(_feature("Polygon", rings, {"name": "field"}))
    for name, ring in drawn.rings_m:
        features.append(_feature("Polygon", [_degrees(drawn, _anticlockwise(ring))], {"name": name}))
    return json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False)


def kml(drawn: OnMap) -> str:
    """Return the same as KML."""
    marks = [_placemark("pad", _kml_point(_degrees(drawn, np.zeros((1, 2)))[0]))]
    if drawn.ellipse is not None:
        ring = _degrees(drawn, drawn.ellipse.outline_m()[::-1])
        marks.append(_placemark(f"ellipse, holds {100 * drawn.ellipse.held:.1f} %", _kml_polygon([ring])))
    if drawn.field_m is not None:
        rings = [_degrees(drawn, ring) for ring in drawn.field_m]
        marks.append(_placemark("field", _kml_polygon(rings)))
    marks += [
        _placemark(name, _kml_polygon([_degrees(drawn, _anticlockwise(ring))]))
        for name, ring in drawn.rings_m
    ]
    points = "".join(map(_kml_point, _degrees(drawn, drawn.landings_m[:MOST_POINTS])))
    marks.append(_placemark("landing points", f"<MultiGeometry>{points}</MultiGeometry>"))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2"><Document>'
        f"<name>{escape(visible(drawn.name))}</name>{''.join(marks)}</Document></kml>\n"
    )


def _degrees(drawn: OnMap, local_m: NDArray[np.float64]) -> list[list[float]]:
    if not len(local_m):
        return []
    return np.round(to_degrees(local_m, *drawn.pad_rad), _DIGITS).tolist()


def _anticlockwise(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Run an outer edge the way that the standard wants."""
    (east, north), (further_east, further_north) = ring[:-1].T, ring[1:].T
    return ring if float(np.sum(east * further_north - further_east * north)) > 0.0 else ring[::-1]


def _feature(kind: str, coordinates: Any, properties: dict[str, str]) -> dict[str, Any]:
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _placemark(name: str, geometry: str) -> str:
    return f"<Placemark><name>{escape(visible(name))}</name>{geometry}</Placemark>"


def _kml_point(point: list[float]) -> str:
    return f"<Point><coordinates>{point[0]},{point[1]}</coordinates></Point>"


def _kml_polygon(rings: list[list[list[float]]]) -> str:
    edges: list[str] = []
    for index, ring in enumerate(rings):
        tag = "outerBoundaryIs" if index == 0 else "innerBoundaryIs"
        places = " ".join(f"{east},{north}" for east, north in ring)
        edges.append(f"<{tag}><LinearRing><coordinates>{places}</coordinates></LinearRing></{tag}>")
    return f"<Polygon>{''.join(edges)}</Polygon>"
