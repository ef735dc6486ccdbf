"""A printer's motions beside the sheet: which walls the sheet says, and which are really printed."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import Estimate
from finial.files.gcode import read_motions
from finial.printing.laid import Laid, PrintMoves, laid


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWall:
    """What the sheet says of a part that these motions may be of."""

    part: str
    wall_m: float
    mass: Estimate
    """Of the plastic laid, if it is this part's [kg]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidBy:
    """Motions of one print, and the walls of the sheet."""

    file: str
    us_units: bool
    laid: Laid
    walls: tuple[SheetWall, ...]


def laid_by(vehicle: LoadedVehicle, path: Path) -> LaidBy:
    """Read the motions of a print and set them beside the sheet.

    Raises
    ------
    MotionError
        If the file cannot be read, or lays nothing.
    """
    told = read_motions(path)
    found = laid(
        PrintMoves(
            starts_mm=told.starts_mm,
            ends_mm=told.ends_mm,
            fed_mm=told.fed_mm,
            speeds_mm_s=told.speeds_mm_s,
            dwell_s=told.dwell_s,
        )
    )
    walls = tuple(
        SheetWall(
            part=part.name,
            wall_m=part.print.wall.value,
            mass=sheet_material(vehicle.sheet, part.material).density_kg_m3.scaled(found.plastic_m3),
        )
        for part in vehicle.sheet.part
        if part.print is not None
    )
    return LaidBy(file=path.name, us_units=vehicle.us_units, laid=found, walls=walls)
