"""What a search varies where nobody says: every lever of the sheet, within usual ends round what it has."""

from collections.abc import Iterator
from pathlib import Path

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.pulls import pulls_of
from finial.assemble.vehicle.tweak import TweakKind
from finial.core.errors import BuildSheetError, OutsideRange
from finial.files.sheet import Sheet
from finial.sizing.motors import motor_choice
from finial.sizing.today import of_the_sheet
from finial.sizing.variables import CANOPY, CHARGE, PRELOAD, RAIL, WALLS, Variable

_WALLS, _CHARGE, _PRELOAD, _RAIL, _CANOPY = (0.8, 1.5), (0.7, 1.5), (0.6, 1.4), (0.8, 1.25), (0.8, 1.25)
"""Shares of what the sheet has; chosen, as wide as builders change a design that flies already."""


def usual_variables(vehicle: LoadedVehicle) -> tuple[Variable, ...]:
    """Walls all at once, rods, charges, the rail, canopies, and the motor where its folder holds others."""
    return (*_pulled(vehicle), *_sized(vehicle.sheet), *_motor(vehicle))


def _pulled(vehicle: LoadedVehicle) -> Iterator[Variable]:
    for pull in pulls_of(vehicle):
        # Walls of single pieces write to the same places as all walls.
        if pull.kind is TweakKind.WALLS and not pull.name:
            yield from _around(vehicle.sheet, WALLS, pull.name, _WALLS)
        elif pull.kind is TweakKind.CHARGE:
            yield from _around(vehicle.sheet, CHARGE, pull.name, _CHARGE)
        elif pull.kind is TweakKind.PRELOAD:
            yield from _around(vehicle.sheet, PRELOAD, pull.name, _PRELOAD)


def _sized(sheet: Sheet) -> Iterator[Variable]:
    yield from _around(sheet, RAIL, "", _RAIL)
    for canopy in sheet.recovery.canopy:
        yield from _around(sheet, CANOPY, canopy.name, _CANOPY)


def _motor(vehicle: LoadedVehicle) -> Iterator[Variable]:
    """Choose among the motors beside the sheet's own; one alone, or a file that is no motor, is no choice."""
    try:
        yield motor_choice(Path(vehicle.sheet.motor.data).parent, vehicle.files.path.parent)
    except (BuildSheetError, OutsideRange):
        return


def _around(sheet: Sheet, kind: str, name: str, shares: tuple[float, float]) -> Iterator[Variable]:
    """Spread a lever round what the sheet has of it; where it says nothing there is nothing to spread."""
    now = of_the_sheet(sheet, kind, name)
    if isinstance(now, float):
        yield Variable(kind=kind, name=name, low=shares[0] * now, high=shares[1] * now)
