"""What is built in holds, closes and weighs what it must."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.inside.results import BayEnd, Elsewhere, Fittings, ItemDensity, MotorHold, TubeCover
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, exact
from finial.core.kept_parts import kept
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened

STAGE = "inside"
PRACTICE, DRAWN = "common practice", "the sheet and the meshes as drawn"
HELD_SHARE = 0.5
"""Least share of a motor's length that its tube holds [-]; common practice."""
PLAY_M = 3e-3
"""How much wider than its motor a tube may be [m]; common practice: tape fills one to two millimetres."""
EVEN_M = 1e-6
"""Tube and motor of one size by name slide: makers leave the room [m]."""
LEDGE_M = 6e-3
"""How much wider than the motor the hole of a thrust plate may be [m]: the motor's aft ring is wider than
the motor by about so much; a judgement of this project."""
MEETS_M = 2e-3
"""How far ahead of its plate's aft face the end of a motor that pushes on it may be [m]: play of what is
measured by hand; a judgement of this project."""
RING_M = 25e-3
"""How far behind that face it may be [m]: rings and nozzles stand out by as much; common practice."""
OPEN_SHARE = 0.06
"""Share of a bay's end that may stay open [-]: play round a bulkhead of 1.5 %; common practice."""
COVER_SHARE = 0.8
"""Least share of a bay that the tube called its wall covers [-]; a judgement of this project."""
WALL_SHARE = 0.25
"""How far the wall that a bay is said to have may be off that of its tube [-]; a judgement of this project:
two sizes of one thing, measured by hand."""
STANDOFF_M = 0.1
"""Longest standoff of a rail button [m]; a judgement of this project: longer ones bend and twist."""
HEAVIEST_KG_M3 = 11700.0
"""Lead and solder with tolerance [kg/m^3]; handbook density of lead 11 340, from memory."""
DENSITY_SHARE = {True: 0.3, False: 1.0}
"""How far an item may be denser than its named material, or than the densest of its kind [-]; common
practice: eye bolts, glue and screws count with it."""
FAR_TIMES = 2.0
"""How many times denser than lead is another unit, told before all that follows from such a mass [-]; a
judgement of this project."""
LIGHT_SHARE = 0.5
"""Share of the lightest of its material, or of its kind, that an item weighs at least [-]; common practice:
holes and the air in a box count with it."""

_LENGTH, _RATIO, _DENSITY = Dimension.LENGTH, Dimension.RATIO, Dimension.DENSITY


@kept(4)
def fitting_findings(fittings: Fittings) -> tuple[Finding, ...]:
    """Judge how motors are held, how bays are closed, and whether sizes and masses agree."""
    return (
        *(finding for motor in fittings.motors for finding in _motor(motor)),
        *(finding for end in fittings.bay_ends for finding in _bay_end(end)),
        *(_cover(tube) for tube in fittings.tubes),
        *(_wall(tube, tube.wall) for tube in fittings.tubes if tube.wall),
        *(_stuff(tube) for tube in fittings.tubes if tube.stuffs),
        *_densities(fittings),
        *_tubes_weighed(fittings),
        *_bay_tubes(fittings),
        *(_elsewhere(item) for item in fittings.elsewhere),
        *_standoff(fittings),
    )


