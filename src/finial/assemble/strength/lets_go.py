"""A small thing that may let go: which way, where, in what case, and what its stuff holds there."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.materials.material import PRINTED, Material
from finial.structure.loads.case import Case
from finial.structure.reserves import Because, FailureMode, Reserve, reserve_factor
from finial.structure.rods.fastening import BEARING_OF_TENSION, SHEAR_OF_TENSION

ACROSS_NUT = 1.7
"""Width of a nut over its thread's diameter [-], ISO 4032 within a tenth."""
CLEARANCE_HOLE = 1.1
"""Hole for a rod over its diameter [-], ISO 273 medium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LetsGo:
    """Which small thing lets go, where and in what case."""

    mode: FailureMode
    station_m: float
    case: Case | None
    subject: str = ""
    dimension: Dimension = Dimension.PRESSURE
    warmth_left: float = 1.0
    because: Because | None = None
    numbers: Mapping[str, float] = field(default_factory=dict[str, float])

    def judged(self, load: Estimate, strength: Estimate) -> Reserve:
        """Strength over load.

        Parameters
        ----------
        load, strength : Estimate
            In one and the same unit, that of the dimension [Pa] or [N].
        """
        return Reserve(
            mode=self.mode,
            station_m=self.station_m,
            dimension=self.dimension,
            load=load,
            strength=strength,
            reserve=reserve_factor(strength, load),
            subject=self.subject,
            case=self.case,
            because=self.because,
            numbers=self.numbers,
            warmth_left=self.warmth_left,
        )


def unknown_row(
    mode: FailureMode, station_m: float, because: Because | None, subject: str = "", case: Case | None = None
) -> Reserve:
    """Return the row of what the sheet does not say."""
    return Reserve(
        mode=mode, station_m=station_m, dimension=Dimension.FORCE, subject=subject, because=because, case=case
    )


def bearing_strength(plate: Material) -> Estimate:
    """Strength under a washer [Pa]: through a sheet's thickness where that is another than in its plane."""
    return plate.through_pa or plate.yield_pa.scaled(BEARING_OF_TENSION)


def punching_strength(plate: Material) -> Estimate:
    """Strength against a nut that is pulled through [Pa]."""
    return plate.punched_pa or layers_of(plate).scaled(SHEAR_OF_TENSION)


def layers_of(stuff: Material) -> Estimate:
    """Strength that lets go first: across the layers of a print [Pa]."""
    return stuff.upright_pa if stuff.kind == PRINTED and stuff.upright_pa else stuff.ultimate_pa


def bending_strength(stuff: Material) -> Estimate:
    """Strength of a plate that bends [Pa]: how the layers of a printed one lie, nobody says."""
    return layers_of(stuff) if stuff.kind == PRINTED else stuff.yield_pa
