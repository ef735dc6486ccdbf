"""Do the fins stand in clean air, or anywhere at all?"""

from finial.assemble.air.results import AirResult, FinRow, Straightness
from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, exact, spread
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

NO_FINS = Rule(
    subject="air",
    name="fins",
    dimension=None,
    why="A body without fins, or with fins buried in it, has nothing to hold its tail behind its tip.",
    source="",
    safety=True,
)


def air_findings(air: AirResult, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Tell when there are no fins, when they do nothing, or when a step takes the air off them."""
    crooked = _crooked(air.straightness, limits, us_units)
    if not air.fin_rows:
        fix = (
            "Enter the fins under [[fin]], if there are any; fins drawn into a mesh are found by themselves."
        )
        return [NO_FINS.finding(Verdict.CAUTION, "some fins", fix), *crooked]
    return [*(_finding(row, limits, us_units) for row in air.fin_rows), *crooked]


def _crooked(straight: Straightness | None, limits: Limits, us_units: bool) -> list[Finding]:
    """Say when a crooked shape coasts at an angle; a straight one needs no finding."""
    limit = limits["trim_angle"]
    if straight is None or straight.trim_rad is None or straight.trim_rad <= limit.value:
        return []
    rule = Rule(
        subject="air",
        name="coasts straight",
        dimension=Dimension.ANGLE,
        why="A shape that leans, or whose drag acts beside its balance point, flies at an angle and drifts "
        "to one side.",
        source=limit.source,
    )
    angle = spread(
        straight.trim_rad, 0.3, known_by=KnownBy.COMPUTED, method="moments about the balance point"
    )
    fix = "Straighten the shape, move ballast across the axis, or let canted fins turn it."
    return [softened(rule.at_most(angle, limit.value, fix=fix, us_units=us_units), Verdict.CAUTION)]


def _finding(row: FinRow, limits: Limits, us_units: bool) -> Finding:
    limit = limits["sheltered_share"]
    rule = Rule(
        subject="air",
        name=f"{row.name} in clean air",
        dimension=Dimension.RATIO,
        why="A fin in the dead air behind a step pulls less than its size promises.",
        source=limit.source,
    )
    if row.slope_per_rad <= 0.0:
        fix = f"{row.name} carry no force: is the root inside the body, or the outline without span?"
        return NO_FINS.finding(Verdict.NO_GO, "fins that carry force", fix)
    fix = "Longer span, or fins further from the step ahead of them."
    finding = rule.at_most(exact(row.sheltered), limit.value, fix=fix, us_units=us_units)
    return softened(finding, Verdict.CAUTION)
