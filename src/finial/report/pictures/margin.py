"""Margin against angle of attack, and the pressure band against roll angle."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.results import AirResult
from finial.assemble.stability.results import StabilityPoint
from finial.assemble.vehicle.results import ShapeResult
from finial.report.pictures.axes import Frame, Scale, covering, framed, plain, traced
from finial.report.pictures.axis_units import SHORT, AxisUnit, chosen
from finial.report.pictures.silhouette import end_view
from finial.report.pictures.svg import (
    BLUE,
    FONT_MM,
    GREY,
    INK,
    RUST,
    element,
    hatch,
    line,
    number,
    picture,
    polygon,
    polyline,
    words,
)

_BY_ANGLE: Final = "margin"
_BY_ROLL: Final = "roll"
_WIDE_MM: Final = (110.0, 70.0)
_ROUND_MM: Final = (92.0, 98.0)


def margin_by_angle(air: AirResult, point: StabilityPoint, *, us_units: bool = False) -> str:
    """Margin from balance point to pressure band over angle of attack, worst roll at each angle.

    The band runs from its bad end (balance aft, pressure forward) to its good end; the
    line is the central value at the roll angle whose central value is worst.
    """
    unit = chosen(SHORT, us_units)
    degrees = np.degrees(air.angles_rad)
    bad = (air.pressure_forward_m.min(axis=1) - point.balance.high) * unit.per_si
    good = (air.pressure_aft_m.max(axis=1) - point.balance.low) * unit.per_si
    central = (air.pressure_central_m.min(axis=1) - point.balance.value) * unit.per_si
    low, high = covering([*bad, *good, 0.0, point.width_m * unit.per_si], pad=0.05)
    frame = Frame(
        name=_BY_ANGLE,
        x=Scale(low=0.0, high=float(degrees[-1]), start_mm=15.0, end_mm=97.0),
        y=Scale(low=low, high=high, start_mm=54.0, end_mm=9.0),
        x_label="angle of attack, degrees",
        y_label=f"margin, {unit.name} (right: widths)",
    )
    band = polygon(
        traced(frame, degrees, bad) + traced(frame, degrees, good)[::-1],
        fill=f"url(#{_BY_ANGLE}-hatch)",
        stroke=BLUE,
        id=f"{_BY_ANGLE}-band",
    )
    middle = polyline(traced(frame, degrees, central), stroke=BLUE, stroke_width=0.6)
    body = (
        element("defs", hatch(f"{_BY_ANGLE}-hatch", BLUE, slant_deg=45)),
        framed(frame),
        band,
        middle,
        _floor(frame),
        _widths(frame, point.width_m * unit.per_si),
        _judged(frame, point),
    )
    says = (
        f"The margin's bad end at 0 degrees is {plain(round(float(bad[0]), 1))} {unit.name}; its smallest "
        f"up to {degrees[-1]:.0f} degrees is {plain(round(float(bad.min()), 1))} {unit.name}."
    )
    return picture(_BY_ANGLE, _WIDE_MM, *body, title="Margin against angle of attack", says=says)


def pressure_by_roll(
    shape: ShapeResult, air: AirResult, point: StabilityPoint, *, us_units: bool = False
) -> str:
    """Pressure band round the vehicle as seen from the tip; further out is further aft.

    The dashed circle is the balance point: where the band touches or crosses it, the vehicle
    does not straighten itself in a cross wind blowing towards that roll angle.
    """
    unit = chosen(SHORT, us_units)
    row = int(np.abs(air.angles_rad - point.alpha_rad).argmin())
    forward, aft = air.pressure_forward_m[row], air.pressure_aft_m[row]
    low, high = covering([*forward, *aft, point.balance.low, point.balance.high], pad=0.1)
    radius = Scale(low=low, high=high, start_mm=13.0, end_mm=36.0)
    centre = (_ROUND_MM[0] / 2, 43.0)
    inner = _round(air, forward, radius, centre)
    outer = _round(air, aft, radius, centre)
    ring = element(
        "path",
        d=f"{_path(outer)} {_path(inner[::-1])}",
        fill=f"url(#{_BY_ROLL}-hatch)",
        fill_rule="evenodd",
        stroke=BLUE,
        stroke_width=0.25,
        id=f"{_BY_ROLL}-band",
    )
    central = polygon(_round(air, air.pressure_central_m[row], radius, centre), stroke=BLUE, stroke_width=0.6)
    body = (
        element("defs", hatch(f"{_BY_ROLL}-hatch", BLUE, slant_deg=45)),
        ring,
        _rings(radius, centre, unit),
        central,
        _balance_ring(radius, centre, point),
        end_view(shape.skin, shape.fins, centre=centre, radius_mm=11.0),
        _roll_words(centre, unit, float(air.angles_rad[row])),
    )
    worst = float(np.degrees(air.rolls_rad[int(forward.argmin())]))
    says = (
        f"Pressure band against roll angle at {math.degrees(air.angles_rad[row]):.0f} degrees angle "
        f"of attack; its forward end comes furthest forward at roll {plain(round(worst))} degrees."
    )
    return picture(_BY_ROLL, _ROUND_MM, *body, title="Pressure band against roll angle", says=says)


def _floor(frame: Frame) -> str:
    """Draw zero margin, below which nothing straightens the vehicle."""
    at = frame.y.at(0.0)
    return line(
        (frame.x.start_mm, at), (frame.x.end_mm, at), stroke=RUST, stroke_width=1.0, id=f"{_BY_ANGLE}-zero"
    )


def _widths(frame: Frame, width: float) -> str:
    """Mark the right-hand edge in widths."""
    first, last = math.ceil(frame.y.low / width * 2), math.floor(frame.y.high / width * 2)
    step = 1 if last - first <= 8 else math.ceil((last - first) / 8)
    marks: list[str] = []
    for half in range(first, last + 1, step):
        at = frame.y.at(half / 2 * width)
        marks.append(line((frame.x.end_mm, at), (frame.x.end_mm + 1.2, at)))
        marks.append(words(plain(half / 2), (frame.x.end_mm + 2.0, at + 0.35 * FONT_MM)))
    return element("g", *marks)


def _judged(frame: Frame, point: StabilityPoint) -> str:
    """Mark the largest angle the margin is judged at."""
    angle = min(math.degrees(point.alpha_rad), frame.x.high)
    at = frame.x.at(angle)
    rule = line(
        (at, frame.y.start_mm), (at, frame.y.end_mm), stroke=INK, stroke_width=0.3, stroke_dasharray="1.5 1"
    )
    near_right = at > (frame.x.start_mm + frame.x.end_mm) / 2
    label = words(
        f"judged up to here: {point.moment}",
        (at - 1 if near_right else at + 1, frame.y.end_mm + 3.6),
        text_anchor="end" if near_right else "start",
    )
    foot = words(
        "hatched: the band; line: central value; thickest: zero margin",
        (frame.x.start_mm, _WIDE_MM[1] - 2.5),
    )
    return element("g", rule, label, foot, id=f"{_BY_ANGLE}-judged", data_x=number(at))


def _round(
    air: AirResult, stations: NDArray[np.float64], radius: Scale, centre: tuple[float, float]
) -> list[tuple[float, float]]:
    """Stations over the full turn as points, roll 0 up and rising counter-clockwise."""
    turn = np.linspace(0.0, 2 * math.pi, 145)[:-1]
    reached = np.interp(turn, air.rolls_rad, stations, period=2 * math.pi)
    return [_at(radius.at(float(s)), float(roll), centre) for s, roll in zip(reached, turn, strict=True)]


def _at(radius_mm: float, roll_rad: float, centre: tuple[float, float]) -> tuple[float, float]:
    return centre[0] - radius_mm * math.sin(roll_rad), centre[1] - radius_mm * math.cos(roll_rad)


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points) + " Z"


def _rings(radius: Scale, centre: tuple[float, float], unit: AxisUnit) -> str:
    in_unit = Scale(
        low=radius.low * unit.per_si,
        high=radius.high * unit.per_si,
        start_mm=radius.start_mm,
        end_mm=radius.end_mm,
    )
    drawn: list[str] = []
    for value in in_unit.ticks(4):
        reach = in_unit.at(value)
        circle = element(
            "circle", cx=centre[0], cy=centre[1], r=reach, fill="none", stroke=GREY, stroke_width=0.15
        )
        x, y = _at(reach, math.radians(292.5), centre)
        label = words(
            plain(value),
            (x, y + 0.8),
            font_size=2.5,
            text_anchor="middle",
            stroke="#ffffff",
            stroke_width=0.9,
            paint_order="stroke",
        )
        drawn.append(element("g", circle, label, id=f"{_BY_ROLL}-ring-{plain(value)}", data_r=number(reach)))
    return element("g", *drawn)


def _balance_ring(radius: Scale, centre: tuple[float, float], point: StabilityPoint) -> str:
    rings = [
        element("circle", cx=centre[0], cy=centre[1], r=radius.at(station), fill="none", stroke=RUST, **style)
        for station, style in (
            (
                point.balance.value,
                {"stroke_width": 0.7, "stroke_dasharray": "2 1.2", "id": f"{_BY_ROLL}-balance"},
            ),
            (point.balance.low, {"stroke_width": 0.2}),
            (point.balance.high, {"stroke_width": 0.2}),
        )
    ]
    return element("g", *rings)


def _roll_words(centre: tuple[float, float], unit: AxisUnit, angle_rad: float) -> str:
    marks: list[str] = []
    for degrees in range(0, 360, 45):
        x, y = _at(39.0, math.radians(degrees), centre)
        marks.append(words(f"{degrees}°", (x, y + 1.0), text_anchor="middle"))
    x = centre[0]
    angle = plain(round(math.degrees(angle_rad), 1))
    lines = (
        f"hatched: pressure band at {angle}° angle of attack",
        f"rings: station, {unit.name}; dashed: balance point",
        "the band must stay outside the dashed circle",
    )
    foot = [words(text, (x, 88.6 + 3.6 * row), text_anchor="middle") for row, text in enumerate(lines)]
    return element("g", *marks, *foot)
