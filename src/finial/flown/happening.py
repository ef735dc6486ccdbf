"""What a log shows to have happened."""

from dataclasses import dataclass
from enum import StrEnum

from finial.core.estimates import Estimate


class Seen(StrEnum):
    """What may be seen in a log."""

    LIFT_OFF = "lift-off"
    RAIL_EXIT = "rail exit"
    BURNOUT = "burnout"
    APOGEE = "apogee"
    SEPARATION = "separation"
    CANOPY_FULL = "canopy full"
    LANDING = "landing"


class Certainty(StrEnum):
    """How surely it is seen: by two sensors that agree, by one clearly, or by a hint."""

    SURE = "sure"
    LIKELY = "likely"
    HINT = "hint"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEvent:
    """One thing that happened, and when."""

    kind: Seen
    time: Estimate
    """From lift-off [s]; the ends hold about nine in ten."""
    height_m: float
    """Above the pad."""
    speed_m_s: float
    """Upwards positive."""
    certainty: Certainty
