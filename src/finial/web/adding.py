"""Tables that a sheet may have further, from its schema, one of them filled in, and one taken away."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.edit import Value, changed_text, with_table
from finial.files.entries import value_at, with_entry
from finial.files.sheet_form import value_typed
from finial.files.sheet_keys import KeyKind, KeyTable, inner_table, table_of
from finial.files.sheet_rows import BUILD_SHEET, Keys
from finial.files.source import TomlSource, dotted, place_of
from finial.files.toml_places import KeyPath


@dataclass(frozen=True, slots=True, kw_only=True)
class Addable:
    """A table that may be added: its path, and the paths of the keys that it cannot do without."""

    path: str
    """Where it would stand: ``fin[1].stays``."""
    key: str
    """The same in the schema: ``fin.stays``."""
    of: str
    """What the sheet calls the entry that it would stand in; empty where it stands for itself."""
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

    def text(self, source: TomlSource) -> str:
        """Return the sheet's text with it: at the end, or in the entry that it belongs to.

        Raises
        ------
        OutsideRange
            If a key is not one that it needs, one that it needs is missing, or a list is not written as one.
        BuildSheetError
            If the file cannot have it there.
        """
        told = self.table(source)
        path, values = self.in_full(source)
        if all(isinstance(step, str) for step in path):
            return with_table(source, cast("Keys", path), values, one_of_many=told.one_of_many)
        if told.one_of_many:
            there = value_at(source.values, path)
            return with_entry(source, path, len(there) if is_list(there) else 0, values)
        return changed_text(source, {path: values})

    def in_full(self, source: TomlSource) -> tuple[KeyPath, Mapping[str, Value]]:
        """Return the table's place and its values as the sheet would have them.

        Raises
        ------
        OutsideRange
            If a key is not one that it needs, one that it needs is missing, or a list is not written as one.
        """
        told = self.table(source)
        needed = {need.rpartition(".")[2] for need in told.needs}
        if set(self.values) != needed:
            raise OutsideRange(f"[{self.path}] takes {', '.join(sorted(needed)) or 'nothing'} here")
        keys = {key.name: key.value for key in _table_at(told.key.split(".")).keys}
        return place_of(self.path), {
            name: value_typed(keys[name], text) for name, text in self.values.items()
        }


def addable(source: TomlSource) -> tuple[Addable, ...]:
    """Every table that a sheet may have further, those inside entries that are there too."""
    return tuple(_addable(table_of(BUILD_SHEET.record), source.values, (), (), ""))


def _addable(
    table: KeyTable, held: Mapping[str, Any], place: KeyPath, keys: Keys, owner: str
) -> Iterator[Addable]:
    name = held.get("name")
    of = name if isinstance(name, str) and place else owner
    for key in table.keys:
        inner, there = inner_table(key.value), held.get(key.name)
        if inner is None or inner.word:
            continue
        at, path = (*place, key.name), (*keys, key.name)
        one_of_many = key.value.kind is KeyKind.LIST
        entries = there if one_of_many and is_list(there) and all(map(is_table, there)) else None
        # A list that is written in one line, or a table that is there, cannot be had a second time.
        if there is None or entries is not None:
            needs = tuple(".".join((*path, one.name)) for one in inner.keys if one.required)
            yield Addable(path=dotted(at), key=".".join(path), of=of, one_of_many=one_of_many, needs=needs)
        for number, entry in enumerate(entries or ()):
            yield from _addable(inner, entry, (*at, number), path, of)
        # What stands for itself may come with the table that it stands in; what stands in an entry needs it.
        if not one_of_many and (is_table(there) or not place):
            yield from _addable(inner, there if is_table(there) else {}, at, path, of)


def _table_at(keys: list[str]) -> KeyTable:
    table = table_of(BUILD_SHEET.record)
    for name in keys:
        inner = inner_table(next(key.value for key in table.keys if key.name == name))
        assert inner is not None, f"{'.'.join(keys)} is a table: only such are addable"
        table = inner
    return table
