"""The bill of materials as a table for the terminal, and as CSV for whoever buys and weighs."""

import csv
import io
from collections.abc import Sequence

from finial.assemble.mass.bill import BillKind, BillRow
from finial.core.dimensions import Dimension
from finial.report.csv_text import harmless
from finial.report.document import ReportSection, Table
from finial.report.layout import laid_out, paragraph
from finial.report.lines import TextLine
from finial.report.shown import INCH_M, POUND_KG, Shown

_WEIGHED_KINDS = frozenset(
    {BillKind.PART, BillKind.ITEM, BillKind.ROD, BillKind.FIN, BillKind.CANOPY, BillKind.CORD, BillKind.MOTOR}
)
"""Rows of the mass table: what a scale settles; what else there is weighs with one of them."""
_OUNCE_KG = POUND_KG / 16


def to_weigh(row: BillRow) -> bool:
    """Whether a scale would say more of it than the sheet does."""
    return row.kind in _WEIGHED_KINDS and not row.is_weighed


def bill_lines(name: str, rows: Sequence[BillRow], *, us_units: bool, width: int) -> tuple[TextLine, ...]:
    """Lay the bill out for a terminal, and say what is still to be weighed."""
    section = bill_section(rows, Shown(us_units=us_units))
    return (
        TextLine(f"What {name} is made of", "heading"),
        TextLine(""),
        *(TextLine(line) for table in section.tables for line in laid_out(table, width)),
        TextLine(""),
        *(TextLine(line) for note in section.notes for line in paragraph(note, width)),
    )


def bill_section(rows: Sequence[BillRow], shown: Shown) -> ReportSection:
    """Return the bill as a section of the report."""
    table = Table(
        title="",
        columns=("what", "kind", "count", "of", "cut, size", "mass of all", "known by"),
        rows=tuple(_cells(row, shown) for row in rows),
        numbers=(2,),
    )
    left = [row.name for row in rows if to_weigh(row)]
    said = f"Still to be weighed: {', '.join(left)}." if left else "Everything that has a mass is weighed."
    ends = "Lengths of rods, wires and cords are those of the sheet: add what nuts, knots and loops take."
    return ReportSection(key="bill", title="What it is made of", tables=(table,), notes=(said, ends))


def _cells(row: BillRow, shown: Shown) -> tuple[str, ...]:
    mass = "" if row.mass is None else shown.between(row.mass, Dimension.MASS)
    return (
        row.name,
        row.kind.value,
        str(row.count),
        ", ".join(filter(None, (row.material, row.detail))),
        _size(row, shown),
        mass,
        "" if row.mass is None else row.mass.known_by.word,
    )


def _size(row: BillRow, shown: Shown) -> str:
    sides = " x ".join(shown.offset(side) for side in row.sides_m)
    cut = "" if row.cut_m is None else f"{shown.offset(row.cut_m)} long"
    return ", ".join(filter(None, (cut, sides)))


def bill_csv(rows: Sequence[BillRow], *, us_units: bool) -> str:
    """Write the bill as CSV, lengths and masses as plain numbers in the units that the heading names."""
    length, mass, per_m, per_kg = ("in", "oz", INCH_M, _OUNCE_KG) if us_units else ("mm", "g", 1e-3, 1e-3)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        (
            *("what", "kind", "count", "material", "detail", f"cut_{length}"),
            *(f"side_{number}_{length}" for number in (1, 2, 3)),
            *(f"mass_of_all_{mass}", f"mass_low_{mass}", f"mass_high_{mass}", "known_by", "to_weigh"),
        )
    )
    for row in rows:
        sides = [f"{side / per_m:.6g}" for side in row.sides_m]
        ends = () if row.mass is None else (row.mass.value, row.mass.low, row.mass.high)
        masses = [f"{end / per_kg:.4g}" for end in ends]
        writer.writerow(
            (
                *(harmless(text) for text in (row.name, row.kind.value)),
                row.count,
                *(harmless(text) for text in (row.material, row.detail)),
                "" if row.cut_m is None else f"{row.cut_m / per_m:.6g}",
                *[*sides, "", "", ""][:3],
                *(masses or ("", "", "")),
                "" if row.mass is None else row.mass.known_by.word,
                "yes" if to_weigh(row) else "",
            )
        )
    return out.getvalue()
