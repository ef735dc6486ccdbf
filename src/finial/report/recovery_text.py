"""The closer look at the recovery as text."""

from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.lines import WIDTH, TextLine
from finial.report.sections.recovery_cords import cord_section, zipper_section
from finial.report.sections.recovery_study import (
    canopies_section,
    charge_section,
    ground_test_section,
    order_section,
    packs_section,
    pins_section,
)
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write
from finial.report.text import stage_lines


def print_recovery(readiness: Readiness) -> None:
    """Write the look to standard output."""
    write(recovery_lines(readiness, width=terminal_width()))


def recovery_sections(readiness: Readiness) -> tuple[ReportSection, ...]:
    """Every section, from the order of events to the cords."""
    study, shown = readiness.recovery_study, Shown(us_units=readiness.us_units)
    if study is None:
        return ()
    charges = [section for burst in study.bursts for section in (charge_section(burst, shown),)]
    cords = [
        section
        for tether in study.tethers
        for section in (cord_section(tether, shown), zipper_section(tether, shown))
    ]
    return (
        order_section(readiness.recovery, study, shown),
        canopies_section(readiness.recovery, study, shown),
        packs_section(study, shown),
        *charges,
        pins_section(study, shown),
        *cords,
        *(ground_test_section(burst, shown) for burst in study.bursts),
    )


def recovery_lines(readiness: Readiness, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, the findings on the recovery, everything they rest on, and the caution."""
    return stage_lines(readiness, ("recovery",), recovery_sections(readiness), width=width)
