"""Air on planes through the axis in the tunnel: mean speed and pressure, and moments with specks."""

import math
from collections.abc import Sequence
from typing import Final

from finial.report.flow_words import (
    AIR_WORDS,
    SPEED_WORDS,
    flow_sentence,
    plane_words,
)
from finial.report.pictures.axes import PAGE_MM
from finial.report.pictures.drawn_air import DrawnPlane, drawn_moments, drawn_plane
from finial.report.pictures.shades import BANDS, shades_key
from finial.report.pictures.svg import INK, element, line, number, picture, polygon, words
from finial.report.shown import Shown
from finial.tunnel_study.flows import KeptFlow

_EDGE_MM, _TALLEST_MM, _TOP_MM, _GAP_MM = 6.0, 70.0, 8.0, 9.0
_MOMENTS = 6
_COLUMNS = 2
_SPECKS: Final = ((INK, 3.6), ("#ffffff", 2.0))
"""White within dark: seen on every shade."""


def tunnel_air(kept: KeptFlow, what: str, *, us_units: bool = False) -> str:
    """Draw the mean ``speed`` or the mean ``pressure`` of both planes, the tip on the left."""
    name = f"tunnel-air-{what}"
    body: list[str] = []
    top = _TOP_MM
    for order, plane in enumerate(map(drawn_plane, kept.flow.planes)):
        bands = plane.speed if what == "speed" else plane.pressure
        body.append(words(plane_words(kept, order), (_EDGE_MM, top - 1.8)))
        drawn, high = _panel(plane, bands, (_EDGE_MM, top), PAGE_MM - 2 * _EDGE_MM, _TALLEST_MM)
        body.append(drawn)
        if order == 0:
            body.append(_arrow(kept, (_EDGE_MM, top)))
        top += high + _GAP_MM
    told, foot = shades_key(SPEED_WORDS if what == "speed" else AIR_WORDS, top)
    title = "Mean speed of the air over the wind's" if what == "speed" else "Mean pressure of the air, Cp"
    says = flow_sentence(kept, Shown(us_units=us_units))
    return picture(name, (PAGE_MM, foot), *body, told, title=f"{title}, in the tunnel", says=says)


def tunnel_moments(kept: KeptFlow, *, us_units: bool = False) -> str:
    """Draw some moments of the speed, with specks that the air carried along, from the left above on."""
    plane, moments = drawn_plane(kept.flow.planes[0]), drawn_moments(kept.flow, kept.told.width_m)
    wide = (PAGE_MM - 2 * _EDGE_MM - _GAP_MM) / _COLUMNS
    shown = range(0, len(moments), max(math.ceil(len(moments) / _MOMENTS), 1))
    body: list[str] = []
    top, high = _TOP_MM, 0.0
    for order, moment in enumerate(shown):
        if order and order % _COLUMNS == 0:
            top += high + _GAP_MM
        left = _EDGE_MM + order % _COLUMNS * (wide + _GAP_MM)
        travel = moment * kept.flow.apart_widths
        body.append(words(f"after {travel:.1f} widths of travel", (left, top - 1.8)))
        specks = "".join(
            element("path", d=moments[moment].specks, fill="none", stroke=colour, stroke_width=wide_as)
            for colour, wide_as in _SPECKS
        )
        drawn, high = _panel(plane, moments[moment].speed, (left, top), wide, _TALLEST_MM, specks)
        body.append(drawn)
    told, foot = shades_key(SPEED_WORDS, top + high + _GAP_MM)
    return picture(
        "tunnel-moments",
        (PAGE_MM, foot),
        *body,
        told,
        title="Moments of the air in the tunnel: speed, and specks carried along",
        says=flow_sentence(kept, Shown(us_units=us_units)),
    )


def _panel(
    plane: DrawnPlane,
    bands: Sequence[str],
    at_mm: tuple[float, float],
    wide_mm: float,
    most_high_mm: float,
    over: str = "",
) -> tuple[str, float]:
    """Draw bands with the shape cut in; how high it is [mm]."""
    per_unit = min(wide_mm / plane.wide, most_high_mm / plane.high)
    ground = element("rect", x=0, y=0, width=plane.wide, height=plane.high, fill=BANDS[0])
    drawn = [
        element("path", d=path, fill=shade) for path, shade in zip(bands, BANDS[1:], strict=True) if path
    ]
    line_width = 0.3 / per_unit
    hull = element("path", d=plane.outline, fill="#ffffff", stroke=INK, stroke_width=line_width)
    turned = f"translate({number(at_mm[0])} {number(at_mm[1])}) scale({per_unit:.6f})"
    return element("g", ground, *drawn, over, hull, transform=turned), plane.high * per_unit


def _arrow(kept: KeptFlow, at_mm: tuple[float, float]) -> str:
    """Show where the wind goes to in the first plane."""
    angle, start = kept.told.angle_rad, (at_mm[0] + 4.0, at_mm[1] + 8.0)
    along = math.cos(angle), -math.sin(angle)
    end = start[0] + 9.0 * along[0], start[1] + 9.0 * along[1]
    barbs = [
        (end[0] - 2.4 * along[0] + side * along[1], end[1] - 2.4 * along[1] - side * along[0])
        for side in (1.0, -1.0)
    ]
    shaft = line(start, end, stroke=INK, stroke_width=0.6)
    return element("g", shaft, polygon([end, *barbs], fill=INK, stroke="none"))
