"""Printed parts of the sheet on the printer's bed."""

from dataclasses import dataclass

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material
from finial.core.frames import body_from_mesh
from finial.core.kept_parts import kept
from finial.files.sheet_body import PartEntry
from finial.materials.material import PRINTED
from finial.printing.bed import pieces_on_bed

Sides = tuple[float, float, float]
_AXES = "xyz"
USUAL_LAYER_M = 0.0002
"""Height of a printed layer where the sheet tells none [m]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOnBed:
    """A printed part, and the pieces that it is cut into at least."""

    part: str
    size_m: Sides
    """Sides of its bounding box along the mesh's axes [m]."""
    pieces: int


def parts_on_bed(vehicle: LoadedVehicle) -> tuple[PartOnBed, ...]:
    """Every printed part on the bed of the sheet; none where the sheet has no bed."""
    sheet = vehicle.sheet
    if sheet.print is None:
        return ()
    first, second, height = (side.value for side in sheet.print.bed)
    printed = [part for part in vehicle.parts if is_printed(vehicle, part)]
    return tuple(_on_bed(part, sheet.vehicle.up, (first, second, height)) for part in printed)


def is_printed(vehicle: LoadedVehicle, part: PlacedPart) -> bool:
    """Whether a part comes off a printer: its print is told, or it is of a printed stuff."""
    return part.spec.print is not None or sheet_material(vehicle.sheet, part.spec.material).kind == PRINTED


def _on_bed(part: PlacedPart, up: str, bed_m: Sides) -> PartOnBed:
    size = _sides(part, up)
    pieces = pieces_on_bed(size, bed_m, upright_axis(part.spec))
    return PartOnBed(part=part.spec.name, size_m=size, pieces=pieces)


def upright_axis(part: PartEntry) -> int | None:
    """Axis of the mesh that stands upright on the bed; ``None`` where no print is told."""
    return _AXES.index(part.print.layers_along) if part.print else None


# Parts are compared by identity: a slider that moves ballast measures none of them again.
@kept(64)
def _sides(part: PlacedPart, up: str) -> Sides:
    along_body = np.ptp(part.mended.mesh.vertices_m, axis=0)
    x, y, z = np.abs(body_from_mesh(up).T) @ along_body
    return float(x), float(y), float(z)
