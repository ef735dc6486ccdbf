"""What the sheet leaves open: parting without a cord, arming switches, test bars, the nozzle."""

from finial.core.dimensions import Dimension
from finial.core.estimates import exact
from finial.files.sheet import Sheet
from finial.files.sheet_body import OwnMaterialEntry
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule

SWITCHES = Rule(
    key="arming-switches",
    stage="electronics",
    source="common practice, and launch site rules that ask for arming on the pad",
    safety=True,
)
FEWEST_BARS = 5
"""Test bars that a strength stands on at least [-], ISO 527-1."""
BARS = Rule(
    key="test-bars",
    stage="strength",
    source="ISO 527-1: five test pieces at least, in each direction; from memory, not re-read",
)
CORD = Rule(key="cord-across-joint", stage="recovery", source="the build sheet", safety=True)
NOZZLE = Rule(
    key="exhaust-clear",
    stage="shape",
    dimension=Dimension.LENGTH,
    source="common practice: no deeper than a motor diameter",
)


def build_findings(sheet: Sheet, *, motor_diameter_m: float, length_m: float) -> list[Finding]:
    """Judge joints that a charge opens, arming switches, own test bars, and where the exhaust leaves."""
    return [
        *_joints(sheet),
        *_switches(sheet),
        *(_bars(own) for own in sheet.material if own.along is not None or own.across is not None),
        _nozzle(length_m - sheet.motor.nozzle_station.value, motor_diameter_m),
    ]


def _joints(sheet: Sheet) -> list[Finding]:
    """Tell which joints part without a cord in the sheet."""
    opened = [
        bay.joint for bay in sheet.recovery.bay if any(c.bay == bay.name for c in sheet.recovery.charge)
    ]
    held = {cord.joint for cord in sheet.recovery.cord}
    return [
        CORD.holds(Verdict.NOT_KNOWN, subject=Subject(name=joint), fixes=(Fix(key="enter"),))
        for joint in dict.fromkeys(opened)
        if joint not in held
    ]


def _switches(sheet: Sheet) -> list[Finding]:
    """Tell which computers no switch keeps from being armed."""
    if not sheet.electronics.computer:
        return []
    live = [computer.name for computer in sheet.electronics.computer if computer.switch is None]
    fix = Fix(key="give-switch", facts={"computers": ", ".join(live)})
    return [SWITCHES.holds(Verdict.CAUTION if live else Verdict.GO, fixes=(fix,))]


def _bars(own: OwnMaterialEntry) -> Finding:
    """Judge how many bars a strength stands on."""
    enough = own.bars is not None and own.bars >= FEWEST_BARS
    return BARS.holds(
        Verdict.GO if enough else Verdict.CAUTION,
        value=None if own.bars is None else exact(float(own.bars)),
        subject=Subject(name=own.name),
        facts={"fewest": FEWEST_BARS},
        fixes=(Fix(key="break-more"),),
    )


def _nozzle(inside_m: float, motor_diameter_m: float) -> Finding:
    """Judge how far the nozzle stands inside the base: a motor diameter at most."""
    fix = Fix(key="move-aft", facts={"inside": Amount(value=inside_m, dimension=Dimension.LENGTH)})
    verdict = Verdict.CAUTION if inside_m > motor_diameter_m else Verdict.GO
    return NOZZLE.holds(verdict, value=exact(inside_m), fixes=(fix,))
