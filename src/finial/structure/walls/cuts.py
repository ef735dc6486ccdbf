"""What crosses a cut through the body: printed walls, rods, or both."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate
from finial.structure.bounds import need_positive
from finial.structure.walls.outline import WallArea


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSection:
    """Printed walls at a cut, loaded along the body's axis."""

    area: WallArea
    modulus: Estimate
    """Young's modulus along the axis [Pa]."""
    compression_strength: Estimate
    """Crushing strength along the axis [Pa]."""
    tension_strength: Estimate | None
    """Across the layers, or of the glue, along the axis [Pa]; ``None`` where parts only butt together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rods:
    """Equal threaded rods that pass through a cut.

    Raises
    ------
    OutsideRange
        If the area is not above zero, or a free length comes without a root diameter.
    """

    positions_m: NDArray[np.float64]
    """(y, z) [m], shape (n, 2)."""
    stress_area_m2: float
    modulus: Estimate
    """Young's modulus [Pa]."""
    strength: Estimate
    """Yield strength [Pa]."""
    preload: Estimate
    """Tension in each rod from tightening [N]; where plastic creeps its low end is near zero."""
    free_length_m: float | None = None
    """Length without a wall or hole to steady it [m]; ``None`` when steadied all along."""
    root_diameter_m: float = 0.0
    """Root diameter of the thread [m]; needed with ``free_length_m``."""

    def __post_init__(self) -> None:
        """Refuse rods of no thickness."""
        need_positive(stress_area_m2=self.stress_area_m2)
        if self.free_length_m is not None:
            need_positive(free_length_m=self.free_length_m, root_diameter_m=self.root_diameter_m)

    @property
    def count(self) -> int:
        """Number of rods."""
        return len(self.positions_m)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionSpec:
    """A cut through the body at a station; two are equal only if they are the same one.

    Raises
    ------
    OutsideRange
        If there are neither walls nor rods.
    """

    station_m: float
    walls: WallSection | None
    rods: Rods | None = None

    def __post_init__(self) -> None:
        """Refuse a cut through nothing."""
        if self.walls is None and self.rods is None:
            raise OutsideRange(f"nothing crosses the cut at station {self.station_m} m: give walls or rods")
