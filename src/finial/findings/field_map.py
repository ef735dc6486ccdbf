"""The field of the day on one map: where it comes down, what lies there, which lean and which wind."""

from dataclasses import dataclass

import numpy as np

from finial.assemble.basis import basis_of
from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.quantiles import Quantile, quantile
from finial.core.errors import OutsideRange
from finial.findings.check import Tell, silent
from finial.findings.landing_map import LandingMap, farthest_m, landing_map
from finial.findings.latest_wind import LatestWind, latest_wind
from finial.findings.range_result import RangeResult
from finial.range_safety.hazards import MapFlights, OnMark, fly_for_map, on_marks
from finial.range_safety.leaning import Lean, clearance_m, leans

CLOCK_SHARE = 0.99
"""Of all tops that a backup clock should wait for [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FieldMap:
    """Everything that a map of the day shows and says; equal only to itself."""

    drawn: LandingMap
    flown: MapFlights
    bare: Quantile
    """Distance that 95 % of the flights without a canopy stay within [m]."""
    on_marks: tuple[OnMark, ...]
    leans: tuple[Lean, ...]
    """Tried leans, the one that clears most first; empty where nothing to keep off is known."""
    own_clearance_m: float
    """The same of the flights drawn here, as the rail stands [m]; infinite where nothing is known."""
    tops: Quantile | None
    """Time that 99 % of the tops lie before, after lift-off [s]; ``None`` where no flight came to it."""
    wind: LatestWind

    @property
    def farthest_bare_m(self) -> float:
        """How far the farthest flight without a canopy falls from the pad [m]."""
        return farthest_m(self.flown.bare_m)


def field_map(
    vehicle: LoadedVehicle,
    rules: RangeResult,
    *,
    flights: int,
    seed: int,
    threads: int = 1,
    tell: Tell = silent,
) -> FieldMap:
    """Fly a vehicle for the map of its day.

    Raises
    ------
    OutsideRange
        If no flight comes to the ground as computed: nothing can then be drawn.
    """
    case = flight_case(vehicle)
    tell(f"flying {flights} times, and as many without a canopy")
    flown = fly_for_map(case, flights=flights, seed=seed, threads=threads)
    if len(flown.landings_m) == 0 or len(flown.bare_m) == 0:
        raise OutsideRange("no flight comes to the ground as computed: finial check says what loses it")
    far = np.hypot(flown.bare_m[:, 0], flown.bare_m[:, 1])
    drawn = landing_map(
        vehicle,
        case,
        minimum_m=rules.minimum_distance_m,
        landings_m=flown.landings_m,
        bare_m=flown.bare_m,
    )
    spot, marks = drawn.spot, drawn.marks
    tell("leaning the rail every way")
    inputs = {
        name: one for name, one in basis_of(vehicle).flights.inputs.items() if name in ("windy", "calm")
    }
    return FieldMap(
        drawn=drawn,
        flown=flown,
        bare=quantile(far, 0.95),
        on_marks=on_marks(marks, flown),
        leans=leans(inputs, spot, marks, rules.limits.tilt_rad),
        own_clearance_m=clearance_m(np.vstack([flown.landings_m, flown.bare_m]), spot, marks),
        tops=quantile(flown.apogees_s, CLOCK_SHARE) if flown.apogees_s.size else None,
        wind=latest_wind(vehicle, rules.limits.wind_m_s, tell),
    )
