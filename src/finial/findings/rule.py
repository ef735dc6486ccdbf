"""A rule: the constant part of a check, and the three ways it is judged."""

from dataclasses import dataclass, replace
from typing import TypedDict, Unpack

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.findings.finding import Bound, Facts, Finding, Fix, Sense, Subject, Verdict
from finial.findings.judge import at_least, at_most, margin_at_least, margin_at_most

_NOBODY = Subject()


class Told(TypedDict, total=False):
    """What one finding of a rule says beside its number and its limit."""

    subject: Subject
    facts: Facts
    reasons: tuple[str, ...]
    fixes: tuple[Fix, ...]
    cause: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Which check, of which stage, in what dimension, and where its limit comes from."""

    key: str
    stage: str
    dimension: Dimension | None = None
    source: str = ""
    safety: bool = False
    urgent: bool = False

    def at_least(self, value: Estimate | None, limit: float, **told: Unpack[Told]) -> Finding:
        """Judge a value that must not fall below the limit."""
        bound = _bound(Sense.AT_LEAST, limit, self.source)
        return self._finding(at_least(value, limit), bound, value, margin_at_least(value, limit), told)

    def at_most(self, value: Estimate | None, limit: float, **told: Unpack[Told]) -> Finding:
        """Judge a value that must not rise above the limit."""
        bound = _bound(Sense.AT_MOST, limit, self.source)
        return self._finding(at_most(value, limit), bound, value, margin_at_most(value, limit), told)

    def holds(
        self,
        verdict: Verdict,
        *,
        value: Estimate | None = None,
        margin: float | None = None,
        limit: str = "",
        **told: Unpack[Told],
    ) -> Finding:
        """Make the finding for a verdict reached elsewhere; ``limit`` is the key of what was asked."""
        bound = _bound(Sense.HOLDS, None, self.source, limit)
        return self._finding(verdict, bound, value, margin, told)

    def _finding(
        self, verdict: Verdict, bound: Bound, value: Estimate | None, margin: float | None, told: Told
    ) -> Finding:
        """Put it together; a go needs no fix."""
        return Finding(
            key=self.key,
            stage=self.stage,
            subject=told.get("subject", _NOBODY),
            verdict=verdict,
            value=value,
            dimension=self.dimension,
            bound=bound,
            margin=margin,
            facts=told.get("facts", {}),
            reasons=told.get("reasons", ()),
            fixes=() if verdict is Verdict.GO else told.get("fixes", ()),
            cause=told.get("cause", ""),
            safety=self.safety,
            urgent=self.urgent,
        )


# A rule's limit is the same for every vehicle.
@kept(1024)
def _bound(sense: Sense, value: float | None, source: str, key: str = "") -> Bound:
    return Bound(sense=sense, value=value, source=source, key=key)


def softened(finding: Finding, verdict: Verdict) -> Finding:
    """Return the finding no worse than the verdict, where a number was judged; not known without one stays.

    A number that straddles its limit is capped like one beyond it: a worse number is never milder.
    """
    capped = finding.verdict is Verdict.NO_GO or finding.value is not None
    return replace(finding, verdict=verdict) if capped and finding.verdict > verdict else finding
