"""Limits that the findings judge against: the table's, or the builder's own."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from finial.core.dimensions import Dimension
from finial.core.tables import row_named, table_rows

_DIMENSIONS = {"m/s": Dimension.SPEED, "J": Dimension.ENERGY, "rad": Dimension.ANGLE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit in SI units, and who says so."""

    value: float
    source: str
    dimension: Dimension | None = None
    """``None`` for a share, or a count of widths."""
    last: float | None = None
    """Beyond it a limit of the builder's own is none; ``None`` where there is no such number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The shipped limits with the builder's own laid over them."""

    own: Mapping[str, float]
    """Limits from the sheet, by name, in SI units."""

    def __getitem__(self, name: str) -> Limit:
        """Limit of that name.

        Raises
        ------
        MissingData
            If there is no such limit.
        """
        shipped = _shipped(name)
        if name not in self.own:
            return shipped
        return replace(shipped, value=self.own[name], source="the build sheet's own limit", last=None)

    def margin(self, width_m: float, length_m: float) -> Limit:
        """Least margin between balance point and pressure band [m].

        In widths, as usual; where the sheet sets a share of the length, in that; where it sets both, the
        larger of the two.

        Parameters
        ----------
        width_m, length_m : float
            Of the vehicle [m].

        Examples
        --------
        >>> Limits(own={"margin_length": 0.1}).margin(0.2, 1.5).value
        0.15000000000000002
        """
        by_width, by_length = self["margin_widths"], self["margin_length"]
        widths = Limit(value=by_width.value * width_m, source=by_width.source)
        if "margin_length" not in self.own:
            return widths
        length = Limit(value=by_length.value * length_m, source=by_length.source)
        return max(widths, length, key=lambda one: one.value) if "margin_widths" in self.own else length


# Every rule asks for its limit, in every answer.
@cache
def _shipped(name: str) -> Limit:
    row = row_named(table_rows("finial.findings", "limits.csv"), name)
    return Limit(
        value=float(row["value"]),
        source=row["source"],
        dimension=_DIMENSIONS.get(row["unit"]),
        last=float(row["last"]) if row["last"] else None,
    )
