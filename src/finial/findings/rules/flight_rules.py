"""Does it leave the rail fast enough, and stay where it may?"""

from dataclasses import replace

from finial.assemble.flights.results import (
    UNHELD_RAD,
    CanopyOpening,
    Deployment,
    FlightResult,
    LeavingRail,
    Loss,
    LostFlight,
    ThrustLine,
    UnlitMotor,
)
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, exact
from finial.findings.causes import BALANCE
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

MAX_MACH = 0.9
FAR_PAST = 10.0
"""Limits past the limit: stands for what no number is past it [-]."""
METHODS_RANGE = Rule(key="methods-range", stage="flight")
LANDED = Rule(key="lands", stage="flight")
CORNERS = "the flights at the corners of thrust, mass, drag and wind"
LOST = Rule(key="lost-flight", stage="flight", source=CORNERS, safety=True, urgent=True)
BEFORE_BURNOUT = Rule(
    key="before-burnout",
    stage="flight",
    dimension=Dimension.TIME,
    source=CORNERS,
    safety=True,
    urgent=True,
)
GUIDE = Rule(key="guide", stage="flight", source="the build sheet", safety=True)
KEEPS_UP = Rule(
    key="air-keeps-up",
    stage="flight",
    dimension=Dimension.LENGTH,
    source="quasi-steady air: 63 mean chords of the fins (reduced frequency 0.05; Leishman, Principles of"
    " Helicopter Aerodynamics) and 20 widths of the body (Blevins, Flow-Induced Vibration), from memory",
    safety=True,
)
LARGEST_ANGLE = "the largest angle to the air off the rail, or kept to"
OPENS = Rule(
    key="opens-in-the-air",
    stage="flight",
    dimension=Dimension.LENGTH,
    source=CORNERS,
    safety=True,
)


def flight_findings(flight: FlightResult, limits: Limits, *, wind: Estimate) -> list[Finding]:
    """Judge what people fear first, then rail exit, thrust to weight, and the whole of the flight."""
    return [
        *_lost(flight.lost),
        *_before_burnout(flight.deployments),
        *_leaving(flight, limits, wind),
        *_straight(flight, limits),
        *_unlit(flight.unlit, limits),
        _thrust_to_weight(flight, limits),
        _mach(flight),
        _landed(flight),
        *(_opens(opening) for opening in flight.openings),
    ]


def _lost(lost: tuple[LostFlight, ...]) -> list[Finding]:
    """Name each way in which a computed flight went wrong, once; a sound vehicle has none."""
    if not lost:
        return [LOST.holds(Verdict.GO)]
    first = {one.loss: one for one in reversed(lost)}
    return [
        LOST.holds(
            Verdict.NO_GO if one.loss is not Loss.NOT_FOLLOWED else Verdict.NOT_KNOWN,
            subject=Subject(case=one.loss.value),
            facts={
                "time": Amount(value=one.time_s, dimension=Dimension.TIME),
                "flight": one.flight,
                "thrust": "under thrust" if one.under_thrust else "after burnout",
            },
            fixes=(Fix(key=_LOSS_FIX[one.loss]),),
        )
        for one in first.values()
    ]


_LOSS_FIX = {
    Loss.NEVER_LEFT: "more-thrust",
    Loss.TURNED_OVER: "straighten",
    Loss.EARLY_CANOPY: "later",
    Loss.GROUND_UNDER_THRUST: "straighten",
    Loss.NOT_FOLLOWED: "look",
}


def _before_burnout(deployments: tuple[Deployment, ...]) -> list[Finding]:
    """Judge that nothing comes out or fires while the motor burns."""
    early = [one for one in deployments if one.after_burnout is not None and one.after_burnout.low <= 0.0]
    if not early:
        return [BEFORE_BURNOUT.holds(Verdict.GO, subject=Subject(name="nothing"))]
    return [
        BEFORE_BURNOUT.at_least(
            one.after_burnout,
            0.0,
            subject=Subject(name=one.name),
            facts={"kind": one.kind.value},
            fixes=(Fix(key="later"),),
        )
        for one in early
    ]


def _leaving(flight: FlightResult, limits: Limits, wind: Estimate) -> list[Finding]:
    """Judge how it leaves the rail; without buttons in the sheet nothing of that is known."""
    rail, fixes = flight.rail, (Fix(key="faster"),)
    least, ratio = limits["rail_exit_speed"], limits["rail_exit_wind_ratio"]
    speed = _rail_rule("rail-exit-speed", Dimension.SPEED, least.source)
    angle = limits["rail_wind_angle"]
    by_wind = _rail_rule("rail-exit-wind", Dimension.SPEED, ratio.source)
    in_wind = _rail_rule("rail-exit-angle", Dimension.ANGLE, angle.source)
    found = [
        speed.at_least(flight.rail_exit_speed, least.value, fixes=fixes),
        softened(
            by_wind.at_least(flight.rail_exit_speed, ratio.value * wind.high, fixes=fixes), Verdict.CAUTION
        ),
        in_wind.at_most(rail.wind_angle if rail else None, angle.value, fixes=fixes),
    ]
    if not flight.has_guide:
        return [GUIDE.holds(Verdict.NOT_KNOWN, fixes=(Fix(key="enter"),)), *found]
    return found if rail is None else [*found, *_buttons(rail, limits)]


