"""Does the printed body hold, and its fins?"""

from finial.assemble.strength.results import ReserveRow, StrengthResult
from finial.core.dimensions import Dimension
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_fixes import cheapest_fix

SUN = Rule(
    key="soft-in-the-sun",
    stage="strength",
    source="common practice: flagged 10 K below softening; seen on printed parts left in the sun",
)


def strength_findings(strength: StrengthResult, limits: Limits) -> list[Finding]:
    """Judge the worst reserve of each failure mode, and name apart what could not be judged."""
    worst: dict[tuple[str, bool], ReserveRow] = {}
    for row in strength.reserves:
        kind = (row.what, row.reserve is None)
        if kind not in worst or _badness(row) < _badness(worst[kind]):
            worst[kind] = row
    return [_finding(row, limits) for row in worst.values()]


def _badness(row: ReserveRow) -> float:
    return float("-inf") if row.reserve is None else row.reserve.low


def _finding(row: ReserveRow, limits: Limits) -> Finding:
    limit = limits["reserve"]
    rule = Rule(key="reserve", stage="strength", source=limit.source)
    return rule.at_least(
        row.reserve,
        limit.value,
        subject=Subject(name=row.what, station_m=row.station_m, case=row.case),
        facts={"load": row.load, "note": row.note},
        fixes=reserve_fixes(row, limit.value),
    )


def reserve_fixes(row: ReserveRow, limit: float) -> tuple[Fix, ...]:
    """Say what to change, or what to enter where the reserve is not known."""
    if row.reserve is None:
        return (Fix(key="enter-missing", facts={"note": row.note}),)
    return (Fix(key="as-told", facts={"told": cheapest_fix(row, limit)}),)


def heat_findings(strength: StrengthResult) -> list[Finding]:
    """Judge the part that softens first in the day's sun."""
    if not strength.heat:
        return []
    row = min(strength.heat, key=lambda row: row.margin_k.low)
    surface, softens = (
        Amount(value=value.value, dimension=Dimension.TEMPERATURE) for value in (row.surface_k, row.softens_k)
    )
    margin = row.margin_k
    verdict = Verdict.GO if margin.low >= 0 else Verdict.NO_GO if margin.value < 0 else Verdict.CAUTION
    return [
        SUN.holds(
            verdict,
            value=margin,
            subject=Subject(name=row.part),
            facts={"surface": surface, "softens": softens},
            fixes=(Fix(key="cooler"),),
        )
    ]
