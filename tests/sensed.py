"""What computers sense in Skerry Light's flights, with other tables of its electronics."""

from dataclasses import replace

from finial.assemble.electronics.results import Sensing
from finial.assemble.electronics.sensing import sensing
from finial.assemble.inside.cavity import room_inside
from finial.core.units import Quantity
from finial.files.sheet_recovery import AccelerometerEntry, LiftOffFeltEntry


def metres(value: float, tolerance: float = 0.0) -> Quantity:
    return Quantity(value=value, tolerance=tolerance, text=f"{value} m")


def sensed(basis, **tables) -> Sensing:
    """Sensing of Skerry Light with other tables of its electronics, and other entries of its day."""
    sheet = basis.vehicle.sheet
    day = tables.pop("launch", {})
    changed = sheet.model_copy(
        update={
            "electronics": sheet.electronics.model_copy(update=tables),
            "launch": sheet.launch.model_copy(update=day),
        }
    )
    vehicle = replace(basis.vehicle, sheet=changed)
    return sensing(vehicle, basis.flights, room_inside(vehicle))


def with_ports(basis, **changes) -> Sensing:
    (port,) = basis.vehicle.sheet.electronics.port
    return sensed(basis, port=(port.model_copy(update=changes),))


def with_accelerometer(basis, which: int = 0, **told) -> Sensing:
    """Skerry Light with an accelerometer in one of its computers."""
    usual = {"range": spread_of(500.0), "offset": spread_of(0.2), "tilt": spread_of(0.01), "finds_top": True}
    computers = list(basis.vehicle.sheet.electronics.computer)
    fitted = AccelerometerEntry(**(usual | told))
    computers[which] = computers[which].model_copy(update={"accelerometer": fitted})
    return sensed(basis, computer=tuple(computers))


def spread_of(value: float) -> Quantity:
    return Quantity(value=value, text=str(value))


def at_least_felt(over_g: float, held_s: float) -> LiftOffFeltEntry:
    return LiftOffFeltEntry(over=spread_of(over_g * 9.80665), held=spread_of(held_s))
