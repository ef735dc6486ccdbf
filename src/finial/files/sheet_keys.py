"""Every key that the build sheet, a motor's file and a site's file may hold, read off their records.

The records say it all once: a field's type says what may stand there, its docstring what it means.
The key reference, the schemas for editors, the page's form and the words of faults come from here.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from pydantic import StringConstraints
from pydantic.fields import FieldInfo

from finial.core.estimates import KnownBy
from finial.core.units import Quantity, show, wanted
from finial.files.fields import Measured, Names, Record, Spelled

_EITHER = (Union, UnionType)


class KeyKind(StrEnum):
    """What may stand at a key."""

    QUANTITY = "quantity"
    COUNT = "whole number"
    TEXT = "text"
    CHOICE = "choice"
    YES_NO = "yes or no"
    LIST = "list"
    TABLE = "table"


_ACCEPTED = {
    KeyKind.TEXT: "text in quotes",
    KeyKind.YES_NO: "true or false",
    KeyKind.COUNT: "a whole number",
    KeyKind.LIST: "a list in square brackets",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyValue:
    """What may stand at one place; of the other fields only those are set that belong to the kind."""

    kind: KeyKind
    measured: Measured | None = None
    """Dimension and bounds of a quantity."""
    choices: tuple[str, ...] = ()
    names: str = ""
    """What a text is the name of: a file, or a row of a shipped table."""
    spelled: Spelled | None = None
    least: int | None = None
    """Of a whole number, of the letters of a text, or of the entries of a list."""
    most: int | None = None
    entries: tuple["KeyValue", ...] = ()
    """Of a list: one value for entries that are all alike, several for entries in a fixed order."""
    table: "KeyTable | None" = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of a table."""

    name: str
    value: KeyValue
    required: bool
    default: Any
    """As it would be written in TOML; ``None`` where nothing stands for a key left out."""
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyTable:
    """One kind of table and its keys."""

    name: str
    meaning: str
    keys: tuple[Key, ...]
    word: str = ""
    """A word that may stand in its place; a table that has one holds one key."""
    elsewhere: tuple[tuple[str, str], ...] = ()
    """Keys that are looked for here and stand elsewhere, and where."""

    def key(self, name: str) -> Key | None:
        """Key of that name, if there is one."""
        return next((key for key in self.keys if key.name == name), None)


@cache
def table_of(record: type[Record]) -> KeyTable:
    """Read a table's keys off its record.

    Examples
    --------
    >>> from finial.files.sheet_body import PrintedEntry
    >>> [key.name for key in table_of(PrintedEntry).keys]
    ['wall', 'infill', 'layers_along', 'layer_height']
    """
    hints = get_type_hints(record, include_extras=True)
    return KeyTable(
        name=record.__name__,
        meaning=(record.__doc__ or "").strip().partition("\n")[0].replace("``", "`"),
        keys=tuple(
            _key(name, hints[name], field)
            for name, field in record.model_fields.items()
            if name != record.WORD
        ),
        word=record.WORD,
        elsewhere=record.ELSEWHERE,
    )


def every_table(table: KeyTable) -> Iterator[KeyTable]:
    """Walk a table and all tables inside it, each kind once, in the order of the records."""
    yield from {inner.name: inner for inner in _with_inner(table)}.values()


def inner_table(value: KeyValue) -> KeyTable | None:
    """KeyTable that a value is, or is a list of."""
    return value.table or next(filter(None, map(inner_table, value.entries)), None)


def accepted_words(value: KeyValue) -> str:
    """Say what is accepted at a key.

    Examples
    --------
    >>> from finial.files.sheet_body import VehicleEntry
    >>> accepted_words(table_of(VehicleEntry).key("show_units").value)
    'one of "metric", "us"'
    """
    if value.measured:
        return wanted(value.measured.dimension)
    if value.table:
        return f"a table with {', '.join(key.name for key in value.table.keys)}"
    if value.choices:
        return "one of " + ", ".join(f'"{choice}"' for choice in value.choices)
    return _ACCEPTED[value.kind]


