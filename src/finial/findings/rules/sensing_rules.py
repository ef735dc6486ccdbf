"""Do the computers see lift-off, apogee and heights, or the wind over their holes?"""

import math
from collections.abc import Iterator

from finial.assemble.electronics.results import (
    BackupTimer,
    FeltLiftOff,
    FeltRange,
    FiredHeight,
    FirstMotion,
    NearMach,
    PortStudy,
    SensedTop,
    Sensing,
)
from finial.assemble.recovery.zipper import OFFSETS_S
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, exact
from finial.findings.finding import Amount, Facts, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened

PRACTICE = "common practice"
MOST_FALL_M = 5.0
"""Fall of a reading that a computer surely does not take for apogee [m]; assumed."""
LEAST_SHARE = 0.8
"""Of the set height that must be left when it fires [-]; assumed."""
MOST_UNEVEN = 0.15
"""How far holes may fail to average the wind out [-]: a drill's tenth of a millimetre; assumed."""
CARRIED_M_S2 = 2 * STANDARD_GRAVITY_M_S2
"""What hands, a rail that is raised and steps make it feel for as long as they like [m/s^2]; assumed."""
OVER_CAMPAIGN = "campaign"
"""Reason of what is judged over the flights of a kept campaign."""
QUIET_MACH = 0.7
"""Mach number from which on the pressure on a skin jumps [-]; common practice."""
SIZE = Rule(
    key="ports-size",
    stage="electronics",
    dimension=Dimension.AREA,
    source=f"{PRACTICE}: area by the volume behind it",
    safety=True,
)
USUAL_TIMES, MOST_TIMES = 4.0, 10.0
"""Area of all holes over that of the trade's rule [-]: beyond the first the wind over them is let in with no
gain, beyond the second nobody says what they read; a judgement of this project."""
LARGE = Rule(
    key="ports-large",
    stage="electronics",
    dimension=Dimension.AREA,
    source="a judgement of this project: four times the area that the volume behind it asks for, ten at most",
    safety=True,
)
ROOM = Rule(
    key="ports-room",
    stage="electronics",
    dimension=Dimension.VOLUME,
    source="the room that is drawn between the nearest bulkheads",
    safety=True,
)
BOX_SHARE = 0.2
"""Least share of the room between bulkheads that is taken for a box of the computers' own [-]; chosen."""
EVEN = Rule(
    key="ports-even",
    stage="electronics",
    dimension=Dimension.RATIO,
    source=f"{PRACTICE}: three holes or more, alike, evenly round; the limit assumed",
    safety=True,
)
AS_ONE_HOLE = 0.5
"""Uneven by more than this, holes read the wind as a single one does, or two opposite ones [-]; chosen."""
SMOOTH = Rule(
    key="ports-smooth",
    stage="electronics",
    dimension=Dimension.RATIO,
    source="reaches of steps, from memory, give or take half",
    safety=True,
)
RISES = Rule(
    key="barometer-rises",
    stage="electronics",
    dimension=Dimension.LENGTH,
    source="assumed: no computer takes so small a fall for apogee",
    safety=True,
)
BEHIND = Rule(
    key="ports-behind",
    stage="electronics",
    source=f"{PRACTICE}: static ports open into the computers' own room, sealed from every charge",
    safety=True,
)
HEIGHT = Rule(
    key="height-fired",
    stage="electronics",
    dimension=Dimension.LENGTH,
    source="assumed: four fifths of the set height",
    safety=True,
)
MOTION = Rule(
    key="first-motion",
    stage="electronics",
    dimension=Dimension.LENGTH,
    source="a gust of one and a half times the day's wind over the holes",
    safety=True,
)
LIFT_OFF_FELT = Rule(
    key="lift-off-felt",
    stage="electronics",
    dimension=Dimension.ACCELERATION,
    source="what the computer waits for, by the build sheet",
    safety=True,
)
LIFT_OFF_KNOCKED = Rule(
    key="lift-off-knocked",
    stage="electronics",
    dimension=Dimension.TIME,
    source="momentum of a drop of 0.2 m that springs back whole, at most 0.1 s; both assumed",
    safety=True,
)
LIFT_OFF_CARRIED = Rule(
    key="lift-off-carried",
    stage="electronics",
    dimension=Dimension.ACCELERATION,
    source="assumed: gravity, and as much again by hands and steps",
    safety=True,
)
TIMER = Rule(
    key="timer-after-top",
    stage="electronics",
    dimension=Dimension.TIME,
    source="tops of a kept campaign of this vehicle and day, else of the flight and its corners",
    safety=True,
)
MACH = Rule(
    key="mach-lockout",
    stage="electronics",
    dimension=Dimension.RATIO,
    source=f"{PRACTICE}: pressure on a skin jumps near the speed of sound",
    safety=True,
)


