"""Is enough of the mass weighed, and is the balance point known?"""

from dataclasses import replace

from finial.assemble.mass.results import MassResult, MassRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule

GUESSED = Rule(key="guessed-mass", stage="mass", dimension=Dimension.RATIO, source="common practice")
_MOST_NAMED = 3


def mass_findings(mass: MassResult, limits: Limits) -> list[Finding]:
    """Judge how much of the lift-off mass is only assumed."""
    guessed = [row for row in mass.rows if row.mass.known_by is KnownBy.ASSUMED]
    share = sum(row.mass.value for row in guessed) / mass.lift_off.mass_kg
    value = Estimate(
        value=share, low=share, high=share, known_by=KnownBy.COMPUTED, method="sum of assumed rows"
    )
    fixes = (Fix(key="weigh", facts={"rows": _named(guessed)}),) if guessed else ()
    finding = GUESSED.at_most(value, limits["assumed_mass_share"].value, fixes=fixes)
    # Too much guessed does not forbid the flight: it leaves the answer open.
    return [replace(finding, verdict=min(finding.verdict, Verdict.NOT_KNOWN))]


def _named(rows: list[MassRow]) -> str:
    return ", ".join(row.name for row in sorted(rows, key=lambda row: -row.mass.value)[:_MOST_NAMED])
