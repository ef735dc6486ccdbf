"""A flat fin as a plate, and the natural frequencies it has."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.structure.bounds import need_between, need_positive

_TWISTS = 0.4
# The first torsion of a pointed fin, which bends along with it, still reaches 0.5; second bending stays
# below 0.36.


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
        need_positive(
            thickness_m=self.thickness_m, modulus_pa=self.modulus_pa, density_kg_m3=self.density_kg_m3
        )
        if self.tip_thickness_m is not None:
            need_positive(tip_thickness_m=self.tip_thickness_m)
        need_between(0.0, 0.5, poisson=self.poisson)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinModes:
    """Natural frequencies, lowest first, and what each does to the outer half of the fin."""

    frequencies_rad_s: NDArray[np.float64]
    """Angular frequencies [rad/s], shape (n,)."""
    twist_shares: NDArray[np.float64]
    """Twist of the chord in each mode over its swing [-], shape (n,): near 0 bending, near 1 torsion."""

    @property
    def bending_rad_s(self) -> float:
        """Lowest frequency that mostly bends [rad/s]."""
        return self._lowest(self.twist_shares < _TWISTS, "bending")

    @property
    def torsion_rad_s(self) -> float:
        """Lowest frequency that mostly twists [rad/s]."""
        return self._lowest(self.twist_shares >= _TWISTS, "twisting")

    def _lowest(self, fits: NDArray[np.bool_], kind: str) -> float:
        if not fits.any():
            raise OutsideRange(f"no {kind} mode among the lowest {fits.size}: ask for more modes")
        return float(self.frequencies_rad_s[int(np.argmax(fits))])
