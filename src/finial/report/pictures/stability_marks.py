"""The marks that decide stability, laid over a picture of the vehicle: plumb bob, bands, and the margin."""

from dataclasses import dataclass

from finial.assemble.stability.results import StabilityPoint
from finial.core.estimates import Estimate
from finial.report.pictures.axes import Scale, plain
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.svg import BLUE, GREY, RUST, element, hatch, line, number, polygon, words

_EDGE_MM = 6.0
"""How far a band may run off the vehicle on the paper, and where words begin [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkRoom:
    """Where the vehicle lies on the paper, 2 mm of room above and under it."""

    name: str
    """Of the picture: starts every id inside it."""
    station: Scale
    axis_mm: float
    top_mm: float
    foot_mm: float


def band_hatching(name: str) -> str:
    """Hatching of the pressure band, for the definitions of the picture."""
    return hatch(f"{name}-hatch", BLUE, slant_deg=45)


def bob_and_gap(room: MarkRoom, point: StabilityPoint, *, us_units: bool) -> str:
    """Hang the plumb bob at the balance point, 7 mm down, and draw the worst margin 7 mm up."""
    return _bob(room, point.balance) + _gap(room, point, us_units)


def bands(room: MarkRoom, point: StabilityPoint) -> str:
    """Draw the pressure band at the worst roll angle hatched, the one without fins as an outline."""
    top, height = room.top_mm, room.foot_mm - room.top_mm

    def box(low_m: float, high_m: float, mark: str, **style: str | float | None) -> str:
        left, right = room.station.at(low_m), room.station.at(high_m)
        return element(
            "rect", x=left, y=top, width=right - left, height=height, id=f"{room.name}-{mark}", **style
        )

    pressure = point.pressure
    finned = box(
        pressure.low,
        pressure.high,
        "pressure",
        fill=f"url(#{room.name}-hatch)",
        stroke=BLUE,
        stroke_width=0.3,
    )
    centre = room.station.at(pressure.value)
    middle = line((centre, top), (centre, top + height), stroke=BLUE, stroke_width=0.5)
    bare_low, bare_high = (_on_paper(room, end) for end in _bare_pressure(point))
    bare = box(
        bare_low, bare_high, "bare", fill="none", stroke=GREY, stroke_width=0.3, stroke_dasharray="1 1"
    )
    return element("g", bare, finned, middle)


def _bob(room: MarkRoom, balance: Estimate) -> str:
    at = room.station.at(balance.value)
    low, high = room.station.at(balance.low), room.station.at(balance.high)
    tip = room.foot_mm + 6.5
    string = line((at, room.axis_mm), (at, tip - 4.0), stroke=RUST, stroke_width=0.5)
    bob = polygon([(at - 1.7, tip - 4.0), (at + 1.7, tip - 4.0), (at, tip)], fill=RUST, stroke="none")
    bar = line((low, tip - 5.8), (high, tip - 5.8), stroke=RUST, stroke_width=0.7)
    ends = [line((x, tip - 7.0), (x, tip - 4.6), stroke=RUST, stroke_width=0.4) for x in (low, high)]
    return element("g", string, bob, bar, *ends, id=f"{room.name}-balance", data_x=number(at))


def _gap(room: MarkRoom, point: StabilityPoint, us_units: bool) -> str:
    """Dimension line over the vehicle: the margin at its bad end."""
    unit = chosen(SHORT, us_units)
    left, right = sorted((room.station.at(point.balance.high), room.station.at(point.pressure.low)))
    y = room.top_mm - 2.5
    ticks = [line((x, y - 1.5), (x, y + 1.5), stroke_width=0.3) for x in (left, right)]
    worst = plain(round(point.margin.low * unit.per_si, _digits(unit.name)))
    label = words(
        f"worst margin {worst} {unit.name}",
        (min(max((left + right) / 2, 22.0), 148.0), y - 2.4),
        text_anchor="middle",
    )
    return element("g", line((left, y), (right, y), stroke_width=0.3), *ticks, label, id=f"{room.name}-gap")


def stability_legend(name: str, point: StabilityPoint, top_mm: float, *, us_units: bool) -> tuple[str, float]:
    """Return the marks in words, and how far down the paper they reach."""
    bare_low, bare_high = _bare_pressure(point)
    unit = chosen(SHORT, us_units)
    digits = _digits(unit.name)
    entries = (
        (
            polygon([(0, -2.6), (3.4, -2.6), (1.7, 0.4)], fill=RUST, stroke="none"),
            f"plumb bob: balance point at {point.moment}, {span_words(point.balance, us_units)}",
        ),
        (
            element(
                "rect",
                x=0,
                y=-2.4,
                width=3.4,
                height=2.8,
                fill=f"url(#{name}-hatch)",
                stroke=BLUE,
                stroke_width=0.3,
            ),
            "hatched: pressure band with fins at the worst roll angle, "
            f"{span_words(point.pressure, us_units)}",
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
            f"dashed outline: the same without fins, {plain(round(bare_low * unit.per_si, digits))} to "
            f"{plain(round(bare_high * unit.per_si, digits))} {unit.name}",
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


def _on_paper(room: MarkRoom, station_m: float) -> float:
    """Keep a band that runs off the vehicle at the paper's edge."""
    spare = _EDGE_MM / (room.station.at(1.0) - room.station.at(0.0))
    return min(max(station_m, -spare), room.station.high + spare)


def _digits(unit: str) -> int:
    return 0 if unit == "mm" else 1


def span_words(estimate: Estimate, us_units: bool) -> str:
    """Station and its interval, to whole millimetres or tenths of an inch."""
    unit = chosen(SHORT, us_units)
    value, low, high = (
        round(end * unit.per_si, _digits(unit.name)) for end in (estimate.value, estimate.low, estimate.high)
    )
    return f"{plain(value)} ({plain(low)} to {plain(high)}) {unit.name}"
