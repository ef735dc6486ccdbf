"""Will the current get to the igniter, will nothing fire with people near, and what fails alone?"""

from finial.assemble.electronics.results import ContinuityCheck, ElectronicsResult, PathPower, SinglePoint
from finial.core.corners import over_corners
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept_as_read
from finial.electronics.batteries import HOTTEST_CELL_K
from finial.electronics.firing import continuity_limit
from finial.electronics.rates import PartKind
from finial.findings.finding import Amount, Facts, FailsAlone, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule
from finial.findings.rules.strength_fixes import MOST_TIMES

SHEET = "the build sheet"
SINGLE = Rule(
    key="single-points",
    stage="electronics",
    source="fault-tree practice: cut sets of size one",
    safety=True,
)
OWN_EVENT = Rule(key="own-event", stage="electronics", source=SHEET, safety=True)
FIRED = Rule(key="canopies-fired", stage="electronics", source=SHEET, safety=True)
BUSY = Rule(key="computers-fire", stage="electronics", source=SHEET, safety=True)
STAYS_UP = Rule(
    key="stays-up",
    stage="electronics",
    dimension=Dimension.VOLTAGE,
    source="Ohm's law against the least voltage of the computer",
    safety=True,
)
CURRENTS = Rule(
    key="igniter-currents",
    stage="electronics",
    dimension=Dimension.CURRENT,
    source="what fires none cannot be more than what fires all",
    safety=True,
)
WARM = Rule(
    key="batteries-warm",
    stage="electronics",
    dimension=Dimension.TEMPERATURE,
    source="makers' data of lithium cells, from memory, not re-read",
    safety=True,
)
SHARED_IN_VAIN = frozenset({PartKind.BATTERY, PartKind.SWITCH})
"""What two computers must not share: with it, the second is none."""
BY_NATURE = frozenset({PartKind.JOINT, PartKind.CORD, PartKind.CANOPY})
"""What stands alone in almost every vehicle, and must simply hold."""


# No slider moves what these read; only what is sensed on the way up is another in every flight.
@kept_as_read(4)
def electronics_findings(
    electronics: ElectronicsResult, limits: Limits, *, wait: Estimate | None
) -> tuple[Finding, ...]:
    """Judge firing currents, voltage left, continuity checks, pad time, arming and redundancy."""
    findings = [_current(power, limits) for power in electronics.paths]
    findings += [_stays_up(power) for power in electronics.paths]
    findings += [_continuity(one, limits) for one in electronics.checks]
    findings += [_currents(one) for one in electronics.checks]
    findings += [_pad_time(name, lasting, limits, wait) for name, lasting in electronics.pad_times]
    return (
        *findings,
        _warm(electronics),
        _none_of(FIRED, electronics.without_path, Verdict.NO_GO, "give-igniter", "canopies"),
        _none_of(BUSY, electronics.idle, Verdict.CAUTION, "wire", "computers"),
        _none_of(OWN_EVENT, electronics.off_event, Verdict.NO_GO, "set-event", "canopies"),
        _single_points(electronics),
    )


def _none_of(rule: Rule, names: tuple[str, ...], verdict: Verdict, fix: str, called: str) -> Finding:
    """Judge a list that should be empty."""
    told = Fix(key=fix, facts={called: ", ".join(names)})
    return rule.holds(verdict if names else Verdict.GO, subject=Subject(name=", ".join(names)), fixes=(told,))


def _current(power: PathPower, limits: Limits) -> Finding:
    ratio, subject = limits["firing_current_ratio"], Subject(name=power.path.igniter)
    rule = Rule(
        key="firing-current",
        stage="electronics",
        dimension=Dimension.CURRENT,
        source=ratio.source,
        safety=True,
    )
    if power.all_fire_a is None:
        fixes = (Fix(key="enter-all-fire"),)
        return rule.holds(Verdict.NOT_KNOWN, value=power.current, subject=subject, fixes=fixes)
    needed = ratio.value * power.all_fire_a
    share = int(100 * power.current.low / needed)
    fixes = (Fix(key="more-current", facts={"share": share}),)
    return rule.at_least(power.current, needed, subject=subject, fixes=fixes)


def _stays_up(power: PathPower) -> Finding:
    """Judge what voltage is to spare while the igniter draws on the computer's own battery."""
    spare = over_corners(
        lambda left, least: left - least,
        {"left": power.voltage, "least": power.least_v},
        method="voltage left while firing, over the least",
    )
    subject = Subject(name=power.path.computer, case=power.path.igniter)
    drawn = _drawn(power)
    return STAYS_UP.at_least(
        spare,
        0.0,
        subject=subject,
        facts=drawn,
        reasons=("drawn",) if drawn else (),
        fixes=(Fix(key="own-battery"),),
    )


