"""The air loads as text: pressure band, reasons, drag, margins, load along the stations."""

from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.air_tables import load_table, roll_table
from finial.report.document import ReportSection
from finial.report.lines import WIDTH, TextLine
from finial.report.outline import Outlined
from finial.report.sections.air import air_section, stability_section
from finial.report.sections.tunnel import tunnel_section
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write
from finial.report.text import stage_lines


def along_section(outlined: Outlined) -> ReportSection:
    """Gather the load along the stations, and the band round the vehicle."""
    shown = Shown(us_units=outlined.us_units)
    return ReportSection(
        key="air-along",
        title="Along the stations and round the vehicle",
        facts=(("reference width", shown.plain(outlined.shape.skin.width_m, Dimension.LENGTH)),),
        tables=(load_table(outlined, shown), roll_table(outlined, shown)),
    )


def print_air(readiness: Readiness) -> None:
    """Write the air loads to standard output."""
    write(air_lines(readiness, width=terminal_width()))


def air_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, the findings on air and stability, and everything they rest on."""
    beside, shown = readiness.air.tunnel, Shown(us_units=readiness.us_units)
    tunnel = () if beside is None else (tunnel_section(beside, shown),)
    sections = (air_section(readiness), *tunnel, along_section(readiness), stability_section(readiness))
    return stage_lines(readiness, ("air", "stability"), sections, width=width)
