"""A rule: the constant part of a check, and the three ways it is judged."""

from dataclasses import dataclass, replace

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.judge import at_least, at_most, margin_at_least, margin_at_most


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What a check is about, why it matters and where its limit comes from."""

    subject: str
    name: str
    dimension: Dimension | None
    why: str
    source: str
    safety: bool = False

    def at_least(self, value: Estimate | None, limit: float, *, fix: str, us_units: bool) -> Finding:
        """Judge a value that must not fall below the limit."""
        words = f"at least {self._shown(limit, us_units)}"
        return self.finding(at_least(value, limit), words, fix, value, margin_at_least(value, limit))

    def at_most(self, value: Estimate | None, limit: float, *, fix: str, us_units: bool) -> Finding:
        """Judge a value that must not rise above the limit."""
        words = f"at most {self._shown(limit, us_units)}"
        return self.finding(at_most(value, limit), words, fix, value, margin_at_most(value, limit))

    def finding(
        self,
        verdict: Verdict,
        limit: str,
        fix: str = "",
        value: Estimate | None = None,
        margin: float | None = None,
    ) -> Finding:
        """Make the finding for a verdict reached elsewhere; a go needs no fix."""
        return Finding(
            subject=self.subject,
            name=self.name,
            verdict=verdict,
            value=value,
            dimension=self.dimension,
            limit=limit,
            margin=margin,
            why=self.why,
            fix="" if verdict is Verdict.GO else fix,
            source=self.source,
            safety=self.safety,
        )

    def _shown(self, limit: float, us_units: bool) -> str:
        return f"{limit:g}" if self.dimension is None else show(limit, self.dimension, us_units=us_units)


def softened(finding: Finding, verdict: Verdict) -> Finding:
    """Return the finding with a milder verdict where it was a no-go; not known stays not known."""
    return replace(finding, verdict=verdict) if finding.verdict is Verdict.NO_GO else finding
