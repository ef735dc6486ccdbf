"""One flight's time history and what stands out in it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightEvent:
    """Something that happened.

    Names: ``lift-off``, ``fore button leaves``, ``rail exit``, ``burnout``, ``apogee``,
    ``<canopy> out``, ``<canopy> open``, ``ground``.
    """

    name: str
    time_s: float
    height_agl_m: float
    speed_m_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """States inside and at the end of every step, and at every event.

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

    def event(self, name: str) -> FlightEvent | None:
        """Return the first event of that name, or ``None``."""
        return next((event for event in self.events if event.name == name), None)
