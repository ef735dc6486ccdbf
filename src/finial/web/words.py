"""The verdict in sentences."""

from finial.core.dimensions import Dimension
from finial.core.units import show_estimate
from finial.findings.finding import Finding, Verdict
from finial.findings.readiness import Readiness

CAUTION = (
    "Finial says which limits are met and which are not known. Motors, charges, batteries and falling bodies"
    " can kill: the range safety officer, the national code, local law and licensed practice decide."
    " Ground-test every charge; never open or alter a motor on this page's word."
)


def headline(readiness: Readiness) -> str:
    """One sentence: may it fly, and how many checks say otherwise."""
    findings = readiness.findings
    if not findings:
        return "Not known: nothing was checked, and not known never counts as go."
    total = _checks(len(findings))
    no_go = _count(findings, Verdict.NO_GO)
    not_known = _count(findings, Verdict.NOT_KNOWN)
    cautions = _count(findings, Verdict.CAUTION)
    if readiness.verdict is Verdict.NO_GO:
        return f"No-go: {no_go} of {total} {'misses its limit' if no_go == 1 else 'miss their limits'}."
    if readiness.verdict is Verdict.NOT_KNOWN:
        return f"Not known: {not_known} of {total} cannot be judged yet, and not known never counts as go."
    if readiness.verdict is Verdict.CAUTION:
        return f"Go, with {cautions} {'caution' if cautions == 1 else 'cautions'} among {total}."
    return f"Go: {total} made, every limit met."


def detail(readiness: Readiness) -> str:
    """Name the worst finding in one sentence; nothing when all is go."""
    if not readiness.findings or readiness.findings[0].verdict is Verdict.GO:
        return ""
    worst = readiness.findings[0]
    start = "To settle first" if worst.verdict is Verdict.NOT_KNOWN else "The worst"
    measure = [
        finding_value(worst, us_units=readiness.us_units),
        f"limit {worst.limit}" if worst.limit else "",
    ]
    return f"{start}: “{worst.name}”, {', '.join(filter(None, measure)) or 'not known'}."


def finding_value(finding: Finding, *, us_units: bool) -> str:
    """Value with its interval in the builder's units, empty when not known."""
    if finding.value is None:
        return ""
    return show_estimate(finding.value, finding.dimension or Dimension.RATIO, us_units)


def margin_words(finding: Finding) -> str:
    """How far the bad end stands from the limit."""
    if finding.margin is None:
        return ""
    side = "past" if finding.margin < 0 else "inside"
    return f"bad end {abs(finding.margin):.0%} {side} the limit".replace("%", " %")


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


def _count(findings: tuple[Finding, ...], verdict: Verdict) -> int:
    return sum(finding.verdict is verdict for finding in findings)


def _checks(count: int) -> str:
    return "1 check" if count == 1 else f"{count} checks"
