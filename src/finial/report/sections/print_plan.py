"""How each part is printed, as the sheet has it, and whether it fits the bed."""

from finial.assemble.vehicle.bed import USUAL_LAYER_M, PartOnBed
from finial.files.sheet import Sheet
from finial.files.sheet_body import PartEntry, PrintedEntry
from finial.report.annex import Annex
from finial.report.document import ReportSection, Table
from finial.report.shown import NOT_KNOWN, Shown


def print_section(annex: Annex, shown: Shown) -> ReportSection:
    """Walls, infill, layers and size of every part that is printed; bought parts are left out."""
    on_bed = {one.part: one for one in annex.on_bed}
    table = Table(
        title="",
        columns=("part", "material", "wall", "infill", "layers", "along", "size", "pieces", "to the next"),
        rows=tuple(
            _row(part, part.print, on_bed.get(part.name), shown) for part in annex.sheet.part if part.print
        ),
        numbers=(2, 3, 4, 7),
    )
    return ReportSection(
        key="print", title="Print plan", facts=_bed(annex.sheet, shown), tables=(table,), notes=_notes(annex)
    )


def _row(part: PartEntry, printed: PrintedEntry, placed: PartOnBed | None, shown: Shown) -> tuple[str, ...]:
    return (
        part.name,
        part.material,
        shown.offset(printed.wall.value),
        f"{100 * printed.infill.value:.0f} %",
        _layers(printed, shown),
        printed.layers_along,
        NOT_KNOWN if placed is None else " x ".join(shown.length(side) for side in placed.size_m),
        NOT_KNOWN if placed is None else str(placed.pieces),
        _joint(part),
    )


def _joint(part: PartEntry) -> str:
    """Say what joins a part to the next one."""
    kinds = (("glued", part.glued), ("dowels", part.dowels is not None))
    return ", ".join(name for name, holds in kinds if holds) or "neither glue nor dowels"


def _layers(printed: PrintedEntry, shown: Shown) -> str:
    """Height of a layer; the usual one where the sheet leaves it open."""
    if printed.layer_height is None:
        return f"{shown.fine(USUAL_LAYER_M)} (usual)"
    return shown.fine(printed.layer_height.value)


def _bed(sheet: Sheet, shown: Shown) -> tuple[tuple[str, str], ...]:
    if sheet.print is None:
        return (("printer's bed", f"{NOT_KNOWN}: not entered, so sizes are not held against it"),)
    return (("printer's bed", " x ".join(shown.length(side.value) for side in sheet.print.bed)),)


def _notes(annex: Annex) -> tuple[str, ...]:
    """Say what is made otherwise, and which command plans the pieces."""
    others = [part.name for part in annex.sheet.part if part.print is None]
    left = (f"Solid, as no print is in the sheet: {', '.join(others)}.",) if others else ()
    return (
        *left,
        "Pieces are the fewest by size; `finial print` plans seams, joints, holes and what each piece takes.",
    )
