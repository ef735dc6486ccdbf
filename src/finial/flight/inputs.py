"""Everything one flight needs, as numbers and arrays: no sheet, no files."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.core.constants import STANDARD_GRAVITY_M_S2

APOGEE = "apogee"
AFTER_APOGEE_ALTITUDE = "altitude"
AFTER_LIFT_OFF = "time"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MassHistory:
    """Mass properties over the burn, linear between knots; constant outside them; equal only to itself.

    ``times_s`` from ignition, shape (n,), rising strictly; ``masses_kg`` (n,);
    ``centres_m`` (n, 3) body axes; ``inertias_kg_m2`` (n, 3, 3) about the moving centre.
    """

    times_s: NDArray[np.float64]
    masses_kg: NDArray[np.float64]
    centres_m: NDArray[np.float64]
    inertias_kg_m2: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Thrust:
    """Thrust over time from ignition, where and along what it pushes (body axes); equal only to itself."""

    times_s: NDArray[np.float64]
    thrusts_n: NDArray[np.float64]
    nozzle_station_m: float
    offset_m: tuple[float, float] = (0.0, 0.0)
    """Thrust line at the nozzle, off the axis (y, z) [m]."""
    tilt_rad: tuple[float, float] = (0.0, 0.0)
    """Thrust line leaning towards y and z [rad]."""
    ignition_delay_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """Launch rail and where the buttons ride."""

    length_m: float
    tilt_rad: float
    """From vertical [rad]."""
    bearing_rad: float
    """Compass bearing towards which the rail leans [rad]."""
    fore_button_m: float
    """Station of the forward button [m]."""
    aft_button_m: float
    friction: float = 0.0
    """Friction coefficient between button and rail [-]."""
    roll_rad: float = 0.0
    """Roll angle of the body side that carries the buttons [rad].

    That side faces the bearing the rail leans towards: the rail lies under the vehicle."""
    stand_m: float | None = None
    """Station that stands at the foot of the rail [m]; ``None``: that of the nozzle."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Air:
    """The day's air: a column anchored to the pad, and the wind at heights above ground.

    Equal only to itself; ``wind_heights_m`` rises from 0 (above ground); the wind vectors say where
    it blows **to**.
    """

    ground_asl_m: float
    pressure_pa: float
    temperature_k: float
    wind_heights_m: NDArray[np.float64]
    wind_east_m_s: NDArray[np.float64]
    wind_north_m_s: NDArray[np.float64]
    wind_up_m_s: NDArray[np.float64] | None = None
    lapse_k_m: float = 0.0065
    """Fall of temperature with geopotential height below 11 km [K/m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyEvent:
    """A canopy that comes out at a trigger.

    ``trigger`` is ``"apogee"``, ``"altitude"`` (falling through ``threshold`` metres AGL
    after apogee) or ``"time"`` (``threshold`` seconds after lift-off).
    """

    name: str
    trigger: str
    threshold: float
    delay_s: float
    drag_area_m2: float
    """Drag coefficient times its own reference area [m^2], full open."""
    fill_constant: float
    """Filling distance in canopy diameters [-]: filling time = constant x diameter / speed.

    The speed is that of the fall; the first canopy's fall speeds up by gravity meanwhile."""
    diameter_m: float
    mass_kg: float
    works: bool = True
    """False: it never comes out and the bay stays shut."""
    fills: bool = True
    """False: it comes out but stays a bundle, so that only the tumbling drag area acts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirDepartures:
    """How the air loads depart from the table: by doubt about it, and by a body that is crooked.

    A crooked body (a bent fin, a statue with an arm) feels a side force with the air along its
    axis and so flies at an angle; the force turns with the body.
    """

    axial_factor: float = 1.0
    across_factor: float = 1.0
    """On the forces across the axis, and so on their moments."""
    station_shift_m: float = 0.0
    """How far aft of the table's the centre of pressure lies [m]."""
    side: tuple[float, float] = (0.0, 0.0)
    """Force coefficients along body y and z at zero angle, on the table's reference area [-]."""
    side_station_m: float = 0.0
    """Station that this force acts at [m]."""
    roll_moment: float = 0.0
    """Roll moment coefficient on top of the table's, per width [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightInputs:
    """One flight, self-contained, so that it can run on another machine."""

    mass: MassHistory
    thrust: Thrust
    air_table: AirTable
    rail: Rail
    air: Air
    canopies: tuple[CanopyEvent, ...]
    tumbling_drag_area_m2: float
    """Drag area of the opened vehicle falling without a canopy [m^2]."""
    gravity_m_s2: float = STANDARD_GRAVITY_M_S2
    """The same at all heights: 1 km up it is 0.03 % less, between equator and pole 0.5 % apart."""
    trim: AirDepartures = AirDepartures()


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A state to begin free flight from, instead of the rail."""

    time_s: float
    """From the firing signal [s]."""
    position_m: NDArray[np.float64]
    """East, north, height above ground [m]."""
    velocity_m_s: NDArray[np.float64]
    quaternion: NDArray[np.float64]
    """Scalar first, body to earth."""
    rates_rad_s: NDArray[np.float64]
    """Body axes."""
