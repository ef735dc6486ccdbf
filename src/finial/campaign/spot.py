"""The place that a campaign's landings are judged against: field, ceiling, people."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.spread.case import FlightCase
from finial.campaign.landing import inside_field, inside_field_by
from finial.core.errors import MissingData

CROWD_DEEP_M = 20.0
"""How far back from its front row a crowd stands [m]; a usual depth, assumed."""
REACH_M = 3.0
"""How far round its landing point a vehicle hurts [m]: its length, and a step aside; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """Where people stand: nearest so far from the pad, towards a bearing if that is known."""

    near_m: float
    deep_m: float = CROWD_DEEP_M
    bearing_rad: float | None = None
    """Compass bearing from the pad to their middle [rad]; ``None``: it was not entered."""
    across_m: float | None = None
    """How wide they stand [m]; ``None``: it was not entered."""

    @property
    def is_placed(self) -> bool:
        """True when the sheet says where round the pad they stand, and how wide."""
        return self.bearing_rad is not None and self.across_m is not None

    def struck(self, landings_m: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Say which landings reach where people stand, (n,).

        Among them; or as far out as they are, where nobody said on which side that is.
        """
        return self.distance_m(landings_m) <= 0.0

    def distance_m(self, landings_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far landings are from reaching people, (n,) [m]; 0 or less reaches.

        The longer of what is missing along and across.
        """
        if self.bearing_rad is None or self.across_m is None:
            return self._out_of_depth(np.hypot(landings_m[:, 0], landings_m[:, 1]))
        sine, cosine = math.sin(self.bearing_rad), math.cos(self.bearing_rad)
        out = landings_m @ np.array([sine, cosine])
        aside = landings_m @ np.array([cosine, -sine])
        return np.maximum(self._out_of_depth(out), np.abs(aside) - self.across_m / 2.0 - REACH_M)

    def _out_of_depth(self, out_m: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.maximum(self.near_m - REACH_M - out_m, out_m - self.near_m - self.deep_m - REACH_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """What the answers are judged against; ``None`` where sheet and site do not say."""

    ceiling_agl_m: float | None = None
    field_m: tuple[NDArray[np.float64], ...] | None = None
    """Rings of the field, metres east and north of the pad."""
    field_radius_m: float | None = None
    crowd: Crowd | None = None

    def is_inside(self, landings_m: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Say which landings lie in the field, (n,): in its outline, or within its radius where that is all.

        Raises
        ------
        MissingData
            If neither an outline nor a radius of the field is known.
        """
        if self.field_m is not None:
            return inside_field(landings_m, self.field_m)
        return self.inside_by_m(landings_m) >= 0.0

    def inside_by_m(self, landings_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far inside the field landings lie, (n,) [m]; 0 or less is outside.

        Raises
        ------
        MissingData
            If neither an outline nor a radius of the field is known.
        """
        if self.field_m is not None:
            return inside_field_by(landings_m, self.field_m)
        if self.field_radius_m is None:
            raise MissingData("neither outline nor radius of the field is known")
        return self.field_radius_m - np.hypot(landings_m[:, 0], landings_m[:, 1])


def spot_of(case: FlightCase) -> Spot:
    """Take the place out of a case."""
    near = case.crowd_distance_m
    crowd = None
    if near is not None:
        crowd = Crowd(near_m=near, bearing_rad=case.crowd_bearing_rad, across_m=case.crowd_across_m)
    return Spot(
        ceiling_agl_m=case.ceiling_agl_m,
        field_m=case.field_m,
        field_radius_m=case.field_radius_m,
        crowd=crowd,
    )
