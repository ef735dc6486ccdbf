"""A flat fin as a plate."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.structure.bounds import need_between


@dataclass(frozen=True, slots=True, kw_only=True)
class FinPlate:
    """A flat fin; its thickness may taper evenly from root to tip.

    Raises
    ------
    OutsideRange
        If a thickness, modulus or density is not above zero, or Poisson's ratio lies outside 0 to 0.5.
    """

    outline_m: NDArray[np.float64]
    thickness_m: float
    modulus_pa: float
    density_kg_m3: float
    poisson: float = 0.35
    tip_thickness_m: float | None = None
    """Thickness at the tip [m]; ``None`` where it is that of the root."""

    def __post_init__(self) -> None:
        """Refuse what no plate can be."""
        require_positive(
            thickness_m=self.thickness_m, modulus_pa=self.modulus_pa, density_kg_m3=self.density_kg_m3
        )
        if self.tip_thickness_m is not None:
            require_positive(tip_thickness_m=self.tip_thickness_m)
        need_between(0.0, 0.5, poisson=self.poisson)
