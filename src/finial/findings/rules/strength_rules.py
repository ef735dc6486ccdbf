"""Do walls, rods, joints, fins and stays hold, as warm as they get?"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from finial.assemble.strength.results import HeatCase, Place
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.finding import Amount, Fact, Facts, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limit, Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_fixes import reserve_fixes
from finial.materials.material import material
from finial.structure.loads.case import Occasion
from finial.structure.reserves import FailureMode, Reserve, badness

WARM_PLASTIC = "warm-plastic"
"""Cause that findings share which only warmth brings about."""
WHEN_WARM, OFF_TIME, ON_THE_GROUND = "holds-when-warm", "holds-off-time", "holds-on-the-ground"
_SEVERAL = frozenset({OFF_TIME, ON_THE_GROUND})
"""Findings whose ways to fail share no remedy."""
ALL_OF_A_CAUSE = frozenset({WHEN_WARM, OFF_TIME, ON_THE_GROUND})
"""Findings that stand for all that one cause brings about."""
_SAG = "common practice: flagged somewhat below softening; seen on printed parts left in the sun"
_BELOW_K = 10.0
"""How far below softening the flag stands [K]."""
SUN = Rule(key="soft-in-the-sun", stage="strength", dimension=Dimension.TEMPERATURE_STEP, source=_SAG)
WARM = Rule(key="warm-part", stage="strength", dimension=Dimension.TEMPERATURE_STEP, source=_SAG)
NOTHING_SOFTENS = Rule(key="nothing-softens", stage="strength", source="the materials of the outside")
_FACT_DIMENSIONS = {
    "shift": Dimension.LENGTH,
    "nozzle": Dimension.LENGTH,
    "sag": Dimension.LENGTH,
    "thick": Dimension.LENGTH,
}
_COUNTED = frozenset({"stay", "hz"})
_SOFTER: dict[Occasion, tuple[str, ...]] = {
    Occasion.FLIGHT: (),
    Occasion.LATE: ("late",),
    Occasion.GROUND: ("on-the-ground",),
}
"""Why a failure is a caution."""
_ORDER = (Occasion.FLIGHT, Occasion.LATE, Occasion.GROUND)
_NOTICEABLY_COOLER_K = 3.0


def reserve_findings(rows: Sequence[Reserve], limits: Limits) -> list[Finding]:
    """Judge the worst reserve of each way to fail in flight.

    What comes of one cause is one finding: warm plastic, a cord off its time, the ground.
    """
    warm = [row for row in rows if _fails_by_warmth(row, rows, limit_of(row, limits).value)]
    hidden = {row.mode for row in warm}
    flown = [row for row in rows if _alone(row) and row not in warm]
    found = [reserve_finding(row, rows, limits) for row in worst_rows(flown)]
    judged = [one for one in found if one.verdict is not Verdict.GO or one.key not in hidden]
    return [
        *judged,
        *_as_one(WHEN_WARM, warm, limits, cause=WARM_PLASTIC),
        *_as_one(OFF_TIME, _known(rows, Occasion.LATE), limits, cause="off-time"),
        *_as_one(ON_THE_GROUND, _known(rows, Occasion.GROUND), limits, cause="ground"),
    ]


def _alone(row: Reserve) -> bool:
    """Whether a row is judged by itself: in flight, or not known."""
    return row.reserve is None or occasion_of(row) is Occasion.FLIGHT


def _known(rows: Sequence[Reserve], occasion: Occasion) -> list[Reserve]:
    return [row for row in rows if not _alone(row) and occasion_of(row) is occasion]


def worst_rows(rows: Iterable[Reserve]) -> tuple[Reserve, ...]:
    """Lowest row of each way to fail on each occasion, worst first; what is not known stands apart.

    What the sheet does not say it says on no occasion: it is told once, of flight where there is one.
    """
    worst: dict[tuple[FailureMode, Occasion | None], Reserve] = {}
    for row in sorted(rows, key=lambda row: (badness(row), _ORDER.index(occasion_of(row)))):
        worst.setdefault((row.mode, occasion_of(row) if row.reserve else None), row)
    return tuple(worst.values())


def occasion_of(row: Reserve) -> Occasion:
    """Tell what a failure would come to; without a case it can be any flight."""
    return row.case.occasion if row.case else Occasion.FLIGHT


def limit_of(row: Reserve, limits: Limits) -> Limit:
    """Limit of a reserve and who says so: flutter worked out by modes has its own."""
    return limits["flutter_ratio" if row.mode is FailureMode.FIN_FLUTTERS_BY_MODES else "reserve"]


def reserve_finding(row: Reserve, rows: Sequence[Reserve], limits: Limits) -> Finding:
    """Judge one reserve among all."""
    limit, occasion = limit_of(row, limits), occasion_of(row)
    safety = occasion is not Occasion.GROUND
    rule = Rule(key=row.mode.value, stage="strength", source=limit.source, safety=safety)
    wrinkles = _carries_on(row, rows, limit.value)
    softer = (*(("carries-on",) if wrinkles else ()), *_SOFTER[occasion])
    found = rule.at_least(
        row.reserve,
        limit.value,
        subject=_subject(row),
        facts=_facts(row),
        reasons=(*_reasons(row), *softer),
        fixes=reserve_fixes(row, limit.value),
    )
    return _milder(found) if row.reserve is not None and softer else found


def _subject(row: Reserve) -> Subject:
    case = row.case.load.value if row.case else "every-case"
    return Subject(name=row.subject, station_m=row.station_m, case=case)


def _facts(row: Reserve) -> Facts:
    case, numbers = row.case, row.numbers.items()
    return {
        **({"of": case.subject, "half": case.half.value if case.half else ""} if case else {}),
        **({"load": Amount(value=_towards(row.load), dimension=row.dimension)} if row.load else {}),
        **({"strength": Amount(value=row.strength, dimension=row.dimension)} if row.strength else {}),
        **{name: _number(name, value) for name, value in numbers},
    }


def _towards(load: Estimate) -> Estimate:
    """Return a load as it is told: an end of the other sign unloads, and loads by nothing."""
    low, value, high = (max(end, 0.0) for end in (load.low, load.value, load.high))
    return replace(load, low=low, value=value, high=high)


def _number(name: str, value: float) -> Fact:
    return round(value) if name in _COUNTED else Amount(value=value, dimension=_FACT_DIMENSIONS.get(name))


def _reasons(row: Reserve) -> tuple[str, ...]:
    loaded = "loaded" if row.load and row.strength else "load-known" if row.load else ""
    return tuple(filter(None, (loaded, row.because.value if row.because else "")))


def _carries_on(row: Reserve, rows: Sequence[Reserve], limit: float) -> bool:
    """Whether a wall wrinkles at no less than the load itself, and collapses well above it."""
    if row.mode is not FailureMode.WALL_WRINKLES:
        return False
    collapses = [one for one in rows if one.mode is FailureMode.WALL_COLLAPSES and one.case == row.case]
    lows = [one.reserve.low for one in collapses if one.reserve]
    return bool(lows) and min(lows) >= limit and row.reserve is not None and row.reserve.low >= 1.0


def _milder(finding: Finding) -> Finding:
    """Take a failure, or what may be one, as a caution."""
    return finding if finding.verdict is Verdict.GO else replace(finding, verdict=Verdict.CAUTION)


def _fails_by_warmth(row: Reserve, rows: Sequence[Reserve], limit: float) -> bool:
    """Whether a reserve misses its limit in flight, and would not in a cool room."""
    if row.reserve is None or occasion_of(row) is not Occasion.FLIGHT or row.warmth_left >= 1.0:
        return False
    if _carries_on(row, rows, limit):
        return False
    return row.reserve.low < limit <= row.reserve.low / row.warmth_left


def _as_one(key: str, rows: Sequence[Reserve], limits: Limits, *, cause: str) -> list[Finding]:
    """Make one finding of all that one cause brings about: the worst of it, the others named."""
    if not rows:
        return []
    worst = min(rows, key=badness)
    found = reserve_finding(worst, rows, limits)
    low = [row for row in rows if row.reserve and row.reserve.low < limit_of(row, limits).value]
    others = {row.mode: row for row in sorted(low, key=badness, reverse=True) if row.mode is not worst.mode}
    named = {f"of-{mode.value}": row.subject for mode, row in others.items()}
    facts = {**found.facts, **_cool(worst), **named}
    further = sorted(f"also-{mode.value}" for mode in others)
    reasons = (worst.mode.value, *found.reasons, *further)
    fixes = tuple(_of_that_thing(fix, worst, key) for fix in found.fixes)
    return [replace(found, key=key, facts=facts, reasons=reasons, cause=cause, fixes=fixes)]


def _of_that_thing(fix: Fix, worst: Reserve, key: str) -> Fix:
    """Name the thing whose change was worked out, or point at all: the finding is of more than that."""
    if fix.changes:
        return replace(fix, key="thicker", facts={**fix.facts, "thing": worst.subject})
    return Fix(key="look") if fix.key == "change" and key in _SEVERAL else fix


def _cool(row: Reserve) -> Facts:
    """Tell what warmth leaves, and what the reserve would be without it."""
    low = row.reserve.low if row.reserve else 0.0
    return {
        "left": round(100 * row.warmth_left),
        "cool": Amount(value=round(low / row.warmth_left, 2)),
    }


HARDER_WHEN_WARM = "ABS", "ASA", "PC"
"""Plastics that people print instead of what softens, the usual ones first; common practice."""


def heat_findings(cases: Iterable[HeatCase]) -> list[Finding]:
    """Judge the part that softens first in each place that warms it; only the day's sun can be a no-go."""
    worst: dict[Place, HeatCase] = {}
    for case in cases:
        held = worst.get(case.place)
        if held is None or case.margin.low < held.margin.low:
            worst[case.place] = case
    if Place.SUN not in worst:
        return [NOTHING_SOFTENS.holds(Verdict.GO), *map(_warm, worst.values())]
    return [_in_the_sun(worst.pop(Place.SUN)), *map(_warm, worst.values())]


