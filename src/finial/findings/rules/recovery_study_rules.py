"""What the closer look at the recovery comes to: packs, charges in time, cords, lips, collisions."""

from dataclasses import replace

from finial.assemble.recovery.pack_exit import best_of
from finial.assemble.recovery.records import (
    BurstStudy,
    ExitStudy,
    PulledCase,
    RecoveryStudy,
    Shot,
    TetherStudy,
)
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened
from finial.findings.rules.recovery_rules import GROUND_TEST

ON_TIME_S = 1.0
"""Events this close to their time count as on time [s]."""
NO_LIMIT = "no published limit exists for a cord on a lip: the model's own assumptions, or a pull test"


def study_findings(study: RecoveryStudy, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge everything that only the closer look knows."""
    findings = [_exit(one, us_units) for one in study.exits]
    for burst in study.bursts:
        findings += [_opens(shot) for shot in burst.shots if not _is_all(shot)]
        findings += [_wall(burst, limits, us_units), _joint(burst, us_units)]
    for tether in study.tethers:
        findings += [_cord(tether, limits, us_units), *_lip(tether), *_meeting(tether)]
    return findings


def _is_all(shot: Shot) -> bool:
    return shot.what.startswith("all ")


def _exit(study: ExitStudy, us_units: bool) -> Finding:
    way, over = best_of(study)
    held = f"{study.friction.low:.0f} to {study.friction.high:.0f} N"
    rule = Rule(
        subject="recovery",
        name=f"pack leaves {study.bay}, {way}",
        dimension=None,
        why=f"Friction of the squeezed pack, assumed, holds it with {held}.",
        source="assumed: 1 to 9 kPa of a hand-made pack on the wall, friction of cloth 0.15 to 0.5",
        safety=True,
    )
    fix = "Push the pack out with a scale and write down the force; pack it looser, dust the bay with talc."
    if over is study.push and not study.behind_told:
        fix = f"Say behind_pack = true if the charge does lie behind the pack, false if not. {fix}"
        judged = rule.at_least(over, 1.0, fix=fix, us_units=us_units)
        return replace(judged, verdict=max(judged.verdict, Verdict.CAUTION), fix=fix)
    return rule.at_least(over, 1.0, fix=fix, us_units=us_units)


def _opens(shot: Shot) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"{shot.what} parts the joint, followed in time",
        dimension=Dimension.SPEED,
        why=f"Slow burning, cold walls and a bay that swells all take from the charge. {GROUND_TEST}",
        source="the model's weak end: everything assumed at the end that hurts",
        safety=True,
    )
    verdict = Verdict.GO if shot.opens else Verdict.NOT_KNOWN if shot.speed.value > 0 else Verdict.NO_GO
    fix = f"A larger charge, fewer or weaker pins, a shorter shoulder; or enter the shoulder. {GROUND_TEST}"
    return rule.finding(verdict, "parts even at the weak end", fix, shot.speed)


def _wall(burst: BurstStudy, limits: Limits, us_units: bool) -> Finding:
    reserve = limits["reserve"]
    rule = Rule(
        subject="recovery",
        name=f"wall of {burst.bay} under all its charges at once",
        dimension=Dimension.PRESSURE,
        why="Two computers may fire in the same instant.",
        source=reserve.source,
        safety=True,
    )
    peak = max((shot.peak for shot in burst.shots), key=lambda peak: peak.high)
    if burst.wall_holds_pa is None:
        return rule.finding(
            Verdict.NOT_KNOWN,
            "wall and material of the bay",
            f"Enter wall and material of {burst.bay}.",
            peak,
        )
    fix = "A thicker or round tube, or charges whose sum it bears."
    return rule.at_most(peak, burst.wall_holds_pa.low / reserve.value, fix=fix, us_units=us_units)


def _joint(burst: BurstStudy, us_units: bool) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"force on the joint of {burst.bay} under all its charges at once",
        dimension=Dimension.FORCE,
        why="Bulkheads, eye bolts and glue see this force before the cord does.",
        source="common practice: 300 to 350 lbf as the most on large tubes",
        safety=True,
    )
    force = exact(burst.joint_peak_n, known_by=KnownBy.ASSUMED, method="largest force at the strong end")
    fix = "Smaller charges, or delay the backup by a second so that they cannot add."
    return softened(rule.at_most(force, burst.joint_cap_n, fix=fix, us_units=us_units), Verdict.CAUTION)


def _on_time(tether: TetherStudy) -> list[PulledCase]:
    return [*(case for case in tether.cases if abs(case.offset_s) <= ON_TIME_S), *tether.spread]


def _cord(tether: TetherStudy, limits: Limits, us_units: bool) -> Finding:
    reserve = limits["cord_reserve"]
    rule = Rule(
        subject="recovery",
        name=f"{tether.cord} through separation and opening, followed in time",
        dimension=Dimension.FORCE,
        why="A cord that breaks drops one half without a canopy.",
        source=reserve.source,
        safety=True,
    )
    peaks = [case.peak_n for case in _on_time(tether)]
    central = next(case.peak_n for case in tether.cases if case.offset_s == 0.0)
    pull = Estimate(
        value=central,
        low=min(peaks),
        high=max(peaks),
        known_by=KnownBy.ASSUMED,
        method="pieces on cords followed in time, events within a second, three winds, starts at their ends",
        source="Newton's laws; cord data as in the cord table",
    )
    fix = "A longer or stretchier cord, stronger webbing, or sewn ends instead of knots."
    return rule.at_most(pull, tether.strength.low / reserve.value, fix=fix, us_units=us_units)


def _lip(tether: TetherStudy) -> list[Finding]:
    if not tether.lip:
        rule = _lip_rule(tether, "on time")
        fix = "Enter wall and material of the bay, or of its lip."
        return [rule.finding(Verdict.NOT_KNOWN, "the lip's wall and material", fix)]
    late = _zipper(tether, [*tether.cases, *tether.spread], "3 s early to 5 s late")
    return [_zipper(tether, _on_time(tether), "on time"), softened(late, Verdict.CAUTION)]


def _lip_rule(tether: TetherStudy, when: str) -> Rule:
    return Rule(
        subject="recovery",
        name=f"{tether.cord} does not cut the tube, {when}",
        dimension=None,
        why="A cord pulled round the lip of an open tube slits it. The number is strength over pull.",
        source=NO_LIMIT,
        safety=False,
    )


def _zipper(tether: TetherStudy, cases: list[PulledCase], when: str) -> Finding:
    rule = _lip_rule(tether, when)
    low = 1 + min(case.margin_low for case in cases if case.margin_low is not None)
    central = 1 + min(case.margin for case in cases if case.margin is not None)
    known = KnownBy.MEASURED if tether.lip_tested else KnownBy.ASSUMED
    value = Estimate(
        value=central,
        low=min(low, central),
        high=max(2 * central - low, central),
        known_by=known,
        method="lip strength over tension, followed in time",
        source=NO_LIMIT,
    )
    best = tether.remedies[0].what if tether.remedies else ""
    pull = "" if tether.lip_tested else "Pull a cord over a lip of the same print and enter it as pull_test. "
    fix = f"{pull}What helps most here: {best}."
    if central < 1:
        verdict = Verdict.NO_GO
    elif low >= 1 and tether.lip_tested:
        verdict = Verdict.GO
    else:
        verdict = Verdict.NOT_KNOWN
    return rule.finding(verdict, "above 1 at the low end, with a pull test", fix, value, low - 1)


def _meeting(tether: TetherStudy) -> list[Finding]:
    if tether.meeting is None:
        return []
    rule = Rule(
        subject="recovery",
        name=f"the sides on {tether.cord} keep apart",
        dimension=Dimension.SPEED,
        why=f"They touch {tether.meeting.time_s:.1f} s after the charge, in the case {tether.meeting.case}.",
        source="common practice: pieces that fly back strike fins and shells",
    )
    closing = exact(tether.meeting.closing_m_s, known_by=KnownBy.ASSUMED, method="pieces followed in time")
    fix = "A longer cord, a cord that gives less back, or a smaller charge."
    return [rule.finding(Verdict.CAUTION, "no meeting after the cord is taut", fix, closing)]
