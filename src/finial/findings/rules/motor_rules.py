"""Is it one motor, does its curve give what its maker claims, and does it fit the mount of the sheet?"""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.motor_data import MotorData
from finial.files.sheet_motor import MotorMountEntry
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened
from finial.motors.claims import Claims, claim_checks
from finial.motors.curve import total_impulse
from finial.motors.motor import Motor

GIVES = Rule(
    key="motor-gives",
    stage="flight",
    dimension=Dimension.TIME,
    source="specific impulse of solid motors at sea level, black powder 80 s to composites of 250 s; from"
    " memory of Sutton and Biblarz, Rocket Propulsion Elements, not re-read",
    safety=True,
)
POOREST_S, BEST_S = 60.0, 290.0
"""Impulse over the weight of the propellant [s]: outside with room to spare, no solid or hybrid motor is."""
WEIGHS = Rule(
    key="motor-weighs",
    stage="flight",
    dimension=Dimension.DENSITY,
    source="common practice: propellant in aluminium, with room between",
    safety=True,
)
DENSEST_KG_M3 = 2700.0
"""A motor denser than solid aluminium is a slip [kg/m^3]."""
CLAIMED = Rule(
    key="motor-claims",
    stage="flight",
    source="common practice: impulse within 5 %, average thrust and burn time within 10 % of the claimed",
    safety=True,
)
SLIDES_IN = 1.001
"""A motor of the mount's own size to three digits slides in [-]."""
BURNS_ONCE = Rule(
    key="burns-once",
    stage="flight",
    source="a judgement of this project, no source: what goes out and lights again is no motor to fly",
    safety=True,
    urgent=True,
)
GONE_SHARE, BACK_SHARE = 0.1, 0.25
"""Shares of the most thrust below which it is gone, and above which it is back [-]; a judgement of this
project: a boost and a long sustain behind it stay above the first or below the second."""
LIFTS_SOON = Rule(
    key="lifts-soon",
    stage="flight",
    dimension=Dimension.TIME,
    source="common practice: a motor takes tenths of a second to its thrust; later it hangs fire on the pad",
    safety=True,
    urgent=True,
)
LATEST_LIFT_S = 0.5
"""Time from the first thrust to that of the weight beyond which nobody flies it [s]."""
MISFIT = Rule(key="motor-misfit", stage="shape", dimension=Dimension.LENGTH)


IN_STEP = Rule(
    key="cluster-in-step",
    stage="flight",
    dimension=Dimension.LENGTH,
    source="a judgement of this project, no source: the flight takes the line of thrust as it is on average",
    safety=True,
)
MOST_WANDER_M = 5e-3
"""How far the line of a cluster's thrust may stray while it burns [m]."""


def motor_findings(motors: Sequence[Motor], *, wander_m: float) -> list[Finding]:
    """Judge each kind of motor once, by impulse and by mass, and whether a cluster keeps its line."""
    kinds = {motor.name: motor for motor in motors}
    judged = [judge(motor) for motor in kinds.values() for judge in (_gives, _weighs)]
    return [*judged, _in_step(wander_m)] if len(motors) > 1 else judged


def burn_findings(motor: Motor, *, weight_n: float) -> list[Finding]:
    """Judge that all motors together lift the vehicle soon after they light, and burn once."""
    return [_burns_once(motor), _lifts_soon(motor, weight_n)]


# A motor stays the same whatever the vehicle round it becomes.
@kept(16)
def _burns_once(motor: Motor) -> Finding:
    """Judge that thrust which has gone stays gone: what goes out and lights again pushes nobody knows how."""
    shares = motor.thrusts_n / motor.thrusts_n.max()
    rose = np.maximum.accumulate(shares)
    later = np.maximum.accumulate(shares[::-1])[::-1]
    gone = (shares < GONE_SHARE) & (rose > BACK_SHARE) & (later > BACK_SHARE)
    subject = Subject(name=motor.name)
    if not gone.any():
        return BURNS_ONCE.holds(Verdict.GO, subject=subject)
    at = float(motor.times_s[int(np.argmax(gone))])
    facts = {"time": Amount(value=at, dimension=Dimension.TIME)}
    return BURNS_ONCE.holds(Verdict.NO_GO, subject=subject, facts=facts, fixes=(Fix(key="other"),))


