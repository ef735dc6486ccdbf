"""Do the fins stand in clean air, or anywhere at all?"""

from finial.assemble.air.results import AirResult, FinRow, OwnBeside, StudyState, TunnelBeside, TunnelRow
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

NO_FINS = Rule(key="fins", stage="air", safety=True)
TUNNEL = Rule(key="tunnel-study", stage="air", safety=True)
TWO_OPINIONS = Rule(key="tunnel-agrees", stage="air", safety=True)
OWN_DRAG = Rule(
    key="own-drag",
    stage="air",
    dimension=Dimension.RATIO,
    source="the ends of the computed drag; half and twice it, assumed",
    safety=True,
)
OWN_CENTRE = Rule(
    key="own-centre",
    stage="air",
    dimension=Dimension.LENGTH,
    source="a twentieth of the length, not known beyond a tenth: as of logs, assumed",
    safety=True,
)
DRAG_TIMES = (0.5, 2.0)
"""Drag of one's own over the computed beyond which nobody knows which is right [-]; as of logs, assumed."""
FAR_APART, MOST_APART = 0.05, 0.1
"""How far apart two centres of pressure may lie before that is told, and before nobody knows which is right,
of the length [-]; as of logs, assumed."""
ONE_PLANE = 0.01
"""Share of the strongest row's force below which the other plane is left without [-]; common practice."""


def air_findings(air: AirResult, limits: Limits) -> list[Finding]:
    """Tell when there are no fins, when they do nothing, or when a step takes the air off them."""
    length_m = float(air.load_stations_m[-1])
    tunnel = [*_tunnel(air.tunnel), *(found for own in air.own for found in _own(own, length_m))]
    if not air.fin_rows:
        return [NO_FINS.holds(Verdict.CAUTION, fixes=(Fix(key="enter"),)), *tunnel]
    return [*(_finding(row, limits) for row in air.fin_rows), *_in_one_plane(air), *tunnel]


def _tunnel(beside: TunnelBeside | None) -> list[Finding]:
    """Say whether the study that the sheet names speaks for this shape; nothing where it names none."""
    if beside is None:
        return []
    if beside.state is not StudyState.HOLDS:
        other = beside.state is StudyState.OTHER_SHAPE
        key = "this-shape" if other else "enough"
        fixes = (Fix(key="blow-again" if other else "blow-more"),)
        return [TUNNEL.holds(Verdict.NOT_KNOWN, limit=key, fixes=fixes)]
    return [TUNNEL.holds(Verdict.GO, limit="this-shape"), _agreement(beside)]


def _agreement(beside: TunnelBeside) -> Finding:
    """Compare the tunnel's places with the sections' band."""
    apart = [row for row in beside.rows if not row.meets]
    if not apart:
        return TWO_OPINIONS.holds(Verdict.GO, limit="meet")
    worst = max(apart, key=_apart_m)
    facts = {
        "apart": Amount(value=_apart_m(worst), dimension=Dimension.LENGTH),
        "angle": Amount(value=worst.angle_rad, dimension=Dimension.ANGLE),
        "roll": Amount(value=worst.roll_rad, dimension=Dimension.ANGLE),
    }
    return TWO_OPINIONS.holds(
        Verdict.CAUTION, limit="meet", facts=facts, reasons=("apart",), fixes=(Fix(key="finer"),)
    )


def _own(own: OwnBeside, length_m: float) -> tuple[Finding, Finding]:
    """Set the builder's own drag and centre of pressure beside those that they go before."""
    subject, fixes = Subject(name=own.table), (Fix(key="look"),)
    low, high = own.drag_within
    computed = Estimate(value=1.0, low=low, high=high, known_by=KnownBy.COMPUTED)
    judge, end = (OWN_DRAG.at_most, high) if own.drag_ratio > 1.0 else (OWN_DRAG.at_least, low)
    facts = {"computed": Amount(value=computed, dimension=Dimension.RATIO)}
    drag = judge(
        exact(own.drag_ratio, known_by=KnownBy.MEASURED), end, subject=subject, facts=facts, fixes=fixes
    )
    near = DRAG_TIMES[0] <= own.drag_ratio <= DRAG_TIMES[1]
    places = {
        "own": Amount(value=own.place_m, dimension=Dimension.LENGTH),
        "computed": Amount(value=own.computed_place_m, dimension=Dimension.LENGTH),
    }
    apart_m = abs(own.place_m.value - own.computed_place_m.value)
    centre = OWN_CENTRE.at_most(
        exact(apart_m, known_by=KnownBy.MEASURED),
        FAR_APART * length_m,
        subject=subject,
        facts=places,
        fixes=fixes,
    )
    beside = apart_m <= MOST_APART * length_m
    return (
        softened(drag, Verdict.CAUTION if near else Verdict.NOT_KNOWN),
        softened(centre, Verdict.CAUTION if beside else Verdict.NOT_KNOWN),
    )


def _apart_m(row: TunnelRow) -> float:
    """Gap between the tunnel's interval and the sections' band [m]."""
    if row.place is None or row.sections_place_m is None:
        return 0.0
    return max(row.sections_place_m[0] - row.place.high, row.place.low - row.sections_place_m[2])


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
