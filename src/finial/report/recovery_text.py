"""The closer look at the recovery as text."""

from finial.findings.finding import Verdict
from finial.findings.recovery_look import RecoveryLook
from finial.report.document import ReportSection
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
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
from finial.report.text import finding_lines, headline
from finial.report.words import verdict_word


def print_recovery(look: RecoveryLook) -> None:
    """Write the look to standard output."""
    write(recovery_lines(look, width=terminal_width()))


def recovery_sections(look: RecoveryLook) -> tuple[ReportSection, ...]:
    """Every section, from the order of events to the cords."""
    study, shown = look.study, Shown(us_units=look.us_units)
    charges = [section for burst in study.bursts for section in (charge_section(burst, shown),)]
    cords = [
        section
        for tether in study.tethers
        for section in (cord_section(tether, shown), zipper_section(tether, shown))
    ]
    return (
        order_section(study, shown),
        canopies_section(look, shown),
        packs_section(study, shown),
        *charges,
        pins_section(study, shown),
        *cords,
        *(ground_test_section(burst, shown) for burst in study.bursts),
    )


def recovery_lines(look: RecoveryLook, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write findings worst first, then everything they rest on, and the caution."""
    lines = [TextLine(f"{look.name}: the recovery, looked at closely", "heading"), TextLine("")]
    shown = Shown(us_units=look.us_units)
    for finding in look.findings:
        if finding.verdict is not Verdict.GO:
            lines += [*finding_lines(finding, shown, width=width), TextLine("")]
    for finding in look.findings:
        if finding.verdict is Verdict.GO:
            first, *rest = paragraph(
                headline(finding, shown), width, first=f"{verdict_word(finding.verdict)}  "
            )
            lines += [TextLine(first, finding.verdict.words), *map(TextLine, rest)]
    for number, section in enumerate(recovery_sections(look), start=1):
        lines += section_lines(section, width=width, number=number)
    return (*lines, *caution_lines(width=width))
