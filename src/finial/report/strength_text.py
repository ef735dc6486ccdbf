"""The long look at strength as text."""

from finial.findings.finding import Finding, Verdict
from finial.findings.strength_look import StrengthLook
from finial.report.document import ReportSection
from finial.report.layout import paragraph
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.strength_fins import fins_section, stays_section
from finial.report.sections.strength_study import (
    cases_section,
    heat_section,
    reserves_section,
    rods_section,
)
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write
from finial.report.text import finding_lines, headline
from finial.report.words import headline_word, verdict_word


def print_strength(look: StrengthLook) -> None:
    """Write the look to standard output."""
    write(strength_lines(look, width=terminal_width()))


def strength_sections(look: StrengthLook) -> tuple[ReportSection, ...]:
    """Every section that has something to say, from reserves to heat."""
    shown = Shown(us_units=look.us_units)
    sections = (
        reserves_section(look, shown),
        cases_section(look.study, shown),
        rods_section(look.study, shown),
        *(fins_section(fin, shown) for fin in look.study.fins),
        *(stays_section(fin, shown) for fin in look.study.fins if fin.stays or fin.proposal),
        heat_section(look.study, shown),
    )
    return tuple(section for section in sections if section.tables or section.facts)


def strength_lines(look: StrengthLook, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write the verdict, findings worst first, everything they rest on, and the caution."""
    shown = Shown(us_units=look.us_units)
    says = f"{headline_word(look.verdict)}: strength of {look.name}, looked at for long"
    lines = [
        TextLine(says, look.verdict.words),
        *map(TextLine, paragraph(look.note, width) if look.note else []),
        TextLine(""),
    ]
    for finding in look.findings:
        if finding.verdict is not Verdict.GO:
            lines += [*finding_lines(finding, shown, width=width), TextLine("")]
    for finding in look.findings:
        if finding.verdict is Verdict.GO:
            lines += _met(finding, shown, width)
    for number, section in enumerate(strength_sections(look), start=1):
        lines += section_lines(section, width=width, number=number)
    return (*lines, *caution_lines(width=width))


def _met(finding: Finding, shown: Shown, width: int) -> list[TextLine]:
    first, *rest = paragraph(headline(finding, shown), width, first=f"{verdict_word(finding.verdict)}  ")
    return [TextLine(first, finding.verdict.words), *map(TextLine, rest)]
