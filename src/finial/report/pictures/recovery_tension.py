"""Tension in the cord over time from the charge."""

from typing import Final

import numpy as np

from finial.assemble.recovery.records import TetherStudy
from finial.report.cord_words import line_names
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, covering, framed, over_page, traced
from finial.report.pictures.axis_units import FORCE, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key, level
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, clipped, picture, polyline

_NAME: Final = "tension"
_KEY_MM: Final = 83.0
_CLOSED: Final = "4 1 1 1"
_STYLES: Final = ((BLUE, None), (RUST, "3 1"), (INK, "0.8 0.8"))


def tension_over_time(tether: TetherStudy, *, us_units: bool = False) -> str:
    """One line for each part of the cord and for the canopy's lines, the event on time in the day's wind."""
    force = chosen(FORCE, us_units)
    tensions = tether.tensions_n * force.per_si
    limit = tether.strength.low * force.per_si
    closed = tether.closed_form.value * force.per_si
    low, high = covering([0.0, 1.15 * float(tensions.max()), 1.05 * closed], at_least=1e-3)
    x = over_page(0.0, float(np.ceil(tether.times_s[-1])))
    frame = Frame(
        name=_NAME,
        x=x,
        y=Scale(low=low, high=high, start_mm=70.0, end_mm=8.0),
        x_label="time from the parting of the joint, s",
        y_label=f"tension, {force.name}",
    )
    curves = [
        polyline(
            traced(frame, tether.times_s, row),
            stroke=_STYLES[order][0],
            stroke_width=0.45,
            stroke_dasharray=_STYLES[order][1],
            id=f"{_NAME}-line-{order}",
        )
        for order, row in enumerate(tensions)
    ]
    peak = float(tensions.max())
    told = f"cord holds {limit:.0f} {force.name} at its knots (low end)"
    rows = _key(tether, told)
    body = (
        framed(frame),
        level(frame, closed, stroke=GREY, stroke_width=0.4, stroke_dasharray=_CLOSED, id=f"{_NAME}-closed"),
        *curves,
        key(rows, (x.start_mm, _KEY_MM)),
    )
    says = f"Peak {peak:.0f} {force.name}; by the energy of two bodies {closed:.0f} {force.name}; the {told}."
    height = _KEY_MM - 1.0 + ROW_MM * len(rows)
    return picture(_NAME, (PAGE_MM, height), *body, title=f"Pull in {tether.cord}", says=says)


def _key(tether: TetherStudy, told: str) -> tuple[LegendRow, ...]:
    names = line_names(tether)
    rows = [
        LegendRow(text=clipped(name, 80), stroke=colour, dashes=dashes)
        for name, (colour, dashes) in zip(names, _STYLES[: len(names)], strict=True)
    ]
    closed = LegendRow(text="peak by the energy of two bodies", stroke=GREY, dashes=_CLOSED)
    return (*rows, closed, LegendRow(text=f"the {told}"))
