"""Does the printed body hold, and its fins?"""

from finial.assemble.strength.results import ReserveRow, StrengthResult
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_fixes import cheapest_fix

_HEAT_FIX = "A plastic that softens later, a light colour, or shade until the countdown."


def strength_findings(strength: StrengthResult, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge the worst reserve of each failure mode, and name apart what could not be judged."""
    worst: dict[tuple[str, bool], ReserveRow] = {}
    for row in strength.reserves:
        kind = (row.what, row.reserve is None)
        if kind not in worst or _badness(row) < _badness(worst[kind]):
            worst[kind] = row
    return [_finding(row, limits, us_units) for row in worst.values()]


def _badness(row: ReserveRow) -> float:
    return float("-inf") if row.reserve is None else row.reserve.low


def _finding(row: ReserveRow, limits: Limits, us_units: bool) -> Finding:
    limit = limits["reserve"]
    rule = Rule(
        subject="strength",
        name=f"reserve: {row.what}, {row.case}",
        dimension=None,
        why=f"{row.load}. {row.note}".strip(),
        source=limit.source,
    )
    fix = cheapest_fix(row, limit.value)
    if row.reserve is None:
        fix = f"Enter what is missing. {row.note}"
    return rule.at_least(row.reserve, limit.value, fix=fix, us_units=us_units)


def heat_findings(strength: StrengthResult, *, us_units: bool) -> list[Finding]:
    """Judge the part that softens first in the day's sun."""
    if not strength.heat:
        return []
    row = min(strength.heat, key=lambda row: row.margin_k.low)
    surface, softens = (
        show(value.value, Dimension.TEMPERATURE, us_units) for value in (row.surface_k, row.softens_k)
    )
    rule = Rule(
        subject="strength",
        name=f"{row.part} in the sun, kelvin left",
        dimension=None,
        why=f"Skin at about {surface}, softening at {softens}; printed parts sag before that.",
        source="common practice: flagged 10 K below softening; seen on printed parts left in the sun",
    )
    margin = row.margin_k
    verdict = Verdict.GO if margin.low >= 0 else Verdict.NO_GO if margin.value < 0 else Verdict.CAUTION
    return [rule.finding(verdict, "at least 0, which is 10 K below softening", _HEAT_FIX, margin)]
