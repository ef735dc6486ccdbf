"""What the closer look at the recovery comes to: packs, charges in time, cords, lips, collisions."""

from dataclasses import replace

from finial.assemble.recovery.pack_exit import best_of
from finial.assemble.recovery.records import (
    BurstStudy,
    ExitStudy,
    PulledCase,
    RecoveryStudy,
    Remedy,
    RemedyKind,
    Shot,
    TetherStudy,
)
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Amount, Facts, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

NO_CHANGE = frozenset({RemedyKind.AS_BUILT})
"""What is among the remedies only to be compared with."""
ON_TIME, EARLY_OR_LATE = "on-time", "early-or-late"
NO_LIMIT = "no published limit exists for a cord on a lip: the model's own assumptions, or a pull test"


OPENS = Rule(
    key="charge-parts-joint",
    stage="recovery",
    dimension=Dimension.SPEED,
    source="the model's weak end: everything assumed at the end that hurts",
    safety=True,
)
EXIT = Rule(
    key="pack-exit",
    stage="recovery",
    source="assumed: a hand-made pack presses the wall by up to nine times the least; friction 0.15 to 0.5",
    safety=True,
)
JOINT = Rule(
    key="joint-force",
    stage="recovery",
    dimension=Dimension.FORCE,
    source="common practice: the low end of what is the most on large tubes",
    safety=True,
)
LIP = Rule(key="lip-holds", stage="recovery", source=NO_LIMIT)
MEETING = Rule(
    key="sides-keep-apart",
    stage="recovery",
    dimension=Dimension.SPEED,
    source="common practice: pieces that fly back strike fins and shells",
)


def study_findings(study: RecoveryStudy, limits: Limits) -> list[Finding]:
    """Judge everything that only the closer look knows."""
    findings = [_exit(one) for one in study.exits]
    for burst in study.bursts:
        findings += [_opens(shot) for shot in burst.shots if shot.charge]
        findings.append(_joint(burst))
    for tether in study.tethers:
        findings += [_cord(tether, study.late_s, limits), *_lip(tether, study.late_s), _meeting(tether)]
    return findings


def _exit(study: ExitStudy) -> Finding:
    way, over = best_of(study)
    held = Amount(value=study.friction, dimension=Dimension.FORCE)
    untold = over is study.push and not study.behind_told
    fixes = (*((Fix(key="say-behind"),) if untold else ()), Fix(key="push-out"))
    judged = EXIT.at_least(
        over, 1.0, subject=Subject(name=study.bay, case=way), facts={"held": held}, fixes=fixes
    )
    if untold:
        return replace(judged, verdict=max(judged.verdict, Verdict.CAUTION), fixes=fixes)
    return judged


def _opens(shot: Shot) -> Finding:
    verdict = Verdict.GO if shot.opens else Verdict.NOT_KNOWN if shot.speed.value > 0 else Verdict.NO_GO
    fixes = (Fix(key="more-push"),)
    return OPENS.holds(verdict, value=shot.speed, subject=Subject(name=shot.charge), fixes=fixes)


def _joint(burst: BurstStudy) -> Finding:
    force = exact(burst.joint_peak_n, known_by=KnownBy.ASSUMED, method="largest force at the strong end")
    share = int(100 * burst.joint_cap_n / burst.joint_peak_n) if burst.joint_peak_n > 0 else 100
    fixes = (Fix(key="smaller", facts={"share": share}),)
    judged = JOINT.at_most(force, burst.joint_cap_n, subject=Subject(name=burst.bay), fixes=fixes)
    return softened(judged, Verdict.CAUTION)


def _on_time(tether: TetherStudy, late_s: float) -> list[PulledCase]:
    """Return the cases that count as on time: as late as the sheet lets an event come."""
    return [*(case for case in tether.cases if abs(case.offset_s) <= late_s), *tether.spread]


