"""How far things may be off: the sheet's own word, or the usual."""

from finial.core.tables import row_named, table_rows
from finial.core.units import Quantity
from finial.files.sheet_scatter import ScatterEntry


def usual(name: str) -> float:
    """Usual reach of that name [SI]."""
    return float(row_named(table_rows("finial.assemble", "scatter.csv"), name)["value"])


def reach(scatter: ScatterEntry, name: str, field: Quantity | None = None) -> float:
    """How far something may be off, in the unit of the thing [any].

    Its own field's tolerance, else the scatter table's, else the usual.
    """
    if field is not None and field.tolerance > 0.0:
        return field.tolerance
    given = scatter.given(name)
    return usual(name) if given is None else given.value
