"""The numbers of the flight that are judged."""

import math
from dataclasses import dataclass
from enum import StrEnum

from finial.atmosphere.wind import WindProfile
from finial.core.estimates import Estimate
from finial.flight.trace import Trace

UNHELD_RAD = math.pi / 2.0
"""Stands for an angle at which the air would hold a moment, where none does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyOpening:
    """How high a canopy stands open, over the nominal flight and its corners."""

    canopy: str
    height_agl: Estimate | None
    """Height above ground [m]; ``None`` when in one of the flights it was not open before the ground."""


class Loss(StrEnum):
    """Why the numbers of a flight are not to be used from some moment on."""

    NEVER_LEFT = "never left the rail"
    TURNED_OVER = "turned over"
    EARLY_CANOPY = "canopy under thrust"
    GROUND_UNDER_THRUST = "ground under thrust"
    NOT_FOLLOWED = "not followed to the ground"


@dataclass(frozen=True, slots=True, kw_only=True)
class LostFlight:
    """A computed flight that went wrong: from here on its numbers say nothing."""

    flight: str
    """``nominal``, or the corner it was flown at."""
    loss: Loss
    time_s: float
    """From the firing signal [s]."""
    under_thrust: bool
    """True while the motor still burnt."""


class DeploymentKind(StrEnum):
    """What it is that comes out or fires."""

    CANOPY = "canopy"
    CHARGE = "charge"
    IGNITER = "igniter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Deployment:
    """Something of the sheet that comes at an event, and how long after the thrust has ended."""

    kind: DeploymentKind
    name: str
    after_burnout: Estimate | None
    """Over all flights that came to the event [s]; ``None`` when none did."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeavingRail:
    """How the vehicle leaves its rail, over the nominal flight and its corners."""

    fore_button_m: float
    aft_button_m: float
    """Stations of the first and the last button [m]."""
    speed: Estimate
    """When the rail no longer holds the direction [m/s]."""
    fore_speed: Estimate
    """When the fore button leaves [m/s]."""
    aft_speed: Estimate
    """When the aft button leaves [m/s]."""
    wind: Estimate
    """At the height of the rail's end [m/s]."""
    wind_angle: Estimate
    """What that wind, blowing across, makes of the speed [rad]."""
    alpha_rad: float
    """Angle of attack of the nominal flight when the fore button leaves [rad]."""
    turned: Estimate
    """How far the axis has turned when the aft button leaves [rad]."""
    lean_by_play: Estimate
    """How far the buttons let the vehicle lean inside the rail [rad]."""
    two_button_travel: float
    """Travel with both buttons on the rail over travel with one [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrustLine:
    """How far the balance point lies beside the line of thrust, and what the fins make of it."""

    balance_across: tuple[Estimate, Estimate]
    """Balance point at lift-off off the axis, along body y and z [m]."""
    thrust_across: tuple[Estimate, Estimate]
    """Line of thrust at the nozzle off the axis, along body y and z [m]."""
    arm: Estimate
    """Distance of the balance point from the line of thrust [m]."""
    moment: Estimate
    """What the thrust turns it with as the rail lets go [N m]."""
    righting_n_m: float
    """What the air turns it back with at one degree of angle then, nominally [N m]."""
    held_angle: Estimate
    """Angle at which the air holds that moment [rad]; ``UNHELD_RAD`` stands for none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlitMotor:
    """A cluster of which one motor does not light: the one that turns it most."""

    motor: str
    number: int
    """Which of them, the sheet's first being 1."""
    count: int
    arm_m: float
    """Distance of the balance point from what is left of the thrust [m]."""
    held_angle: Estimate
    """Angle at which the air holds that as the rail lets go [rad]; ``UNHELD_RAD`` stands for none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spinning:
    """Roll rate against the frequency the vehicle swings at."""

    ratio: Estimate
    """Largest roll rate over the pitch frequency [-]."""
    roll_rad_s: float
    """Roll rate and pitch frequency of the flight where the ratio is largest [rad/s]."""
    pitch_rad_s: float
    time_s: float
    fastest_rad_s: float
    """Fastest roll rate of any flight [rad/s]."""
    passes: bool
    """True where the roll rate meets the pitch frequency in some flight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swinging:
    """How fast swings die out, where they do so most slowly in any flight."""

    damping_ratio: Estimate
    """Over the damping at which it would no longer swing; the low end has the least damping [-]."""
    wavelength: Estimate
    """Way flown in one swing, where that is shortest [m]."""
    time_s: float
    """When swings die out most slowly [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightResult:
    """The nominal flight, and the numbers that are judged."""

    trace: Trace
    wind_over: WindProfile | None = None
    """Of the nominal flight; ``None`` where nobody kept it."""
    lift_off_mass_kg: float
    motor_name: str
    impulse_n_s: float
    motor_letter: str
    average_thrust_n: float
    thrust_to_weight: Estimate
    has_guide: bool
    """False where the sheet names no buttons: how it leaves the rail is then not known."""
    rail: LeavingRail | None
    """``None`` without buttons, or where some flight never left the rail."""
    thrust_line: ThrustLine | None
    """``None`` where some flight never left the rail."""
    lean: Estimate | None
    """Largest angle of the axis from the vertical under thrust [rad]."""
    spinning: Spinning | None
    swinging: Swinging | None
    """``None`` where some flight has no moment that brings it back, or the least damping is not known."""
    least_wavelength_m: float
    """Shorter swings outrun the air of fins and wake: loads are then not those computed [m]."""
    longest_chord_m: float
    """Mean chord of the fins that have the longest; 0 without fins [m]."""
    galloping_angle: Estimate | None
    """Angle of attack from which flats across the wind feed a swing [rad]; a right angle stands for none,
    ``None`` where some flight never left the rail."""
    lopsided_angle: Estimate
    """Angle of attack from which lopsided vortices may push it aside [rad]."""
    steady_angle: Estimate | None
    """Angle of attack kept to when nothing disturbs the flight any more [rad]."""
    lost: tuple[LostFlight, ...]
    """Flights that went wrong, the nominal one first; none in a sound vehicle."""
    deployments: tuple[Deployment, ...]
    """Canopies, charges and igniters of the sheet, in its order."""
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
    unlit: UnlitMotor | None = None
    """``None`` for a single motor, or where some flight never left the rail."""
    openings: tuple[CanopyOpening, ...] = ()
    """Every canopy of the sheet, in its order."""

    @property
    def usable(self) -> bool:
        """False when some flight was lost: what follows from it is then not to be used."""
        return not self.lost

    @property
    def rail_exit_speed(self) -> Estimate | None:
        """Speed when the rail no longer holds the direction [m/s], where that is known."""
        return self.rail.speed if self.rail else None
