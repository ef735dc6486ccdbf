"""What the long look at strength hands to findings, report and page."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.fins.records import FinStudy
from finial.assemble.strength.results import ReserveRow
from finial.assemble.strength.stations import StationReserves
from finial.core.estimates import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLoads:
    """Loads along the body, or along one half of it, in one case; arrays have shape (n,)."""

    case: str
    stations_m: NDArray[np.float64]
    axial_n: NDArray[np.float64]
    """Compression positive [N]."""
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]
    torsion_n_m: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareRow:
    """One load case with and without the rods."""

    case: str
    station_m: float
    axial_n: float
    """Largest axial force there, compression positive [N]."""
    rod_share: float
    """Share of it that the rods carry while all is tight [-]."""
    pulled_with: Estimate | None
    """Worst reserve of the layers against being pulled apart; ``None`` if nothing pulls them."""
    pulled_without: Estimate | None
    """The same without rods."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PreloadRow:
    """What becomes of one set of rods' preload on a hot day; all of the rods together [N]."""

    rods: str
    tightened_n: Estimate
    hot_n: float
    """In the sun, before the plastic creeps."""
    after_n: float
    """Cooled down again after the wait on the pad."""
    left: float
    """Share left [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatCase:
    """How warm one printed part gets somewhere, and what to do."""

    part: str
    where: str
    temperature: Estimate
    """[K]."""
    margin: Estimate
    """What is left to 10 K below softening [K]."""
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthStudy:
    """Everything the long look found."""

    cases: tuple[CaseLoads, ...]
    reserves: tuple[ReserveRow, ...]
    """Worst first; what nobody knows comes before all."""
    by_station: StationReserves
    """In flight and recovery."""
    ground_by_station: StationReserves
    """Landing and handling."""
    shares: tuple[ShareRow, ...]
    preloads: tuple[PreloadRow, ...]
    heat: tuple[HeatCase, ...]
    fins: tuple[FinStudy, ...]
    wall_temperature: Estimate
    """Temperature of the printed walls that strengths were taken at [K]."""
