"""The field of the day from above: where it comes down, with canopies and without, and what lies there."""

import math
from collections.abc import Callable, Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.spot import Crowd
from finial.files.geojson import MarkKind
from finial.findings.landing_map import LandingMap
from finial.report.pictures.axes import plain, round_ticks
from finial.report.pictures.axis_units import LONG, chosen
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    PALE,
    RUST,
    clipped,
    element,
    line,
    number,
    picture,
    polygon,
    polyline,
    words,
)

_NAME: Final = "fieldmap"
_SIZE_MM: Final = (120.0, 138.0)
_MIDDLE_MM: Final = (60.0, 58.0)
_HALF_MM: Final = 54.0
MOST_POINTS: Final = 600
_REACH: Final = 1.15
_AREA_STYLES: Final = {
    MarkKind.PEOPLE: ("#f4d9c6", RUST),
    MarkKind.ROAD: (PALE, INK),
    MarkKind.BUILDING: ("#c9c9c4", INK),
    MarkKind.WATER: ("#dbe7f0", BLUE),
    MarkKind.TREES: ("#e3e9dc", GREY),
    MarkKind.PAD: ("#ffffff", INK),
}
At = Callable[[NDArray[np.float64]], tuple[float, float]]


def field_map_picture(drawn: LandingMap) -> str:
    """Draw the map, north up, the pad in the middle, all to one scale."""
    half = _half_m(drawn)
    per_m = _HALF_MM / half

    def at(point: NDArray[np.float64]) -> tuple[float, float]:
        east, north = np.clip(point * per_m, -_HALF_MM, _HALF_MM).tolist()
        return _MIDDLE_MM[0] + east, _MIDDLE_MM[1] - north

    body = (
        element("g", *_marks(drawn, at), id=f"{_NAME}-marks"),
        *_field(drawn, at, per_m),
        _circle(drawn.minimum_m, per_m, "minimum", stroke=INK, stroke_width=0.3, stroke_dasharray="0.6 1"),
        *_bare(drawn, at, per_m),
        _dots(drawn.landings_m, at, BLUE, "landings"),
        *_ellipse(drawn, at),
        *_crowd(drawn.spot.crowd, at),
        _pad(at),
        _walk(drawn, at),
        _wind(drawn),
        _north(),
        _bar(half, per_m, drawn.us_units),
        _legend(drawn),
    )
    bearing = math.degrees(drawn.walk[1]) % 360
    where = f"{_far(drawn.walk[0], drawn.us_units)} from the pad, bearing {bearing:.0f} degrees"
    says = f"Comes down around {where}."
    return picture(_NAME, _SIZE_MM, *body, title=f"{drawn.name}: the field of the day", says=says)


def _half_m(drawn: LandingMap) -> float:
    """Half the side of the map [m]: all landings, circles and the field's outline; far things are cut off."""
    points = [drawn.landings_m]
    if drawn.spot.field_m is not None:
        points.append(drawn.spot.field_m[0])
    farthest = max(float(np.abs(one).max()) for one in points)
    radius = drawn.spot.field_radius_m if drawn.spot.field_m is None else None
    return _REACH * max(farthest, drawn.minimum_m, drawn.farthest_bare_m or 0.0, radius or 0.0, 10.0)


def _bare(drawn: LandingMap, at: At, per_m: float) -> Iterator[str]:
    """Without a canopy: the farthest, and all."""
    if drawn.bare_m is not None and drawn.farthest_bare_m is not None:
        dashed = {"stroke": RUST, "stroke_width": 0.5, "stroke_dasharray": "2 1.2"}
        yield _circle(drawn.farthest_bare_m, per_m, "ballistic", **dashed)
        yield _dots(drawn.bare_m, at, RUST, "bare")


def _marks(drawn: LandingMap, at: At) -> Iterator[str]:
    """Areas first, so that what is small lies over what is large."""
    for mark in sorted(drawn.marks, key=lambda one: not one.is_area):
        yield _mark(mark, at)
        if mark.name:
            x, y = at(mark.rings_m[0].mean(axis=0))
            above = (x, y if mark.is_area else y - 1.5)
            yield words(clipped(mark.name, 24), above, font_size=2.2, text_anchor="middle")


def _mark(mark: MarkOnField, at: At) -> str:
    fill, stroke = _AREA_STYLES[mark.kind]
    if mark.is_area:
        return element(
            "g",
            *(polygon(map(at, ring), fill=fill, stroke=stroke, stroke_width=0.2) for ring in mark.rings_m),
        )
    points = [at(point) for point in mark.rings_m[0]]
    if len(points) == 1:
        x, y = points[0]
        return element("rect", x=x - 0.8, y=y - 0.8, width=1.6, height=1.6, fill=fill, stroke=stroke)
    return polyline(points, stroke=stroke, stroke_width=0.8)


def _field(drawn: LandingMap, at: At, per_m: float) -> Iterator[str]:
    if drawn.spot.field_m is not None:
        for index, ring in enumerate(drawn.spot.field_m):
            yield polygon(map(at, ring), stroke=GREY, stroke_width=0.7, id=f"{_NAME}-field-{index}")
    elif drawn.spot.field_radius_m is not None:
        yield _circle(drawn.spot.field_radius_m, per_m, "field", stroke=GREY, stroke_width=0.7)


