"""What a section of the report says, before it is laid out as text or as pages."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of words under column titles.

    ``numbers`` names the columns set to the right, ``pages_only`` those that a terminal
    has no room for.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()
    pages_only: tuple[int, ...] = ()

    def for_terminal(self) -> "Table":
        """Return the table without the columns that only pages have room for."""
        kept = [column for column in range(len(self.columns)) if column not in self.pages_only]
        return Table(
            title=self.title,
            columns=tuple(self.columns[column] for column in kept),
            rows=tuple(tuple(row[column] for column in kept) for row in self.rows),
            numbers=tuple(index for index, column in enumerate(kept) if column in self.numbers),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportSection:
    """One stage of the check: facts, tables, notes, and the names of its pictures."""

    key: str
    title: str
    facts: tuple[tuple[str, str], ...] = ()
    """Label and value."""
    tables: tuple[Table, ...] = ()
    notes: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