def _motor(motor: MotorHold) -> Iterator[Finding]:
    subject = Subject(name=motor.motor, station_m=motor.station_m)
    held = Rule(key="motor-held", stage=STAGE, dimension=_RATIO, source=PRACTICE, safety=True)
    if motor.held is None:
        yield held.holds(Verdict.NOT_KNOWN, subject=subject, limit="tube", fixes=(Fix(key="enter"),))
    else:
        yield held.at_least(motor.held, HELD_SHARE, subject=subject, fixes=(Fix(key="longer"),))
    play = Rule(key="motor-play", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    lean = Amount(value=exact(motor.lean_rad), dimension=Dimension.ANGLE)
    tight = motor.play.value < -EVEN_M
    judge, limit, fix = (play.at_least, 0.0, "widen") if tight else (play.at_most, PLAY_M, "sleeve")
    yield judge(motor.play, limit, subject=subject, facts={"lean": lean}, fixes=(Fix(key=fix),))
    if motor.slips is not None:
        bears = Rule(key="motor-bears", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
        yield bears.at_most(motor.slips, LEDGE_M, subject=subject, fixes=(Fix(key="smaller-hole"),))
    if motor.off_plate is not None:
        yield _at_plate(motor.off_plate, subject)
    if motor.room is not None:
        yield _room(motor, motor.room, subject)


def _room(motor: MotorHold, said: Estimate, subject: Subject) -> Finding:
    """Hold the room that motors are chosen by against the run to what stands next ahead."""
    rule = Rule(key="motor-room", stage=STAGE, dimension=_LENGTH, source=DRAWN)
    ahead = {"ahead": motor.ahead or "the tip"}
    judged = rule.at_most(said, motor.run_m, subject=subject, facts=ahead, fixes=(Fix(key="enter"),))
    return softened(judged, Verdict.CAUTION)


def _at_plate(off: Estimate, subject: Subject) -> Finding:
    """Judge that the motor's end meets its plate: ahead of it, or far behind, it pushes on nothing."""
    rule = Rule(key="motor-at-plate", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
    if off.value < -MEETS_M:
        return rule.at_least(off, -MEETS_M, subject=subject, fixes=(Fix(key="aft"),))
    return rule.at_most(off, RING_M, subject=subject, fixes=(Fix(key="fore"),))


def _bay_end(end: BayEnd) -> Iterator[Finding]:
    """Judge that an end is closed, and that a plate takes the push: what print alone does is not known."""
    rule = Rule(key="bay-closed", stage=STAGE, dimension=_RATIO, source=PRACTICE, safety=True)
    subject = Subject(name=end.bay, station_m=end.station_m)
    closed = rule.at_most(end.open_share, OPEN_SHARE, subject=subject, fixes=(Fix(key="close"),))
    yield closed
    if closed.verdict is Verdict.GO:
        plate = Rule(key="bay-end-plate", stage=STAGE, source=PRACTICE, safety=True)
        verdict = Verdict.GO if end.plate else Verdict.NOT_KNOWN
        yield plate.holds(verdict, subject=subject, fixes=(Fix(key="enter"),))


def _cover(tube: TubeCover) -> Finding:
    rule = Rule(key="bay-tube-covers", stage=STAGE, dimension=_RATIO, source=PRACTICE, safety=True)
    subject = Subject(name=tube.tube, station_m=tube.station_m)
    facts = {"bay": tube.bay}
    return rule.at_least(tube.share, COVER_SHARE, subject=subject, facts=facts, fixes=(Fix(key="longer"),))


def _wall(tube: TubeCover, said: Estimate) -> Finding:
    """Judge that the wall a bay is said to have is its tube's: strength was asked of the one said."""
    rule = Rule(key="bay-tube-wall", stage=STAGE, dimension=_RATIO, source=PRACTICE, safety=True)
    subject, facts = Subject(name=tube.tube, station_m=tube.station_m), {"bay": tube.bay}
    thin = said.value < 1.0
    judge, limit = (rule.at_least, 1.0 - WALL_SHARE) if thin else (rule.at_most, 1.0 + WALL_SHARE)
    found = judge(said, limit, subject=subject, facts=facts, fixes=(Fix(key="measure"),))
    return softened(found, Verdict.NOT_KNOWN)


def _stuff(tube: TubeCover) -> Finding:
    """Judge that a bay's wall is of what its tube is: strength was asked of the one said."""
    rule = Rule(key="bay-tube-stuff", stage=STAGE, source=PRACTICE, safety=True)
    facts = {"bay": tube.bay, "stuffs": ", ".join(tube.stuffs)}
    return rule.holds(
        Verdict.NOT_KNOWN if len(tube.stuffs) > 1 else Verdict.GO,
        subject=Subject(name=tube.tube, station_m=tube.station_m),
        facts=facts,
        fixes=(Fix(key="look", facts=facts),),
    )


def _densities(fittings: Fittings) -> Iterator[Finding]:
    """Judge items beyond their kind; denser than lead is a slip, off its kind either way is a doubt."""
    found = [judged for item in fittings.densities if (judged := _density(item)).fails]
    rule = Rule(key="masses-and-sizes", stage=STAGE, source=PRACTICE)
    yield from found or [rule.holds(Verdict.GO)]


def _density(item: ItemDensity) -> Finding:
    rule = Rule(key="mass-and-size", stage=STAGE, dimension=_DENSITY, source=PRACTICE)
    subject = Subject(name=item.item, station_m=item.station_m)
    fixes = (Fix(key="look"),)
    far = item.found.value > FAR_TIMES * HEAVIEST_KG_M3
    if item.found.value > HEAVIEST_KG_M3:
        return replace(rule, urgent=far).at_most(
            exact(item.found.value), HEAVIEST_KG_M3, subject=subject, fixes=fixes
        )
    least, most = (
        item.usual.low * LIGHT_SHARE,
        item.heaviest.high * (1.0 + DENSITY_SHARE[item.named and item.alone]),
    )
    judge, limit = (rule.at_least, least) if item.found.value < least else (rule.at_most, most)
    judged = judge(exact(item.found.value), limit, subject=subject, fixes=fixes)
    return softened(judged, Verdict.NOT_KNOWN)


def _tubes_weighed(fittings: Fittings) -> Iterator[Finding]:
    """Judge that a motor's tube is in the mass table: in the tail a forgotten gram costs most."""
    rule = Rule(key="motor-tube-weighed", stage=STAGE, source=PRACTICE)
    for tube in fittings.tubes_unweighed:
        yield rule.holds(Verdict.NOT_KNOWN, subject=Subject(name=tube), fixes=(Fix(key="enter"),))
    if not fittings.tubes_unweighed:
        yield rule.holds(Verdict.GO)


def _bay_tubes(fittings: Fittings) -> Iterator[Finding]:
    """Judge that the tube a bay's wall is said to be stands in the vehicle, and weighs in it."""
    rule = Rule(key="bay-tube-entered", stage=STAGE, source=PRACTICE, safety=True)
    for bay in fittings.bays_untubed:
        yield rule.holds(Verdict.NOT_KNOWN, subject=Subject(name=bay), fixes=(Fix(key="enter"),))
    if not fittings.bays_untubed:
        yield rule.holds(Verdict.GO)


def _elsewhere(item: Elsewhere) -> Finding:
    rule = Rule(key="in-its-room", stage=STAGE, dimension=_LENGTH, source="the sheet")
    return rule.at_most(
        exact(item.off_m),
        0.0,
        subject=Subject(name=item.item, station_m=item.station_m),
        facts={"other": item.room_of},
        fixes=(Fix(key="move"),),
    )


def _standoff(fittings: Fittings) -> Iterator[Finding]:
    """Where nobody says how far off the rail is, it is taken as near as the skin allows."""
    if fittings.standoff is not None:
        rule = Rule(key="standoff", stage=STAGE, dimension=_LENGTH, source=PRACTICE, safety=True)
        yield rule.at_most(fittings.standoff, STANDOFF_M, fixes=(Fix(key="nearer"),))
