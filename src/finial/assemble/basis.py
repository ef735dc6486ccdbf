"""What every later stage stands on: mass, air loads, flights and margins of one vehicle."""

from dataclasses import dataclass

from finial.assemble.air.sections import AirLoads
from finial.assemble.air.source import air_loads
from finial.assemble.day import wind_at_ten_metres
from finial.assemble.flights.corners import Aloft, Flights, take_off
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import Row, mass_history, mass_result, mass_rows
from finial.assemble.stability.points import fastest_moment, moments_of, stability_points
from finial.assemble.stability.results import FlightMoment, StabilityPoint
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """A vehicle weighed, met by the air and flown; found once, and handed to every look."""

    vehicle: LoadedVehicle
    rows: tuple[Row, ...]
    mass: MassResult
    air: AirLoads
    flights: Flights
    moments: tuple[FlightMoment, ...]
    """Of the nominal flight, as margins are judged at."""
    fastest: FlightMoment
    """Of the nominal flight, the highest dynamic pressure."""
    stability: tuple[StabilityPoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Airborne:
    """A vehicle weighed and met by the air, whose flights are in the air."""

    vehicle: LoadedVehicle
    rows: tuple[Row, ...]
    mass: MassResult
    air: AirLoads
    aloft: Aloft


def basis_of(vehicle: LoadedVehicle) -> Basis:
    """Weigh the vehicle, solve its air loads, fly it and its corners."""
    return landed(airborne(vehicle))


def airborne(vehicle: LoadedVehicle) -> Airborne:
    """Weigh the vehicle, solve its air loads, and let it fly."""
    rows = mass_rows(vehicle, fin_sets(vehicle))
    mass = mass_result(vehicle, rows)
    _, *across = mass.lift_off.centre_m.tolist()
    air = air_loads(vehicle, mass.lift_off.station_m, (across[0], across[1]))
    return Airborne(vehicle=vehicle, rows=rows, mass=mass, air=air, aloft=take_off(vehicle, rows, air, mass))


def landed(flying: Airborne) -> Basis:
    """Wait for the flights, and read the margins at their moments."""
    vehicle, rows, mass, air = flying.vehicle, flying.rows, flying.mass, flying.air
    flights = flying.aloft.landed()
    moments = moments_of(
        flights.nominal,
        flights.windy,
        wind_at_ten_metres(vehicle).high,
        guided=vehicle.sheet.guide is not None,
    )
    history = mass_history(vehicle, rows)
    return Basis(
        vehicle=vehicle,
        rows=rows,
        mass=mass,
        air=air,
        flights=flights,
        moments=moments,
        fastest=fastest_moment(flights.nominal, wind_at_ten_metres(vehicle).high),
        stability=stability_points(moments, vehicle.skin, air.band, mass, history),
    )
