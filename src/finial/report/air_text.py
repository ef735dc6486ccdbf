"""The air loads as text: pressure band, reasons, drag, margins, load along the stations."""

from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.air_tables import load_table, roll_table
from finial.report.document import ReportSection
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.air import air_section, stability_section
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write


def print_air(readiness: Readiness) -> None:
    """Write the air loads to standard output."""
    write(air_lines(readiness, width=terminal_width()))


def air_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Air loads and stability line by line, and the caution."""
    shown = Shown(us_units=readiness.us_units)
    more = ReportSection(
        key="air-along",
        title="Along the stations and round the vehicle",
        facts=(("reference width", shown.plain(readiness.shape.skin.width_m, Dimension.LENGTH)),),
        tables=(load_table(readiness, shown), roll_table(readiness, shown)),
    )
    return (
        TextLine(f"{readiness.name}: air loads", "heading"),
        *section_lines(air_section(readiness), width=width),
        *section_lines(more, width=width),
        *section_lines(stability_section(readiness), width=width),
        *caution_lines(width=width),
    )
