"""Axial force, shear and bending moment along the body, case by case."""

from typing import Final

import numpy as np

from finial.assemble.strength.results import CaseLoads, StrengthResult
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, traced
from finial.report.pictures.axis_units import FORCE, MOMENT, SHORT, AxisUnit, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, clipped, picture, polyline
from finial.report.wording.strength import case_words

_NAME: Final = "loads"
_ROWS_MM: Final = ((28.0, 9.0), (56.0, 37.0), (84.0, 65.0))
_KEY_MM: Final = 97.0
_STYLES: Final = (
    (INK, None),
    (BLUE, "3 1"),
    (RUST, "1 0.8"),
    (GREY, "4 1 1 1"),
    (BLUE, "0.5 0.7"),
    (RUST, "6 1.5"),
)
"""Ink and dashes per case: told apart by the dashes where colour is lost."""


def body_loads(strength: StrengthResult, *, us_units: bool = False) -> str:
    """Three graphs over station, one line per load case."""
    cases = strength.cases[: len(_STYLES)]
    short, force, moment = chosen(SHORT, us_units), chosen(FORCE, us_units), chosen(MOMENT, us_units)
    aft = max(float(case.stations_m[-1]) for case in cases) * short.per_si
    x = over_page(0.0, aft)
    graphs: list[str] = []
    for row, (label, field, unit) in enumerate(
        (
            ("axial force, compression up", "axial_n", force),
            ("shear", "shear_n", force),
            ("bending", "bending_n_m", moment),
        )
    ):
        frame = _frame(cases, row, (label, field, unit), x, f"station aft of the tip, {short.name}")
        graphs.append(framed(frame if row == 2 else bare(frame)))
        graphs += [_curve(frame, case, order, (field, unit), short) for order, case in enumerate(cases)]
    height = _KEY_MM - 1.0 + ROW_MM * len(cases)
    shown = key(_key(cases), (x.start_mm, _KEY_MM))
    largest = max(cases, key=lambda case: float(np.abs(case.bending_n_m).max()))
    peak = float(np.abs(largest.bending_n_m).max()) * moment.per_si
    says = f"The largest bending moment is {peak:.3g} {moment.name}, in the case {case_words(largest.case)}."
    return picture(_NAME, (PAGE_MM, height), *graphs, shown, title="Loads along the body", says=says)


def _frame(
    cases: tuple[CaseLoads, ...], row: int, quantity: tuple[str, str, AxisUnit], x: Scale, x_label: str
) -> Frame:
    label, field, unit = quantity
    values = np.concatenate([getattr(case, field) for case in cases]) * unit.per_si
    low, high = covering([*values, 0.0], at_least=1e-3)
    y = Scale(low=low, high=high, start_mm=_ROWS_MM[row][0], end_mm=_ROWS_MM[row][1])
    return Frame(name=f"{_NAME}-{row}", x=x, y=y, x_label=x_label, y_label=f"{label}, {unit.name}")


def _curve(frame: Frame, case: CaseLoads, order: int, quantity: tuple[str, AxisUnit], short: AxisUnit) -> str:
    field, unit = quantity
    colour, dashes = _STYLES[order]
    points = traced(frame, case.stations_m * short.per_si, getattr(case, field) * unit.per_si)
    return polyline(
        points, stroke=colour, stroke_width=0.5, stroke_dasharray=dashes, id=f"{frame.name}-case-{order}"
    )


def _key(cases: tuple[CaseLoads, ...]) -> tuple[LegendRow, ...]:
    return tuple(
        LegendRow(text=clipped(case_words(case.case), 80), stroke=colour, dashes=dashes)
        for case, (colour, dashes) in zip(cases, _STYLES[: len(cases)], strict=True)
    )
