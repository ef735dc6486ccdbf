"""The field from above: pad, ground track, landing point, distances."""

import math
from typing import Final

from finial.assemble.flights.results import FlightResult
from finial.findings.range_result import RangeResult
from finial.report.pictures.axes import plain, round_ticks, thinned
from finial.report.pictures.axis_units import LONG, chosen
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    line,
    number,
    picture,
    polygon,
    polyline,
    words,
)

_NAME: Final = "drift"
_WIDTH_MM: Final = 110.0
_LEGEND_MM: Final = 90.0
_ROW_MM: Final = 4.4
_CENTRE_MM: Final = (50.0, 44.0)
_REACH_MM: Final = 38.0


def drift_plan(flight: FlightResult, rules: RangeResult, *, us_units: bool = False) -> str:
    """Draw the plan of the field, north up, the pad in the middle, all to one scale."""
    field_radius_m = rules.field_radius_m
    landing = (flight.landing_east_m, flight.landing_north_m)
    bearing = math.atan2(*landing)
    track = flight.trace.positions_m[:, :2].tolist()
    reach = max(
        1.0,  # a field of no size still needs a scale
        rules.minimum_distance_m,
        flight.drift.high,
        field_radius_m or 0.0,
        *(math.hypot(east, north) for east, north in track),
    )
    per_m = _REACH_MM / reach

    def at(east: float, north: float) -> tuple[float, float]:
        return _CENTRE_MM[0] + east * per_m, _CENTRE_MM[1] - north * per_m

    def out(distance_m: float) -> tuple[float, float]:
        return at(distance_m * math.sin(bearing), distance_m * math.cos(bearing))

    told = _legend_lines(flight, rules, us_units)
    body = (
        _circles(per_m, rules.minimum_distance_m, field_radius_m),
        polyline(thinned([at(east, north) for east, north in track]), stroke=BLUE, stroke_width=0.5),
        line(
            out(flight.drift.low), out(flight.drift.high), stroke=RUST, stroke_width=1.0, id=f"{_NAME}-spread"
        ),
        _pad(),
        _landing(at(*landing), bearing),
        _north(),
        _scale_bar(reach, per_m, us_units),
        element("g", *(words(text, (4.0, _LEGEND_MM + _ROW_MM * row)) for row, text in enumerate(told))),
    )
    degrees = math.degrees(bearing) % 360
    where = f"{_far(math.hypot(*landing), us_units)} from the pad, bearing {degrees:.0f} degrees"
    size = (_WIDTH_MM, _LEGEND_MM + _ROW_MM * len(told) + 0.8)
    return picture(_NAME, size, *body, title="Landing point on the field", says=f"Lands {where}.")


def _circles(per_m: float, minimum_m: float, field_m: float | None) -> str:
    def circle(radius_m: float, mark: str, **style: str | float | None) -> str:
        return element(
            "circle",
            cx=_CENTRE_MM[0],
            cy=_CENTRE_MM[1],
            r=radius_m * per_m,
            fill="none",
            id=f"{_NAME}-{mark}",
            **style,
        )

    drawn = [circle(minimum_m, "minimum", stroke=INK, stroke_width=0.3, stroke_dasharray="0.6 1")]
    if field_m is not None:
        drawn.append(circle(field_m, "field", stroke=GREY, stroke_width=0.6))
    return element("g", *drawn)


def _pad() -> str:
    x, y = _CENTRE_MM
    return element(
        "g",
        element(
            "rect", x=x - 1.2, y=y - 1.2, width=2.4, height=2.4, fill="#ffffff", stroke=INK, stroke_width=0.4
        ),
        words("pad", (x - 2.0, y + 4.2), text_anchor="end"),
    )


def _landing(at: tuple[float, float], bearing_rad: float) -> str:
    """Draw the cross, its word set off sideways from the line pad to landing point."""
    x, y = at
    arms = [
        line((x - 1.6, y - 1.6), (x + 1.6, y + 1.6), stroke=INK, stroke_width=0.7),
        line((x - 1.6, y + 1.6), (x + 1.6, y - 1.6), stroke=INK, stroke_width=0.7),
    ]
    beside = words(
        "lands",
        (x + 5.0 * math.cos(bearing_rad), y + 5.0 * math.sin(bearing_rad) + 1.0),
        text_anchor="middle",
    )
    return element("g", *arms, beside, id=f"{_NAME}-landing", data_x=number(x), data_y=number(y))


def _north() -> str:
    x, y = _WIDTH_MM - 10.0, 8.0
    shaft = line((x, y + 11), (x, y + 2.5), stroke_width=0.5)
    head = polygon([(x - 1.3, y + 3.2), (x + 1.3, y + 3.2), (x, y)], fill=INK, stroke="none")
    return element("g", shaft, head, words("N", (x, y + 15), text_anchor="middle"))


def _scale_bar(reach_m: float, per_m: float, us_units: bool) -> str:
    unit = chosen(LONG, us_units)
    length = round_ticks(0.0, reach_m * unit.per_si, 4)[1]
    width = length / unit.per_si * per_m
    right, y = _WIDTH_MM - 4.0, 82.0
    bar = element("rect", x=right - width, y=y, width=width, height=1.0, fill=INK, id=f"{_NAME}-bar")
    return element("g", bar, words(f"{plain(length)} {unit.name}", (right, y - 1.2), text_anchor="end"))


def _legend_lines(flight: FlightResult, rules: RangeResult, us_units: bool) -> list[str]:
    drift, field_m = flight.drift, rules.field_radius_m
    span = f"{plain(round(drift.low * chosen(LONG, us_units).per_si))} to {_far(drift.high, us_units)}"
    field = [] if field_m is None else [f"grey circle: the field's edge, {_far(field_m, us_units)}"]
    return [
        f"cross: landing point, {_far(drift.value, us_units)} from the pad; bar: {span}",
        f"dotted circle: least distance to people, {_far(rules.minimum_distance_m, us_units)}",
        *field,
        "line: track over the ground, nominal flight",
    ]


def _far(metres: float, us_units: bool) -> str:
    unit = chosen(LONG, us_units)
    return f"{plain(round(metres * unit.per_si))} {unit.name}"
