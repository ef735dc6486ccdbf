"""A set of equal flat fins: the one record of them, for the air, the scales, strength and the page."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.frames import evenly_round

ON_ROOT_M = 1e-9
"""A corner no farther out than this lies on the root [m]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FinSet:
    """``count`` equal flat plates, evenly spaced round the axis; equal only to itself.

    ``outline_m`` has shape (n, 2): distance aft of ``station_m``, distance outward
    from the skin at the root. The first and last points lie on the root (outward 0).
    """

    name: str
    outline_m: NDArray[np.float64]
    station_m: float
    root_radius_m: float
    """Distance of the root from the axis [m], at the fin's own roll angle."""
    count: int
    first_at_rad: float
    """Roll angle of the first fin [rad], from body y towards body z."""
    thickness_m: float
    tip_thickness_m: float | None = None
    """Thickness at the tip where it tapers [m]."""
    square_edges: bool = True
    lead_blunt: float | None = None
    """Squared sine of the slope at the leading edge's shoulder, as its mesh has it; ``None``: unknown."""
    trail_blunt: float | None = None
    """The same at the trailing edge."""
    cant_rad: float = 0.0
    """Positive cant turns the vehicle from y towards z."""
    offset_m: tuple[float, float] = (0.0, 0.0)
    """Line along the vehicle they stand out from, off its axis (y, z) [m]: fins on a leg have one."""

    @property
    def rolls_rad(self) -> tuple[float, ...]:
        """Roll angle of each fin [rad]."""
        return evenly_round(self.count, self.first_at_rad)

    @property
    def root_m(self) -> NDArray[np.float64]:
        """Corners of the outline on the root, aft of ``station_m`` [m], shape (k,); there may be none."""
        return self.outline_m[self.outline_m[:, 1] <= ON_ROOT_M, 0]

    @property
    def mean_thickness_m(self) -> float:
        """Thickness of an even plate that weighs as much as the tapered one, nearly [m]."""
        tip = self.thickness_m if self.tip_thickness_m is None else self.tip_thickness_m
        return (self.thickness_m + tip) / 2
