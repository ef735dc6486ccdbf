"""Tables that a sheet may have further, from its schema, and one of them filled in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.edit import Value
from finial.files.sheet_form import value_typed
from finial.files.sheet_keys import KeyKind, KeyTable, KeyValue, inner_table, table_of
from finial.files.sheet_rows import BUILD_SHEET
from finial.files.source import TomlSource


@dataclass(frozen=True, slots=True, kw_only=True)
class Addable:
    """A table that may be added: its path, and the paths of the keys that it cannot do without."""

    path: str
    one_of_many: bool
    needs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Adding:
    """One table with what was typed for each of its keys."""

    path: str
    values: Mapping[str, str]

    def table(self, source: TomlSource) -> Addable:
        """Return what is to be added.

        Raises
        ------
        OutsideRange
            If the sheet may have no such table, or has it already.
        """
        for one in addable(source):
            if one.path == self.path:
                return one
        raise OutsideRange(f"no {self.path!r} can be added to this sheet")

    def in_full(self, source: TomlSource) -> tuple[tuple[str, ...], Mapping[str, Value]]:
        """Return the table's place and its values as the sheet would have them.

        Raises
        ------
        OutsideRange
            If a key is not one that it needs, one that it needs is missing, or a list is not written as one.
        """
        needed = {need.rpartition(".")[2] for need in self.table(source).needs}
        if set(self.values) != needed:
            raise OutsideRange(f"[{self.path}] takes {', '.join(sorted(needed)) or 'nothing'} here")
        path = tuple(self.path.split("."))
        keys = {key.name: key.value for key in _table_at(path).keys}
        return path, {name: value_typed(keys[name], text) for name, text in self.values.items()}


def addable(source: TomlSource) -> tuple[Addable, ...]:
    """Every table of a sheet's first two levels that may stand at its end, in the schema's order."""
    return tuple(_addable(table_of(BUILD_SHEET.record), source.values, ()))


def _addable(table: KeyTable, held: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[Addable]:
    for key in table.keys:
        inner, at, there = inner_table(key.value), (*path, key.name), held.get(key.name)
        if inner is None or inner.word:
            continue
        one_of_many = key.value.kind is KeyKind.LIST
        # A list that is written in one line, or a table that is there, cannot be had a second time.
        if there is None or (one_of_many and is_list(there) and all(map(is_table, there))):
            needs = tuple(".".join((*at, one.name)) for one in inner.keys if one.required)
            yield Addable(path=".".join(at), one_of_many=one_of_many, needs=needs)
        if not one_of_many and not path:
            yield from _addable(inner, there if is_table(there) else {}, at)


def _table_at(path: tuple[str, ...]) -> KeyTable:
    table = table_of(BUILD_SHEET.record)
    for name in path:
        value: KeyValue = next(key.value for key in table.keys if key.name == name)
        inner = inner_table(value)
        assert inner is not None, f"{'.'.join(path)} is a table: only such are addable"
        table = inner
    return table
