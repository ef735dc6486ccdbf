"""Layers of the printed parts, and the nozzle that lays them."""

from dataclasses import dataclass

from finial.assemble.vehicle.loading import LoadedVehicle

USUAL_NOZZLE_M = 0.4e-3
"""Bore of most printers' nozzles [m]; common practice."""
LAYER_OVER_NOZZLE = 0.8
"""Thickest layer over the bore of its nozzle [-]: common practice of printing; thicker ones hardly weld."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayersOfPart:
    """A printed part of which the sheet says how thick its layers are."""

    part: str
    layer_m: float
    nozzle_m: float


def nozzle_told(vehicle: LoadedVehicle) -> float | None:
    """Bore of the printer's nozzle as the sheet has it [m]."""
    printer = vehicle.sheet.print
    return printer.nozzle.value if printer is not None and printer.nozzle is not None else None


def nozzle_m(vehicle: LoadedVehicle) -> float:
    """Bore of the printer's nozzle [m]; the usual one where the sheet names none."""
    return nozzle_told(vehicle) or USUAL_NOZZLE_M


def layers_of_parts(vehicle: LoadedVehicle) -> tuple[LayersOfPart, ...]:
    """Every printed part that has a layer height of its own; the usual nozzle where the sheet names none."""
    nozzle = nozzle_m(vehicle)
    return tuple(
        LayersOfPart(part=part.name, layer_m=part.print.layer_height.value, nozzle_m=nozzle)
        for part in vehicle.sheet.part
        if part.print is not None and part.print.layer_height is not None
    )
