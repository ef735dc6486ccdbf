"""Lines across a graph at one value, and the key below it: a piece of each line beside what it stands for."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from finial.report.pictures.axes import Frame
from finial.report.pictures.svg import INK, element, line, words

ROW_MM: Final = 4.2
"""From one row of a key to the next [mm]."""
_SAMPLE_MM: Final = 12.0
_LINE_OVER_FOOT_MM: Final = 1.0
_WIDTH_MM: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendRow:
    """What a line stands for. Without ``stroke`` the row is words alone, beside where lines would be."""

    text: str
    stroke: str | None = None
    dashes: str | None = None
    ink: str = INK


def key(rows: Sequence[LegendRow], at_mm: tuple[float, float]) -> str:
    """Draw rows one below the other, the first on the line ``at_mm`` begins.

    Examples
    --------
    >>> key([LegendRow(text="words alone")], (16.0, 80.0))
    '<g><text x="30" y="80" fill="#1a1a1a" font-size="2.9">words alone</text></g>'
    """
    left, first = at_mm
    return element("g", *(_row(row, (left, first + ROW_MM * order)) for order, row in enumerate(rows)))


def _row(row: LegendRow, at_mm: tuple[float, float]) -> str:
    left, foot = at_mm
    end = left + _SAMPLE_MM
    told = words(row.text, (end + 2.0, foot), fill=row.ink)
    if row.stroke is None:
        return told
    level = foot - _LINE_OVER_FOOT_MM
    sample = line(
        (left, level), (end, level), stroke=row.stroke, stroke_width=_WIDTH_MM, stroke_dasharray=row.dashes
    )
    return sample + told


def level(frame: Frame, value: float, **style: str | float | None) -> str:
    """Draw a line across the whole graph at one height."""
    at = frame.y.at(value)
    return line((frame.x.start_mm, at), (frame.x.end_mm, at), **style)


def upright(frame: Frame, value: float, **style: str | float | None) -> str:
    """Draw a line up the whole graph at one place."""
    at = frame.x.at(value)
    return line((at, frame.y.start_mm), (at, frame.y.end_mm), **style)