def bounds_words(measured: Measured) -> str:
    """Say between what a quantity must lie; nothing where it may be anything.

    Examples
    --------
    >>> from finial.files.sheet_body import PrintedEntry
    >>> [bounds_words(key.value.measured) for key in table_of(PrintedEntry).keys if key.value.measured]
    ['0.1 mm to 20 mm', 'not negative, at most 1', '0.02 mm to 1 mm']
    """
    low, high = measured.minimum, measured.maximum
    if low and high is not None:
        return f"{show(low, measured.dimension)} to {show(high, measured.dimension)}"
    words = ("above zero" if measured.above == 0 else "", "not negative" if low == 0 else "")
    most = "" if high is None else f"at most {show(high, measured.dimension)}"
    return ", ".join(filter(None, (*words, most)))


def _with_inner(table: KeyTable) -> Iterator[KeyTable]:
    yield table
    for key in table.keys:
        inner = inner_table(key.value)
        if inner is not None:
            yield from _with_inner(inner)


def _key(name: str, hint: Any, field: FieldInfo) -> Key:
    value = _value(hint)
    inner = inner_table(value)
    return Key(
        name=name,
        value=value,
        required=field.is_required(),
        default=None if field.is_required() else _as_toml(field.default),
        meaning=field.description or (inner.meaning if inner else ""),
    )


def _as_toml(default: Any) -> Any:
    if isinstance(default, Quantity):
        return default.text
    if isinstance(default, KnownBy):
        return default.word
    if isinstance(default, tuple):
        entries = cast("tuple[Any, ...]", default)
        return tuple(map(_as_toml, entries)) or None
    return None if isinstance(default, Record) or default == "" else default


def _value(hint: Any) -> KeyValue:
    core, marks = _peeled(hint)
    measured = next((mark for mark in marks if isinstance(mark, Measured)), None)
    if measured is not None:
        return KeyValue(kind=KeyKind.QUANTITY, measured=measured)
    if get_origin(core) is tuple:
        return _list(core, marks)
    if get_origin(core) is Literal:
        return KeyValue(kind=KeyKind.CHOICE, choices=get_args(core))
    if core is KnownBy:
        return KeyValue(kind=KeyKind.CHOICE, choices=tuple(known.word for known in KnownBy))
    if core is bool:
        return KeyValue(kind=KeyKind.YES_NO)
    if core is int:
        return KeyValue(kind=KeyKind.COUNT, least=_bound(marks, "ge"), most=_bound(marks, "le"))
    if core is str:
        return _text(marks)
    return KeyValue(kind=KeyKind.TABLE, table=table_of(core))


def _list(core: Any, marks: tuple[Any, ...]) -> KeyValue:
    of = get_args(core)
    if of[-1] is Ellipsis:
        return KeyValue(kind=KeyKind.LIST, entries=(_value(of[0]),), least=_bound(marks, "min_length"))
    return KeyValue(kind=KeyKind.LIST, entries=tuple(map(_value, of)), least=len(of), most=len(of))


def _text(marks: tuple[Any, ...]) -> KeyValue:
    lengths = next((mark for mark in marks if isinstance(mark, StringConstraints)), None)
    return KeyValue(
        kind=KeyKind.TEXT,
        names=next((mark.what for mark in marks if isinstance(mark, Names)), ""),
        spelled=next((mark for mark in marks if isinstance(mark, Spelled)), None),
        least=lengths.min_length if lengths else None,
        most=lengths.max_length if lengths else None,
    )


def _peeled(hint: Any) -> tuple[Any, tuple[Any, ...]]:
    """Take off ``Annotated`` and ``| None``; return what is inside and all marks on the way."""
    if get_origin(hint) is Annotated:
        core, marks = _peeled(get_args(hint)[0])
        return core, (*_spread(get_args(hint)[1:]), *marks)
    inside = [each for each in get_args(hint) if each is not type(None)]
    if get_origin(hint) in _EITHER and len(inside) == 1:
        return _peeled(inside[0])
    return hint, ()


def _spread(marks: tuple[Any, ...]) -> Iterator[Any]:
    for mark in marks:
        yield from mark.metadata if isinstance(mark, FieldInfo) else (mark,)


def _bound(marks: tuple[Any, ...], name: str) -> int | None:
    return next((getattr(mark, name) for mark in marks if hasattr(mark, name)), None)