def _buttons(rail: LeavingRail, limits: Limits) -> list[Finding]:
    """Judge the buttons as it leaves: far enough apart for their play, and both on the rail for a while."""
    play, gap = limits["rail_play_angle"], limits["two_button_travel"]
    lean = _rail_rule("buttons-apart", Dimension.ANGLE, play.source)
    turn = limits["tip_off_angle"]
    tip_off = _rail_rule("tip-off", Dimension.ANGLE, turn.source)
    travel = Rule(key="rail-for-buttons", stage="flight", source=gap.source, safety=True)
    return [
        lean.at_most(rail.lean_by_play, play.value, fixes=(Fix(key="further-apart"),)),
        travel.at_least(exact(rail.two_button_travel), gap.value, fixes=(Fix(key="longer-rail"),)),
        tip_off.at_most(rail.turned, turn.value, fixes=(Fix(key="shorter-gap"),)),
    ]


def _rail_rule(key: str, dimension: Dimension, source: str) -> Rule:
    return Rule(key=key, stage="flight", dimension=dimension, source=source, safety=True)


_NO_SWING = ("no-swing",)
"""Why there is neither damping nor a pitch frequency: what lies behind it is the balance."""


def _straight(flight: FlightResult, limits: Limits) -> list[Finding]:
    """Judge thrust beside the balance point, and spin against the swing of the body."""
    held, spin = limits["thrust_held_angle"], limits["spin_ratio"]
    off_axis = _rail_rule("off-axis", Dimension.ANGLE, held.source)
    spinning = Rule(key="spin", stage="flight", source=spin.source, safety=True)
    line, turning = flight.thrust_line, flight.spinning
    facts = {"arm": Amount(value=line.arm, dimension=Dimension.LENGTH)} if line else {"arm": "not known"}
    angle, fixes = (line.held_angle if line else None), (_in_line(line, held.value),)
    return [
        _steady(flight, limits),
        _first(_unheld(off_axis.at_most(angle, held.value, facts=facts, fixes=fixes))),
        spinning.at_most(
            turning.ratio if turning else None,
            spin.value,
            fixes=(Fix(key="less-cant" if flight.swinging else "margin-first"),),
            reasons=_NO_SWING if flight.swinging is None else (),
            cause=BALANCE if flight.swinging is None else "",
        ),
        _swing(flight, limits),
        _keeps_up(flight),
        *_across(flight, limits),
    ]


def _in_line(line: ThrustLine | None, held_rad: float) -> Fix:
    """Ask for the margin where only the bad end is not held: no mass moved across helps there."""
    as_computed = line is not None and line.held_angle.value <= held_rad
    return Fix(key="margin-first" if as_computed else "balance")


def _unheld(finding: Finding) -> Finding:
    """Say that the air may hold it at no angle: how far that lies past a limit is no number."""
    if finding.value is None or finding.value.high < UNHELD_RAD:
        return finding
    return replace(finding, margin=-FAR_PAST, reasons=("unheld",))


def _first(finding: Finding) -> Finding:
    """Put thrust that the air does not hold even as computed before what only may be missed."""
    value, limit = finding.value, finding.bound.value
    past = value is not None and limit is not None and value.value > limit
    return replace(finding, urgent=finding.verdict is Verdict.NO_GO and past)


def _unlit(unlit: UnlitMotor | None, limits: Limits) -> list[Finding]:
    """Judge a cluster of which one motor does not light: a caution where the air holds it, else not flown."""
    if unlit is None:
        return []
    held = limits["thrust_held_angle"]
    rule = _rail_rule("cluster-lights", Dimension.ANGLE, held.source)
    facts = {
        "motor": f"{unlit.motor} {unlit.number}",
        "count": unlit.count,
        "arm": Amount(value=unlit.arm_m, dimension=Dimension.LENGTH),
    }
    finding = _unheld(
        rule.at_most(unlit.held_angle, held.value, facts=facts, fixes=(Fix(key="nearer-together"),))
    )
    if finding.verdict is not Verdict.GO:
        return [finding]
    return [replace(finding, verdict=Verdict.CAUTION, fixes=(Fix(key="test-igniters"),))]


