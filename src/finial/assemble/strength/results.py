"""What strength hands to findings, report and page: load cases, reserves, warmth."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate
from finial.structure.loads.case import Case
from finial.structure.reserves import FailureMode, Reserve


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLoads:
    """Loads along the body, or along one half of it, in one case; arrays have shape (n,)."""

    case: Case
    stations_m: NDArray[np.float64]
    axial_n: NDArray[np.float64]
    """Compression positive [N]."""
    shear_n: NDArray[np.float64]
    bending_n_m: NDArray[np.float64]
    torsion_n_m: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationReserves:
    """Worst reserve at each station that was judged; arrays have shape (n,)."""

    stations_m: NDArray[np.float64]
    reserves: NDArray[np.float64]
    """Low end of the worst reserve [-]; ``nan`` where nobody knows."""
    modes: tuple[FailureMode | None, ...]
    """Way to fail; ``None`` where nobody knows."""
    cases: tuple[Case | None, ...]


class Place(StrEnum):
    """Where a part gets warm."""

    SUN = "sun"
    """On the pad, in the day's sun."""
    CAR = "car"
    """In a closed car in the sun."""
    MOTOR = "motor"
    """Where it touches the motor's tube."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatCase:
    """How warm one printed part gets somewhere."""

    part: str
    place: Place
    temperature: Estimate
    """[K]."""
    softens: Estimate
    """[K]."""
    margin: Estimate
    """What is left to 10 K below softening [K]."""
    white_cools_k: float = 0.0
    """How much cooler the sun would leave it if it were white [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdCase:
    """How cold one printed part gets."""

    part: str
    station_m: float
    air: Estimate
    """[K]."""
    brittle_below_k: float
    """Coldest air in which prints of its plastic are usually knocked about [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PreloadRow:
    """What a day does to one set of rods' preload; all of the rods together [N]."""

    rods: str
    """Which set."""
    tightened_n: Estimate
    hot_n: Estimate
    """In the sun, before the plastic creeps."""
    cold_n: Estimate
    """As cold as the day's air, before any warmth."""
    day_n: Estimate
    """As it flies: cold, or after creep in the warmth."""
    cooled_n: Estimate
    """When it has soaked and cooled down again."""
    left: Estimate
    """Share that creep leaves [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthResult:
    """All load cases and reserves of the quick look, worst first, and the heat of the day."""

    cases: tuple[CaseLoads, ...]
    reserves: tuple[Reserve, ...]
    heat: tuple[HeatCase, ...] = ()
    by_station: StationReserves | None = None
    """Worst reserve of walls, rods and joints along the body."""
