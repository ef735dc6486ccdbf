"""The files of a print plan: every piece as STL, all of them as one 3MF, the table and the picture."""

import csv
import io
import re

from finial.assemble.prints.results import PlannedPiece, PrintPlan
from finial.files.plain_names import plain_name
from finial.files.stl import stl_bytes
from finial.files.threemf_write import Object3mf, threemf_bytes
from finial.report.csv_text import harmless
from finial.report.pictures.exploded import exploded

ALL_PIECES, TABLE, PICTURE = "all-pieces.3mf", "pieces.csv", "pieces.svg"
_OWN = re.compile(r"\d{2,}-[\w.-]+\.stl")
_APART_MM = 10.0


def is_plan_file(name: str) -> bool:
    """Whether a file is one that a plan writes, so that a new plan may replace it.

    Examples
    --------
    >>> is_plan_file("03-upper-tower-1.stl"), is_plan_file("tower.stl")
    (True, False)
    """
    return name in (ALL_PIECES, TABLE, PICTURE) or _OWN.fullmatch(name) is not None


def plan_files(plan: PrintPlan) -> dict[str, bytes]:
    """Contents of every file of a plan, by name."""
    pieces = {piece_file(one): stl_bytes(one.sound.vertices_mm, one.sound.faces) for one in plan.pieces}
    return {
        **pieces,
        ALL_PIECES: threemf_bytes(_laid_out(plan), f"{plan.name}: {len(plan.pieces)} pieces"),
        TABLE: pieces_csv(plan).encode(),
        PICTURE: exploded(plan).encode(),
    }


def piece_file(piece: PlannedPiece) -> str:
    """Name of the STL file of a piece."""
    within = f"-{piece.within[0]}" if piece.within[1] > 1 else ""
    return f"{piece.number:02d}-{plain_name(piece.part) or 'part'}{within}.stl"


def _laid_out(plan: PrintPlan) -> list[Object3mf]:
    """Place all pieces beside one another, in rows as wide as four beds."""
    laid: list[Object3mf] = []
    x = y = deepest = 0.0
    row = 4e3 * plan.bed_m[0]
    for piece in plan.pieces:
        wide, deep = (1e3 * side for side in piece.lying.size_m[:2])
        if x and x + wide > row:
            x, y, deepest = 0.0, y + deepest + _APART_MM, 0.0
        laid.append(
            Object3mf(
                name=piece_file(piece).removesuffix(".stl"),
                vertices_mm=piece.sound.vertices_mm,
                faces=piece.sound.faces,
                at_mm=(round(x, 3), round(y, 3), 0.0),
            )
        )
        x, deepest = x + wide + _APART_MM, max(deepest, deep)
    return laid


def pieces_csv(plan: PrintPlan) -> str:
    """Table of the pieces as plain numbers, for whoever plans the evenings."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    sizes = ("size_x_mm", "size_y_mm", "height_mm")
    ends = ("", "_low", "_high")
    writer.writerow(
        (
            *(
                "number",
                "file",
                "part",
                "piece",
                "of",
                "from_station_mm",
                "to_station_mm",
                *sizes,
                "volume_cm3",
            ),
            *(f"mass{end}_g" for end in ends),
            *(f"filament{end}_m" for end in ends),
            *(f"time{end}_h" for end in ends),
            *("overhang_cm2", "first_layer_cm2", "numbered"),
        )
    )
    for piece in plan.pieces:
        mass, time, filament = piece.effort.mass, piece.effort.time, piece.effort.filament_m
        writer.writerow(
            (
                *(piece.number, piece_file(piece), harmless(piece.part), *piece.within),
                *(f"{1e3 * end:.2f}" for end in (*piece.span_m, *piece.lying.size_m)),
                f"{1e-3 * piece.sound.volume_mm3:.3f}",
                *(f"{1e3 * end:.1f}" for end in (mass.value, mass.low, mass.high)),
                *(f"{end:.2f}" for end in (filament.value, filament.low, filament.high)),
                *(f"{end / 3600:.2f}" for end in (time.value, time.low, time.high)),
                *(f"{1e4 * area:.1f}" for area in (piece.lying.overhang_m2, piece.lying.first_layer_m2)),
                "no" if piece.mark is None else piece.mark.value,
            )
        )
    return out.getvalue()
