"""What any map of landing points is drawn from: the place, what lies there, and where flights come down."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.spread.case import FlightCase
from finial.assemble.vehicle.field import MarkOnField, field_marks
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.campaign.answers import ellipse_or_none
from finial.campaign.landing import Ellipse
from finial.campaign.spot import Spot, spot_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LandingMap:
    """Landing points among what lies round the pad, metres east and north of it; equal only to itself."""

    name: str
    us_units: bool
    pad_rad: tuple[float, float] | None
    """Latitude and longitude; ``None`` where the site does not say."""
    spot: Spot
    marks: tuple[MarkOnField, ...]
    minimum_m: float
    """Least distance of people, by the code [m]."""
    wind_m_s: float
    wind_from_rad: float
    landings_m: NDArray[np.float64]
    """(k, 2), at least one."""
    bare_m: NDArray[np.float64] | None
    """The same of flights without a canopy; ``None`` where none were flown so."""
    ellipse: Ellipse | None
    """``None`` where too few flights landed, or all on one line."""
    others: int = 0
    """Flights that land beside these: their points are not held, ellipse and middle are of all."""
    middle_m: tuple[float, float] | None = None
    """Of all landing points; ``None`` where these are all."""

    @property
    def landed(self) -> int:
        """How many flights land."""
        return len(self.landings_m) + self.others

    @property
    def walk(self) -> tuple[float, float]:
        """From the pad to the middle of the landing points: distance [m] and compass bearing [rad]."""
        east, north = self.landings_m.mean(axis=0).tolist() if self.middle_m is None else self.middle_m
        return math.hypot(east, north), math.atan2(east, north)

    @property
    def farthest_bare_m(self) -> float | None:
        """How far the farthest flight without a canopy falls from the pad [m]."""
        return None if self.bare_m is None else farthest_m(self.bare_m)


def landing_map(
    vehicle: LoadedVehicle,
    case: FlightCase,
    *,
    minimum_m: float,
    landings_m: NDArray[np.float64],
    bare_m: NDArray[np.float64] | None = None,
) -> LandingMap:
    """Lay landing points, at least one, on the place of a sheet."""
    launch = vehicle.sheet.launch
    return LandingMap(
        name=case.name,
        us_units=case.us_units,
        pad_rad=case.pad_rad,
        spot=spot_of(case),
        marks=field_marks(vehicle.files),
        minimum_m=minimum_m,
        wind_m_s=launch.wind.value,
        wind_from_rad=launch.wind_from.value,
        landings_m=landings_m,
        bare_m=bare_m,
        ellipse=ellipse_or_none(landings_m),
    )


def farthest_m(points_m: NDArray[np.float64]) -> float:
    """How far from the pad the farthest of many points lies [m]."""
    return float(np.hypot(points_m[:, 0], points_m[:, 1]).max())
