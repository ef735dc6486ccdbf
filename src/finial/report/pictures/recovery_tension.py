"""Tension in the cord over time from the charge."""

from typing import Final

import numpy as np

from finial.assemble.recovery.records import TetherStudy
from finial.report.cord_words import line_names
from finial.report.pictures.axes import Frame, Scale, covering, framed, traced
from finial.report.pictures.axis_units import FORCE, chosen
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, clipped, element, line, picture, polyline, words

_NAME: Final = "tension"
_STYLES: Final = ((BLUE, None), (RUST, "3 1"), (INK, "0.8 0.8"))


def tension_over_time(tether: TetherStudy, *, us_units: bool = False) -> str:
    """One line for each part of the cord and for the canopy's lines, the event on time in the day's wind."""
    force = chosen(FORCE, us_units)
    tensions = tether.tensions_n * force.per_si
    limit = tether.strength.low * force.per_si
    closed = tether.closed_form.value * force.per_si
    low, high = covering([0.0, 1.15 * float(tensions.max()), 1.05 * closed], at_least=1e-3)
    x = Scale(low=0.0, high=float(np.ceil(tether.times_s[-1])), start_mm=16.0, end_mm=166.0)
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
    at = frame.y.at(closed)
    level = line((16.0, at), (166.0, at), stroke=GREY, stroke_width=0.4, stroke_dasharray="4 1 1 1")
    peak = float(tensions.max())
    told = f"cord holds {limit:.0f} {force.name} at its knots (low end)"
    body = (
        framed(frame),
        level,
        *curves,
        _key(tether, told),
    )
    says = f"Peak {peak:.0f} {force.name}; by the energy of two bodies {closed:.0f} {force.name}; the {told}."
    height = 82.0 + 4.2 * (len(tensions) + 2)
    return picture(_NAME, (170.0, height), *body, title=f"Pull in {tether.cord}", says=says)


def _key(tether: TetherStudy, told: str) -> str:
    rows: list[str] = []
    styles = [*_STYLES[: len(line_names(tether))], (GREY, "4 1 1 1")]
    names = [*line_names(tether), "peak by the energy of two bodies"]
    for order, ((colour, dashes), name) in enumerate(zip(styles, names, strict=True)):
        y = 83.0 + 4.2 * order
        rows.append(
            line((16.0, y - 1.0), (28.0, y - 1.0), stroke=colour, stroke_width=0.5, stroke_dasharray=dashes)
        )
        rows.append(words(clipped(name, 80), (30.0, y)))
    rows.append(words(f"the {told}", (30.0, 83.0 + 4.2 * len(names))))
    return element("g", *rows)
