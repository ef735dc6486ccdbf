"""One row of the mass table, and the motors' row."""

from dataclasses import dataclass

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import burning_motors
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.core.kept_parts import kept
from finial.mass.balance import Share
from finial.mass.burn import Burning, motor_at
from finial.mass.properties import MassProperties, combined

MOTOR_MASS_SPREAD = 0.02
"""Scatter of a motor's mass about its data sheet [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Row:
    """One body: mass and station with their intervals, and its properties; equal only to itself."""

    name: str
    kind: str
    mass: Estimate
    station: Estimate
    body: MassProperties
    span_m: tuple[float, float] | None = None
    """Stations the body reaches from and to [m]; ``None`` for a point."""
    is_ballast: bool = False
    """True for an item that is carried for its weight."""
    drawn: Estimate | None = None
    """Mass as drawn and printed, of a part that is weighed [kg]."""
    alone: Estimate | None = None
    """Mass by itself, before the whole was weighed and it was made to agree [kg]."""

    @property
    def share(self) -> Share:
        """Mass [kg] and station [m] alone, for a balance point."""
        return Share(mass=self.mass, station=self.station)

    @property
    def share_alone(self) -> Share:
        """The same before the whole was weighed."""
        return Share(mass=self.alone or self.mass, station=self.station)


def motor_row(vehicle: LoadedVehicle, share_left: float) -> Row:
    """Return all motors as one row, each with a share of its propellant left.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle with its motors.
    share_left : float
        Share of the propellant left [-].

    Returns
    -------
    row : Row
        The motors as one row of the mass table.
    """
    return _motors(burning_motors(vehicle), vehicle.motor.name, share_left)


@kept(8)
def _motors(motors: tuple[Burning, ...], name: str, share_left: float) -> Row:
    bodies = [motor.body for motor in motors]
    body = combined(motor_at(one, share_left) for one in bodies)
    mass = spread(body.mass_kg, MOTOR_MASS_SPREAD, known_by=KnownBy.HANDBOOK, method="motor data sheet")
    return Row(
        name=name,
        kind="motor",
        mass=mass,
        station=exact(body.station_m),
        body=body,
        span_m=(
            min(one.nozzle_station_m - one.length_m for one in bodies),
            max(one.nozzle_station_m for one in bodies),
        ),
    )
