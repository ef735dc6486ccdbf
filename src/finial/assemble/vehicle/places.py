"""Names of places in a sheet, as its builder says them: ``steel ballast.mass``, ``launch.wind``, ``wind``."""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import cast

from finial.core.errors import MissingData
from finial.files.edit import Value
from finial.files.fields import Record
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath

_BARE = ("launch", "motor", "guide", "vehicle", "scatter")
"""Tables whose keys may stand without the table's name, in this order."""


def changes_named(sheet: Sheet, values: Mapping[str, Value]) -> dict[KeyPath, Value]:
    """Turn values by name into values by place.

    Raises
    ------
    MissingData
        If the sheet has no place of a name, or several.
    """
    return {place_named(sheet, name): value for name, value in values.items()}


def place_named(sheet: Sheet, name: str) -> KeyPath:
    """Find the place that a name means.

    Raises
    ------
    MissingData
        If the sheet has no such place, with the nearest names, or several.
    """
    found = list(dict.fromkeys(_candidates(sheet, name)))
    if len(found) == 1:
        return found[0]
    known = list(names(sheet))
    if found:
        ways = ", ".join(_spelled(sheet, place) for place in found)
        raise MissingData(f"{name!r} may mean several places: write one of {ways}", known)
    near = get_close_matches(name, known, n=3, cutoff=0.6)
    hint = f"; did you mean {' or '.join(map(repr, near))}?" if near else ""
    raise MissingData(f"the sheet has no place called {name!r}{hint}", known)


def names(sheet: Sheet) -> Iterator[str]:
    """Every name that stands for a place of this sheet."""
    for label, _, record in _records(sheet):
        for field in type(record).model_fields:
            if not isinstance(getattr(record, field), Record) and field != "name":
                yield f"{label}.{field}"
                if label in _BARE:
                    yield field


def _candidates(sheet: Sheet, name: str) -> Iterator[KeyPath]:
    for label, path, record in _records(sheet):
        for spelled in {label, _table_label(path, record)}:
            if name.startswith(f"{spelled}."):
                yield from _inside(path, record, name[len(spelled) + 1 :])
        if len(path) == 1 and path[0] in _BARE:
            yield from _inside(path, record, name)


def _inside(path: KeyPath, record: Record, rest: str) -> Iterator[KeyPath]:
    """Follow dotted keys into a record; nested tables that are not there can be set whole."""
    key, _, more = rest.partition(".")
    if key not in type(record).model_fields:
        return
    value = getattr(record, key)
    if not more:
        yield (*path, key)
    elif isinstance(value, Record):
        yield from _inside((*path, key), value, more)


def _records(sheet: Sheet) -> Iterator[tuple[str, KeyPath, Record]]:
    """Every table of the sheet: its shortest label, its place, and itself."""
    yield from _within((), sheet)


def _within(path: KeyPath, record: Record) -> Iterator[tuple[str, KeyPath, Record]]:
    for field in type(record).model_fields:
        value = getattr(record, field)
        if isinstance(value, Record):
            yield ".".join(map(str, (*path, field))), (*path, field), value
            yield from _within((*path, field), value)
        elif isinstance(value, tuple):
            for index, entry in enumerate(cast("tuple[object, ...]", value)):
                if isinstance(entry, Record):
                    yield _label(path, field, index, entry), (*path, field, index), entry


def _label(path: KeyPath, field: str, index: int, entry: Record) -> str:
    own = getattr(entry, "name", None)
    return own or ".".join(map(str, (*path, f"{field}[{index + 1}]")))


def _table_label(path: KeyPath, record: Record) -> str:
    """Label of an entry with its table before it, for names that two tables share."""
    own = getattr(record, "name", None)
    tables = [str(step) for step in path if isinstance(step, str)]
    return ".".join([*tables, own]) if own else ".".join(tables)


def _spelled(sheet: Sheet, place: KeyPath) -> str:
    owners = [(path, record) for _, path, record in _records(sheet) if path == place[: len(path)]]
    path, owner = max(owners, key=lambda one: len(one[0]))
    rest = ".".join(str(step) for step in place[len(path) :])
    return repr(f"{_table_label(path, owner)}.{rest}")
