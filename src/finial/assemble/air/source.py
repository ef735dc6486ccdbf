"""Where air loads come from: the sections of the skin, or a table that the sheet names."""

from dataclasses import dataclass
from typing import Protocol

from finial.aero.band.band import band_with
from finial.aero.given import GivenAir, given_parts, table_with
from finial.assemble.air.flown import with_flown_drag
from finial.assemble.air.sections import AirLoads, section_loads, with_loads
from finial.assemble.vehicle.loading import Vehicle
from finial.core.estimates import KnownBy


class AirSource(Protocol):
    """Anything that gives a vehicle its air loads: what a flow solver would return goes in here."""

    def loads(self, vehicle: Vehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Air loads of the vehicle, balanced at a station and off the axis."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """Loads built from the sections and the fins."""

    def loads(self, vehicle: Vehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Band, drag and table from the sections."""
        return section_loads(vehicle, balance_m, across_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenTable:
    """Loads of the whole vehicle from elsewhere; what they do not hold comes from the sections."""

    given: GivenAir
    name: str
    """Where they come from, as the report names it."""

    def loads(self, vehicle: Vehicle, balance_m: float, across_m: tuple[float, float]) -> AirLoads:
        """Force, its place and axial force from the table; damping and the bare body from the sections."""
        own = section_loads(vehicle, balance_m, across_m)
        table = table_with(own.result.table, self.given)
        parts = given_parts(
            self.given, own.band.angles_rad, own.band.rolls_rad, vehicle.body.reference_area_m2
        )
        band = band_with(own.band, parts, balance_m, self.name)
        return with_loads(own, band=band, table=table, balance_m=balance_m, source=self.name)


def air_source(vehicle: Vehicle) -> AirSource:
    """Source that the sheet asks for: its table, or the sections."""
    entry, columns = vehicle.sheet.air, vehicle.files.air_columns
    if entry is None or columns is None:
        return Sections()
    given = GivenAir(
        reference_area_m2=entry.area.value,
        angles_rad=columns.angles_rad,
        rolls_rad=columns.rolls_rad,
        machs=columns.machs,
        force=columns.force,
        place_m=columns.place_m,
        axial=columns.axial,
    )
    return GivenTable(given=given, name=entry.source or entry.table)


def air_loads(vehicle: Vehicle, balance_m: float, across_m: tuple[float, float] = (0.0, 0.0)) -> AirLoads:
    """Air loads of a vehicle from the source that its sheet asks for.

    Damping and trim are about the balance point at lift-off: its station, and its place across.
    """
    loads = air_source(vehicle).loads(vehicle, balance_m, across_m)
    flown = vehicle.sheet.flown
    return loads if flown is None else with_flown_drag(loads, flown.drag.estimate(KnownBy.MEASURED))
