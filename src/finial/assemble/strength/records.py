"""What the long look at strength hands to findings, report and page."""

from dataclasses import dataclass

from finial.assemble.strength.fins.records import FinStudy
from finial.assemble.strength.results import CaseLoads, HeatCase, PreloadRow, StationReserves
from finial.core.estimates import Estimate
from finial.structure.loads.case import Case
from finial.structure.reserves import Reserve


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareRow:
    """One load case with and without the rods."""

    case: Case
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
class BarsWorth:
    """What bars of the builder's own printer would settle about the strength across layers of one print."""

    material: str
    now: Estimate
    """As it is judged [Pa]."""
    lots: int
    """Lots of its own that speak for it; 0 where its kin do."""
    bars: int
    with_bars: Estimate
    """As it would be judged if that many own bars had the same mean [Pa]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthStudy:
    """Everything the long look found."""

    cases: tuple[CaseLoads, ...]
    reserves: tuple[Reserve, ...]
    """Worst first; what nobody knows comes before all."""
    by_station: StationReserves
    """In flight and recovery."""
    ground_by_station: StationReserves
    """Landing and handling."""
    shares: tuple[ShareRow, ...]
    preloads: tuple[PreloadRow, ...]
    heat: tuple[HeatCase, ...]
    fins: tuple[FinStudy, ...]
    layers: tuple[BarsWorth, ...]
    wall_temperature: Estimate
    """Temperature of the printed walls that strengths were taken at [K]."""
    recovery_followed: bool
    """Whether pulls come from the separation followed in time, or from closed forms."""
