"""One flight as text: its numbers, its time line, where it lands."""

from finial.findings.readiness import Readiness
from finial.report.lines import WIDTH, TextLine
from finial.report.sections.air_time import flight_section, landing_section
from finial.report.terminal import terminal_width, write
from finial.report.text import stage_lines


def print_flight(readiness: Readiness) -> None:
    """Write the flight to standard output."""
    write(flight_lines(readiness, width=terminal_width()))


def flight_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, the findings on the flight, flight and landing, and the caution."""
    sections = (flight_section(readiness), landing_section(readiness))
    return stage_lines(readiness, ("flight",), sections, width=width)
