"""What the sensors of one flight felt, on one clock that starts at lift-off."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sensed:
    """Readings of one recorder; equal only to itself. A reading that is not there is not a number."""

    times_s: NDArray[np.float64]
    """(n,), rising, zero at lift-off."""
    heights_m: NDArray[np.float64]
    """(n,) above the pad by the barometer, as read."""
    height_noise_m: float
    """Standard deviation of one height on the pad."""
    felt_m_s2: NDArray[np.float64]
    """(n, 3) felt along the axis to the tip and two across; one g to the tip, standing on the pad."""
    felt_noise_m_s2: float
    """Standard deviation of what is felt along the axis."""
    saturated: NDArray[np.bool_]
    """(n,) where the accelerometer felt more than it tells."""
    turning_rad_s: NDArray[np.float64]
    """(n, 3) rates about the axis to the tip and two across."""
    east_north_m: NDArray[np.float64] | None = None
    """(n, 2) from the pad, by satellites."""
    heights_by_satellites: bool = False
    """True: no barometer told the heights, and no port can be off."""

    @property
    def has_heights(self) -> bool:
        """Whether there is a barometer."""
        return bool(np.isfinite(self.heights_m).any())

    @property
    def has_places(self) -> bool:
        """Whether a satellite receiver told places."""
        return self.east_north_m is not None and bool(np.isfinite(self.east_north_m).any())

    @property
    def has_axial(self) -> bool:
        """Whether there is an accelerometer along the axis."""
        return bool(np.isfinite(self.axial_m_s2).any())

    @property
    def axial_m_s2(self) -> NDArray[np.float64]:
        """Felt along the axis to the tip [m/s^2].

        Returns
        -------
        axial_m_s2 : ndarray, shape (n,)
            One g on the pad [m/s^2].
        """
        return self.felt_m_s2[:, 0]

    @property
    def sizes_m_s2(self) -> NDArray[np.float64]:
        """Size of what was felt, over the axes that were recorded.

        Returns
        -------
        sizes_m_s2 : ndarray, shape (n,)
            Not a number where no axis tells [m/s^2].
        """
        known = np.isfinite(self.felt_m_s2)
        squares = np.where(known, self.felt_m_s2, 0.0) ** 2
        return np.where(known.any(axis=1), np.sqrt(squares.sum(axis=1)), np.nan)

    @property
    def has_turning(self) -> bool:
        """Whether all three rates of turn were recorded."""
        return bool(np.isfinite(self.turning_rad_s).all(axis=1).any())