def _cord(tether: TetherStudy, late_s: float, limits: Limits) -> Finding:
    reserve = limits["cord_reserve"]
    rule = Rule(
        key="cord-in-time",
        stage="recovery",
        dimension=Dimension.FORCE,
        source=reserve.source,
        safety=True,
    )
    peaks = [case.peak_n for case in _on_time(tether, late_s)]
    central = next(case.peak_n for case in tether.cases if case.offset_s == 0.0)
    pull = Estimate(
        value=central,
        low=min(peaks),
        high=max(peaks),
        known_by=KnownBy.ASSUMED,
        method="cords followed in time, events as late as they may come, three winds, starts at their ends",
        source="Newton's laws; cord data as in the cord table",
    )
    most = tether.strength.low / reserve.value
    held = Amount(value=reserve.value * max(peaks), dimension=Dimension.FORCE)
    fixes = (Fix(key="stronger-cord", facts={"held": held}),)
    return rule.at_most(pull, most, subject=Subject(name=tether.cord), fixes=fixes)


def _lip(tether: TetherStudy, late_s: float) -> list[Finding]:
    if tether.lip is None:
        subject = Subject(name=tether.cord, case=ON_TIME)
        return [LIP.holds(Verdict.NOT_KNOWN, limit="wall", subject=subject, fixes=(Fix(key="enter"),))]
    late = _zipper(tether, [*tether.cases, *tether.spread], EARLY_OR_LATE)
    return [_zipper(tether, _on_time(tether, late_s), ON_TIME), softened(late, Verdict.CAUTION)]


def _zipper(tether: TetherStudy, cases: list[PulledCase], when: str) -> Finding:
    low = 1 + min(case.margin_low for case in cases if case.margin_low is not None)
    central = 1 + min(case.margin for case in cases if case.margin is not None)
    tested = tether.lip is not None and tether.lip.tested
    known = KnownBy.MEASURED if tested else KnownBy.ASSUMED
    value = Estimate(
        value=central,
        low=min(low, central),
        high=max(2 * central - low, central),
        known_by=known,
        method="lip strength over tension, followed in time",
        source=NO_LIMIT,
    )
    best = next((one for one in tether.remedies if one.kind not in NO_CHANGE), None)
    fixes = (
        *(() if tested else (Fix(key="pull-test"),)),
        *((_remedy(tether, best),) if best else ()),
    )
    if central < 1:
        verdict = Verdict.NO_GO
    elif low >= 1 and tested:
        verdict = Verdict.GO
    else:
        verdict = Verdict.NOT_KNOWN
    subject = Subject(name=tether.cord, case=when)
    return LIP.holds(verdict, value=value, margin=low - 1, subject=subject, fixes=fixes)


def _remedy(tether: TetherStudy, best: Remedy) -> Fix:
    """Advise what helped most of all that was tried, and where the sheet has a place for it, the change."""
    changes = {
        RemedyKind.LONGER_CORD: {f"recovery.cord.{tether.cord}.length": f"{best.size:.1f} m"},
        RemedyKind.SOFTER_CORD: {f"recovery.cord.{tether.cord}.stretch_at_break": f"{100 * best.size:.0f} %"},
        RemedyKind.SLIDER: {f"recovery.canopy.{tether.canopy}.reefing": "slider"},
        RemedyKind.WIDE_WEBBING: {f"recovery.cord.{tether.cord}.width": f"{1000 * best.size:.0f} mm"},
    }
    size = Amount(value=best.size, dimension=Dimension.LENGTH)
    facts: Facts = {"size": size, "share": round(100 * best.size), "canopy": tether.canopy}
    return Fix(key=best.kind, facts=facts, changes=changes.get(best.kind, {}))


def _meeting(tether: TetherStudy) -> Finding:
    """Judge that the two sides do not fly into each other once the cord has come taut."""
    meeting = tether.meeting
    if meeting is None:
        return MEETING.holds(Verdict.GO, subject=Subject(name=tether.cord))
    closing = exact(meeting.closing_m_s, known_by=KnownBy.ASSUMED, method="pieces followed in time")
    return MEETING.holds(
        Verdict.CAUTION,
        value=closing,
        subject=Subject(name=tether.cord, case=meeting.wind),
        facts={
            "time": Amount(value=meeting.time_s, dimension=Dimension.TIME),
            "late": Amount(value=meeting.offset_s, dimension=Dimension.TIME),
        },
        reasons=("meet",),
        fixes=(Fix(key="longer-cord"),),
    )