def _drawn(power: PathPower) -> Facts:
    """Tell how long an igniter of a known kind draws, and what it takes."""
    if power.fires_in_s is None or power.energy_j is None:
        return {}
    soonest, latest = (Amount(value=end, dimension=Dimension.TIME) for end in power.fires_in_s)
    return {
        "soonest": soonest,
        "latest": latest,
        "energy": Amount(value=power.energy_j, dimension=Dimension.ENERGY),
    }


def _continuity(one: ContinuityCheck, limits: Limits) -> Finding:
    share, subject = limits["continuity_over_no_fire"], Subject(name=one.igniter)
    rule = Rule(
        key="continuity-current",
        stage="electronics",
        dimension=Dimension.CURRENT,
        source=share.source,
        safety=True,
    )
    facts = {"share": f"{100 * share.value:.0f}", "computer": one.computer}
    if one.no_fire_a is None or one.current is None:
        fixes = (
            *((Fix(key="enter-no-fire"),) if one.no_fire_a is None else ()),
            *((Fix(key="enter-continuity", facts=facts),) if one.current is None else ()),
        )
        return rule.holds(Verdict.NOT_KNOWN, value=one.current, subject=subject, facts=facts, fixes=fixes)
    most = continuity_limit(one.no_fire_a, share.value)
    return rule.at_most(one.current, most, subject=subject, facts=facts, fixes=(Fix(key="less-current"),))


def _currents(one: ContinuityCheck) -> Finding:
    """Judge that an igniter's own two currents do not contradict each other."""
    subject = Subject(name=one.igniter)
    if one.no_fire_a is None or one.all_fire_a is None:
        key = "enter-no-fire" if one.no_fire_a is None else "enter-all-fire"
        return CURRENTS.holds(Verdict.NOT_KNOWN, limit="both", subject=subject, fixes=(Fix(key=key),))
    no_fire = exact(one.no_fire_a, known_by=KnownBy.HANDBOOK)
    return CURRENTS.at_most(no_fire, one.all_fire_a, subject=subject, fixes=(Fix(key="look"),))


def _pad_time(battery: str, lasting: Estimate | None, limits: Limits, wait: Estimate | None) -> Finding:
    ratio, subject = limits["pad_time_ratio"], Subject(name=battery)
    rule = Rule(key="pad-time", stage="electronics", dimension=Dimension.TIME, source=ratio.source)
    if wait is None or lasting is None:
        fix = Fix(key="enter-wait" if wait is None else "enter-capacity")
        return rule.holds(Verdict.NOT_KNOWN, value=lasting, subject=subject, fixes=(fix,))
    needed = ratio.value * wait.high
    times = needed / max(lasting.low, 1.0)
    larger = Fix(key="larger", facts={"times": Amount(value=float(f"{times:.2g}"))})
    fixes = (larger if times <= MOST_TIMES else Fix(key="keep-warm"),)
    return rule.at_least(lasting, needed, subject=subject, fixes=fixes)


def _warm(electronics: ElectronicsResult) -> Finding:
    """Judge how warm the batteries get while they wait in the sun; what cannot be seen is a caution."""
    fixes = (Fix(key="shade"),)
    names = {"batteries": ", ".join(electronics.batteries)}
    judged = WARM.at_most(electronics.cells_k, HOTTEST_CELL_K, facts=names, fixes=fixes)
    return judged if electronics.batteries else WARM.holds(Verdict.GO, limit="none")


def _single_points(electronics: ElectronicsResult) -> Finding:
    """Judge what fails alone: a second computer that shares its battery, switch or self is none."""
    found = [point for point in electronics.single_points if point.part.kind not in BY_NATURE]
    alone = [point for point in electronics.single_points if point.part.kind in BY_NATURE]
    in_vain = any(
        point.part.kind in SHARED_IN_VAIN and len(_computers(electronics, canopy)) > 1
        for point in found
        for canopy in point.canopies
    )
    verdict = Verdict.NO_GO if in_vain else Verdict.CAUTION if found else Verdict.GO
    facts = {"points": _worth(found, electronics), "alone": _named(alone)}
    return SINGLE.holds(
        verdict,
        facts=facts,
        reasons=("in-vain",) if in_vain else (),
        fixes=(Fix(key="second-part"),),
    )


def _computers(electronics: ElectronicsResult, canopy: str) -> set[str]:
    return {power.path.computer for power in electronics.paths if power.path.canopy == canopy}


def _worth(points: list[SinglePoint], electronics: ElectronicsResult) -> tuple[FailsAlone, ...]:
    """Give each part with the odds of losing a canopy that a second one leaves, over those of today."""
    left = {(odds.canopy, one.part): one.ratio for odds in electronics.odds for one in odds.doublings}
    return tuple(
        FailsAlone(
            name=point.part.name,
            kind=point.part.kind.value,
            left=max(
                (left[at] for canopy in point.canopies if (at := (canopy, point.part)) in left), default=None
            ),
        )
        for point in points
    )


def _named(points: list[SinglePoint]) -> str:
    return ", ".join(point.part.name for point in points)
