"""What the long look at strength comes to."""

from dataclasses import replace

from finial.assemble.strength.records import HeatCase, StrengthStudy
from finial.assemble.strength.results import ReserveRow
from finial.assemble.strength.study import on_the_ground
from finial.core.dimensions import Dimension
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_rules import reserve_fixes
from finial.structure.walls.body import WALL_WRINKLES
from finial.structure.walls.collapse import WALL_COLLAPSES

STAYS = Rule(
    key="stays-would-help",
    stage="strength",
    source="search in the fin's own modes, worked out again in the plate",
)
WARM = Rule(
    key="warm-part",
    stage="strength",
    source="common practice: flagged 10 K below softening; seen on printed parts left in the sun",
)


def strength_study_findings(study: StrengthStudy, limits: Limits) -> list[Finding]:
    """Judge the worst reserve of each way to fail, in flight and on the ground, and the heat."""
    findings = [_reserve(row, study, limits) for row in worst_rows(study.reserves)]
    return [*findings, *_proposals(study), *_heat(study)]


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


def _reserve(row: ReserveRow, study: StrengthStudy, limits: Limits) -> Finding:
    limit, source = limit_of(row, limits)
    rule = Rule(key="reserve", stage="strength", source=source, safety=not on_the_ground(row.case))
    wrinkles = row.what == WALL_WRINKLES and _carries_on(row, study, limit)
    finding = rule.at_least(
        row.reserve,
        limit,
        subject=Subject(name=row.what, station_m=row.station_m, case=row.case),
        facts={"load": row.load, "note": row.note},
        reasons=("carries-on",) if wrinkles else (),
        fixes=reserve_fixes(row, limit),
    )
    # Damage on the ground is a caution: it ends no flight, and how the ground gives is a guess.
    return _milder(finding) if wrinkles or (on_the_ground(row.case) and row.reserve is not None) else finding


def _carries_on(row: ReserveRow, study: StrengthStudy, limit: float) -> bool:
    """Whether a wall wrinkles at no less than the load itself, and collapses well above it."""
    collapses = [one for one in study.reserves if one.what == WALL_COLLAPSES and one.case == row.case]
    lows = [one.reserve.low for one in collapses if one.reserve]
    return bool(lows) and min(lows) >= limit and row.reserve is not None and row.reserve.low >= 1.0


def _milder(finding: Finding) -> Finding:
    verdict = Verdict.GO if finding.verdict is Verdict.GO else Verdict.CAUTION
    return replace(finding, verdict=verdict)


def _proposals(study: StrengthStudy) -> list[Finding]:
    """Stays that would help, said as a caution beside the flutter that fails."""
    found: list[Finding] = []
    for fin in study.fins:
        proposal = fin.proposal
        if proposal is None:
            continue
        pair, speed = proposal.pair, proposal.after.flutter
        facts = {
            "along": Amount(value=pair.along_m, dimension=Dimension.LENGTH),
            "outward": Amount(value=pair.outward_m, dimension=Dimension.LENGTH),
            "thick": Amount(value=pair.diameter_m, dimension=Dimension.LENGTH),
            "tension": Amount(value=pair.preload_n, dimension=Dimension.FORCE),
            "wanted": Amount(value=proposal.wanted_m_s, dimension=Dimension.SPEED),
            **({"reached": Amount(value=speed.low, dimension=Dimension.SPEED)} if speed else {}),
        }
        found.append(
            STAYS.holds(
                Verdict.CAUTION,
                subject=Subject(name=fin.name),
                facts=facts,
                reasons=("reached" if speed else "no-flutter",),
                fixes=(Fix(key="try" if proposal.reaches else "not-enough", facts=facts),),
            )
        )
    return found


def _heat(study: StrengthStudy) -> list[Finding]:
    """Worst part of each place that warms it; only the sun of the day can be a no-go."""
    worst: dict[str, HeatCase] = {}
    for case in study.heat:
        held = worst.get(case.where)
        if held is None or case.margin.low < held.margin.low:
            worst[case.where] = case
    return [_warm(case) for case in worst.values()]


def _warm(case: HeatCase) -> Finding:
    verdict = Verdict.GO if case.margin.low >= 0 else Verdict.CAUTION
    if case.margin.value < 0 and "pad" in case.where:
        verdict = Verdict.NO_GO
    return WARM.holds(
        verdict,
        value=case.margin,
        subject=Subject(name=case.part, case=case.where),
        facts={"warm": Amount(value=case.temperature.value, dimension=Dimension.TEMPERATURE)},
        fixes=(Fix(key="advice", facts={"advice": case.advice}),),
    )
