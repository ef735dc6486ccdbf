"""The map of the day as files: SVG, and GeoJSON and KML where the pad's place is known."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.findings.landing_map import LandingMap
from finial.report.campaign_map import OnMap, geojson, kml
from finial.report.pictures.field_map import field_map_picture

_CORNERS = 72


def field_map_files(drawn: LandingMap) -> dict[str, str]:
    """Return file names and their text; maps only where the pad's latitude and longitude are known."""
    files = {"map.svg": field_map_picture(drawn)}
    if drawn.pad_rad is None:
        return files
    on_map = OnMap(
        name=drawn.name,
        pad_rad=drawn.pad_rad,
        landings_m=drawn.landings_m,
        ellipse=drawn.ellipse,
        field_m=drawn.spot.field_m,
        rings_m=(
            *_bare(drawn),
            ("least distance of people by the code", ring(drawn.minimum_m)),
            *((f"{one.kind} {one.name}".strip(), one.rings_m[0]) for one in drawn.marks if one.is_area),
        ),
    )
    return files | {"map.geojson": geojson(on_map), "map.kml": kml(on_map)}


def _bare(drawn: LandingMap) -> Iterator[tuple[str, NDArray[np.float64]]]:
    if drawn.farthest_bare_m is not None:
        yield "without a canopy, the farthest flight", ring(drawn.farthest_bare_m)


def ring(radius_m: float) -> NDArray[np.float64]:
    """Circle round the pad, clockwise, the last point equal to the first (n, 2) [m].

    Examples
    --------
    >>> ring(100.0)[[0, 18]].round(6).tolist()
    [[0.0, 100.0], [100.0, 0.0]]
    """
    turn = np.linspace(0.0, 2.0 * math.pi, _CORNERS + 1)
    circle = radius_m * np.column_stack([np.sin(turn), np.cos(turn)])
    circle[-1] = circle[0]
    return circle
