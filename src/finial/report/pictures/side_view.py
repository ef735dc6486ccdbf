"""Side view: outline, fins, balance point and pressure band on a station scale."""

from dataclasses import dataclass

from finial.assemble.stability.results import StabilityPoint
from finial.assemble.vehicle.results import ShapeResult
from finial.core.estimates import Estimate
from finial.report.pictures.axes import PAGE_MM, Scale, plain
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.ruler import station_ruler
from finial.report.pictures.silhouette import fin_outlines, side_outline, steps
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    hatch,
    line,
    number,
    picture,
    polygon,
    words,
)

_EDGE_MM = 6.0
_NAME = "side-view"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """Where things lie on the paper: the station scale and the axis."""

    station: Scale
    axis_mm: float
    half_mm: float

    def point(self, station_m: float, across_m: float) -> tuple[float, float]:
        """Body y upwards, stations to the right, equal scales."""
        per_m = self.station.at(1.0) - self.station.at(0.0)
        return self.station.at(station_m), self.axis_mm - across_m * per_m


def side_view(shape: ShapeResult, point: StabilityPoint, *, us_units: bool = False) -> str:
    """Draw the vehicle lying on its side, tip to the left, with the marks that decide stability.

    The plumb bob hangs at the balance point, its bar spans the interval; the hatched band is
    the pressure band at the worst roll angle with fins, the outlined one the same without fins.
    """
    sheet = _sheet(shape)
    foot = sheet.axis_mm + sheet.half_mm
    ruler_mm = foot + 13.0
    legend, legend_mm = _legend(point, ruler_mm + 15.0, us_units)
    body = (
        element("defs", hatch(f"{_NAME}-hatch", BLUE, slant_deg=45)),
        _vehicle(sheet, shape),
        _bands(sheet, point),
        _bob(sheet, point.balance, foot),
        _gap(sheet, point, us_units),
        station_ruler(_NAME, sheet.station, shape.skin.length_m, ruler_mm, us_units=us_units),
        legend,
    )
    says = (
        f"Outline from the side, tip to the left. At {point.moment} the balance point lies at station "
        f"{_span(point.balance, us_units)}; the pressure band with fins at {_span(point.pressure, us_units)}."
    )
    return picture(
        _NAME,
        (PAGE_MM, legend_mm),
        *body,
        title="Side view with balance point and pressure band",
        says=says,
    )


def _sheet(shape: ShapeResult) -> _Sheet:
    outlines = [side_outline(shape.skin)]
    outlines += [outline for fins in shape.fins for _, outline in fin_outlines(fins)]
    aft = max(station for outline in outlines for station, _ in outline)
    half = max(abs(across) for outline in outlines for _, across in outline)
    per_m = min((PAGE_MM - 2 * _EDGE_MM) / aft, 34.0 / half)
    start = (PAGE_MM - per_m * aft) / 2
    station = Scale(low=0.0, high=aft, start_mm=start, end_mm=start + per_m * aft)
    half_mm = half * per_m
    return _Sheet(station=station, axis_mm=half_mm + 12.0, half_mm=half_mm)


def _vehicle(sheet: _Sheet, shape: ShapeResult) -> str:
    def drawn(outline: list[tuple[float, float]], **style: str | float | None) -> str:
        return polygon([sheet.point(*corner) for corner in outline], **style)

    fins = [fin for fin_set in shape.fins for fin in fin_outlines(fin_set)]
    behind = [drawn(outline, fill="#f4f4f2", stroke=GREY) for in_front, outline in fins if not in_front]
    before = [
        drawn(outline, fill="#ffffff", fill_opacity=0.6, stroke=INK) for in_front, outline in fins if in_front
    ]
    edges = [
        line(sheet.point(station, low), sheet.point(station, high), stroke=INK, stroke_width=0.15)
        for station, low, high in steps(shape.skin)
    ]
    skin = drawn(side_outline(shape.skin), fill="#fbfbfa", stroke=INK, stroke_width=0.4)
    axis = line(
        (sheet.station.start_mm - 3, sheet.axis_mm),
        (sheet.station.end_mm + 3, sheet.axis_mm),
        stroke=GREY,
        stroke_width=0.15,
        stroke_dasharray="4 1 1 1",
    )
    return element("g", *behind, skin, *edges, *before, axis, id=f"{_NAME}-vehicle")