def _circle(radius_m: float, per_m: float, mark: str, **style: str | float | None) -> str:
    x, y = _MIDDLE_MM
    return element("circle", cx=x, cy=y, r=radius_m * per_m, fill="none", id=f"{_NAME}-{mark}", **style)


def _dots(points: NDArray[np.float64], at: At, colour: str, mark: str) -> str:
    dots = (
        element("circle", cx=x, cy=y, r=0.35, fill=colour, fill_opacity=0.5)
        for x, y in map(at, points[:MOST_POINTS])
    )
    return element("g", *dots, id=f"{_NAME}-{mark}")


def _ellipse(drawn: LandingMap, at: At) -> Iterator[str]:
    if drawn.ellipse is not None:
        outline = map(at, drawn.ellipse.outline_m())
        yield polygon(outline, stroke=BLUE, stroke_width=0.6, id=f"{_NAME}-ellipse")


def _crowd(crowd: Crowd | None, at: At) -> Iterator[str]:
    """Where the sheet says that people stand."""
    if crowd is None or crowd.bearing_rad is None or crowd.across_m is None:
        return
    out = np.array([math.sin(crowd.bearing_rad), math.cos(crowd.bearing_rad)])
    aside = np.array([out[1], -out[0]]) * crowd.across_m / 2
    near, back = out * crowd.near_m, out * (crowd.near_m + crowd.deep_m)
    fill, stroke = _AREA_STYLES[MarkKind.PEOPLE]
    corners = (near - aside, near + aside, back + aside, back - aside)
    yield polygon(map(at, corners), fill=fill, stroke=stroke, stroke_width=0.3, id=f"{_NAME}-crowd")
    yield words("people", at(back), font_size=2.2, text_anchor="middle")


def _pad(at: At) -> str:
    x, y = at(np.zeros(2))
    mark = element("rect", x=x - 1, y=y - 1, width=2, height=2, fill="#ffffff", stroke=INK, stroke_width=0.4)
    return element("g", mark, words("pad", (x - 1.6, y + 3.6), font_size=2.4, text_anchor="end"))


def _walk(drawn: LandingMap, at: At) -> str:
    far, bearing = drawn.walk
    end = at(far * np.array([math.sin(bearing), math.cos(bearing)]))
    return line(at(np.zeros(2)), end, stroke=BLUE, stroke_width=0.4, id=f"{_NAME}-walk")


def _wind(drawn: LandingMap) -> str:
    """Arrow that flies with the wind."""
    x, y = 9.0, 11.0
    turn = drawn.wind_from_rad + math.pi
    along = (math.sin(turn), -math.cos(turn))
    tail, head = (x - 4 * along[0], y - 4 * along[1]), (x + 4 * along[0], y + 4 * along[1])
    side = (-along[1], along[0])
    barbs = [
        (head[0] - 2 * along[0] + 1.1 * turn_ * side[0], head[1] - 2 * along[1] + 1.1 * turn_ * side[1])
        for turn_ in (-1, 1)
    ]
    arrow = polygon([barbs[0], head, barbs[1]], fill=INK, stroke="none")
    return element(
        "g", line(tail, head, stroke_width=0.5), arrow, words("wind", (x, y + 8), text_anchor="middle")
    )


def _north() -> str:
    x, y = _SIZE_MM[0] - 9.0, 5.0
    shaft = line((x, y + 11), (x, y + 2.5), stroke_width=0.5)
    head = polygon([(x - 1.3, y + 3.2), (x + 1.3, y + 3.2), (x, y)], fill=INK, stroke="none")
    return element("g", shaft, head, words("N", (x, y + 15), text_anchor="middle"))


def _bar(half_m: float, per_m: float, us_units: bool) -> str:
    unit = chosen(LONG, us_units)
    length = round_ticks(0.0, half_m * unit.per_si, 3)[1]
    width = length / unit.per_si * per_m
    right, y = _SIZE_MM[0] - 5.0, 115.5
    bar = element("rect", x=right - width, y=y, width=width, height=1.0, fill=INK, id=f"{_NAME}-bar")
    where = number(right - width - 1.5)
    return element(
        "g", bar, words(f"{plain(length)} {unit.name}", (float(where), y + 1.4), text_anchor="end")
    )


def _legend(drawn: LandingMap) -> str:
    held = drawn.ellipse.held if drawn.ellipse is not None else None
    ellipse = "" if held is None else f"; ellipse: holds {100 * held:.0f} % of them"
    lines = (
        f"blue: {_landed_words(drawn)}{ellipse}",
        *_bare_words(drawn),
        f"dotted circle: least distance of people by the code, {_far(drawn.minimum_m, drawn.us_units)}",
        "grey outline: the field; line from the pad: the way to walk",
    )
    return element("g", *(words(text, (4.0, 121.5 + 4.2 * row)) for row, text in enumerate(lines)))


def _landed_words(drawn: LandingMap) -> str:
    if not drawn.others:
        return f"where {len(drawn.landings_m)} flights land"
    return f"where the first {min(len(drawn.landings_m), MOST_POINTS)} of {drawn.landed} flights land"


def _bare_words(drawn: LandingMap) -> Iterator[str]:
    if drawn.farthest_bare_m is not None:
        farthest = _far(drawn.farthest_bare_m, drawn.us_units)
        yield f"rust: without a canopy; dashed circle: the farthest of them, {farthest}"


def _far(metres: float, us_units: bool) -> str:
    unit = chosen(LONG, us_units)
    return f"{plain(round(metres * unit.per_si))} {unit.name}"
