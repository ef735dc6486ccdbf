"""What a recovery must have at all: canopies, what opens their bays, cords, protectors, ground tests."""

from collections.abc import Iterator

from finial.core.dimensions import Dimension
from finial.core.estimates import KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import PowderChargeEntry, RecoveryEntry
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened

SHEET, PRACTICE = "the build sheet", "common practice"
CANOPIES = Rule(key="brought-down", stage="recovery", source=PRACTICE, safety=True, urgent=True)
CORD = Rule(key="cord-across-joint", stage="recovery", source=SHEET, safety=True)
CORD_ENDS = Rule(key="cord-ends", stage="recovery", source=SHEET, safety=True)
SHORTEST_LINES = 0.6
"""Length of lines over the diameter of the canopy below which it may not open [-]: 0.8 to 1.2 is usual."""
LONGEST_LINES = 3.0
"""The same above which it is another unit, or lines that are caught on the way out [-]; assumed."""
LINES = Rule(
    key="canopy-lines",
    stage="recovery",
    dimension=Dimension.RATIO,
    source="usual lengths of lines: from memory of Knacke, NWC TP 6575 (1991), section 5.1, not re-read",
    safety=True,
)
PROTECTOR = Rule(key="protector", stage="recovery", source=PRACTICE, safety=True)
OPENER = Rule(key="bay-opener", stage="recovery", source=SHEET, safety=True)
JOINT_OPENER = Rule(key="joint-opener", stage="recovery", source=SHEET, safety=True)
LEAST_SHOT = 0.5
"""Share of the flight's powder below which a shot that parts the joint is not believed [-]: pins left out, or
another unit; a judgement of this project."""
GROUND_TEST = Rule(key="ground-test", stage="recovery", source=PRACTICE, safety=True)


def recovery_parts_findings(sheet: Sheet) -> list[Finding]:
    """Judge that something brings it down, that it comes out, and that the halves stay together."""
    return [*_held(sheet.recovery), *_cord_ends(sheet), *_opened(sheet.recovery)]


# No slider moves canopies, cords and charges.
@kept(4)
def _held(recovery: RecoveryEntry) -> tuple[Finding, ...]:
    return (_brought_down(recovery), *_cords(recovery))


@kept(4)
def _opened(recovery: RecoveryEntry) -> tuple[Finding, ...]:
    return (
        *_lines(recovery),
        *_protectors(recovery),
        *_openers(recovery),
        *_joint_openers(recovery),
        *(_ground_test(charge) for charge in recovery.charge),
    )


def _brought_down(recovery: RecoveryEntry) -> Finding:
    """Judge that there is a canopy; a sheet that tells nothing of its recovery yet is not known."""
    if recovery.canopy:
        return CANOPIES.holds(Verdict.GO)
    untold = recovery == RecoveryEntry()
    return CANOPIES.holds(
        Verdict.NOT_KNOWN if untold else Verdict.NO_GO, fixes=(Fix(key="tell" if untold else "enter"),)
    )


def _charged(recovery: RecoveryEntry) -> set[str]:
    return {charge.bay for charge in recovery.charge}


def _cords(recovery: RecoveryEntry) -> Iterator[Finding]:
    """Judge every joint that comes apart: a charge opens it, or a canopy waits behind it."""
    used = _charged(recovery) | {canopy.bay for canopy in recovery.canopy}
    held = {cord.joint for cord in recovery.cord}
    for joint in dict.fromkeys(bay.joint for bay in recovery.bay if bay.name in used):
        verdict = Verdict.GO if joint in held else Verdict.NO_GO
        yield CORD.holds(verdict, subject=Subject(name=joint), fixes=(Fix(key="enter"),))


def _cord_ends(sheet: Sheet) -> Iterator[Finding]:
    """Judge that a cord is tied ahead of its joint and behind it: else the halves come down apart."""
    at = {item.name: item.station.value for item in sheet.item}
    for cord in sheet.recovery.cord:
        if cord.tied_to is None:
            continue
        fore, aft = (at[name] for name in cord.tied_to)
        verdict = Verdict.GO if fore < _parting_m(sheet.recovery, cord.joint) < aft else Verdict.NO_GO
        yield CORD_ENDS.holds(
            verdict,
            subject=Subject(name=cord.name),
            facts={"joint": cord.joint, "fore": cord.tied_to[0], "aft": cord.tied_to[1]},
            fixes=(Fix(key="retie"),),
        )


