"""Worst reserve along the body, and the walls with and without rods."""

from typing import Final

import numpy as np

from finial.assemble.strength.records import ShareRow
from finial.assemble.strength.results import StationReserves
from finial.report.pictures.axes import LEFT_MM, PAGE_MM, Frame, Scale, framed, over_page
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.legend import level, upright
from finial.report.pictures.svg import BLUE, GREY, RUST, clipped, element, line, picture, polygon, words
from finial.report.strength_words import mode_words
from finial.report.wording.strength import case_words

_NAME: Final = "reserves"
_MOST: Final = 6.0


def reserves_by_station(
    found: StationReserves, limit: float, *, length_m: float, us_units: bool = False
) -> str:
    """Draw a stem for each station, as high as its worst reserve; the limit as a line."""
    short = chosen(SHORT, us_units)
    x = over_page(0.0, length_m * short.per_si)
    y = Scale(low=0.0, high=_MOST, start_mm=60.0, end_mm=9.0)
    frame = Frame(
        name=_NAME,
        x=x,
        y=y,
        x_label=f"station aft of the tip, {short.name}",
        y_label=f"worst reserve, low end (cut at {_MOST:g})",
    )
    marks = [
        level(frame, limit, stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1.2", id=f"{_NAME}-limit"),
        words("limit", (x.end_mm - 6.0, y.at(limit) - 1.0), fill=RUST, text_anchor="end"),
    ]
    for station, reserve in zip(found.stations_m, found.reserves, strict=True):
        marks.append(_stem(x.at(float(station) * short.per_si), y, float(reserve), limit))
    lowest = int(np.nanargmin(found.reserves)) if np.isfinite(found.reserves).any() else 0
    says = "No reserve is known along the body."
    if len(found.modes) and np.isfinite(found.reserves[lowest]):
        gives, case = mode_words(found.modes[lowest]), case_words(found.cases[lowest])
        says = f"The least reserve is {found.reserves[lowest]:.2f}: {gives}, {case}."
    foot = words(says, (LEFT_MM, 75.0))
    return picture(
        _NAME, (PAGE_MM, 78.0), framed(frame), *marks, foot, title="Worst reserve along the body", says=says
    )


def _stem(at: float, y: Scale, reserve: float, limit: float) -> str:
    foot = y.at(0.0)
    if not np.isfinite(reserve):
        return words("?", (at, foot - 1.0), text_anchor="middle", fill=GREY)
    head = y.at(min(reserve, _MOST))
    short = reserve < limit
    ink = RUST if short else BLUE
    # Squares hang below the limit and diamonds stand above it, so that colour is not needed.
    mark = [(at - 0.9, head - 0.9), (at + 0.9, head - 0.9), (at + 0.9, head + 0.9), (at - 0.9, head + 0.9)]
    if not short:
        mark = [(at, head - 1.2), (at + 1.2, head), (at, head + 1.2), (at - 1.2, head)]
    return element(
        "g", line((at, foot), (at, head), stroke=ink, stroke_width=0.5), polygon(mark, fill=ink, stroke=ink)
    )


def walls_with_and_without_rods(rows: tuple[ShareRow, ...], limit: float) -> str:
    """Draw two bars for each case: reserve of the layers with the rods and without them."""
    x = over_page(0.0, _MOST, left_mm=72.0)
    bottom = 10.0 + 9.0 * len(rows)
    y = Scale(low=0.1, high=0.9, start_mm=bottom, end_mm=8.0)
    frame = Frame(name="shares", x=x, y=y, x_label=f"reserve of the layers, low end (cut at {_MOST:g})")
    marks: list[str] = []
    for order, row in enumerate(rows):
        top = 10.0 + 9.0 * order
        marks.append(words(clipped(case_words(row.case), 40), (70.0, top + 4.4), text_anchor="end"))
        for shift, estimate, ink in ((0.6, row.pulled_with, BLUE), (4.0, row.pulled_without, GREY)):
            low = _MOST if estimate is None else min(estimate.low, _MOST)
            left, right, level = x.at(0.0), x.at(low), top + shift
            bar = [(left, level), (right, level), (right, level + 2.8), (left, level + 2.8)]
            marks.append(polygon(bar, fill=ink if ink == BLUE else "none", stroke=ink))
    marks.append(
        upright(frame, limit, stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1.2", id="shares-limit")
    )
    key = words(
        "filled: with the rods; open: without them, in one piece; dashed: the limit", (LEFT_MM, bottom + 14.0)
    )
    return picture(
        "shares",
        (PAGE_MM, bottom + 18.0),
        framed(frame, y_ticks=1),
        *marks,
        key,
        title="Walls with and without rods",
        says=f"{len(rows)} load cases; walls with the rods beside walls without them.",
    )
