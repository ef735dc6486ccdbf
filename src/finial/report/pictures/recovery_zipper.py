"""Strength of the lip over pull, against the event's time and against the speed at apogee."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from finial.assemble.recovery.records import PulledCase, TetherStudy
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, framed, traced
from finial.report.pictures.axis_units import SPEED, chosen
from finial.report.pictures.legend import LegendRow, key, level
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    hatch,
    picture,
    polygon,
    polyline,
)

_NAME: Final = "zipper"
_MOST: Final = 6.0
"""Ratios above this are drawn at the top: more tells nothing."""
_LEFT: Final = (12.0, 98.0)
_RIGHT: Final = (114.0, 166.0)
_ROW: Final = (72.0, 10.0)
_KEY_MM: Final = 86.0
_WINDS: Final = (("day", BLUE, None), ("windy", RUST, "3 1"), ("calm", INK, "0.8 0.8"))


def margin_over_events(tether: TetherStudy, *, us_units: bool = False) -> str:
    """Draw event time on the left, speed across at apogee on the right; below 1 the lip tears."""
    y = Scale(low=0.0, high=_MOST, start_mm=_ROW[0], end_mm=_ROW[1])
    offsets = [case.offset_s for case in tether.cases]
    if len(set(offsets)) == 1:  # under an earlier canopy the time does not matter
        offsets = [offsets[0] - 1.0, offsets[0] + 1.0]
    left = Frame(
        name=f"{_NAME}-time",
        x=Scale(low=min(offsets), high=max(offsets), start_mm=_LEFT[0], end_mm=_LEFT[1]),
        y=y,
        x_label="event late by, s",
        y_label="strength of the lip over pull, low end",
    )
    unit = chosen(SPEED, us_units)
    across = [unit.per_si * case.across_m_s for case in tether.by_speed]
    right = Frame(
        name=f"{_NAME}-speed",
        x=Scale(low=0.0, high=max(across), start_mm=_RIGHT[0], end_mm=_RIGHT[1]),
        y=y,
        x_label=f"speed across at apogee, {unit.name}",
    )
    curves = [_in_wind(left, tether, *style) for style in _WINDS]
    curves.append(_curve(right, across, tether.by_speed, (BLUE, None, "across")))
    worst = min(tether.cases, key=_ratio)
    says = (
        f"The lip has least to spare {worst.offset_s:+.1f} s from the planned event, in the wind called "
        f"{worst.wind}: strength over pull {_ratio(worst):.2f} at the low end."
    )
    body = (
        element("defs", hatch(f"{_NAME}-tears", RUST, slant_deg=45)),
        *(_tears(frame) for frame in (left, right)),
        framed(left, x_ticks=8),
        framed(right, x_ticks=4),
        *curves,
        _key(tether),
    )
    return picture(_NAME, (PAGE_MM, 98.0), *body, title=f"Does {tether.cord} cut the tube", says=says)


def _tears(frame: Frame) -> str:
    """Hatch below 1: the lip starts to tear."""
    left, right, one, foot = frame.x.start_mm, frame.x.end_mm, frame.y.at(1.0), frame.y.start_mm
    area = polygon(
        [(left, foot), (right, foot), (right, one), (left, one)],
        fill=f"url(#{_NAME}-tears)",
        stroke="none",
        opacity="0.35",
    )
    return element("g", area, level(frame, 1.0, stroke=RUST, stroke_width=0.4))


def _in_wind(frame: Frame, tether: TetherStudy, wind: str, colour: str, dashes: str | None) -> str:
    cases = [case for case in tether.cases if case.wind == wind]
    return _curve(frame, [case.offset_s for case in cases], cases, (colour, dashes, wind))


def _curve(
    frame: Frame,
    places: Sequence[float],
    cases: Sequence[PulledCase],
    style: tuple[str, str | None, str],
) -> str:
    colour, dashes, mark = style
    ratios = np.minimum([_ratio(case) for case in cases], _MOST)
    return polyline(
        traced(frame, places, ratios),
        stroke=colour,
        stroke_width=0.5,
        stroke_dasharray=dashes,
        id=f"{_NAME}-curve-{mark}",
    )


def _ratio(case: PulledCase) -> float:
    """Strength over pull at the low end [-]."""
    return 1.0 + (case.margin_low or 0.0)


def _key(tether: TetherStudy) -> str:
    names = {"day": "wind of the day", "windy": "strongest wind entered", "calm": "weakest wind entered"}
    lines = [LegendRow(text=names[wind], stroke=colour, dashes=dashes) for wind, colour, dashes in _WINDS]
    tested = tether.lip is not None and tether.lip.tested
    known = (
        "strength from a pull test" if tested else "strength from the model alone: no published limit exists"
    )
    told = (
        LegendRow(text="hatched: the lip starts to tear"),
        LegendRow(text=known, ink=GREY if tested else INK),
        LegendRow(text=f"{_MOST:.0f} and more is drawn as {_MOST:.0f}"),
    )
    return key(lines, (_LEFT[0], _KEY_MM)) + key(told, (58.0, _KEY_MM))
