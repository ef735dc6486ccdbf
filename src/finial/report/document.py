"""What a section of the report says, before it is laid out as text or as pages."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of words under column titles; ``numbers`` names the columns set to the right."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One stage of the check: facts, tables, notes, and the names of its pictures."""

    key: str
    title: str
    facts: tuple[tuple[str, str], ...] = ()
    """Label and value."""
    tables: tuple[Table, ...] = ()
    notes: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
