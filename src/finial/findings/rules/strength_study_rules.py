"""What the long look at strength comes to."""

from dataclasses import replace

from finial.assemble.strength.records import HeatCase, StrengthStudy
from finial.assemble.strength.results import ReserveRow
from finial.assemble.strength.study import on_the_ground
from finial.core.dimensions import Dimension
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_fixes import cheapest_fix
from finial.structure.walls.body import WALL_WRINKLES
from finial.structure.walls.collapse import WALL_COLLAPSES


def strength_study_findings(study: StrengthStudy, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge the worst reserve of each way to fail, in flight and on the ground, and the heat."""
    findings = [_reserve(row, study, limits, us_units) for row in worst_rows(study.reserves)]
    return [*findings, *_proposals(study, us_units), *_heat(study, us_units)]


def worst_rows(rows: tuple[ReserveRow, ...]) -> tuple[ReserveRow, ...]:
    """Lowest row of each way to fail, those in flight and those on the ground apart, worst first."""
    worst: dict[tuple[str, bool], ReserveRow] = {}
    for row in sorted(rows, key=_badness):
        worst.setdefault((row.what, on_the_ground(row.case)), row)
    return tuple(sorted(worst.values(), key=_badness))


def _badness(row: ReserveRow) -> float:
    return float("-inf") if row.reserve is None else row.reserve.low


def limit_of(row: ReserveRow, limits: Limits) -> tuple[float, str]:
    """Limit of a reserve and who says so: flutter worked out by modes has its own."""
    limit = limits["flutter_ratio"] if "flutter by modes" in row.what else limits["reserve"]
    return limit.value, limit.source


def _reserve(row: ReserveRow, study: StrengthStudy, limits: Limits, us_units: bool) -> Finding:
    limit, source = limit_of(row, limits)
    rule = Rule(
        subject="strength",
        name=f"reserve: {row.what}, {row.case}",
        dimension=None,
        why=f"{row.load}. {row.note}".strip(),
        source=source,
        safety=not on_the_ground(row.case),
    )
    finding = rule.at_least(row.reserve, limit, fix=cheapest_fix(row, limit), us_units=us_units)
    if on_the_ground(row.case) and row.reserve is not None:
        # Damage on the ground is a caution: it ends no flight, and how the ground gives is a guess.
        return _milder(finding)
    if row.what == WALL_WRINKLES and _carries_on(row, study, limit):
        why = f"{finding.why} A flat wall that wrinkles goes on carrying; it collapses above the limit."
        return replace(_milder(finding), why=why)
    return finding


def _carries_on(row: ReserveRow, study: StrengthStudy, limit: float) -> bool:
    """Whether a wall wrinkles at no less than the load itself, and collapses well above it."""
    collapses = [one for one in study.reserves if one.what == WALL_COLLAPSES and one.case == row.case]
    lows = [one.reserve.low for one in collapses if one.reserve]
    return bool(lows) and min(lows) >= limit and row.reserve is not None and row.reserve.low >= 1.0


def _milder(finding: Finding) -> Finding:
    verdict = Verdict.GO if finding.verdict is Verdict.GO else Verdict.CAUTION
    return replace(finding, verdict=verdict)


def _proposals(study: StrengthStudy, us_units: bool) -> list[Finding]:
    """Stays that would help, said as a caution beside the flutter that fails."""
    found = []
    for fin in study.fins:
        proposal = fin.proposal
        if proposal is None:
            continue
        pair = proposal.pair
        along, outward, thick = (
            show(value, Dimension.LENGTH, us_units)
            for value in (pair.along_m, pair.outward_m, pair.diameter_m)
        )
        tension = show(pair.preload_n, Dimension.FORCE, us_units)
        speed = proposal.after.flutter
        reached = show(speed.low, Dimension.SPEED, us_units) if speed else "no flutter below Mach 0.9"
        words = (
            f"steel wire of {thick} from {along} along and {outward} outward on {fin.name} "
            f"to the body on both sides, tightened to {tension}"
        )
        rule = Rule(
            subject="strength",
            name=f"stays for {fin.name}",
            dimension=None,
            why=f"With {words}: {reached}, {show(proposal.wanted_m_s, Dimension.SPEED, us_units)} wanted.",
            source="search in the fin's own modes, worked out again in the plate",
        )
        fix = (
            f"Try [[fin]] stays: {words}."
            if proposal.reaches
            else "Stays alone do not reach it: a thicker fin."
        )
        found.append(rule.finding(Verdict.CAUTION, "flutter above the wanted speed", fix))
    return found


def _heat(study: StrengthStudy, us_units: bool) -> list[Finding]:
    """Worst part of each place that warms it; only the sun of the day can be a no-go."""
    worst: dict[str, HeatCase] = {}
    for case in study.heat:
        held = worst.get(case.where)
        if held is None or case.margin.low < held.margin.low:
            worst[case.where] = case
    return [_warm(case, us_units) for case in worst.values()]


def _warm(case: HeatCase, us_units: bool) -> Finding:
    warm = show(case.temperature.value, Dimension.TEMPERATURE, us_units)
    rule = Rule(
        subject="strength",
        name=f"{case.part} {case.where}",
        dimension=None,
        why=f"At about {warm}; printed parts sag before they soften.",
        source="common practice: flagged 10 K below softening; seen on printed parts left in the sun",
    )
    verdict = Verdict.GO if case.margin.low >= 0 else Verdict.CAUTION
    if case.margin.value < 0 and "pad" in case.where:
        verdict = Verdict.NO_GO
    return rule.finding(verdict, "10 K below softening at least", case.advice, case.margin)
