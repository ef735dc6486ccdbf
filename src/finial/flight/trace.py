"""One flight's time history and what stands out in it."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

GROUND = "ground"
"""How a flight ends that was followed all the way."""


class EventKind(StrEnum):
    """What may happen in a flight."""

    LIFT_OFF = "lift-off"
    FORE_LEAVES = "fore button leaves"
    RAIL_EXIT = "rail exit"
    """The aft button leaves, and nothing holds it any more."""
    BURNOUT = "burnout"
    APOGEE = "apogee"
    OUT = "out"
    """A canopy comes out."""
    OPEN = "open"
    """A canopy stands open."""
    GROUND = "ground"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightEvent:
    """Something that happened, and to which canopy if to one."""

    kind: EventKind
    canopy: str = ""
    time_s: float
    height_agl_m: float
    speed_m_s: float

    @property
    def name(self) -> str:
        """The canopy, if any, and what happened: ``rail exit``, ``main out``."""
        return f"{self.canopy} {self.kind}" if self.canopy else str(self.kind)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """States inside and at the end of every step, and at every event; equal only to itself.

    Earth frame east, north, up from the foot of the rail. Times never fall; where something
    changes at once (rail exit, canopy out) the same time stands twice, before and after.
    """

    times_s: NDArray[np.float64]
    positions_m: NDArray[np.float64]
    """(n, 3) of the balance point: east, north, height above ground [m]."""
    velocities_m_s: NDArray[np.float64]
    quaternions: NDArray[np.float64]
    """(n, 4) scalar first, body to earth."""
    rates_rad_s: NDArray[np.float64]
    """(n, 3) body axes."""
    masses_kg: NDArray[np.float64]
    thrusts_n: NDArray[np.float64]
    airspeeds_m_s: NDArray[np.float64]
    machs: NDArray[np.float64]
    dynamic_pressures_pa: NDArray[np.float64]
    alphas_rad: NDArray[np.float64]
    """Angle of attack [rad]; 0 under canopies, where the attitude is not computed."""
    rolls_rad: NDArray[np.float64]
    """Roll angle of the cross wind [rad]; 0 under canopies."""
    accelerations_m_s2: NDArray[np.float64]
    """(n, 3) felt by the body (without gravity), body axes."""
    events: tuple[FlightEvent, ...]
    ended: str
    """``ground`` when it landed; otherwise why the integration stopped."""

    @property
    def landed(self) -> bool:
        """True when the flight was followed to the ground."""
        return self.ended == GROUND

    def event(self, kind: EventKind, canopy: str = "") -> FlightEvent | None:
        """Return the first event of that kind.

        Parameters
        ----------
        kind : EventKind
            What happened.
        canopy : str
            Name of the canopy it happened to, if to one.

        Returns
        -------
        event : FlightEvent or None
            ``None`` where it did not happen.
        """
        for event in self.events:
            if event.kind == kind and event.canopy == canopy:
                return event
        return None
