"""What the sheet leaves open: parting without a cord, arming switches, test bars, the nozzle."""

from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.core.units import show
from finial.files.sheet import Sheet
from finial.files.sheet_body import OwnMaterialEntry
from finial.findings.finding import Finding, Verdict
from finial.findings.rule import Rule

SWITCHES = Rule(
    subject="electronics",
    name="arming switches",
    dimension=None,
    why="Without a switch a computer is live once its battery is plugged in, with people beside it.",
    source="common practice, and launch site rules that ask for arming on the pad",
    safety=True,
)
FEWEST_BARS = 5
"""Test bars that a strength stands on at least [-], ISO 527-1."""


def build_findings(
    sheet: Sheet, *, motor_diameter_m: float, length_m: float, us_units: bool
) -> list[Finding]:
    """Judge joints that a charge opens, arming switches, own test bars, and where the exhaust leaves."""
    return [
        *_joints(sheet),
        *_switches(sheet),
        *(_bars(own) for own in sheet.material if _is_strength(own)),
        _nozzle(length_m - sheet.motor.nozzle_station.value, motor_diameter_m, us_units),
    ]


def _joints(sheet: Sheet) -> list[Finding]:
    """Tell which joints part without a cord in the sheet."""
    opened = [
        bay.joint for bay in sheet.recovery.bay if any(c.bay == bay.name for c in sheet.recovery.charge)
    ]
    held = {cord.joint for cord in sheet.recovery.cord}
    return [_without_cord(joint) for joint in dict.fromkeys(opened) if joint not in held]


def _without_cord(joint: str) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"a cord across {joint}",
        dimension=None,
        why="Halves that part without a cord come down apart, and one of them without a canopy.",
        source="the build sheet",
        safety=True,
    )
    fix = f'Enter the cord under [[recovery.cord]] with joint = "{joint}".'
    return rule.finding(Verdict.NOT_KNOWN, "every joint that a charge opens has a cord", fix)


def _switches(sheet: Sheet) -> list[Finding]:
    """Tell which computers no switch keeps from being armed."""
    if not sheet.electronics.computer:
        return []
    live = [computer.name for computer in sheet.electronics.computer if computer.switch is None]
    fix = f"Give {', '.join(live)} a switch that is closed on the pad, with the rail upright."
    return [
        SWITCHES.finding(Verdict.CAUTION if live else Verdict.GO, "each computer behind its own switch", fix)
    ]


def _is_strength(own: OwnMaterialEntry) -> bool:
    return own.along is not None or own.across is not None


def _bars(own: OwnMaterialEntry) -> Finding:
    """Judge how many bars a strength stands on."""
    rule = Rule(
        subject="strength",
        name=f"test bars of {own.name}",
        dimension=None,
        why="A few bars say little of the weakest: prints scatter from bar to bar.",
        source="ISO 527-1: five test pieces at least, in each direction; from memory, not re-read",
    )
    enough = own.bars is not None and own.bars >= FEWEST_BARS
    broken = None if own.bars is None else exact(float(own.bars))
    fix = f"Break {FEWEST_BARS} in each direction, and enter how many as bars of {own.name}."
    verdict = Verdict.GO if enough else Verdict.CAUTION
    return rule.finding(verdict, f"at least {FEWEST_BARS}", fix, broken)


def _nozzle(inside_m: float, motor_diameter_m: float, us_units: bool) -> Finding:
    """Judge how far the nozzle stands inside the base: a motor diameter at most."""
    rule = Rule(
        subject="shape",
        name="exhaust clear of the tail",
        dimension=None,
        why="A nozzle deep inside the tail loses thrust there and plays its flame on printed walls.",
        source="common practice: no deeper than a motor diameter",
    )
    shown = show(inside_m, Dimension.LENGTH, us_units=us_units)
    fix = f"The nozzle stands {shown} inside the base: move the motor aft, or line the tail."
    verdict = Verdict.CAUTION if inside_m > motor_diameter_m else Verdict.GO
    return rule.finding(verdict, "a motor diameter inside the base at most", fix)
