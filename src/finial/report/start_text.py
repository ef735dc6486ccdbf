"""What ``finial new`` prints of a builder's meshes: what was found, what is asked, and what comes next."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from finial.assemble.start.found import DrawnVehicle
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.begun import Begun
from finial.report.layout import paragraph
from finial.report.lines import TextLine
from finial.report.shown import Shown
from finial.report.start_sheet import Beginning
from finial.report.start_words import (
    against_words,
    apart_words,
    fin_words,
    motor_words,
    piece_words,
    rod_words,
    room_words,
    standing_words,
    tip_words,
)
from finial.report.terminal import terminal_width, write
from finial.report.text import findings_lines, verdict_lines
from finial.shape.pieces.arrange import Arranged
from finial.shape.pieces.stack import Stacked
from finial.shape.pieces.upright import Sureness

_METRES = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048}
_LIKELY_M = (0.12, 1.5)
"""Longest side of one printed piece of such a vehicle [m]; what else fits is less likely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """A project that was written, and its first answer."""

    sheet: Path
    start: Beginning
    found: DrawnVehicle
    answer: Begun


def likely_unit(size: float) -> str:
    """Name the unit in which a longest side is that of a printed piece; empty where none or several are.

    Examples
    --------
    >>> likely_unit(250.0), likely_unit(9.8), likely_unit(0.3), likely_unit(1e6)
    ('mm', 'in', 'm', '')
    """
    low, high = _LIKELY_M
    fits = [unit for unit in ("mm", "in", "m", "cm", "ft") if low <= size * _METRES[unit] <= high]
    return fits[0] if fits else ""


def sizes_words(size: float) -> str:
    """Say how long the longest piece is in each unit."""
    each = ((unit, show(size * metres, Dimension.LENGTH)) for unit, metres in _METRES.items())
    sizes = ", ".join(f"in {unit} {long}" for unit, long in each)
    return f"The longest piece would be {sizes}"


def doubt_words(arranged: Arranged, names: Sequence[str]) -> str:
    """Say what nobody can tell from the meshes, and what settles it; empty where all is clear."""
    if arranged.stack is not None and arranged.doubtful:
        return _stack_doubt(arranged, arranged.stack, names)
    if arranged.doubtful:
        return (
            f"the pieces do not stand together: {apart_words(arranged, names)}. Export them in place, "
            "as they stand in the vehicle, none turned over for its print; or say --as-drawn if this is "
            "meant, --stack to put them on one another where their ends match, --in-order to do so as you "
            "name them, tip first"
        )
    if arranged.upright.sureness is Sureness.UNSURE:
        what = "axis" if arranged.upright.axis is Sureness.UNSURE else "end"
        but, up = against_words(arranged.upright), arranged.upright.up
        either = f"--up=+{up[-1]} or --up=-{up[-1]}" if what == "end" else f"--up, such as --up={up}"
        return (
            f"the shape does not show which {what} is the tip: perhaps mesh {up}"
            f"{f', but {but}' if but else ''}. Say {either}"
        )
    return ""


def _stack_doubt(arranged: Arranged, stack: Stacked, names: Sequence[str]) -> str:
    """Say why nobody can tell how pieces with origins of their own go on one another."""
    row = ", ".join(names[number] for number in arranged.order)
    if stack.upside_down:
        turned = ", ".join(names[number] for number in stack.upside_down)
        why = (
            f"their ends match far better with {turned} turned over: if they lie so for their print, export "
            "them as they fly"
        )
    elif not stack.matches:
        why = f"some ends hardly match, not even in the best order, {row}: is one missing, or lying down?"
    else:
        why = f"several orders match as well: perhaps {row}"
    return (
        f"the pieces have origins of their own, and {why}. Name them from the tip down with --in-order, or "
        "export them in place, as they stand in the vehicle"
    )


def print_started(started: Started) -> None:
    """Write what was found, the first verdict with its next steps, and where to go on."""
    write(started_lines(started, width=terminal_width()))


def started_lines(started: Started, *, width: int) -> tuple[TextLine, ...]:
    """Lay out what was found, the first verdict with its next steps, and where to go on."""
    start, found, answer = started.start, started.found, started.answer
    shown = Shown(us_units=start.us_units)
    said = [
        f"{start.title}: {shown.length(found.length_m)} long, its largest section a circle of"
        f" {shown.length(found.width_m)}",
        tip_words(start.arranged.upright),
        standing_words(start.arranged, [mesh.name for mesh in start.meshes]),
        *(f"{piece.name}: {piece_words(piece, shown)}" for piece in found.pieces),
        *(f"{mesh.name}: {shown.note(note)}" for mesh in start.meshes for note in mesh.notes),
        motor_words(found.motor, shown),
        *room_words(found, shown),
        *(rod_words(rods, shown) for rods in found.rods),
        fin_words(found.fins, shown),
    ]
    lines = [TextLine(f"Wrote {started.sheet}: look whether all this is so."), TextLine("")]
    for one in said:
        lines += map(TextLine, paragraph(one, width, first="  - "))
    lines.append(TextLine(""))
    lines += verdict_lines(answer, width=width)
    lines += findings_lines(answer.findings, shown, width=width)
    steps = (
        f"Next: open {started.sheet}, set right what is marked GUESS, and ask: finial check {started.sheet}"
    )
    return (*lines, TextLine(""), *map(TextLine, paragraph(steps, width)))
