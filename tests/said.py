"""Every finding that a test makes is put into words at once, as it would be with any verdict of its rule."""

from collections.abc import Generator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import pytest
from of_safety import NOT_OF_SAFETY, OF_SAFETY

from finial.findings.finding import Bound, Finding, Sense, Verdict
from finial.findings.rule import Rule


@contextmanager
def each_finding_said() -> Generator[None]:
    """Ask of every finding, when it is made, that title, limit, reason and what to change can be said.

    What is judged by a number is asked for all its fixes, whichever verdict it has today.
    """
    own, seen = Rule._finding, set[Any]()  # pyright: ignore[reportPrivateUsage]

    def made(rule: Rule, verdict: Verdict, bound: Bound, value: Any, margin: Any, told: Any) -> Finding:
        finding = own(rule, verdict, bound, value, margin, told)
        judged = bound.sense is not Sense.HOLDS
        asked = replace(finding, fixes=told.get("fixes", ())) if judged else finding
        kind = _kind(asked)
        if kind not in seen:
            assert not finding.safety or finding.key not in NOT_OF_SAFETY, f"{finding.key} is not of safety"
            assert finding.safety or finding.key not in OF_SAFETY, f"{finding.key} is of safety"
            _say(asked)
            seen.add(kind)
        return finding

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Rule, "_finding", made)
        yield


def _kind(finding: Finding) -> tuple[Any, ...]:
    """Return what decides which places its sentences have, and which facts stand in them."""
    fixes = tuple((fix.key, frozenset(fix.facts)) for fix in finding.fixes)
    bound = finding.bound
    return finding.key, bound.sense, bound.key, frozenset(finding.facts), finding.reasons, fixes


def _say(finding: Finding) -> None:
    from finial.report.finding_words import fix_words, limit, title, why

    assert title(finding)
    assert limit(finding)
    why(finding)
    assert all(fix_words(finding, fix) for fix in finding.fixes)
