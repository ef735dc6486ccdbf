"""Templates true to scale, to cut or drill by; each with a length to measure the print by."""

import math
from collections.abc import Iterable

from finial.assemble.vehicle.templates import Corners, DrillTemplate, FinTemplate
from finial.report.pictures.svg import GREY, INK, RUST, element, line, number, picture, polygon, words
from finial.report.shown import Shown

_EDGE_MM = 12.0
_TEXT_MM = 5.0
CHECK_MM = 100.0
"""Length of the bar that the print is measured by [mm]."""
CHECK_US_MM = 4 * 25.4
"""The same for builders who measure in inches: 4 in [mm]."""
_MM = 1e3
_THIN = 0.18
_CROSS_MM = 4.0
_LEAST_WIDTH_MM = 130.0
Point = tuple[float, float]


def fin_template(fin: FinTemplate, *, us_units: bool) -> str:
    """Draw one fin, root below, fore end to the left, with its tab."""
    corners = [*fin.outline_m, *fin.tab_m]
    low = (min(along for along, _ in corners), min(out for _, out in corners))
    high = (max(along for along, _ in corners), max(out for _, out in corners))
    shown = Shown(us_units=us_units)
    said = (
        f"{fin.name}: cut {fin.count} of {fin.material}, {shown.offset(fin.thickness_m)} thick.",
        "Root below, fore end to the left."
        + (" Dashed: the tab, as deep as the sheet says." if fin.tab_m else ""),
    )
    size = ((high[0] - low[0]) * _MM, (high[1] - low[1]) * _MM)

    def placed(point: Point) -> Point:
        return _EDGE_MM + (point[0] - low[0]) * _MM, _EDGE_MM + (high[1] - point[1]) * _MM

    body = [polygon(map(placed, fin.outline_m), stroke_width=_THIN)]
    if fin.tab_m:
        body.append(polygon(map(placed, fin.tab_m), stroke_width=_THIN, stroke_dasharray="3 1.5"))
    return _sheet("fin", size, body, said, us_units=us_units)


def drill_template(drill: DrillTemplate, *, us_units: bool) -> str:
    """Draw holes in the outline of the body, seen from the tip, the side of roll angle 0 to the right."""
    shown = Shown(us_units=us_units)
    reach = max(_reach(corners) for corners in (drill.places_m, *drill.outlines_m)) * _MM + drill.hole_m * _MM
    wide, station = shown.offset(drill.hole_m), shown.offset(drill.station_m)
    said = (
        f"{drill.name}: {len(drill.places_m)} holes for {drill.thread}, drawn {wide} wide.",
        "The drill's play is yours. The outline is the nearest cut of the body, to lay this on.",
        f"Seen from the tip at station {station}, roll 0 to the right; mirror it for behind.",
    )

    def placed(point: Point) -> Point:
        return _EDGE_MM + reach + point[0] * _MM, _EDGE_MM + reach - point[1] * _MM

    body = [polygon(map(placed, loop), stroke_width=_THIN, stroke=GREY) for loop in drill.outlines_m]
    body += _cross(placed((0.0, 0.0)), _CROSS_MM, INK)
    body.append(line(placed((0.0, 0.0)), placed((reach / _MM, 0.0)), stroke=GREY, stroke_width=_THIN))
    for place in drill.places_m:
        x, y = placed(place)
        body.append(
            element(
                "circle", cx=x, cy=y, r=drill.hole_m * _MM / 2, fill="none", stroke=RUST, stroke_width=_THIN
            )
        )
        body += _cross((x, y), _CROSS_MM, RUST)
    return _sheet("drill", (2 * reach, 2 * reach), body, said, us_units=us_units)


def _reach(corners: Corners) -> float:
    """Farthest of some points from the axis [m]."""
    return max((math.hypot(y, z) for y, z in corners), default=0.0)


def _cross(at: Point, size_mm: float, colour: str) -> list[str]:
    x, y = at
    return [
        line((x - size_mm, y), (x + size_mm, y), stroke=colour, stroke_width=_THIN),
        line((x, y - size_mm), (x, y + size_mm), stroke=colour, stroke_width=_THIN),
    ]


def _sheet(name: str, size_mm: Point, body: Iterable[str], said: tuple[str, ...], *, us_units: bool) -> str:
    """Put a drawing on paper: beneath it a bar to measure, and what it is."""
    bar = CHECK_US_MM if us_units else CHECK_MM
    told = f"Print at 100 %. This bar is {'4 in' if us_units else '100 mm'} long: measure it before you cut."
    foot = _EDGE_MM + size_mm[1] + 2 * _TEXT_MM
    rows = [told, *said]
    texts = [words(row, (_EDGE_MM, foot + (n + 1) * _TEXT_MM)) for n, row in enumerate(rows)]
    width = max(size_mm[0] + 2 * _EDGE_MM, _LEAST_WIDTH_MM)
    height = foot + (len(rows) + 1) * _TEXT_MM + _EDGE_MM / 2
    return picture(
        name,
        (float(number(width)), float(number(height))),
        *body,
        *_bar((_EDGE_MM, foot), bar),
        *texts,
        title=said[0],
        says=" ".join(rows),
    )


def _bar(at: Point, long_mm: float) -> list[str]:
    x, y = at
    ends = [line((x + step, y - 2.0), (x + step, y + 2.0)) for step in (0.0, long_mm)]
    return [line((x, y), (x + long_mm, y), id="check-length"), *ends]
