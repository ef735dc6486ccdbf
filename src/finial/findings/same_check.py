"""Which findings answer the same check, whatever moment or case is the worst."""

from collections.abc import Iterable
from typing import NamedTuple

from finial.findings.finding import Finding
from finial.findings.rules.strength_rules import ALL_OF_A_CAUSE


class Check(NamedTuple):
    """Which check it is, whatever its worst moment or case: the key and the name of its subject."""

    key: str
    name: str


def check_of(finding: Finding) -> Check:
    """Return the check that a finding answers; all that one cause brings about is one check."""
    return Check(finding.key, "" if finding.key in ALL_OF_A_CAUSE else finding.subject.name)


def worst_of(findings: Iterable[Finding]) -> dict[Check, Finding]:
    """Return the worst finding of each check; the findings come worst first."""
    found: dict[Check, Finding] = {}
    for finding in findings:
        found.setdefault(check_of(finding), finding)
    return found
