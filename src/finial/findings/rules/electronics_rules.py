"""Will the current get to the igniter, and what fails alone?"""

from finial.assemble.electronics import ContinuityCheck, ElectronicsResult, FiringPath
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.electronics.firing import continuity_limit
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule

SINGLE = Rule(
    subject="electronics",
    name="single points of failure",
    dimension=None,
    why="One part that fails alone and keeps a canopy in its bay is a ballistic landing.",
    source="fault-tree practice: cut sets of size one",
    safety=True,
)


def electronics_findings(
    electronics: ElectronicsResult, limits: Limits, *, wait: Estimate | None, us_units: bool
) -> list[Finding]:
    """Judge firing currents, continuity checks, pad time and redundancy."""
    findings = [_current(path, limits, us_units) for path in electronics.paths]
    findings += [_continuity(one, limits, us_units) for one in electronics.checks]
    findings += [_pad_time(name, lasting, limits, wait, us_units) for name, lasting in electronics.pad_times]
    return [*findings, _single_points(electronics), _events(electronics)]


def _current(path: FiringPath, limits: Limits, us_units: bool) -> Finding:
    ratio = limits["firing_current_ratio"]
    rule = Rule(
        subject="electronics",
        name=f"firing current of {path.igniter}",
        dimension=Dimension.CURRENT,
        why="An igniter that gets barely enough current may not fire on a cold day.",
        source=ratio.source,
        safety=True,
    )
    if path.all_fire_a is None:
        return rule.finding(
            Verdict.NOT_KNOWN,
            "twice the all-fire current, which the sheet does not give",
            f"Enter all_fire of {path.igniter} from its data sheet.",
            path.current,
        )
    needed = ratio.value * path.all_fire_a
    fix = (
        f"A battery with less inner resistance or more voltage, or shorter, thicker wires to {path.igniter}."
    )
    return rule.at_least(path.current, needed, fix=fix, us_units=us_units)


def _continuity(one: ContinuityCheck, limits: Limits, us_units: bool) -> Finding:
    share = limits["continuity_over_no_fire"]
    rule = Rule(
        subject="electronics",
        name=f"continuity current of {one.igniter}",
        dimension=Dimension.CURRENT,
        why="A check that passes too much current fires the charge, with people beside it.",
        source=share.source,
        safety=True,
    )
    if one.no_fire_a is None or one.current is None:
        missing = [f"no_fire of {one.igniter}"] if one.no_fire_a is None else []
        missing += [f"continuity_current of {one.computer}"] if one.current is None else []
        fix = f"Enter {' and '.join(missing)}, as the data sheet says."
        return rule.finding(
            Verdict.NOT_KNOWN, f"{100 * share.value:.0f} % of the no-fire current", fix, one.current
        )
    fix = f"An igniter that takes more, or a computer that checks with less than {one.computer}."
    most = continuity_limit(one.no_fire_a, share.value)
    return rule.at_most(one.current, most, fix=fix, us_units=us_units)


def _pad_time(
    battery: str, lasting: Estimate | None, limits: Limits, wait: Estimate | None, us_units: bool
) -> Finding:
    ratio = limits["pad_time_ratio"]
    rule = Rule(
        subject="electronics",
        name=f"pad time of {battery}",
        dimension=Dimension.TIME,
        why="A battery that runs down on the pad takes the recovery with it.",
        source=ratio.source,
    )
    if wait is None or lasting is None:
        missing = (
            "launch.wait_on_pad"
            if wait is None
            else f"capacity of {battery} and the computers' current_on_pad"
        )
        return rule.finding(Verdict.NOT_KNOWN, "twice the planned wait", f"Enter {missing}.", lasting)
    fix = "A larger battery, or arm later."
    return rule.at_least(lasting, ratio.value * wait.high, fix=fix, us_units=us_units)


def _single_points(electronics: ElectronicsResult) -> Finding:
    points = electronics.single_points
    if not points:
        return SINGLE.finding(Verdict.GO, "none")
    fix = "Give the second path its own part. Alone: " + "; ".join(points) + "."
    return SINGLE.finding(Verdict.CAUTION, "none", fix)


def _events(electronics: ElectronicsResult) -> Finding:
    rule = Rule(
        subject="electronics",
        name="canopies fired at their own event",
        dimension=None,
        why="A canopy let out at another event than planned opens at the wrong speed or height.",
        source="the build sheet",
        safety=True,
    )
    off = electronics.off_event
    verdict = Verdict.NO_GO if off else Verdict.GO
    return rule.finding(
        verdict, "each canopy's own event", f"Set the igniter's event to that of {', '.join(off)}."
    )
