"""Worst reserve at each station, for colouring the body."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class StationReserves:
    """Worst reserve at each station that was judged; arrays have shape (n,)."""

    stations_m: NDArray[np.float64]
    reserves: NDArray[np.float64]
    """Low end of the worst reserve [-]; ``nan`` where nobody knows."""
    what: tuple[str, ...]
    """Way to fail, or ``not known``."""
    cases: tuple[str, ...]
