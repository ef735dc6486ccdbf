"""A motor as its data sheet and thrust curve describe it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motor:
    """Thrust curve and masses. Times from ignition [s]; thrust at the pad's air [N]; equal only to itself.

    ``times_s`` rises strictly from 0; ``thrusts_n`` ends at 0. Both shape (n,), read-only.
    """

    name: str
    diameter_m: float
    length_m: float
    loaded_mass_kg: float
    propellant_mass_kg: float
    times_s: NDArray[np.float64]
    thrusts_n: NDArray[np.float64]
    ignition_delay_s: float = 0.0
    thrust_spread: float = 0.05
    """Fraction by which total impulse scatters from motor to motor [-]."""
