"""What only the page says in words."""

from typing import Literal, cast

from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness
from finial.report.finding_words import limit, title, value
from finial.report.shown import Shown

PageVerdict = Literal["go", "caution", "not known", "no-go"]


def page_verdict(verdict: Verdict) -> PageVerdict:
    """Return a verdict's words, as one of the four there are."""
    return cast("PageVerdict", verdict.words)


def detail(readiness: Readiness) -> str:
    """Name the worst finding in one sentence; nothing when all is go."""
    if not readiness.findings or readiness.findings[0].verdict is Verdict.GO:
        return ""
    worst, shown = readiness.findings[0], Shown(us_units=readiness.us_units)
    start = "To settle first" if worst.verdict is Verdict.NOT_KNOWN else "The worst"
    measure = ", ".join(filter(None, (finding_value(worst, shown), f"limit {limit(worst, shown)}")))
    return f"{start}: “{title(worst, shown)}”, {measure}."


def finding_value(finding: Finding, shown: Shown) -> str:
    """Value with its interval in the builder's units, empty when not known."""
    return "" if finding.value is None else value(finding, shown)


def sentence(words: str) -> str:
    """Begin with a capital and end with a stop.

    Examples
    --------
    >>> sentence("weigh the ballast")
    'Weigh the ballast.'
    """
    if not words:
        return ""
    return words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")
