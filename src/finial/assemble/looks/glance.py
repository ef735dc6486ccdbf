"""A quick look at a vehicle: mass, margin, rail exit, apogee; no strength, recovery or electronics."""

from dataclasses import dataclass

from finial.assemble.basis import basis_of
from finial.assemble.day import density_at
from finial.assemble.flights.outcome import rail_exits
from finial.assemble.vehicle.canopies import drag_area
from finial.assemble.vehicle.fins import all_fins
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate, exact, total
from finial.recovery.canopies.descent import descent_speed


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What sizing asks for, at the bad end where there is one."""

    mass_kg: float
    """At lift-off."""
    margin_m: float
    """Worst margin at its bad end [m]."""
    width_m: float
    apogee_m: float
    rail_exit_low_m_s: float
    """Slowest of the corners."""
    landing_speed: Estimate | None
    """Under the slowest canopy [m/s]."""
    span_m: float
    """Farthest that a fin reaches from its root [m]."""


def look_at(vehicle: LoadedVehicle) -> Look:
    """Fly the vehicle and its corners, and read off what sizing asks for."""
    basis = basis_of(vehicle)
    mass, flights, points = basis.mass, basis.flights, basis.stability
    exits = rail_exits(flights)
    burnt = mass.lift_off.mass_kg - mass.burnout.mass_kg
    coming_down = total([mass.lift_off_mass, exact(-burnt)])
    speeds = (
        descent_speed(coming_down, drag_area(canopy), density_at(vehicle, 0.0))
        for canopy in vehicle.sheet.recovery.canopy
    )
    return Look(
        mass_kg=mass.lift_off.mass_kg,
        margin_m=min(point.margin.low for point in points),
        width_m=vehicle.skin.breadth_m,
        apogee_m=float(flights.nominal.positions_m[:, 2].max()),
        rail_exit_low_m_s=min(one.speed_m_s if one else 0.0 for one in exits),
        landing_speed=min(speeds, key=lambda speed: speed.value, default=None),
        span_m=max((float(fin.outline_m[:, 1].max()) for fin in all_fins(vehicle)), default=0.0),
    )
