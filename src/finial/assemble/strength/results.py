"""Load cases and reserves of the quick look."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.stations import StationReserves
from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCaseResult:
    """Loads along the body in one case, and the reserve of walls, rods and joints."""

    case: str
    stations_m: NDArray[np.float64]
    axial_n: NDArray[np.float64]
    """Compression positive [N]."""
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReserveRow:
    """Reserve factor of one failure mode: strength over load; 1 just holds."""

    what: str
    case: str
    station_m: float
    load: str
    """Load and strength in words."""
    reserve: Estimate | None
    rod_share: float | None
    """Share of the load carried by the rods [-]."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRow:
    """How warm a printed part gets in the sun, and when its plastic softens."""

    part: str
    surface_k: Estimate
    softens_k: Estimate
    margin_k: Estimate
    """What is left to the flag, which stands 10 K below softening [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthResult:
    """All load cases and reserves, worst first, and the heat of the day."""

    cases: tuple[LoadCaseResult, ...]
    reserves: tuple[ReserveRow, ...]
    heat: tuple[HeatRow, ...] = ()
    by_station: StationReserves | None = None
    """Worst reserve of walls, rods and joints along the body."""