def _swing(flight: FlightResult, limits: Limits) -> Finding:
    """Judge how fast swings die out: little damping is a caution, none is not flown."""
    least, swinging = limits["damping_ratio"], flight.swinging
    rule = Rule(key="swing", stage="flight", source=least.source, safety=True)
    wave = Amount(value=swinging.wavelength, dimension=Dimension.LENGTH) if swinging else "not known"
    ratio = swinging.damping_ratio if swinging else None
    finding = rule.at_least(
        ratio,
        least.value,
        facts={"wave": wave},
        fixes=(Fix(key="more-fin" if swinging else "margin-first"),),
        reasons=("back",) if swinging else _NO_SWING,
        cause="" if swinging else BALANCE,
    )
    return softened(finding, Verdict.CAUTION) if ratio and ratio.low > 0.0 else finding


def _keeps_up(flight: FlightResult) -> Finding:
    """Judge whether swings are long enough for computed loads and damping to hold: shorter is a caution."""
    swinging, chord = flight.swinging, flight.longest_chord_m
    finding = KEEPS_UP.at_least(
        swinging.wavelength if swinging else None,
        flight.least_wavelength_m,
        facts={"chord": Amount(value=chord, dimension=Dimension.LENGTH)},
        fixes=(Fix(key="slower-swing" if swinging else "margin-first"),),
        reasons=("by-fins" if chord else "by-body",) if swinging else _NO_SWING,
        cause="" if swinging else BALANCE,
    )
    return softened(finding, Verdict.CAUTION)


def _across(flight: FlightResult, limits: Limits) -> list[Finding]:
    """Judge what an angle to the air may start that no computed flight shows."""
    usual, largest, fixes = limits["rail_wind_angle"], _largest_angle(flight), (Fix(key="faster"),)
    gallop, aside = (_rail_rule(key, Dimension.ANGLE, LARGEST_ANGLE) for key in ("gallop", "lopsided"))
    if largest is None:
        return [rule.at_least(None, usual.value, fixes=fixes) for rule in (gallop, aside)]
    galloping = gallop.at_least(flight.galloping_angle, largest, fixes=fixes)
    pushed = aside.at_least(flight.lopsided_angle, largest, fixes=fixes)
    return [
        galloping if _keeps_to(flight, flight.galloping_angle) else softened(galloping, Verdict.CAUTION),
        softened(pushed, Verdict.CAUTION) if flight.lopsided_angle.value >= largest else pushed,
    ]


def _largest_angle(flight: FlightResult) -> float | None:
    """Largest angle to the air that is reckoned with: off the rail, or kept to."""
    if flight.rail is None or flight.steady_angle is None:
        return None
    return max(flight.rail.wind_angle.high, flight.steady_angle.high)


def _keeps_to(flight: FlightResult, angle: Estimate | None) -> bool:
    """Whether it may keep to such an angle, and not only pass through it off the rail."""
    return angle is not None and flight.steady_angle is not None and flight.steady_angle.high > angle.low


def _steady(flight: FlightResult, limits: Limits) -> Finding:
    """Judge the angle it keeps to: a lean of the whole flight is a caution, one near stall is not flown."""
    lean, stall = limits["trim_angle"], limits["thrust_held_angle"]
    rule = _rail_rule("steady-angle", Dimension.ANGLE, lean.source)
    finding = rule.at_most(flight.steady_angle, lean.value, fixes=(Fix(key="straighten"),))
    if flight.steady_angle is not None and flight.steady_angle.high <= stall.value:
        return softened(finding, Verdict.CAUTION)
    return finding


def _thrust_to_weight(flight: FlightResult, limits: Limits) -> Finding:
    usual, floor = limits["thrust_to_weight"], limits["thrust_to_weight_floor"]
    rule = Rule(key="thrust-to-weight", stage="flight", source=floor.source, safety=True)
    facts, fixes = {"usual": f"{usual.value:g}"}, (Fix(key="more-thrust"),)
    ratio = flight.thrust_to_weight
    under = rule.at_least(ratio, floor.value, reasons=("usual",), facts=facts, fixes=fixes)
    if under.fails:
        return under
    above = replace(rule, source=usual.source).at_least(ratio, usual.value, facts=facts, fixes=fixes)
    return softened(above, Verdict.CAUTION)


def _mach(flight: FlightResult) -> Finding:
    verdict = Verdict.GO if flight.max_mach < MAX_MACH else Verdict.NOT_KNOWN
    return METHODS_RANGE.holds(verdict, facts={"mach": f"{MAX_MACH}"}, fixes=(Fix(key="slower"),))


def _landed(flight: FlightResult) -> Finding:
    ended = flight.trace.ended
    fix = Fix(key="stopped", facts={"ended": ended})
    return LANDED.holds(Verdict.GO if flight.trace.landed else Verdict.NOT_KNOWN, fixes=(fix,))


def _opens(opening: CanopyOpening) -> Finding:
    """Judge whether a canopy stands open before the ground in every flight that was computed."""
    verdict = Verdict.NO_GO if opening.height_agl is None else Verdict.GO
    subject = Subject(name=opening.canopy)
    return OPENS.holds(verdict, value=opening.height_agl, subject=subject, fixes=(Fix(key="earlier"),))
