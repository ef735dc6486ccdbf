"""The keys of a file as plain data, and one sheet as a form that a builder fills in."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from finial.core.dimensions import Dimension, units_of
from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.core.visible import visible
from finial.files.edit import Value
from finial.files.fields import Measured
from finial.files.sheet_keys import KeyKind, KeyTable, KeyValue, inner_table, table_of
from finial.files.sheet_rows import BUILD_SHEET, Keys, SheetFile, rows_of
from finial.files.source import TomlSource, dotted
from finial.files.toml_places import KeyPath


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledField:
    """One place of a sheet that may be filled in."""

    place: KeyPath
    keys: Keys
    """The key's path in the schema."""
    value: KeyValue
    text: str | None
    """As it stands in the sheet, a text without its quotes; ``None`` where the sheet does not have it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledTable:
    """One table of a sheet."""

    place: KeyPath
    name: str
    """What the sheet calls it."""
    fields: tuple[FilledField, ...]


def filled_tables(source: TomlSource, file: SheetFile = BUILD_SHEET) -> tuple[FilledTable, ...]:
    """Every table that a sheet has, from top to bottom, with every key that it has or may have."""
    return tuple(_filled(source, source.values, table_of(file.record), (), ()))


def value_typed(value: KeyValue, text: str) -> Value:
    """Read what was typed into a field; whether it will do is for the reader of the sheet to say.

    Raises
    ------
    OutsideRange
        If a list or table is not written as TOML would have it.

    Examples
    --------
    >>> value_typed(KeyValue(kind=KeyKind.COUNT), "4"), value_typed(KeyValue(kind=KeyKind.TEXT), "4")
    (4, '4')
    >>> value_typed(KeyValue(kind=KeyKind.LIST), '["10 mm", "20 mm"]')
    ['10 mm', '20 mm']
    """
    told = text.strip()
    if value.kind is KeyKind.YES_NO and told in _YES_NO:
        return _YES_NO[told]
    if value.kind is KeyKind.COUNT:
        return int(told) if told.lstrip("+-").isdecimal() and len(told) < _LONGEST_COUNT else told
    if value.kind is KeyKind.LIST or (value.kind is KeyKind.TABLE and told.startswith("{")):
        return _written(told)
    return told


def form_table(table: FilledTable) -> dict[str, Any]:
    """Give a table of a sheet as plain data."""
    return {
        "dotted": dotted(table.place) if table.place else "",
        "name": table.name,
        "fields": [
            {"dotted": dotted(one.place), "path": ".".join(one.keys), "text": one.text}
            for one in table.fields
        ],
    }


def form_fields(file: SheetFile = BUILD_SHEET) -> list[dict[str, Any]]:
    """Every key from top to bottom: lists, dictionaries, texts, numbers and booleans only.

    Each has its ``path``, ``meaning``, ``default`` and ``example``, whether it is ``required``, the tables
    whose entries it names, and what it accepts. Bounds are in SI; of the ``units`` the first is the usual.
    What does not belong to a kind is ``None``.

    Raises
    ------
    BuildSheetError
        If the example project cannot be read.

    Examples
    --------
    >>> fields = {field["path"]: field for field in form_fields()}
    >>> fields["part.print.infill"]["at_most"]
    1
    >>> fields["rod.stations"]["entries"][0]["units"][:3]
    ['mm', 'cm', 'm']
    """
    return [
        {
            "path": row.dotted,
            "meaning": row.key.meaning,
            "required": row.key.required,
            "default": _listed(row.key.default),
            "example": row.example.value if row.example and inner_table(row.key.value) is None else None,
            "names_entry_of": row.names_entry_of or None,
            **_accepted(row.key.value),
        }
        for row in rows_of(file)
    ]


def _accepted(value: KeyValue) -> dict[str, Any]:
    return {
        "kind": value.kind.value,
        **_measured(value.measured),
        "choices": list(value.choices) or None,
        "names": value.names or None,
        "pattern": value.spelled.pattern if value.spelled else None,
        "least": value.least,
        "most": value.most,
        "word": (value.table.word or None) if value.table else None,
        "entries": [_accepted(entry) for entry in value.entries] or None,
    }


def _measured(measured: Measured | None) -> dict[str, Any]:
    if measured is None:
        return dict.fromkeys(("dimension", "units", "at_least", "above", "at_most"))
    return {
        "dimension": measured.dimension.value,
        "units": [unit.symbol for unit in units_of(Dimension(measured.dimension))],
        "at_least": measured.minimum,
        "above": measured.above,
        "at_most": measured.maximum,
    }


def _listed(default: Any) -> Any:
    if not isinstance(default, tuple):
        return default
    entries = cast("tuple[Any, ...]", default)
    return list(map(_listed, entries))


_YES_NO = {"true": True, "false": False}
_LONGEST_COUNT = 19


def _written(told: str) -> Value:
    try:
        held = tomllib.loads(f"typed = {told}")
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as fault:
        raise _no_list(told) from fault
    if len(held) > 1:
        raise _no_list(told)
    return held["typed"]


def _no_list(told: str) -> OutsideRange:
    shown = visible(told, 80)
    return OutsideRange(f'{shown!r} is no list: write it as the sheet would, such as ["10 mm", "20 mm"]')


def _filled(
    source: TomlSource, held: Mapping[str, Any], table: KeyTable, place: KeyPath, keys: Keys
) -> Iterator[FilledTable]:
    inside: list[FilledTable] = []
    fields: list[FilledField] = []
    for key in table.keys:
        at, path, there = (*place, key.name), (*keys, key.name), held.get(key.name)
        inner = inner_table(key.value)
        tables = list(_tables(there, at)) if inner else []
        for where, values in tables:
            assert inner is not None
            inside += _filled(source, values, inner, where, path)
        if not tables and (inner is None or there is not None or inner.word):
            text = None if there is None else _text(source, there, at)
            fields.append(FilledField(place=at, keys=path, value=key.value, text=text))
    name = held.get("name")
    yield FilledTable(place=place, name=name if isinstance(name, str) else "", fields=tuple(fields))
    yield from inside


def _tables(there: Any, at: KeyPath) -> Iterator[tuple[KeyPath, Mapping[str, Any]]]:
    """Give a table, or the tables of a list of them, each with its place."""
    if is_table(there):
        yield at, there
    elif is_list(there) and all(map(is_table, there)):
        for index, entry in enumerate(there):
            yield (*at, index), cast("Mapping[str, Any]", entry)


def _text(source: TomlSource, there: Any, at: KeyPath) -> str:
    if isinstance(there, str):
        return there
    start, end = source.places.spans[at]
    return source.text[start:end]
