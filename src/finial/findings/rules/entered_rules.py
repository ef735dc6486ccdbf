"""Which tables a sheet that is only begun does not have yet: all that hangs on them is not known."""

from finial.files.sheet import LoadedSheet
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule

ENTERED = Rule(key="entered", stage="sheet", source="the build sheet", safety=True)
MOTOR, LAUNCH, RECOVERY, ELECTRONICS, MATERIAL = "motor", "launch", "recovery", "electronics", "material"


def entered_findings(files: LoadedSheet, *, weighed: bool = True) -> list[Finding]:
    """Tell each table that is still to be written; nothing where all are there."""
    sheet = files.sheet
    there = {
        MATERIAL: weighed,
        MOTOR: MOTOR not in files.missing,
        LAUNCH: LAUNCH not in files.missing,
        RECOVERY: bool(sheet.recovery.canopy),
        ELECTRONICS: bool(sheet.electronics.igniter),
    }
    return [_not_entered(name) for name, entered in there.items() if not entered]


def _not_entered(table: str) -> Finding:
    return ENTERED.holds(
        Verdict.NOT_KNOWN, subject=Subject(name=table), reasons=(table,), fixes=(Fix(key=table),)
    )
