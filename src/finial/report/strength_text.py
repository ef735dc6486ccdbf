"""The long look at strength as text."""

from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.lines import WIDTH, TextLine
from finial.report.sections.strength_fins import fins_section, stays_section
from finial.report.sections.strength_study import (
    cases_section,
    heat_section,
    layers_section,
    reserves_section,
    rods_section,
)
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write
from finial.report.text import stage_lines


def print_strength(readiness: Readiness) -> None:
    """Write the look to standard output."""
    write(strength_lines(readiness, width=terminal_width()))


def strength_sections(readiness: Readiness) -> tuple[ReportSection, ...]:
    """Every section that has something to say, from reserves to heat."""
    study, shown = readiness.strength_study, Shown(us_units=readiness.us_units)
    if study is None:
        return ()
    sections = (
        reserves_section(readiness, study, shown),
        cases_section(study, shown),
        rods_section(study, shown),
        *(fins_section(fin, shown) for fin in study.fins),
        *(stays_section(fin, shown) for fin in study.fins if fin.stays or fin.proposal),
        layers_section(study, shown),
        heat_section(study, shown),
    )
    return tuple(section for section in sections if section.facts or any(one.rows for one in section.tables))


def strength_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, the findings on strength, everything they rest on, and the caution."""
    return stage_lines(readiness, ("strength",), strength_sections(readiness), width=width)