def _in_the_sun(case: HeatCase) -> Finding:
    margin = case.margin
    verdict = Verdict.GO if margin.low >= 0 else Verdict.NO_GO if margin.value < 0 else Verdict.CAUTION
    white = case.white_cools_k > _NOTICEABLY_COOLER_K
    cooler = {"cooler": _step(round(case.white_cools_k))}
    fix = Fix(key="white", facts=cooler, changes={"vehicle.colour": "white"}) if white else Fix(key="cooler")
    return SUN.holds(
        verdict,
        value=margin,
        subject=Subject(name=case.part, case=case.place.value),
        facts=_degrees(case),
        fixes=(fix, *_harder(case)),
        cause=WARM_PLASTIC,
    )


def _warm(case: HeatCase) -> Finding:
    return WARM.holds(
        Verdict.GO if case.margin.low >= 0 else Verdict.CAUTION,
        value=case.margin,
        subject=Subject(name=case.part, case=case.place.value),
        facts=_degrees(case),
        fixes=_harder(case) or (Fix(key=case.place.value),),
    )


def _harder(case: HeatCase) -> tuple[Fix, ...]:
    """Advise the first plastic that is still hard there; none where none of the usual ones is."""
    hard = next((name for name in HARDER_WHEN_WARM if _left_of(name, case) >= 0.0), None)
    if hard is None:
        return ()
    changes = {f"part.{case.part}.material": hard}
    return (Fix(key=f"{case.place.value}-plastic", facts={"plastic": hard}, changes=changes),)


def _left_of(plastic: str, case: HeatCase) -> float:
    """Return what a plastic would leave to softening there, at its low end [K]."""
    softens = material(plastic).softens_k
    return -math.inf if softens is None else case.margin.low + softens.low - case.softens.low


def _step(kelvin: float) -> Amount:
    return Amount(value=kelvin, dimension=Dimension.TEMPERATURE_STEP)


def _degrees(case: HeatCase) -> Facts:
    return {
        "warm": Amount(value=case.temperature.value, dimension=Dimension.TEMPERATURE),
        "softens": Amount(value=case.softens.value, dimension=Dimension.TEMPERATURE),
        "below": _step(_BELOW_K),
    }
