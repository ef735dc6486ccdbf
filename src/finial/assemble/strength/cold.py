"""How cold printed parts get, beside the cold in which their plastic is usually knocked about."""

from collections.abc import Iterator

from finial.assemble.strength.heat import air_temperature
from finial.assemble.strength.results import ColdCase
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.materials import sheet_material


def cold_cases(vehicle: Vehicle) -> Iterator[ColdCase]:
    """Return every part and fin of a plastic that cold makes brittle, as cold as the day's air.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    """
    air = air_temperature(vehicle)
    for name, station_m, material in _named(vehicle):
        brittle_k = sheet_material(vehicle.sheet, material).brittle_below_k
        if brittle_k is not None:
            yield ColdCase(part=name, station_m=station_m, air=air, brittle_below_k=brittle_k)


def _named(vehicle: Vehicle) -> Iterator[tuple[str, float, str]]:
    """Name, station and material of every part and of every fin of the sheet."""
    for part in vehicle.parts:
        yield part.spec.name, part.span_m[0], part.spec.material
    for fin in vehicle.sheet.fin:
        yield fin.name, fin.station.value, fin.material