EARLY = Rule(
    key="top-early",
    stage="electronics",
    dimension=Dimension.TIME,
    source="as far ahead of the top as the separation is followed; judgement",
    safety=True,
)
LATE = Rule(
    key="top-late",
    stage="electronics",
    dimension=Dimension.TIME,
    source="as far behind the top as the separation is followed; judgement",
    safety=True,
)
FELT = Rule(
    key="accelerometer-range",
    stage="electronics",
    dimension=Dimension.ACCELERATION,
    source="what it reads at most, by the build sheet",
    safety=True,
)
DISAGREE = Rule(
    key="computers-disagree",
    stage="electronics",
    dimension=Dimension.TIME,
    source="the first to fire decides; each must be right by itself",
    safety=True,
)


def sensing_findings(sensing: Sensing) -> Iterator[Finding]:
    """Judge ports, heights, clocks, lift-off and the top of every computer."""
    for port in sensing.ports:
        yield from _port(port, sensing.lowest_top_m)
    yield from map(_fired, sensing.fired)
    yield from map(_first_motion, sensing.first_motion)
    for felt in sensing.felt_lift_off:
        yield from _felt_lift_off(felt)
    yield from map(_timer, sensing.timers)
    yield from (_mach(one, sensing.fastest_mach) for one in sensing.near_mach)
    yield from map(_felt, sensing.felt)
    for top in sensing.tops:
        yield from _top(top)
    yield _disagree(sensing.tops)


def _port(port: PortStudy, top_m: float | None) -> Iterator[Finding]:
    """Judge one set of holes: size, evenness, place, and whether its barometer rises up to the top.

    A reading that falls by more than the flight is high tells no more than that.
    """
    subject, facts = Subject(name=port.port), {"computers": ", ".join(port.computers)}
    if port.area is None or port.least_area_m2 is None:
        for rule in (SIZE, LARGE, ROOM, EVEN, SMOOTH, RISES):
            yield rule.holds(
                Verdict.NOT_KNOWN,
                limit="told",
                subject=subject,
                facts=facts,
                fixes=(Fix(key="enter"),),
                cause=f"ports: {port.port}",
            )
        return
    yield softened(
        SIZE.at_least(port.area, port.least_area_m2, subject=subject, facts=facts, fixes=(_larger(port),)),
        Verdict.CAUTION,
    )
    large = LARGE.at_most(
        port.area, USUAL_TIMES * port.least_area_m2, subject=subject, facts=facts, fixes=(Fix(key="smaller"),)
    )
    far = port.area.value > MOST_TIMES * port.least_area_m2
    yield softened(large, Verdict.NOT_KNOWN if far else Verdict.CAUTION)
    yield _room(port, subject)
    even = EVEN.at_most(_exactly(port.uneven), MOST_UNEVEN, subject=subject, fixes=(Fix(key="alike"),))
    one_sided = port.uneven is not None and port.uneven > AS_ONE_HOLE
    yield softened(even, Verdict.NOT_KNOWN if one_sided else Verdict.CAUTION)
    smooth = SMOOTH.at_least(_exactly(port.clear), 1.0, subject=subject, fixes=(Fix(key="move"),))
    yield softened(smooth, Verdict.CAUTION)
    behind = "bay" if port.opens_into else "shut" if port.is_shut else ""
    yield BEHIND.holds(
        Verdict.NO_GO if behind else Verdict.GO,
        subject=subject,
        facts={"bay": port.opens_into},
        reasons=(behind,) if behind else (),
        fixes=(Fix(key="beside-sled"),),
    )
    yield RISES.at_most(
        port.early_fall,
        MOST_FALL_M,
        subject=subject,
        facts={**_seen(port), **({"far": Amount(value=top_m, dimension=Dimension.LENGTH)} if top_m else {})},
        reasons=("seen",),
        fixes=(Fix(key="move"),),
    )


