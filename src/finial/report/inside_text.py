"""The inside as text: what meets, what gets in and out, rooms, rail."""

from finial.findings.readiness import Readiness
from finial.report.lines import WIDTH, TextLine
from finial.report.sections.inside import inside_section
from finial.report.terminal import terminal_width, write
from finial.report.text import stage_lines


def print_inside(readiness: Readiness) -> None:
    """Write the inside to standard output."""
    write(inside_lines(readiness, width=terminal_width()))


def inside_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, the findings on the inside, everything they rest on, and the caution."""
    return stage_lines(readiness, ("inside",), (inside_section(readiness),), width=width)
