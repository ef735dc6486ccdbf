"""The day on the field: what was read there, and the verdict with it beside the sheet's."""

from dataclasses import dataclass

from finial.assemble.vehicle.changes import Changes, reread
from finial.assemble.vehicle.loading import Vehicle
from finial.findings.advice import answered
from finial.findings.check import Tell, silent
from finial.findings.finding import Moved
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Readiness
from finial.findings.tries import everything_moved


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """Answers by the sheet and by what was read today."""

    sheet: Readiness
    today: Readiness
    moved: tuple[Moved, ...]
    """What fails since, then what no longer does, then what lost margin."""


def today(vehicle: Vehicle, read: Changes, tell: Tell = silent) -> Today:
    """Answer by the sheet, and by the sheet with what was read today in its places.

    Raises
    ------
    BuildSheetError
        With all faults of what was read.
    """
    changed = reread(vehicle, read, codes_of)
    tell("answering by the sheet")
    before = answered(vehicle, tell=tell)
    tell("answering by what was read today")
    after = answered(changed, tell=tell)
    return Today(sheet=before, today=after, moved=everything_moved(before, after))
