"""What is done to a draft's text on the page: a place typed or put, an entry added or taken away."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.edit import Value, changed_text
from finial.files.entries import with_entry, without
from finial.files.sheet_form import FilledField, filled_tables, value_typed
from finial.files.sheet_keys import KeyKind
from finial.files.sheet_rows import SheetFile, rows_of
from finial.files.source import TomlSource, dotted, place_of, toml_from
from finial.files.toml_places import KeyPath

Starter = Callable[[TomlSource, KeyPath, int, Mapping[str, Value]], Value]
"""What a new entry begins with: of the text, the list's path, its number there and what was given."""

_MOST_EDITS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A text typed at a place; an empty one takes the key away where it may be left out."""

    place: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Put:
    """A value put at a place that is there, such as a mark that was moved."""

    place: KeyPath
    value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """A new entry of a list, before the one of that number, with what is known of it already."""

    place: KeyPath
    number: int
    given: Mapping[str, Value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Removed:
    """An entry of a list, or a table, taken away."""

    place: KeyPath


Edit = Typed | Put | Added | Removed


def edited(source: TomlSource, edits: Sequence[Edit], file: SheetFile, start: Starter) -> TomlSource:
    """Return the text with every edit done, one after the other; comments and layout stay.

    Raises
    ------
    OutsideRange
        If the text has no such place, or a list is not written as one.
    BuildSheetError
        If a new value has no place in the text.
    """
    for edit in edits:
        source = toml_from(source.path, _done(source, edit, file, start))
    return source


def _done(source: TomlSource, edit: Edit, file: SheetFile, start: Starter) -> str:
    match edit:
        case Typed():
            return _typed(source, edit, file)
        case Put():
            if edit.place not in source.places.spans:
                raise OutsideRange(f"the file has no place {dotted(edit.place)!r}")
            return changed_text(source, {edit.place: edit.value})
        case Added():
            value = start(source, edit.place, edit.number - 1, edit.given)
            if _is_table(file, edit.place):
                return _with_key(source, edit.place, value)
            return with_entry(source, edit.place, edit.number - 1, value)
        case Removed():
            return without(source, edit.place)


def _is_table(file: SheetFile, place: KeyPath) -> bool:
    keys = tuple(step for step in place if isinstance(step, str))
    return any(row.path == keys and row.key.value.kind is KeyKind.TABLE for row in rows_of(file))


def _with_key(source: TomlSource, place: KeyPath, value: Value) -> str:
    if place in source.places.lines:
        raise OutsideRange(f"{dotted(place)} is in the file already")
    return changed_text(source, {place: value})


def _typed(source: TomlSource, edit: Typed, file: SheetFile) -> str:
    fields: dict[str, FilledField] = {
        dotted(field.place): field for table in filled_tables(source, file) for field in table.fields
    }
    field = fields.get(edit.place)
    if field is None:
        raise OutsideRange(f"the file has no place {edit.place!r}")
    if not edit.text.strip():
        return source.text if field.text is None else without(source, field.place)
    return changed_text(source, {field.place: value_typed(field.value, edit.text)})


def read_edits(given: Mapping[str, object]) -> tuple[str, tuple[Edit, ...]]:
    """Read ``{"text": text, "edits": [edit, ...]}``.

    Raises
    ------
    OutsideRange
        If it is no such object.
    """
    text, edits = given.get("text"), given.get("edits", [])
    if not isinstance(text, str) or not is_list(edits) or len(edits) > _MOST_EDITS:
        raise OutsideRange(f"'text' must be a text, and 'edits' a list of {_MOST_EDITS} at most")
    return text, tuple(map(_edit, edits))


def _edit(given: Any) -> Edit:
    if not is_table(given):
        raise OutsideRange("an edit is an object")
    told = {name: given.get(name) for name in ("type", "put", "add", "remove")}
    named = [(name, place) for name, place in told.items() if isinstance(place, str)]
    if len(named) != 1:
        raise OutsideRange("an edit is one of 'type', 'put', 'add' and 'remove' with a place")
    ((name, place),) = named
    if name == "type":
        text = given.get("text")
        if not isinstance(text, str):
            raise OutsideRange("'text' must be a text")
        return Typed(place=place, text=text)
    if name == "put":
        return Put(place=place_of(place), value=_value(given.get("value")))
    if name == "remove":
        return Removed(place=place_of(place))
    with_it = _value(given.get("given", {}))
    if not is_table(with_it):
        raise OutsideRange("'given' must be an object")
    return Added(place=place_of(place), number=_number(given.get("number")), given=with_it)


def _number(told: object) -> int:
    if not isinstance(told, float) or not told.is_integer() or not 1 <= told <= 1e6:
        raise OutsideRange("'number' must be a whole number from 1")
    return int(told)


def _value(told: Any) -> Value:
    """Read a value; every number of a question is read as a float, and whole ones are wanted here."""
    if isinstance(told, str | bool):
        return told
    if isinstance(told, float) and told.is_integer() and abs(told) < 1e9:
        return int(told)
    if is_list(told):
        return [_value(one) for one in told]
    if is_table(told):
        return {name: _value(one) for name, one in told.items()}
    raise OutsideRange("a value is a text, a whole number, true or false, or a list or object of them")
