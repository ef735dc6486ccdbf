"""What the chosen code asks of this motor, flight and field."""

from dataclasses import dataclass

from finial.assemble.day import DayResult
from finial.core.estimates import Estimate
from finial.range_safety.limits import AirspaceRule, CodeLimits
from finial.range_safety.together import DistanceTogether


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeResult:
    """Distance, wind, tilt, ceiling and class, from the chosen code's tables."""

    code: str
    edition: str
    source: str
    impulse_n_s: float
    minimum_distance_m: float
    """The larger of the readings of the code where several rockets leave at once."""
    at_once: int
    """Rockets that leave at the same moment."""
    together: tuple[DistanceTogether, ...]
    """Readings of the code for so many at once; empty for one or two."""
    bystander_minimum_m: float | None
    """From people and property with no part in the launch, by 14 CFR 101.25 (g) [m]; ``None`` where that
    does not hold."""
    bystander_distance: Estimate | None
    """As measured, else the distance to the field's edge [m]."""
    field_minimum_m: float | None
    """Least side that the code asks the field to have [m]."""
    field_side_m: float | None
    """Least side of the field [m]: twice its radius, or across its outline where that is narrowest."""
    airspace: str | None
    """Class of the airspace, where the site's file says."""
    authorised_by: str = ""
    """Who has authorised flights in controlled airspace; empty where nobody is named."""
    airspace_rules: tuple[AirspaceRule, ...]
    """What 14 CFR 101.25 asks besides, where it holds."""
    faa_class: str
    is_high_power: bool
    """Whether its flyer must be certified."""
    limits: CodeLimits
    """What the code asks for besides distance."""
    ceiling_agl_m: float | None
    field_radius_m: float | None = None
    """Distance from the pad to the field's edge [m]."""
    crowd_clear_m: float | None = None
    """How near the ground tracks of the flights come to people, 0 or less over them [m]; ``None`` where
    nobody said where round the pad they stand."""
    day: DayResult | None = None
