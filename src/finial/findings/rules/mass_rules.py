"""Is enough of the mass weighed, and is the balance point known?"""

from finial.assemble.mass.results import MassResult, MassRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule

GUESSED = Rule(
    subject="mass",
    name="guessed share of the mass",
    dimension=Dimension.RATIO,
    why="Mass that nobody weighed moves the balance point, the rail exit and the landing at once.",
    source="common practice",
)


def mass_findings(mass: MassResult, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge how much of the lift-off mass is only assumed."""
    guessed = [row for row in mass.rows if row.mass.known_by is KnownBy.ASSUMED]
    share = sum(row.mass.value for row in guessed) / mass.lift_off.mass_kg
    value = Estimate(
        value=share, low=share, high=share, known_by=KnownBy.COMPUTED, method="sum of assumed rows"
    )
    fix = f"Weigh {_named(guessed, us_units)}." if guessed else ""
    finding = GUESSED.at_most(value, limits["assumed_mass_share"].value, fix=fix, us_units=us_units)
    if finding.verdict is Verdict.NO_GO:
        return [GUESSED.finding(Verdict.NOT_KNOWN, finding.limit, fix, value, finding.margin)]
    return [finding]


def _named(rows: list[MassRow], us_units: bool) -> str:
    heaviest = sorted(rows, key=lambda row: -row.mass.value)[:3]
    return ", ".join(
        f"{row.name} ({show(row.mass.value, Dimension.MASS, us_units=us_units)})" for row in heaviest
    )
