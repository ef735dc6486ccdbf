"""Limits that the findings judge against: the table's, or the builder's own."""

from collections.abc import Mapping
from dataclasses import dataclass

from finial.core.tables import row_named, table_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit in SI units, and who says so."""

    value: float
    source: str


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
        if name in self.own:
            return Limit(value=self.own[name], source="the build sheet's own limit")
        row = row_named(table_rows("finial.findings", "limits.csv"), name)
        return Limit(value=float(row["value"]), source=row["source"])
