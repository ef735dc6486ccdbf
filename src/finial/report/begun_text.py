"""The answer to a sheet that is only begun: the verdict, what it gives already, and the next steps."""

from collections.abc import Sequence
from typing import Any

from finial.findings.begun import Begun
from finial.report.air_text import along_section
from finial.report.document import ReportSection
from finial.report.json_records import finding_plain, opening_plain, plain_short
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.sections.air import air_section
from finial.report.sections.body import shape_section, weighed_section
from finial.report.shown import Shown
from finial.report.terminal import terminal_width, write
from finial.report.text import findings_lines, verdict_lines


def print_begun(begun: Begun, *, brief: bool = False) -> None:
    """Write it to standard output; ``brief`` stops after the findings."""
    write(begun_lines(begun, () if brief else begun_sections(begun), width=terminal_width()))


def begun_sections(begun: Begun) -> tuple[ReportSection, ...]:
    """Shape, mass where it is known, and air."""
    shown = Shown(us_units=begun.us_units)
    mass = () if begun.mass is None else (weighed_section(begun.mass, shown),)
    return (shape_section(begun), *mass, air_section(begun), along_section(begun))


def begun_lines(
    begun: Begun, sections: Sequence[ReportSection], *, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Verdict, findings with the next steps, what is known already, and the caution."""
    shown = Shown(us_units=begun.us_units)
    lines = [*verdict_lines(begun, width=width), *findings_lines(begun.findings, shown, width=width)]
    for number, section in enumerate(sections, start=1):
        lines += section_lines(section, width=width, number=number)
    return (*lines, *caution_lines(width=width))


def begun_plain(begun: Begun, *, full: bool = False) -> dict[str, Any]:
    """Return it for JSON: the keys of a whole answer that it has, in the same form."""
    shown = Shown(us_units=begun.us_units)
    findings = [finding_plain(finding, shown) for finding in begun.findings]
    return {**opening_plain(begun), **plain_short(begun, full=full), "findings": findings}
