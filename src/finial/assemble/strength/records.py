"""What the long look at strength hands to findings, report and page."""

from dataclasses import dataclass
from enum import StrEnum

from finial.aero.shedding import ShedderKind
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


class Swinger(StrEnum):
    """What may swing in step with vortices."""

    FIN = "fin"
    WALL = "wall"


@dataclass(frozen=True, slots=True, kw_only=True)
class InStep:
    """A ledge or leg, and a fin or wall behind it that swings as often as that sheds."""

    swinger: Swinger
    name: str
    """Of the fins, or of the part whose wall it is."""
    source: ShedderKind
    source_m: float
    """Station of the ledge, or where the leg begins [m]."""
    height_m: float
    """Depth of the ledge, or width of the leg [m]."""
    frequency_hz: Estimate
    speed: Estimate
    """At which both are in step [m/s]."""
    reserve: Estimate | None
    """Pressure it bears over what vortices in step come to [-]; ``None`` where the first is not known."""


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
    in_step: tuple[InStep, ...]
    """Of each fin set and part that swings as often as a ledge or leg ahead sheds at a speed that is flown,
    the pair with the least reserve."""
    recovery_followed: bool
    """Whether pulls come from the separation followed in time, or from closed forms."""
