"""Fin span against ballast: where nothing fails, drawn round, and how much is missing elsewhere."""

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.dimensions import Dimension
from finial.report.document import ReportSection, Table
from finial.report.pictures.axes import Frame, Scale, framed
from finial.report.pictures.axis_units import MASS, chosen
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, element, line, picture, words
from finial.report.shown import NOT_KNOWN, Shown
from finial.sizing.region import GoRegion

_NAME: Final = "go-region"
_SIZE_MM: Final = (150.0, 116.0)
_MUCH: Final = 1.0
"""What is missing from here on is drawn as dark as it gets [-]."""


def go_region_picture(region: GoRegion, now: tuple[float, float], *, us_units: bool = False) -> str:
    """Ballast to the right, span up; ``now`` is the sheet's own span (1) and ballast [kg]."""
    mass, frame = chosen(MASS, us_units), _frame(region, us_units)
    cells = [_cell(frame, region, at, mass.per_si) for at in np.ndindex(region.is_go.shape)]
    best = region.lightest
    marks = [_mark(frame, now[0], now[1] * mass.per_si, RUST, f"{_NAME}-now")]
    if best is not None:
        span, ballast = float(region.first[best[0]]), float(region.second[best[1]])
        marks.append(_mark(frame, span, ballast * mass.per_si, BLUE, f"{_NAME}-lightest"))
    told = (
        "within the thick line nothing fails by the quick look; the darker, the more is missing",
        "rust cross: as the sheet has it; blue cross: the lightest that goes",
    )
    key = [words(text, (4.0, 104.0 + 4.2 * row), font_size=2.7) for row, text in enumerate(told)]
    return picture(
        _NAME,
        _SIZE_MM,
        *cells,
        framed(frame),
        *_border(frame, region, mass.per_si),
        *marks,
        *key,
        title="Fin span against ballast",
        says=_says(region),
    )


def go_region_section(region: GoRegion, shown: Shown) -> ReportSection:
    """Put every point in a table."""
    rows = tuple(
        (
            f"{100 * float(region.first[row]):.0f} %",
            shown.plain(float(region.second[column]), Dimension.MASS),
            "nothing fails" if region.is_go[row, column] else "fails",
            f"{region.missing[row, column]:.2f}",
            NOT_KNOWN
            if np.isnan(region.mass_kg[row, column])
            else shown.plain(float(region.mass_kg[row, column]), Dimension.MASS),
        )
        for row, column in np.ndindex(region.is_go.shape)
    )
    columns = ("span", "ballast", "by the quick look", "missing, in limits", "lift-off mass")
    table = Table(title="Every point tried", columns=columns, rows=rows, numbers=(0, 1, 3, 4))
    note = "Of the quick look: save a design, and look at it whole, before you build it."
    return ReportSection(key="go-region", title="Where it goes", tables=(table,), notes=(note,))


def _frame(region: GoRegion, us_units: bool) -> Frame:
    mass = chosen(MASS, us_units)
    (low, high), (left, right) = _ends(region.first), _ends(region.second * mass.per_si)
    return Frame(
        name=_NAME,
        x=Scale(low=left, high=right, start_mm=16.0, end_mm=146.0),
        y=Scale(low=100 * low, high=100 * high, start_mm=88.0, end_mm=8.0),
        x_label=f"ballast, {mass.name}",
        y_label="fin span, % of the sheet's",
    )


def _ends(values: NDArray[np.float64]) -> tuple[float, float]:
    """Return the ends of the cells about evenly spaced values."""
    half = (float(values[-1]) - float(values[0])) / (len(values) - 1) / 2
    return float(values[0]) - half, float(values[-1]) + half


def _corners(frame: Frame, region: GoRegion, at: tuple[int, ...], per_kg: float) -> tuple[float, ...]:
    """Left, right, foot and head of a cell on paper."""
    (low, _), (left, _) = _ends(region.first), _ends(region.second * per_kg)
    tall = (float(region.first[-1]) - float(region.first[0])) / (len(region.first) - 1)
    wide = (float(region.second[-1]) - float(region.second[0])) * per_kg / (len(region.second) - 1)
    return (
        frame.x.at(left + wide * at[1]),
        frame.x.at(left + wide * (at[1] + 1)),
        frame.y.at(100 * (low + tall * at[0])),
        frame.y.at(100 * (low + tall * (at[0] + 1))),
    )


def _cell(frame: Frame, region: GoRegion, at: tuple[int, ...], per_kg: float) -> str:
    left, right, foot, head = _corners(frame, region, at, per_kg)
    is_go = bool(region.is_go[at])
    dark = 0.15 + 0.6 * min(float(region.missing[at]) / _MUCH, 1.0)
    return element(
        "rect",
        x=left,
        y=head,
        width=right - left,
        height=foot - head,
        fill="#ffffff" if is_go else GREY,
        fill_opacity=None if is_go else dark,
        data_go="yes" if is_go else "no",
    )


def _border(frame: Frame, region: GoRegion, per_kg: float) -> Iterator[str]:
    """Draw the sides of cells that go where what lies beyond does not, or was not tried."""
    rows, columns = region.is_go.shape
    for row, column in np.argwhere(region.is_go).tolist():
        left, right, foot, head = _corners(frame, region, (row, column), per_kg)
        sides = {
            (row - 1, column): ((left, foot), (right, foot)),
            (row + 1, column): ((left, head), (right, head)),
            (row, column - 1): ((left, foot), (left, head)),
            (row, column + 1): ((right, foot), (right, head)),
        }
        for (beyond, beside), (start, end) in sides.items():
            there = 0 <= beyond < rows and 0 <= beside < columns
            if not (there and region.is_go[beyond, beside]):
                yield line(start, end, stroke=INK, stroke_width=0.8, stroke_linecap="round")


def _mark(frame: Frame, span: float, ballast: float, colour: str, name: str) -> str:
    x, y = frame.x.at(ballast), frame.y.at(100 * span)
    style = {"stroke": colour, "stroke_width": 1.0}
    arms = (((x - 2.2, y), (x + 2.2, y)), ((x, y - 2.2), (x, y + 2.2)))
    return element("g", *(line(start, end, **style) for start, end in arms), id=name)


def _says(region: GoRegion) -> str:
    count, total = int(region.is_go.sum()), region.is_go.size
    if not count:
        return f"At none of {total} points tried does everything hold by the quick look."
    return f"At {count} of {total} points tried nothing fails by the quick look."
