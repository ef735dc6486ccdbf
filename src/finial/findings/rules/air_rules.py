"""Do the fins stand in clean air, or anywhere at all?"""

from finial.assemble.air.results import AirResult, FinRow
from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

NO_FINS = Rule(key="fins", stage="air", safety=True)
ONE_PLANE = 0.01
"""Share of the strongest row's force below which the other plane is left without [-]; common practice."""


def air_findings(air: AirResult, limits: Limits) -> list[Finding]:
    """Tell when there are no fins, when they do nothing, or when a step takes the air off them."""
    if not air.fin_rows:
        return [NO_FINS.holds(Verdict.CAUTION, fixes=(Fix(key="enter"),))]
    return [*(_finding(row, limits) for row in air.fin_rows), *_in_one_plane(air)]


def _in_one_plane(air: AirResult) -> list[Finding]:
    """Say when fins that each carry force leave one plane without any: all rows are judged as one."""
    if air.fins_slope_per_rad > ONE_PLANE * max(row.slope_per_rad for row in air.fin_rows):
        return []
    return [NO_FINS.holds(Verdict.NO_GO, limit="both-planes", fixes=(Fix(key="both-planes"),))]


def _finding(row: FinRow, limits: Limits) -> Finding:
    limit, subject = limits["sheltered_share"], Subject(name=row.name)
    if row.slope_per_rad <= 0.0:
        return NO_FINS.holds(Verdict.NO_GO, limit="force", subject=subject, fixes=(Fix(key="no-force"),))
    rule = Rule(key="clean-air", stage="air", dimension=Dimension.RATIO, source=limit.source)
    finding = rule.at_most(
        exact(row.sheltered), limit.value, subject=subject, fixes=(Fix(key="out-of-dead-air"),)
    )
    return softened(finding, Verdict.CAUTION)