def _room(port: PortStudy, subject: Subject) -> Finding:
    """Judge the air said to be behind the holes by the room that is drawn there: no more, nor far less."""
    if port.air is None or port.room_m3 is None:
        return ROOM.holds(Verdict.NOT_KNOWN, subject=subject, limit="told", fixes=(Fix(key="measure"),))
    judged = ROOM.at_most(port.air, port.room_m3, subject=subject, fixes=(Fix(key="measure"),))
    if judged.verdict is not Verdict.GO:
        return softened(judged, Verdict.NOT_KNOWN)
    boxed = Fix(key="box", facts={"room": Amount(value=port.room_m3, dimension=Dimension.VOLUME)})
    small = ROOM.at_least(port.air, BOX_SHARE * port.room_m3, subject=subject, fixes=(boxed,))
    return softened(small, Verdict.CAUTION) if small.fails else judged


def _exactly(number: float | None) -> Estimate | None:
    return None if number is None else exact(number)


def _larger(port: PortStudy) -> Fix:
    """Holes of the size that the rule asks for, as many as there are."""
    holes = port.holes or 1
    across = 2 * ((port.least_area_m2 or 0.0) / holes / math.pi) ** 0.5
    return Fix(
        key="larger", facts={"holes": holes, "across": Amount(value=across, dimension=Dimension.LENGTH)}
    )


def _seen(port: PortStudy) -> Facts:
    coefficient = port.coefficient
    if coefficient is None or port.lag_m is None:
        return {}
    return {
        "low": f"{coefficient.low:.2f}",
        "high": f"{coefficient.high:.2f}",
        "lag": Amount(value=port.lag_m, dimension=Dimension.LENGTH),
    }


def _fired(fired: FiredHeight) -> Finding:
    facts: Facts = {"set": Amount(value=fired.set_m, dimension=Dimension.LENGTH)}
    return HEIGHT.at_least(
        fired.true,
        LEAST_SHARE * fired.set_m,
        subject=Subject(name=fired.igniter, case=fired.computer),
        facts=facts,
        fixes=(Fix(key="enter" if fired.true is None else "higher"),),
    )


def _first_motion(motion: FirstMotion) -> Finding:
    """Judge that a gust on the pad is no lift-off, and that a flight is one.

    Where an accelerometer sees the flight, the barometer need not.
    """
    subject = Subject(name=motion.computer)
    facts: Facts = {"top": Amount(value=motion.lowest_top_m, dimension=Dimension.LENGTH)}
    if motion.height.high >= motion.lowest_top_m and not motion.felt:
        never = motion.height.low >= motion.lowest_top_m
        return MOTION.holds(
            Verdict.NO_GO if never else Verdict.NOT_KNOWN,
            value=motion.height,
            limit="top",
            subject=subject,
            facts=facts,
            reasons=("never",),
            fixes=(Fix(key="enter"),),
        )
    return MOTION.at_least(
        motion.height, motion.gust_m, subject=subject, facts=facts, fixes=(Fix(key="enter"),)
    )


