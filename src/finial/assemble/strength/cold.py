"""How cold printed parts get, beside the cold in which their plastic is usually knocked about."""

from collections.abc import Iterator

from finial.assemble.strength.heat import air_temperature
from finial.assemble.strength.results import ColdCase
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.materials import sheet_material


def cold_cases(vehicle: Vehicle) -> Iterator[ColdCase]:
    """Return every part of a plastic that cold makes brittle, as cold as the day's air.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    """
    air = air_temperature(vehicle)
    for part in vehicle.parts:
        brittle_k = sheet_material(vehicle.sheet, part.spec.material).brittle_below_k
        if brittle_k is not None:
            yield ColdCase(part=part.spec.name, station_m=part.span_m[0], air=air, brittle_below_k=brittle_k)
