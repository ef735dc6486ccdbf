"""Centre of pressure against angle: bars of the tunnel in the band of the sections, one graph a roll."""

import math
from collections.abc import Sequence
from typing import Final, TypeGuard

from finial.assemble.air.results import TunnelBeside, TunnelRow
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, plain
from finial.report.pictures.axis_units import SHORT, AxisUnit, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import BLUE, RUST, element, hatch, line, picture, polygon, polyline

_NAME: Final = "tunnel-places"
_GRAPH_MM, _GAP_MM, _TOP_MM = 36.0, 9.0, 6.0
_TICK_MM = 1.2
_MOST_ROLLS = 4


def has_places(beside: TunnelBeside | None) -> TypeGuard[TunnelBeside]:
    """Whether there is a study of the vehicle with a centre of pressure to draw."""
    return beside is not None and any(row.place is not None for row in beside.rows)


def tunnel_places(rows: Sequence[TunnelRow], *, us_units: bool = False) -> str:
    """Bars are the tunnel's intervals, the hatched band is what the sections say at the same angles."""
    told = [row for row in rows if row.place is not None or row.sections_place_m is not None]
    rolls = sorted({row.roll_rad for row in told})[:_MOST_ROLLS]
    unit = chosen(SHORT, us_units)
    low, high = covering([end * unit.per_si for row in told for end in _ends(row)], pad=0.05)
    x = over_page(0.0, max(math.degrees(row.angle_rad) for row in told) * 1.05)
    graphs: list[str] = []
    for number, roll in enumerate(rolls):
        top = _TOP_MM + number * (_GRAPH_MM + _GAP_MM)
        toward = plain(round(math.degrees(roll)))
        frame = Frame(
            name=f"{_NAME}-{number}",
            x=x,
            y=Scale(low=low, high=high, start_mm=top + _GRAPH_MM, end_mm=top),
            x_label="angle of attack, degrees",
            y_label=f"station, {unit.name}, aft is up; wind to roll {toward} degrees",
        )
        last = number == len(rolls) - 1
        graphs.append(framed(frame if last else bare(frame)))
        graphs += _drawn(frame, [row for row in told if row.roll_rad == roll], unit)
    foot = _TOP_MM + len(rolls) * (_GRAPH_MM + _GAP_MM) + 5.0
    legend = key(
        (
            LegendRow(text="bars: the tunnel's interval, of two grids and two standard errors", stroke=RUST),
            LegendRow(text="hatched band: the sections, with their middle", stroke=BLUE),
        ),
        (x.start_mm, foot),
    )
    apart = sum(not row.meets for row in told)
    return picture(
        _NAME,
        (PAGE_MM, foot + 2 * ROW_MM),
        element("defs", hatch(f"{_NAME}-hatch", BLUE, slant_deg=45)),
        *graphs,
        legend,
        title="Centre of pressure, tunnel and sections",
        says=f"Tunnel and sections part at {apart} of {len(told)} angles and rolls.",
    )


def _ends(row: TunnelRow) -> list[float]:
    own = [] if row.place is None else [row.place.low, row.place.high]
    return [*own, *(row.sections_place_m or ())]


def _drawn(frame: Frame, rows: Sequence[TunnelRow], unit: AxisUnit) -> list[str]:
    band = [
        (
            frame.x.at(math.degrees(row.angle_rad)),
            [frame.y.at(end * unit.per_si) for end in row.sections_place_m],
        )
        for row in rows
        if row.sections_place_m is not None
    ]
    corners = [(x, fore) for x, (fore, _, _) in band] + [(x, aft) for x, (_, _, aft) in band[::-1]]
    drawn = [
        polygon(corners, fill=f"url(#{_NAME}-hatch)", stroke=BLUE),
        polyline([(x, middle) for x, (_, middle, _) in band], stroke=BLUE, stroke_width=0.6),
    ]
    return [*(drawn if band else ()), *(_bar(frame, row, unit) for row in rows if row.place is not None)]


def _bar(frame: Frame, row: TunnelRow, unit: AxisUnit) -> str:
    assert row.place is not None
    at = frame.x.at(math.degrees(row.angle_rad))
    fore, middle, aft = (
        frame.y.at(end * unit.per_si) for end in (row.place.low, row.place.value, row.place.high)
    )
    ends = [line((at - _TICK_MM, y), (at + _TICK_MM, y), stroke=RUST, stroke_width=0.5) for y in (fore, aft)]
    point = element("circle", cx=at, cy=middle, r=0.9, fill=RUST, stroke="none")
    return element("g", line((at, fore), (at, aft), stroke=RUST, stroke_width=0.5), *ends, point)