def _felt_lift_off(felt: FeltLiftOff) -> Iterator[Finding]:
    """Judge that every flight is a lift-off to an accelerometer, and that neither knocks nor hands are."""
    subject = Subject(name=felt.computer)
    held: Facts = {"held": Amount(value=felt.held.value, dimension=Dimension.TIME)}
    yield LIFT_OFF_FELT.at_least(
        felt.held_level, felt.asked_m_s2, subject=subject, facts=held, fixes=(Fix(key="lower"),)
    )
    if math.isinf(felt.longest_knock_s):
        yield LIFT_OFF_KNOCKED.holds(
            Verdict.NO_GO, limit="rest", subject=subject, fixes=(Fix(key="over-rest"),)
        )
    else:
        yield LIFT_OFF_KNOCKED.at_least(
            felt.held, felt.longest_knock_s, subject=subject, fixes=(Fix(key="longer"),)
        )
    yield LIFT_OFF_CARRIED.at_least(felt.over, CARRIED_M_S2, subject=subject, fixes=(Fix(key="higher"),))


def _timer(timer: BackupTimer) -> Finding:
    """Judge that a clock fires after the top of all flights, and say whose tops they are."""
    facts: Facts = {
        "earliest": Amount(value=timer.earliest_top_s, dimension=Dimension.TIME),
        "latest": Amount(value=timer.latest_top_s, dimension=Dimension.TIME),
        "flights": timer.campaign,
    }
    return TIMER.at_least(
        timer.after_top,
        0.0,
        subject=Subject(name=timer.igniter),
        facts=facts,
        reasons=(OVER_CAMPAIGN if timer.campaign else "corners",),
        fixes=(Fix(key="later"),),
    )


def _mach(near: NearMach, fastest: float) -> Finding:
    """Judge that a barometer is left aside where shocks pass over its holes; slower flights need none."""
    said = {True: "yes", False: "no", None: "not entered"}[near.locked_out]
    subject, facts = Subject(name=near.computer), {"said": said}
    if fastest >= QUIET_MACH and near.locked_out:
        return MACH.holds(Verdict.GO, value=exact(fastest), limit="locked", subject=subject, facts=facts)
    judged = MACH.at_most(exact(fastest), QUIET_MACH, subject=subject, facts=facts, fixes=(Fix(key="lock"),))
    unsaid = near.locked_out is None
    return softened(judged, Verdict.NOT_KNOWN) if unsaid else judged


def _felt(felt: FeltRange) -> Finding:
    """Judge that an accelerometer reads all that it feels; where it decides nothing, a caution is enough."""
    judged = FELT.at_most(
        felt.felt, felt.range_m_s2, subject=Subject(name=felt.computer), fixes=(Fix(key="wider"),)
    )
    return judged if felt.decides else softened(judged, Verdict.CAUTION)


def _top(top: SensedTop) -> Iterator[Finding]:
    """Judge that a computer fires neither far ahead of the top nor far behind it, by its accelerometer.

    Of a barometer that is judged by the fall of its reading before the top.
    """
    if not top.port:
        subject, fixes = Subject(name=top.computer), (Fix(key="accelerometer"),)
        yield EARLY.at_least(top.after_top, OFFSETS_S[0], subject=subject, fixes=fixes)
        yield LATE.at_most(top.after_top, OFFSETS_S[-1], subject=subject, fixes=fixes)


def _disagree(tops: tuple[SensedTop, ...]) -> Finding:
    """Judge the first of all computers that fire at the top: whatever the others say, its charge is gone."""
    moments = [one.after_top for one in tops if one.after_top is not None]
    if len(tops) < 2:
        return DISAGREE.holds(Verdict.GO, limit="one")
    if len(moments) < len(tops):
        return DISAGREE.holds(Verdict.NOT_KNOWN, limit="all", fixes=(Fix(key="enter"),))
    first = min(moments, key=lambda one: one.low)
    apart = max(one.high for one in moments) - first.low
    facts: Facts = {
        "first": next(one.computer for one in tops if one.after_top is first),
        "apart": Amount(value=apart, dimension=Dimension.TIME),
        "ports": tops[0].port,
    }
    shared = bool(tops[0].port) and len({one.port for one in tops}) == 1
    return DISAGREE.at_least(
        first,
        OFFSETS_S[0],
        facts=facts,
        reasons=("apart", "together") if shared else ("apart",),
        fixes=(Fix(key="own-sense" if shared else "first"),),
    )