def _bands(sheet: _Sheet, point: StabilityPoint) -> str:
    top, height = sheet.axis_mm - sheet.half_mm - 2.0, 2 * sheet.half_mm + 4.0

    def box(low_m: float, high_m: float, mark: str, **style: str | float | None) -> str:
        left, right = sheet.station.at(low_m), sheet.station.at(high_m)
        return element(
            "rect", x=left, y=top, width=right - left, height=height, id=f"{_NAME}-{mark}", **style
        )

    pressure = point.pressure
    finned = box(
        pressure.low, pressure.high, "pressure", fill=f"url(#{_NAME}-hatch)", stroke=BLUE, stroke_width=0.3
    )
    centre = sheet.station.at(pressure.value)
    middle = line((centre, top), (centre, top + height), stroke=BLUE, stroke_width=0.5)
    bare_low, bare_high = (_on_sheet(sheet, end) for end in _bare_pressure(point))
    bare = box(
        bare_low, bare_high, "bare", fill="none", stroke=GREY, stroke_width=0.3, stroke_dasharray="1 1"
    )
    return element("g", bare, finned, middle)


def _bob(sheet: _Sheet, balance: Estimate, foot_mm: float) -> str:
    at = sheet.station.at(balance.value)
    low, high = sheet.station.at(balance.low), sheet.station.at(balance.high)
    tip = foot_mm + 8.5
    string = line((at, sheet.axis_mm), (at, tip - 4.0), stroke=RUST, stroke_width=0.5)
    bob = polygon([(at - 1.7, tip - 4.0), (at + 1.7, tip - 4.0), (at, tip)], fill=RUST, stroke="none")
    bar = line((low, tip - 5.8), (high, tip - 5.8), stroke=RUST, stroke_width=0.7)
    ends = [line((x, tip - 7.0), (x, tip - 4.6), stroke=RUST, stroke_width=0.4) for x in (low, high)]
    return element("g", string, bob, bar, *ends, id=f"{_NAME}-balance", data_x=number(at))


def _gap(sheet: _Sheet, point: StabilityPoint, us_units: bool) -> str:
    """Dimension line over the vehicle: the margin at its bad end."""
    unit = chosen(SHORT, us_units)
    left, right = sorted((sheet.station.at(point.balance.high), sheet.station.at(point.pressure.low)))
    y = sheet.axis_mm - sheet.half_mm - 4.5
    ticks = [line((x, y - 1.5), (x, y + 1.5), stroke_width=0.3) for x in (left, right)]
    worst = plain(round(point.margin.low * unit.per_si, 0 if unit.name == "mm" else 1))
    label = words(
        f"worst margin {worst} {unit.name}",
        (min(max((left + right) / 2, 22.0), 148.0), y - 2.4),
        text_anchor="middle",
    )
    return element("g", line((left, y), (right, y), stroke_width=0.3), *ticks, label, id=f"{_NAME}-gap")


def _legend(point: StabilityPoint, top_mm: float, us_units: bool) -> tuple[str, float]:
    """Return the marks in words, and how far down the paper they reach."""
    bare_low, bare_high = _bare_pressure(point)
    unit = chosen(SHORT, us_units)
    entries = (
        (
            polygon([(0, -2.6), (3.4, -2.6), (1.7, 0.4)], fill=RUST, stroke="none"),
            f"plumb bob: balance point at {point.moment}, {_span(point.balance, us_units)}",
        ),
        (
            element(
                "rect",
                x=0,
                y=-2.4,
                width=3.4,
                height=2.8,
                fill=f"url(#{_NAME}-hatch)",
                stroke=BLUE,
                stroke_width=0.3,
            ),
            f"hatched: pressure band with fins at the worst roll angle, {_span(point.pressure, us_units)}",
        ),
        (
            element(
                "rect",
                x=0,
                y=-2.4,
                width=3.4,
                height=2.8,
                fill="none",
                stroke=GREY,
                stroke_width=0.3,
                stroke_dasharray="1 1",
            ),
            f"dashed outline: the same without fins, {plain(round(bare_low * unit.per_si, 1))} to "
            f"{plain(round(bare_high * unit.per_si, 1))} {unit.name}",
        ),
    )
    rows = [
        element(
            "g",
            mark,
            words(text, (5.0, 0)),
            transform=f"translate({number(_EDGE_MM)} {number(top_mm + 4.6 * row)})",
        )
        for row, (mark, text) in enumerate(entries)
    ]
    return element("g", *rows), top_mm + 4.6 * len(entries)


def _bare_pressure(point: StabilityPoint) -> tuple[float, float]:
    """Pressure band without fins: its margin's ends set off from the balance point's own."""
    return point.bare_margin.low + point.balance.high, point.bare_margin.high + point.balance.low


def _on_sheet(sheet: _Sheet, station_m: float) -> float:
    """Keep a band that runs off the vehicle at the paper's edge."""
    spare = _EDGE_MM / (sheet.station.at(1.0) - sheet.station.at(0.0))
    return min(max(station_m, -spare), sheet.station.high + spare)


def _span(estimate: Estimate, us_units: bool) -> str:
    unit = chosen(SHORT, us_units)
    value, low, high = (
        round(end * unit.per_si, 0 if unit.name == "mm" else 1)
        for end in (estimate.value, estimate.low, estimate.high)
    )
    return f"{plain(value)} ({plain(low)} to {plain(high)}) {unit.name}"
