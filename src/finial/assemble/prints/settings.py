"""The builder's printer, as far as the sheet tells it; what it leaves open is usual and said so."""

from dataclasses import dataclass

from finial.assemble.strength.cuts import ROOM, rods_at
from finial.assemble.vehicle.bed import USUAL_LAYER_M
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.nozzle import nozzle_m
from finial.core.errors import BuildSheetError
from finial.printing.effort import Printer
from finial.printing.joints import Dowels, JointKind
from finial.printing.splitting import BedCut, Clearances, station_cut
from finial.printing.turns import Bed

USUAL_CLEARANCE_M = 0.3e-3
"""What a printed hole is made wider than what goes in, on the diameter [m]; common practice."""
USUAL_SPEED_M_S = 0.06
"""Speed of the nozzle while it lays lines [m/s]; common practice of printers nobody tuned."""
LINE_OVER_NOZZLE = 1.125
"""Width of a line over the bore of the nozzle [-]: 0.45 mm of 0.4 mm; common practice."""
LIP_M = 5e-3
USUAL_DOWELS = Dowels(count=4, diameter_m=5e-3, depth_m=12e-3)
BED_WANTED = 'the bed of your printer, such as bed = ["220 mm", "220 mm", "250 mm"] under [print]'


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSettings:
    """The printer and the joints it is to make."""

    vehicle: LoadedVehicle
    bed_m: Bed
    nozzle_m: float
    play: Clearances
    clearance_measured: bool
    printer: Printer
    speed_told: bool
    kind: JointKind

    def printer_for(self, part: PlacedPart) -> Printer:
        """Return the printer with the layers that a part is printed in."""
        layer = part.spec.print.layer_height if part.spec.print else None
        return Printer(
            line_width_m=self.printer.line_width_m,
            layer_m=layer.value if layer else USUAL_LAYER_M,
            speed_m_s=self.printer.speed_m_s,
        )

    def joint_at(self, part: PlacedPart, station_m: float) -> BedCut:
        """Return the joint of a cut: where rods cross it they clamp it, and dowels place it."""
        clamped = rods_at(self.vehicle, station_m, ROOM) is not None and not part.spec.glued
        return self.joint_of(part, station_m, JointKind.RODS if clamped else self.kind)

    def joint_of(self, part: PlacedPart, station_m: float, kind: JointKind) -> BedCut:
        """Return a joint of one kind, with the dowels that the part has."""
        dowels = None if kind in (JointKind.GLUE, JointKind.LIP) else self.dowels_of(part)
        return station_cut(station_m, kind, dowels, LIP_M)

    def dowels_of(self, part: PlacedPart) -> Dowels:
        """Return the dowels of a part; usual ones where it has none."""
        own = part.spec.dowels
        if own is None:
            return USUAL_DOWELS
        return Dowels(count=own.count, diameter_m=own.diameter.value, depth_m=own.depth.value)


def clearance_m(vehicle: LoadedVehicle) -> float:
    """Play of printed holes on the diameter [m]; the usual where the sheet has none."""
    entry = vehicle.sheet.print
    return entry.clearance.value if entry and entry.clearance else USUAL_CLEARANCE_M


def settings_of(vehicle: LoadedVehicle) -> PrintSettings:
    """Read the printer from the sheet.

    Raises
    ------
    BuildSheetError
        If the sheet names no bed.
    """
    entry = vehicle.sheet.print
    if entry is None:
        raise BuildSheetError(
            [vehicle.files.source.fault(("print", "bed"), given="nothing", accepted=BED_WANTED)]
        )
    first, second, height = (side.value for side in entry.bed)
    nozzle = nozzle_m(vehicle)
    return PrintSettings(
        vehicle=vehicle,
        bed_m=(first, second, height),
        nozzle_m=nozzle,
        play=Clearances(across_m=clearance_m(vehicle), wall_m=3 * nozzle),
        clearance_measured=entry.clearance is not None,
        printer=Printer(
            line_width_m=LINE_OVER_NOZZLE * nozzle,
            layer_m=USUAL_LAYER_M,
            speed_m_s=entry.speed.value if entry.speed else USUAL_SPEED_M_S,
        ),
        speed_told=entry.speed is not None,
        kind=JointKind.DOWELS,
    )
