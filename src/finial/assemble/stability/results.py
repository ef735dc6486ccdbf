"""Margins at the moments that matter, as findings and reports take them."""

from dataclasses import dataclass
from enum import StrEnum

from finial.aero.band.worst import LEAST_FORCE
from finial.core.estimates import Estimate


class MomentName(StrEnum):
    """Moments of a flight that margins are judged at."""

    RAIL_EXIT = "rail exit"
    MAX_SPEED = "max speed"
    BURNOUT = "burnout"


@dataclass(frozen=True, slots=True, kw_only=True)
class StabilityPoint:
    """Margin at one moment of the flight, judged at the bad end and the worst roll angle."""

    moment: MomentName
    time_s: float
    speed_m_s: float
    alpha_rad: float
    """Angle of attack it is judged at [rad]: the largest between 0 and this."""
    balance: Estimate
    pressure: Estimate
    """Pressure band at the worst roll angle: low is the forward, bad, end [m]."""
    worst_roll_rad: float
    margin: Estimate
    """Pressure minus balance station [m]; low is the bad end."""
    width_m: float
    length_m: float
    bare_margin: Estimate
    """The same without fins."""
    least_force: float
    """Least normal force up to that angle, at any roll, over sin(angle) and on the largest section [-]."""
    moment_slope: Estimate
    """Righting moment about the balance point over sin(angle), on area and width, at its worst [-]."""

    @property
    def by_moment(self) -> bool:
        """True where the force may be so small that the margin is its moment over a force of a half."""
        return self.least_force < LEAST_FORCE


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightMoment:
    """A moment of the flight: when, how fast through the air, at what angle to it."""

    name: MomentName
    time_s: float
    speed_m_s: float
    alpha_rad: float
