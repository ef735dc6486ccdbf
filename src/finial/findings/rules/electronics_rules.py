"""Will the current get to the igniter, and what fails alone?"""

from finial.assemble.electronics import ContinuityCheck, ElectronicsResult, FiringPath
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.electronics.firing import continuity_limit
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule

SINGLE = Rule(
    key="single-points",
    stage="electronics",
    source="fault-tree practice: cut sets of size one",
    safety=True,
)
OWN_EVENT = Rule(key="own-event", stage="electronics", source="the build sheet", safety=True)


def electronics_findings(
    electronics: ElectronicsResult, limits: Limits, *, wait: Estimate | None
) -> list[Finding]:
    """Judge firing currents, continuity checks, pad time and redundancy."""
    findings = [_current(path, limits) for path in electronics.paths]
    findings += [_continuity(one, limits) for one in electronics.checks]
    findings += [_pad_time(name, lasting, limits, wait) for name, lasting in electronics.pad_times]
    return [*findings, _single_points(electronics), _events(electronics)]


def _current(path: FiringPath, limits: Limits) -> Finding:
    ratio, subject = limits["firing_current_ratio"], Subject(name=path.igniter)
    rule = Rule(
        key="firing-current",
        stage="electronics",
        dimension=Dimension.CURRENT,
        source=ratio.source,
        safety=True,
    )
    if path.all_fire_a is None:
        fixes = (Fix(key="enter-all-fire"),)
        return rule.holds(Verdict.NOT_KNOWN, value=path.current, subject=subject, fixes=fixes)
    needed = ratio.value * path.all_fire_a
    return rule.at_least(path.current, needed, subject=subject, fixes=(Fix(key="more-current"),))


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


def _pad_time(battery: str, lasting: Estimate | None, limits: Limits, wait: Estimate | None) -> Finding:
    ratio, subject = limits["pad_time_ratio"], Subject(name=battery)
    rule = Rule(key="pad-time", stage="electronics", dimension=Dimension.TIME, source=ratio.source)
    if wait is None or lasting is None:
        fix = Fix(key="enter-wait" if wait is None else "enter-capacity")
        return rule.holds(Verdict.NOT_KNOWN, value=lasting, subject=subject, fixes=(fix,))
    return rule.at_least(lasting, ratio.value * wait.high, subject=subject, fixes=(Fix(key="larger"),))


def _single_points(electronics: ElectronicsResult) -> Finding:
    points = electronics.single_points
    fix = Fix(key="second-part", facts={"points": "; ".join(points)})
    return SINGLE.holds(Verdict.CAUTION if points else Verdict.GO, fixes=(fix,))


def _events(electronics: ElectronicsResult) -> Finding:
    off = electronics.off_event
    fix = Fix(key="set-event", facts={"canopies": ", ".join(off)})
    return OWN_EVENT.holds(Verdict.NO_GO if off else Verdict.GO, fixes=(fix,))
