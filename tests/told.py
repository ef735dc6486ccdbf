"""The whole answer as the terminal writes it, for tests that read it."""

from finial.findings.readiness import Readiness
from finial.report.lines import WIDTH
from finial.report.text import report_lines


def report_text(readiness: Readiness, *, width: int = WIDTH) -> str:
    """Whole answer as plain text, ending in a newline."""
    return "\n".join(line.text for line in report_lines(readiness, width=width)) + "\n"
