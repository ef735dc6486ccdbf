"""One flight as text: its numbers, its time line, where it lands."""

from finial.findings.readiness import Readiness
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.air_time import flight_section, landing_section
from finial.report.terminal import terminal_width, write


def print_flight(readiness: Readiness) -> None:
    """Write the flight to standard output."""
    write(flight_lines(readiness, width=terminal_width()))


def flight_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Flight and landing line by line, and the caution."""
    return (
        TextLine(f"{readiness.name}: one flight in the wind of the build sheet", "heading"),
        *section_lines(flight_section(readiness), width=width),
        *section_lines(landing_section(readiness), width=width),
        *caution_lines(width=width),
    )
