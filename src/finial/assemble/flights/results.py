"""The numbers of the flight that are judged."""

from dataclasses import dataclass

from finial.core.estimates import Estimate
from finial.flight.trace import Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyOpening:
    """How high a canopy stands open, over the nominal flight and its corners."""

    canopy: str
    height_agl: Estimate | None
    """Height above ground [m]; ``None`` when in one of the flights it was not open before the ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightResult:
    """The nominal flight, and the numbers that are judged."""

    trace: Trace
    lift_off_mass_kg: float
    motor_name: str
    impulse_n_s: float
    motor_letter: str
    average_thrust_n: float
    thrust_to_weight: Estimate
    rail_exit_speed: Estimate
    rail_exit_alpha_rad: float
    apogee_agl: Estimate
    max_speed: Estimate
    max_mach: float
    max_acceleration_m_s2: float
    max_dynamic_pressure_pa: float
    flight_time_s: float
    landing_east_m: float
    landing_north_m: float
    drift: Estimate
    """Distance from pad to landing point [m]."""
    openings: tuple[CanopyOpening, ...] = ()
    """Every canopy of the sheet, in its order."""