def _parting_m(recovery: RecoveryEntry, joint: str) -> float:
    """Station that parts what hangs on either half [m]: the plate that closes a bay is in the other one."""
    at = next(one.station.value for one in recovery.joint if one.name == joint)
    ends = [end.value for bay in recovery.bay if bay.joint == joint for end in bay.stations]
    return min(ends, key=lambda end: abs(end - at), default=at)


def _lines(recovery: RecoveryEntry) -> Iterator[Finding]:
    """Judge lines that the sheet gives: on much shorter or longer ones it may not open."""
    for canopy in recovery.canopy:
        if canopy.line_length is not None:
            share = exact(canopy.line_length.value / canopy.diameter.value, known_by=KnownBy.MEASURED)
            short = share.value < SHORTEST_LINES
            judge, limit = (LINES.at_least, SHORTEST_LINES) if short else (LINES.at_most, LONGEST_LINES)
            found = judge(share, limit, subject=Subject(name=canopy.name), fixes=(Fix(key="measure"),))
            yield softened(found, Verdict.NOT_KNOWN)


def _protectors(recovery: RecoveryEntry) -> Iterator[Finding]:
    """Judge that every canopy beside powder has something between it and the flame."""
    charged = _charged(recovery)
    for canopy in recovery.canopy:
        if canopy.bay in charged:
            verdict = Verdict.NO_GO if canopy.protector is None else Verdict.GO
            yield PROTECTOR.holds(verdict, subject=Subject(name=canopy.name), fixes=(Fix(key="enter"),))


def _openers(recovery: RecoveryEntry) -> Iterator[Finding]:
    """Judge that something opens every bay that holds a canopy."""
    charged = _charged(recovery)
    for bay in dict.fromkeys(canopy.bay for canopy in recovery.canopy):
        verdict = Verdict.GO if bay in charged else Verdict.NO_GO
        yield OPENER.holds(verdict, subject=Subject(name=bay), fixes=(Fix(key="enter"),))


def _joint_openers(recovery: RecoveryEntry) -> Iterator[Finding]:
    """Tell joints with pins that nothing breaks, where no canopy behind them says so already."""
    charged, full = _charged(recovery), {canopy.bay for canopy in recovery.canopy}
    opened = {bay.joint for bay in recovery.bay if bay.name in charged | full}
    for joint in recovery.joint:
        if joint.pins and joint.name not in opened:
            yield JOINT_OPENER.holds(
                Verdict.NOT_KNOWN, subject=Subject(name=joint.name), fixes=(Fix(key="enter"),)
            )


def _ground_test(charge: PowderChargeEntry) -> Finding:
    """Judge shots: one with half as much powder or more that parted, none with as much that did not."""
    verdict, fix = Verdict.CAUTION, "test"
    if _shot(charge, parted=False):
        verdict, fix = Verdict.NO_GO, "failed"
    elif _shot(charge, parted=True):
        verdict = Verdict.GO
    elif any(test.parted for test in charge.ground_test):
        fix = "test-more" if _all_tiny(charge) else "test-less"
    return GROUND_TEST.holds(verdict, subject=Subject(name=charge.name), fixes=(Fix(key=fix),))


def _all_tiny(charge: PowderChargeEntry) -> bool:
    flown = charge.powder
    return flown is not None and all(
        test.powder.value < LEAST_SHOT * flown.low for test in charge.ground_test if test.parted
    )


def _shot(charge: PowderChargeEntry, *, parted: bool) -> bool:
    """Whether a shot says something of the flight's own powder: less that parted, or more that did not."""
    flown = charge.powder
    shots = [test.powder.value for test in charge.ground_test if test.parted is parted]
    if flown is None:
        return False
    if parted:
        return any(LEAST_SHOT * flown.low <= shot <= flown.high for shot in shots)
    return any(shot >= flown.low for shot in shots)
