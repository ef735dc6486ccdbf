"""What was typed into the fields of a sheet, as changes of it."""

from collections.abc import Mapping
from pathlib import Path

from finial.core.errors import OutsideRange
from finial.files.edit import Value
from finial.files.sheet_form import FilledField, filled_tables, value_typed
from finial.files.source import dotted, read_toml
from finial.files.toml_places import KeyPath

Typed = Mapping[str, str]
"""What was typed, by the place's dotted name: ``{"item[2].mass": "1.4 kg"}``."""


def typed_changes(sheet: Path, typed: Typed) -> dict[KeyPath, Value]:
    """Turn what was typed into changes of the sheet.

    Raises
    ------
    OutsideRange
        If the sheet has no such place, or a list is not written as one.
    """
    if not typed:
        return {}
    known = fields_of(sheet)
    unknown = sorted(set(typed) - set(known))
    if unknown:
        raise OutsideRange(f"the sheet has no place {unknown[0]!r}")
    return {known[name].place: value_typed(known[name].value, text) for name, text in typed.items()}


def fields_of(sheet: Path) -> dict[str, FilledField]:
    """List every place of a sheet by its dotted name."""
    tables = filled_tables(read_toml(sheet))
    return {dotted(one.place): one for table in tables for one in table.fields}


def named_entries(sheet: Path) -> dict[str, str]:
    """List the name of each entry of a sheet that has one, by the entry's dotted name."""
    fields = (one for one in fields_of(sheet).values() if one.place[-1] == "name")
    return {dotted(one.place[:-1]): one.text for one in fields if one.text and isinstance(one.place[-2], int)}
