"""Axial force, shear, bending and torsion along the body, in every case."""

from typing import Final

import numpy as np

from finial.assemble.strength.results import CaseLoads
from finial.report.pictures.axes import (
    LEFT_MM,
    PAGE_MM,
    Frame,
    Scale,
    bare,
    covering,
    framed,
    over_page,
    traced,
)
from finial.report.pictures.axis_units import FORCE, MOMENT, SHORT, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    clipped,
    picture,
    polyline,
)
from finial.report.wording.strength import case_words

_NAME: Final = "strength-loads"
_TOP, _HEIGHT, _GAP = 9.0, 26.0, 11.0
_INKS: Final = (INK, BLUE, RUST, GREY)
_DASHES: Final = (None, "3 1", "1 0.8", "4 1 1 1", "6 1.5")
_FIELDS: Final = (
    ("axial force, compression up", "axial_n"),
    ("shear", "shear_n"),
    ("bending", "bending_n_m"),
    ("torsion", "torsion_n_m"),
)


def strength_loads(cases: tuple[CaseLoads, ...], *, us_units: bool = False) -> str:
    """Four graphs over station, one line per load case, told apart by ink and dashes."""
    short, force, moment = chosen(SHORT, us_units), chosen(FORCE, us_units), chosen(MOMENT, us_units)
    aft = max(float(case.stations_m[-1]) for case in cases) * short.per_si
    x = over_page(0.0, aft)
    drawn: list[str] = []
    for row, (label, field) in enumerate(_FIELDS):
        unit = force if row < 2 else moment
        values = np.concatenate([getattr(case, field) for case in cases]) * unit.per_si
        low, high = covering([*values, 0.0], at_least=1e-3)
        top = _TOP + row * (_HEIGHT + _GAP)
        y = Scale(low=low, high=high, start_mm=top + _HEIGHT, end_mm=top)
        frame = Frame(
            name=f"{_NAME}-{row}",
            x=x,
            y=y,
            x_label=f"station aft of the tip, {short.name}",
            y_label=f"{label}, {unit.name}",
        )
        drawn.append(framed(frame if row == len(_FIELDS) - 1 else bare(frame)))
        for order, case in enumerate(cases):
            points = traced(frame, case.stations_m * short.per_si, getattr(case, field) * unit.per_si)
            ink, dashes = _style(order)
            style = {"stroke": ink, "stroke_dasharray": dashes, "stroke_width": 0.45}
            drawn.append(polyline(points, id=f"{frame.name}-case-{order}", **style))
    foot = _TOP + len(_FIELDS) * (_HEIGHT + _GAP) + 6.0
    rows = (len(cases) + 1) // 2
    largest = max(cases, key=lambda case: float(np.abs(case.bending_n_m).max()))
    peak = float(np.abs(largest.bending_n_m).max()) * moment.per_si
    says = f"The largest bending moment is {peak:.3g} {moment.name}, in the case {case_words(largest.case)}."
    return picture(
        _NAME,
        (PAGE_MM, foot + ROW_MM * rows),
        *drawn,
        _key(cases, foot, rows),
        title="Loads along the body, every case",
        says=says,
    )


def _style(order: int) -> tuple[str, str | None]:
    """Ink and dashes: the inks in turn, then the same inks with other dashes."""
    return _INKS[order % len(_INKS)], _DASHES[(order // len(_INKS)) % len(_DASHES)]


def _key(cases: tuple[CaseLoads, ...], foot: float, rows: int) -> str:
    """Say which line is which case, in two columns."""
    entries = [
        LegendRow(text=clipped(case_words(case.case), 44), stroke=ink, dashes=dashes)
        for case, (ink, dashes) in zip(cases, map(_style, range(len(cases))), strict=True)
    ]
    return key(entries[:rows], (LEFT_MM, foot)) + key(entries[rows:], (94.0, foot))
