"""How cold parts, fins and plates get, beside the cold in which their plastic is usually knocked about."""

from collections.abc import Iterator

from finial.assemble.inside.things import THRUST_PLATE
from finial.assemble.strength.heat import air_temperature
from finial.assemble.strength.results import ColdCase
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material


def cold_cases(vehicle: LoadedVehicle) -> Iterator[ColdCase]:
    """Return every part, fin and plate of a plastic that cold makes brittle, as cold as the day's air.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    """
    air = air_temperature(vehicle)
    for name, station_m, material in _named(vehicle):
        brittle_k = sheet_material(vehicle.sheet, material).brittle_below_k
        if brittle_k is not None:
            yield ColdCase(part=name, station_m=station_m, air=air, brittle_below_k=brittle_k)


def _named(vehicle: LoadedVehicle) -> Iterator[tuple[str, float, str]]:
    """Name, station and material of every part, every fin and every plate that takes a blow."""
    for part in vehicle.parts:
        yield part.spec.name, part.span_m[0], part.spec.material
    for fin in vehicle.sheet.fin:
        yield fin.name, fin.station.value, fin.material
    for item in vehicle.sheet.item:
        if item.kind == "bulkhead" and item.material is not None:
            yield item.name, item.station.value, item.material
    plate = vehicle.sheet.motor.thrust_plate
    if plate is not None:
        yield THRUST_PLATE, vehicle.sheet.motor.nozzle_station.value, plate.material
