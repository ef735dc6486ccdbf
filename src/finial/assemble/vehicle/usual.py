"""How far things may be off: the sheet's own word, or the usual."""

from finial.core.estimates import Estimate, KnownBy, spread
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


def usual_share(field: Quantity, name: str, known_by: KnownBy = KnownBy.MEASURED) -> Estimate:
    """Value of a field [any] with its own tolerance, or the usual share of it where the sheet gives none."""
    if field.tolerance > 0.0:
        return field.estimate(known_by)
    row = row_named(table_rows("finial.assemble", "scatter.csv"), name)
    return spread(
        field.value,
        float(row["value"]),
        known_by=max(known_by, KnownBy.HANDBOOK),
        method="usual scatter: the sheet gives none",
        source=row["source"],
    )


def usual_reach(field: Quantity, name: str, known_by: KnownBy = KnownBy.MEASURED) -> Estimate:
    """Value of a field [any] with its own tolerance, or give or take the usual where the sheet gives none."""
    if field.tolerance > 0.0:
        return field.estimate(known_by)
    row = row_named(table_rows("finial.assemble", "scatter.csv"), name)
    reached = float(row["value"])
    return Estimate(
        value=field.value,
        low=field.value - reached,
        high=field.value + reached,
        known_by=max(known_by, KnownBy.HANDBOOK),
        method="usual scatter: the sheet gives none",
        source=row["source"],
    )
