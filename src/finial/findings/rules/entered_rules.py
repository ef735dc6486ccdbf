"""Which tables a sheet that is only begun does not have yet: all that hangs on them is not known."""

from collections.abc import Sequence

from finial.assemble.start.motors import MotorFits
from finial.core.dimensions import Dimension
from finial.files.sheet import LoadedSheet
from finial.files.sheet_body import PartEntry
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule

ENTERED = Rule(key="entered", stage="sheet", source="the build sheet", safety=True)
GUESSED = Rule(key="still-guessed", stage="sheet", source="the build sheet", safety=True)
_MOST_NAMED = 3
MOTOR, LAUNCH, RECOVERY, ELECTRONICS, MATERIAL = "motor", "launch", "recovery", "electronics", "material"


def entered_findings(
    files: LoadedSheet, *, weighed: bool = True, fits: MotorFits | None = None
) -> list[Finding]:
    """Tell each table that is still to be written; nothing where all are there.

    ``fits`` says what room a motor has, and which of the project's own would go in.
    """
    sheet = files.sheet
    there = {
        MATERIAL: weighed,
        MOTOR: MOTOR not in files.missing,
        LAUNCH: LAUNCH not in files.missing,
        RECOVERY: bool(sheet.recovery.canopy),
        ELECTRONICS: bool(sheet.electronics.igniter),
    }
    more = {MOTOR: _motor_fixes(fits)} if fits else {}
    return [_not_entered(name, more.get(name, ())) for name, entered in there.items() if not entered]


def guessed_findings(parts: Sequence[PartEntry]) -> list[Finding]:
    """Tell which parts are still guessed; nothing where all are known."""
    guessed = [part for part in parts if part.guessed]
    if not guessed:
        return []
    named = ", ".join(part.name for part in guessed)
    return [GUESSED.holds(Verdict.NOT_KNOWN, subject=Subject(name=named), fixes=(Fix(key="say"),))]


def _not_entered(table: str, more: tuple[Fix, ...] = ()) -> Finding:
    return ENTERED.holds(
        Verdict.NOT_KNOWN, subject=Subject(name=table), reasons=(table,), fixes=(*more, Fix(key=table))
    )


def _motor_fixes(fits: MotorFits) -> tuple[Fix, ...]:
    """Tell what room there is, and which motors go in; sizes alone, nothing is flown."""
    if fits.room is None:
        return (Fix(key="no-room"),)
    # A room that narrows has a depth for each motor: half its width stands for them.
    thick = fits.room.across_m if fits.room.is_bore else fits.room.across_m / 2
    sizes = {
        "across": Amount(value=thick, dimension=Dimension.LENGTH),
        "deep": Amount(value=fits.room.depth_m(thick), dimension=Dimension.LENGTH),
    }
    room = Fix(key="bore" if fits.room.is_bore else "room", facts=sizes)
    if not fits.known:
        return (room, Fix(key="no-motors"))
    if not fits.fitting:
        return (room, Fix(key="none-fits", facts={"known": fits.known}))
    named = ", ".join(fits.fitting[:_MOST_NAMED])
    return (room, Fix(key="fit", facts={"known": fits.known, "count": len(fits.fitting), "named": named}))
