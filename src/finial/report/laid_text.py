"""What a printer's motions lay down, as text and as plain numbers."""

from typing import Any

from finial.assemble.prints.motions import LaidBy, SheetWall
from finial.core.dimensions import Dimension
from finial.report.document import ReportSection, Table
from finial.report.estimate_json import ends_plain
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.print_text import hours
from finial.report.shown import FOOT_M, NOT_KNOWN, Shown
from finial.report.terminal import terminal_width, write

_ALIKE = 0.1
"""A wall within this share of what the sheet says is as the sheet says [-]; lines come in whole numbers."""


def print_laid(told: LaidBy) -> None:
    """Write it to standard output."""
    write(laid_lines(told, width=terminal_width()))


def laid_lines(told: LaidBy, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Lay out filament, time and walls, and which parts of the sheet they differ from."""
    shown, found = Shown(us_units=told.us_units), told.laid
    wall = NOT_KNOWN if found.wall is None else shown.fine(found.wall.value)
    ends = "" if found.wall is None else f" ({shown.fine(found.wall.low)} to {shown.fine(found.wall.high)})"
    lines = NOT_KNOWN if found.lines is None else f"{found.lines:.0f} of {shown.fine(found.line_m or 0.0)}"
    section = ReportSection(
        key="motions",
        title=f"What {told.file} lays down",
        facts=(
            ("filament", _long(found.filament_m, shown)),
            ("plastic", shown.plain(found.plastic_m3, Dimension.VOLUME)),
            ("printing", hours(found.time)),
            ("layers", f"{found.layers} of {shown.fine(found.layer_m)}"),
            ("outer wall", f"{wall}{ends}"),
            ("lines in it", lines),
        ),
        tables=(
            Table(
                title="Beside the sheet",
                columns=("if it is", "wall in the sheet", "wall printed", "mass of the plastic"),
                rows=tuple(_row(one, told, shown) for one in told.walls),
                numbers=(1,),
            ),
        ),
        notes=(
            "Time is at the speeds told, and 10 to 35 % more; the wall is counted line by line along rays "
            "from outside. Enter the wall really printed under print = { wall = ... }.",
        ),
    )
    return section_lines(section, width=width)


def _long(metres: float, shown: Shown) -> str:
    return f"{metres / FOOT_M:.2f} ft" if shown.us_units else f"{metres:.2f} m"


def _row(one: SheetWall, told: LaidBy, shown: Shown) -> tuple[str, ...]:
    wall = told.laid.wall
    if wall is None:
        said = NOT_KNOWN
    elif wall.low * (1 - _ALIKE) <= one.wall_m <= wall.high * (1 + _ALIKE):
        said = "as the sheet says"
    else:
        said = f"{shown.fine(wall.value)}: {'thinner' if wall.value < one.wall_m else 'thicker'}"
    return one.part, shown.fine(one.wall_m), said, shown.between(one.mass, Dimension.MASS)


def laid_plain(told: LaidBy) -> dict[str, Any]:
    """Return plain numbers in SI."""
    found = told.laid
    wall = found.wall
    return {
        "file": told.file,
        "filament_m": found.filament_m,
        "plastic_m3": found.plastic_m3,
        "time_s": ends_plain(found.time),
        "layers": found.layers,
        "layer_m": found.layer_m,
        "line_m": found.line_m,
        "lines": found.lines,
        "wall_m": None if wall is None else ends_plain(wall),
        "sheet": [{"part": one.part, "wall_m": one.wall_m} for one in told.walls],
    }
