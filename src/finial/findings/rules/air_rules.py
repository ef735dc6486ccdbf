"""Do the fins stand in clean air, or anywhere at all?"""

from finial.assemble.air.results import AirResult, FinRow, Straightness
from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, exact, spread
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

NO_FINS = Rule(key="fins", stage="air", safety=True)
ONE_PLANE = 0.01
"""Share of the strongest row's force below which the other plane is left without [-]; common practice."""


def air_findings(air: AirResult, limits: Limits) -> list[Finding]:
    """Tell when there are no fins, when they do nothing, or when a step takes the air off them."""
    crooked = _crooked(air.straightness, limits)
    if not air.fin_rows:
        return [NO_FINS.holds(Verdict.CAUTION, fixes=(Fix(key="enter"),)), *crooked]
    return [*(_finding(row, limits) for row in air.fin_rows), *_in_one_plane(air), *crooked]


def _in_one_plane(air: AirResult) -> list[Finding]:
    """Say when fins that each carry force leave one plane without any: all rows are judged as one."""
    if air.fins_slope_per_rad > ONE_PLANE * max(row.slope_per_rad for row in air.fin_rows):
        return []
    return [NO_FINS.holds(Verdict.NO_GO, limit="both-planes", fixes=(Fix(key="both-planes"),))]


def _crooked(straight: Straightness | None, limits: Limits) -> list[Finding]:
    """Say when a crooked shape coasts at an angle; a straight one needs no finding."""
    limit = limits["trim_angle"]
    if straight is None or straight.trim_rad is None or straight.trim_rad <= limit.value:
        return []
    rule = Rule(key="coasts-straight", stage="air", dimension=Dimension.ANGLE, source=limit.source)
    angle = spread(
        straight.trim_rad, 0.3, known_by=KnownBy.COMPUTED, method="moments about the balance point"
    )
    return [softened(rule.at_most(angle, limit.value, fixes=(Fix(key="straighten"),)), Verdict.CAUTION)]


def _finding(row: FinRow, limits: Limits) -> Finding:
    limit, subject = limits["sheltered_share"], Subject(name=row.name)
    if row.slope_per_rad <= 0.0:
        return NO_FINS.holds(Verdict.NO_GO, limit="force", subject=subject, fixes=(Fix(key="no-force"),))
    rule = Rule(key="clean-air", stage="air", dimension=Dimension.RATIO, source=limit.source)
    finding = rule.at_most(
        exact(row.sheltered), limit.value, subject=subject, fixes=(Fix(key="out-of-dead-air"),)
    )
    return softened(finding, Verdict.CAUTION)
