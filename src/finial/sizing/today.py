"""Where a search begins: the point that comes nearest to the sheet as it is written."""

from collections.abc import Callable, Sequence

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.sheet import Sheet
from finial.sizing.variables import (
    BALLAST,
    CANOPY,
    COUNT,
    MOTOR,
    PRELOAD,
    RAIL,
    STATION,
    THREAD,
    Variable,
)

_Now = Callable[[Sheet, str], float | str | None]


def today(vehicle: LoadedVehicle, variables: Sequence[Variable]) -> tuple[float, ...]:
    """Return what the sheet has of each variable, as a point of the search; shares of it are 1.

    What lies outside a variable's ends, or is none of its choices, is left to the search to draw in.
    """
    return tuple(_now(vehicle.sheet, one) for one in variables)


def of_the_sheet(sheet: Sheet, kind: str, name: str) -> float | str | None:
    """Return what the sheet has of one lever, none where it says nothing; a lever that is a share is at 1."""
    return _OF_THE_SHEET[kind](sheet, name) if kind in _OF_THE_SHEET else 1.0


def _now(sheet: Sheet, variable: Variable) -> float:
    now = of_the_sheet(sheet, variable.kind, variable.name)
    if isinstance(now, str):
        return float(variable.choices.index(now)) if now in variable.choices else variable.low
    return variable.low if now is None else now


def _mass_kg(sheet: Sheet, name: str) -> float | None:
    return next((one.mass.value for one in sheet.item if one.name == name), None)


def _station_m(sheet: Sheet, name: str) -> float | None:
    return next((one.station.value for one in sheet.fin if one.name == name), None)


def _count(sheet: Sheet, name: str) -> float | None:
    return next((float(one.count) for one in sheet.fin if one.name == name), None)


def _canopy_m(sheet: Sheet, name: str) -> float | None:
    return next((one.diameter.value for one in sheet.recovery.canopy if one.name == name), None)


def _preload_n(sheet: Sheet, name: str) -> float | None:
    preloads = (one.preload for one in sheet.rod if name in (one.name, one.thread))
    return next((one.value for one in preloads if one is not None), None)


def _thread(sheet: Sheet, name: str) -> str | None:
    return next((one.thread for one in sheet.rod if name in (one.name, one.thread)), None)


_OF_THE_SHEET: dict[str, _Now] = {
    BALLAST: _mass_kg,
    STATION: _station_m,
    COUNT: _count,
    RAIL: lambda sheet, _name: sheet.launch.rail_length.value,
    CANOPY: _canopy_m,
    PRELOAD: _preload_n,
    THREAD: _thread,
    MOTOR: lambda sheet, _name: sheet.motor.data,
}
