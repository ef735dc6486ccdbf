"""Which load case: identity, not words."""

from dataclasses import dataclass
from enum import StrEnum


class Load(StrEnum):
    """What loads the vehicle; the value is its key."""

    MAX_THRUST = "max-thrust"
    MAX_SPEED = "max-speed"
    RAIL_WIND = "rail-wind"
    THRUST_STOPS = "thrust-stops"
    CORD_PULLS = "cord-pulls"
    CORD_PULLS_LATE = "cord-pulls-late"
    CHARGE_PUSHES = "charge-pushes"
    CANOPY_OPENS = "canopy-opens"
    LANDING = "landing"
    LIFTING = "lifting"
    CHARGE_FIRES = "charge-fires"
    """Pressure in a bay."""
    WHOLE_FLIGHT = "whole-flight"
    PRINTING = "printing"


class Half(StrEnum):
    """Which side of a joint."""

    FORE = "fore"
    AFT = "aft"


class Occasion(StrEnum):
    """What a failure would come to: a fall from flight, or damage."""

    FLIGHT = "flight"
    """From the rail to the canopy, everything at its time."""
    LATE = "late"
    """A separation off its time."""
    GROUND = "ground"
    """Landing or handling, where nobody flies any more."""


_OCCASIONS = {
    Load.CORD_PULLS_LATE: Occasion.LATE,
    Load.LANDING: Occasion.GROUND,
    Load.LIFTING: Occasion.GROUND,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One load case: what loads, by which thing of the sheet, on which half."""

    load: Load
    subject: str = ""
    """Cord, canopy, bay or charge by its name in the sheet; empty where there is only one such case."""
    half: Half | None = None

    @property
    def occasion(self) -> Occasion:
        """What a failure in it would come to.

        Examples
        --------
        >>> Case(load=Load.LANDING).occasion.value, Case(load=Load.MAX_THRUST).occasion.value
        ('ground', 'flight')
        """
        return _OCCASIONS.get(self.load, Occasion.FLIGHT)
