"""Entries of lists and keys of tables put into a TOML text or taken out, every other byte left as it was."""

import copy
import re
import tomllib
from typing import Any

from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.edit import Value, changed_text, toml_value, with_table
from finial.files.source import TomlSource, dotted
from finial.files.toml_places import KeyPath

_KEY = r"(?:[A-Za-z0-9_-]+|\"[^\"\n]*\"|'[^'\n]*')"
_PAIR_BEFORE = re.compile(rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*[ \t]*=[ \t]*$")
_REST_OF_LINE = re.compile(r"[ \t]*(?:#[^\n]*)?\r?\n?")
_COMMA = re.compile(r"\s*,")


def with_entry(source: TomlSource, path: KeyPath, index: int, value: Value) -> str:
    """Return the text of a TOML file with a value put into a list before an entry, or at its end.

    Raises
    ------
    OutsideRange
        If the file is written so that it cannot be put there alone.
    BuildSheetError
        If the list would stand in what is not there.
    """
    entries = value_at(source.values, path)
    count = len(entries) if is_list(entries) else 0
    if not count and len(path) == 1 and is_table(value):
        return with_table(source, (str(path[0]),), value, one_of_many=True)
    if not count:
        return changed_text(source, {path: [value]})
    index = min(index, count)
    written = _into_line if (*path, 0) in source.places.spans else _under_heading
    text = written(source, path, index, count, value)
    wanted = copy.deepcopy(source.values)
    value_at(wanted, path).insert(index, value)
    return _if_so(text, wanted, path)


def without(source: TomlSource, path: KeyPath) -> str:
    """Return the text of a TOML file without an entry of a list, or without a key.

    Comments beside what is taken away go with it; those above it stay.

    Raises
    ------
    OutsideRange
        If it is not there, or the file is written so that it cannot be taken away alone.
    """
    places = source.places
    if path in places.spans:
        taken = _from_list if isinstance(path[-1], int) else _pair
    elif path in places.ends and path:
        taken = _headed
    else:
        raise OutsideRange(f"{dotted(path)} is not in the file")
    text = taken(source, path)
    wanted = copy.deepcopy(source.values)
    owner = value_at(wanted, path[:-1])
    del owner[path[-1]]
    if taken is _headed and is_list(owner) and not owner:
        del value_at(wanted, path[:-2])[path[-2]]
    return _if_so(text, wanted, path)


def value_at(values: Any, path: KeyPath) -> Any:
    """Return what stands at a place of a file's values, as it is held there; ``None`` where nothing does."""
    for step in path:
        if is_table(values) and isinstance(step, str):
            values = values.get(step)
        elif is_list(values) and isinstance(step, int) and step < len(values):
            values = values[step]
        else:
            return None
    return values


def _if_so(text: str, wanted: Any, path: KeyPath) -> str:
    """Pass a text that means what is wanted and nothing else."""
    try:
        is_so = tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        is_so = False
    if not is_so:
        raise OutsideRange(f"{dotted(path)}: the file is written so that only an editor can change it there")
    return text


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _into_line(source: TomlSource, path: KeyPath, index: int, count: int, value: Value) -> str:
    text, spans, told = source.text, source.places.spans, toml_value(value)
    if index < count:
        start = spans[(*path, index)][0]
        return f"{text[:start]}{told},{_gap(text, start)}{text[start:]}"
    start, end = spans[(*path, count - 1)]
    gap = _gap(text, start)
    comma = _COMMA.match(text, end)
    if comma is None:
        return f"{text[:end]},{gap}{told}{text[end:]}"
    # A comment behind the last comma belongs to the entry before it.
    rest = re.compile(r"[ \t]*(?:#[^\r\n]*)?").match(text, comma.end())
    end = rest.end() if rest else comma.end()
    return f"{text[:end]}{gap}{told},{text[end:]}"


def _gap(text: str, start: int) -> str:
    """Return what stands between two entries: a new line as far in as this one, or a blank."""
    line = text[text.rfind("\n", 0, start) + 1 : start]
    return _newline(text) + line if not line.strip() else " "


def _under_heading(source: TomlSource, path: KeyPath, index: int, count: int, value: Value) -> str:
    text, newline = source.text, _newline(source.text)
    name = ".".join(step for step in path if isinstance(step, str))
    if not is_table(value):
        raise OutsideRange(f"{dotted(path)} is a list of tables")
    pairs = (f"{key} = {toml_value(one)}" for key, one in value.items())
    block = newline.join((f"[[{name}]]", *pairs))
    if index < count:
        start = _line_start(source, (*path, index))
        return f"{text[:start]}{block}{newline}{newline}{text[start:]}"
    end = _block_end(source, (*path, count - 1))
    before = "" if text[:end].endswith("\n") else newline
    return f"{text[:end]}{before}{newline}{block}{newline}{text[end:]}"


def _line_start(source: TomlSource, path: KeyPath) -> int:
    at = 0
    for _ in range(source.places.lines[path] - 1):
        at = source.text.index("\n", at) + 1
    return at


def _block_end(source: TomlSource, path: KeyPath) -> int:
    """Past the last line of a table under a heading and of all that is in it."""
    last = max(end for inner, end in source.places.ends.items() if inner[: len(path)] == path)
    return _past_line(source.text, last)


def _past_line(text: str, at: int) -> int:
    rest = _REST_OF_LINE.match(text, at)
    return rest.end() if rest else at


def _headed(source: TomlSource, path: KeyPath) -> str:
    start, end = _line_start(source, path), _block_end(source, path)
    before, after = source.text[:start], source.text[end:]
    # One blank line goes with it: it stood between two tables.
    return before + re.sub(r"^[ \t]*\r?\n", "", after, count=1)


def _from_list(source: TomlSource, path: KeyPath) -> str:
    text, spans = source.text, source.places.spans
    start, end = spans[path]
    comma = _COMMA.match(text, end)
    if comma is None:
        before = (*path[:-1], int(path[-1]) - 1)
        start = spans[before][1] if before in spans else start
        return text[:start] + text[end:]
    end = comma.end()
    line = text[text.rfind("\n", 0, start) + 1 : start]
    past = _past_line(text, end)
    if not line.strip() and text[end:past].endswith("\n"):
        return text[: start - len(line)] + text[past:]
    return text[:start] + text[end:].lstrip(" ")


def _pair(source: TomlSource, path: KeyPath) -> str:
    text, end = source.text, source.places.spans[path][1]
    found = _PAIR_BEFORE.search(
        text, text.rfind("\n", 0, source.places.spans[path][0]) + 1, source.places.spans[path][0]
    )
    if found is None:
        raise OutsideRange(f"{dotted(path)}: the file is written so that only an editor can change it there")
    start = found.start()
    line_start = text.rfind("\n", 0, start) + 1
    if path[:-1] in source.places.ends and not text[line_start:start].strip():
        return text[:line_start] + text[_past_line(text, end) :]
    comma = _COMMA.match(text, end)
    if comma is not None:
        return text[:start] + text[comma.end() :].lstrip(" ")
    return re.sub(r"\s*,\s*$", " ", text[:start]).rstrip(" ") + " " + text[end:].lstrip(" ")