def _lifts_soon(motor: Motor, weight_n: float) -> Finding:
    """Judge how long after its first thrust the motor stands on the pad with less than the weight."""
    lifts = motor.thrusts_n > weight_n
    subject, fixes = Subject(name=motor.name), (Fix(key="other"),)
    if not lifts.any():
        return LIFTS_SOON.holds(Verdict.NO_GO, limit="never", subject=subject, fixes=fixes)
    after, before = int(np.argmax(lifts)), max(int(np.argmax(lifts)) - 1, 0)
    ends = [float(motor.thrusts_n[one]) for one in (before, after)]
    share = (weight_n - ends[0]) / (ends[1] - ends[0]) if ends[1] > ends[0] else 0.0
    times = motor.times_s
    waits = float(times[before] + max(share, 0.0) * (times[after] - times[before]) - times[0])
    return LIFTS_SOON.at_most(exact(waits), LATEST_LIFT_S, subject=subject, fixes=fixes)


def _in_step(wander_m: float) -> Finding:
    """Judge that motors beside the axis push together: what strays was not flown."""
    judged = IN_STEP.at_most(exact(wander_m), MOST_WANDER_M, fixes=(Fix(key="in-step"),))
    return softened(judged, Verdict.NOT_KNOWN)


def said_of_motors(mount: MotorMountEntry, motors: Sequence[tuple[Motor, MotorData]]) -> list[Finding]:
    """Judge each kind of motor once by what its maker claims, and by what the sheet says fits the mount."""
    kinds = {motor.name: (motor, claims_of(data)) for motor, data in motors}
    return [
        finding
        for motor, claims in kinds.values()
        for finding in (
            _claimed(motor, claims),
            *mount_findings(mount, motor.name, (motor.diameter_m, motor.length_m)),
        )
    ]


def claims_of(data: MotorData) -> Claims:
    """Return what the data of a motor claim."""
    return Claims(
        impulse_n_s=data.claimed_impulse.value if data.claimed_impulse else None,
        average_thrust_n=data.claimed_average_thrust.value if data.claimed_average_thrust else None,
        burn_time_s=data.claimed_burn_time.value if data.claimed_burn_time else None,
        letter=data.claimed_letter,
    )


def mount_findings(mount: MotorMountEntry, name: str, size_m: tuple[float, float]) -> Iterator[Finding]:
    """Judge a motor's diameter and length [m] by the thickest and the longest that the sheet says fit."""
    given = ((size_m[0], mount.takes, SLIDES_IN, "diameter"), (size_m[1], mount.room, 1.0, "length"))
    for size, most, play, case in given:
        if most is not None:
            subject, fixes = Subject(name=name, case=case), (Fix(key="other"),)
            yield MISFIT.at_most(exact(size), most.value * play, subject=subject, fixes=fixes)


@kept(16)
def _claimed(motor: Motor, claims: Claims) -> Finding:
    """Hold a curve against what its maker claims; which of the two is wrong, nobody knows."""
    differ = [check for check in claim_checks(motor, claims) if not check.agrees]
    if not differ:
        return CLAIMED.holds(Verdict.GO, subject=Subject(name=motor.name))
    subject = Subject(name=motor.name, case=differ[0].what)
    facts = {"claimed": str(differ[0].claimed), "found": _short(differ[0].found)}
    return CLAIMED.holds(Verdict.NOT_KNOWN, subject=subject, facts=facts, fixes=(Fix(key="look"),))


def _short(found: float | str) -> str:
    return found if isinstance(found, str) else f"{found:.3g}"


@kept(16)
def _gives(motor: Motor) -> Finding:
    weight_n = motor.propellant_mass_kg * STANDARD_GRAVITY_M_S2
    found = exact(total_impulse(motor) / weight_n, known_by=KnownBy.HANDBOOK)
    judge, limit = (GIVES.at_least, POOREST_S) if found.value < POOREST_S else (GIVES.at_most, BEST_S)
    judged = judge(found, limit, subject=Subject(name=motor.name), fixes=(Fix(key="look"),))
    return softened(judged, Verdict.NOT_KNOWN)


@kept(16)
def _weighs(motor: Motor) -> Finding:
    volume_m3 = math.pi / 4 * motor.diameter_m**2 * motor.length_m
    found = exact(motor.loaded_mass_kg / volume_m3, known_by=KnownBy.HANDBOOK)
    judged = WEIGHS.at_most(found, DENSEST_KG_M3, subject=Subject(name=motor.name), fixes=(Fix(key="look"),))
    return softened(judged, Verdict.NOT_KNOWN)
