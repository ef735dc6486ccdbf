"""Which number differs from flight to flight: its kind and whose it is; the name follows from both."""

from dataclasses import dataclass
from enum import StrEnum


class Drawn(StrEnum):
    """What is drawn anew for every flight, as the builder calls it."""

    WIND = "wind of the day"
    WIND_DIRECTION = "wind direction"
    WIND_GROWTH = "growth of the wind with height"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure at the pad"
    IMPULSE = "impulse"
    BURN_TIME = "burn time"
    IGNITION = "ignition delay"
    MOTOR_MASS = "mass of the motor"
    THRUST_LEAN = "thrust line leaning"
    THRUST_ASIDE = "thrust line off the axis"
    RAIL_TILT = "rail tilt"
    RAIL_BEARING = "rail bearing"
    RAIL_FRICTION = "friction on the rail"
    AXIAL_FORCE = "drag"
    NORMAL_FORCE = "normal force slope"
    PRESSURE_CENTRE = "centre of pressure"
    FINS_TWISTED = "fins twisted together"
    FINS_CROOKED = "fins crooked"
    MASS = "mass of {of}"
    STATION = "station of {of}"
    OFF_AXIS = "{of} off the axis"
    OPENED_DRAG = "drag of the opened vehicle"
    CANOPY_DRAG = "drag of {of}"
    CANOPY_FILLING = "filling of {of}"
    CANOPY_LATE = "lateness of {of}"
    CANOPY_HEIGHT = "height of {of}"
    STAYS_IN = "{of} stays in"
    STAYS_BUNDLED = "{of} stays a bundle"
    OTHER = "{of}"
    """A number of a script's own, called as the script calls it."""


FAILS = (Drawn.STAYS_IN, Drawn.STAYS_BUNDLED)
"""What goes wrong altogether, or does not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertain:
    """One number that differs from flight to flight.

    Examples
    --------
    >>> Uncertain(kind=Drawn.MASS, of="steel ballast").name
    'mass of steel ballast'
    >>> Uncertain(kind=Drawn.OFF_AXIS, of="sled", side="y").name
    'sled off the axis, y'
    """

    kind: Drawn
    of: str = ""
    """Whose number it is, where a vehicle has several of the kind."""
    side: str = ""
    """Body axis, where the number has a direction."""

    @property
    def name(self) -> str:
        """What the builder calls it."""
        told = self.kind.value.format(of=self.of)
        return f"{told}, {self.side}" if self.side else told
