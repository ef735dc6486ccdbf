"""What crosses a cut through the body: printed walls, rods, or both."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate
from finial.structure.bounds import need_between
from finial.structure.walls.outline import WallArea
from finial.structure.walls.sandwich import Sandwich
from finial.structure.walls.torsion import WallTube


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSection:
    """Printed walls at a cut, loaded along the body's axis.

    Raises
    ------
    OutsideRange
        If the infill lies outside 0 to 1, or a length is not above zero.
    """

    area: WallArea
    modulus: Estimate
    """Young's modulus along the axis [Pa]."""
    compression_strength: Estimate
    """Crushing strength along the axis [Pa]."""
    tension_strength: Estimate | None
    """Across the layers, or of the glue, along the axis [Pa]; ``None`` where parts only butt together."""
    tube: WallTube | None = None
    """The walls as a closed tube; ``None`` where shear is not judged."""
    shear_strength: Estimate | None = None
    """Of the closed tube, along its layers [Pa]; needed with ``tube``."""
    flat_length_m: float = math.inf
    """Length of the flats along the axis, from ledge to ledge [m]."""
    infill: float = 0.0
    """Share of the inside that is filled [-]."""
    infill_depth_m: float = 1.0
    """Depth of the infill behind a wall [m]."""
    sandwich: Sandwich | None = None
    """Two skins with infill between, where a hollow mesh is thicker than both; ``None`` for plain walls."""
    wall_scatter: float = 0.0
    """How far the walls may be thinner or thicker than said [-]."""

    def __post_init__(self) -> None:
        """Refuse walls that cannot be."""
        need_between(0.0, 1.0, infill=self.infill)
        need_between(0.0, 0.9, wall_scatter=self.wall_scatter)
        require_positive(infill_depth_m=self.infill_depth_m)
        if not self.flat_length_m > 0.0 or (self.tube is None) != (self.shear_strength is None):
            raise OutsideRange("walls need flats of some length, and a closed tube its shear strength")


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
        require_positive(stress_area_m2=self.stress_area_m2)
        if self.free_length_m is not None:
            require_positive(free_length_m=self.free_length_m, root_diameter_m=self.root_diameter_m)

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
    part: str = ""
    """Which part of the sheet its walls are of."""
    warmth_left: float = 1.0
    """Share of the walls' strength, at its low end, that warmth leaves [-]."""

    def __post_init__(self) -> None:
        """Refuse a cut through nothing."""
        if self.walls is None and self.rods is None:
            raise OutsideRange(f"nothing crosses the cut at station {self.station_m} m: give walls or rods")
