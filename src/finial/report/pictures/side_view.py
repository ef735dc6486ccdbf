"""Side view: outline, fins, balance point and pressure band on a station scale."""

from dataclasses import dataclass

from finial.assemble.stability.results import StabilityPoint
from finial.assemble.vehicle.results import ShapeResult
from finial.report.pictures.axes import PAGE_MM, Scale
from finial.report.pictures.ruler import station_ruler
from finial.report.pictures.silhouette import fin_outlines, side_outline, steps
from finial.report.pictures.stability_marks import (
    MarkRoom,
    band_hatching,
    bands,
    bob_and_gap,
    span_words,
    stability_legend,
)
from finial.report.pictures.svg import (
    GREY,
    INK,
    element,
    line,
    picture,
    polygon,
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
    room = MarkRoom(
        name=_NAME,
        station=sheet.station,
        axis_mm=sheet.axis_mm,
        top_mm=sheet.axis_mm - sheet.half_mm - 2.0,
        foot_mm=sheet.axis_mm + sheet.half_mm + 2.0,
    )
    ruler_mm = room.foot_mm + 11.0
    legend, legend_mm = stability_legend(_NAME, point, ruler_mm + 15.0, us_units=us_units)
    body = (
        element("defs", band_hatching(_NAME)),
        _vehicle(sheet, shape),
        bands(room, point),
        bob_and_gap(room, point, us_units=us_units),
        station_ruler(_NAME, sheet.station, shape.skin.length_m, ruler_mm, us_units=us_units),
        legend,
    )
    says = (
        f"Outline from the side, tip to the left. At {point.moment} the balance point lies at station "
        f"{span_words(point.balance, us_units)}; the pressure band with fins at "
        f"{span_words(point.pressure, us_units)}."
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
