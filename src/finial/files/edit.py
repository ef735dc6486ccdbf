"""Values put back into a build sheet, every other byte left as it was.

New values are spliced into the text at the places of the old ones. A TOML library
that writes its own layout would move tables that stand apart from their kin.
"""

import json
import os
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from finial.core.errors import BuildSheetError
from finial.files.source import TomlSource, read_toml
from finial.files.toml_places import KeyPath
from finial.files.write import write_atomically

Value = str | int | float | bool | list[Any] | Mapping[str, Any]
_Splice = tuple[int, int, str]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_MARK = b"\xef\xbb\xbf"


def set_values(path: Path, changes: Mapping[KeyPath, Value]) -> None:
    """Set values in a TOML file, keeping its comments, order and layout byte for byte.

    Parameters
    ----------
    path : Path
        The build sheet; replaced in one step, or left alone when a change cannot be made.
    changes : mapping
        New values by path, such as ``("item", 0, "mass"): "1.4 kg"``; list entries
        count from 0. A key that is new is added at the end of its table.

    Raises
    ------
    BuildSheetError
        If the file cannot be read, a path leads through something that is not there,
        or one path lies inside another.
    """
    put_text(path, changed_text(read_toml(path), changes))


def put_text(path: Path, text: str) -> None:
    """Put a new text in place of a TOML file's, in one step; a byte order mark that it has stays.

    Raises
    ------
    OSError
        If it cannot be written; the file is then as it was.
    """
    # The sheet was named by its user: where it is reached through a link, the sheet itself is changed.
    path = Path(os.path.realpath(path))
    mark = _MARK if path.read_bytes().startswith(_MARK) else b""
    write_atomically(path, mark + text.encode())


def changed_text(source: TomlSource, changes: Mapping[KeyPath, Value]) -> str:
    """Return the text of a TOML file with values set, every other byte as it was.

    Raises
    ------
    BuildSheetError
        If a path leads through something that is not there, or one path lies inside another.
    """
    faults = [
        source.fault(where, given="a new value for a place that is not there", accepted="a place in the file")
        for where in changes
        if not _fits(source, where, changes)
    ]
    if faults:
        raise BuildSheetError(faults)
    return _applied(source.text, [_splice(source, where, value) for where, value in changes.items()])


def with_table(
    source: TomlSource, path: tuple[str, ...], values: Mapping[str, Value], *, one_of_many: bool
) -> str:
    """Return the text of a TOML file with a table at its end, every other byte as it was.

    Raises
    ------
    BuildSheetError
        If the file cannot have that table there: it has it already, or has it written as a list of inline
        tables.
    """
    newline = "\r\n" if "\r\n" in source.text else "\n"
    name = ".".join(map(_key, path))
    header = f"[[{name}]]" if one_of_many else f"[{name}]"
    pairs = (f"{_key(key)} = {toml_value(value)}" for key, value in values.items())
    start = source.text if not source.text or source.text.endswith("\n") else source.text + newline
    gap = newline if start.strip() else ""
    text = start + gap + newline.join((header, *pairs)) + newline
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        given = f"a further {header}"
        raise BuildSheetError(
            [source.fault(path, given=given, accepted="a table that can stand at the end of the file")]
        ) from fault
    return text


def toml_value(value: Value) -> str:
    r"""Write a value as TOML.

    Examples
    --------
    >>> toml_value(["1 mm", 2, True])
    '["1 mm", 2, true]'
    >>> toml_value({"screw": "2-56 nylon", "count": 3})
    '{ screw = "2-56 nylon", count = 3 }'
    """
    if isinstance(value, list):
        return f"[{', '.join(map(toml_value, value))}]"
    if isinstance(value, Mapping):
        pairs = (f"{_key(name)} = {toml_value(inner)}" for name, inner in value.items())
        return f"{{ {', '.join(pairs)} }}"
    if isinstance(value, float):
        return repr(value)
    # A JSON string is a TOML string, but for the one control character JSON leaves bare.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _fits(source: TomlSource, where: KeyPath, changes: Mapping[KeyPath, Value]) -> bool:
    """Say whether a path is a value that is there, or a new key of a table that is."""
    if not where or any(where[:cut] in changes for cut in range(len(where))):
        return False
    places, owner = source.places, where[:-1]
    if where in places.spans:
        return True
    is_new_key = isinstance(where[-1], str) and where not in places.lines
    return is_new_key and (owner in places.ends or _is_inline_table(source, owner))


def _is_inline_table(source: TomlSource, path: KeyPath) -> bool:
    span = source.places.spans.get(path)
    return span is not None and source.text[span[0]] == "{"


def _splice(source: TomlSource, where: KeyPath, value: Value) -> _Splice:
    places, text = source.places, toml_value(value)
    if where in places.spans:
        return (*places.spans[where], text)
    pair = f"{_key(str(where[-1]))} = {text}"
    if where[:-1] in places.ends:
        return _new_line(source.text, places.ends[where[:-1]], pair)
    start, end = places.spans[where[:-1]]
    inside = source.text[start + 1 : end - 1].strip()
    at = end - 1 - (len(source.text[start : end - 1]) - len(source.text[start : end - 1].rstrip()))
    return (at, end - 1, f", {pair} " if inside else f" {pair} ")


def _new_line(text: str, end: int, pair: str) -> _Splice:
    """Put a pair on its own line after the line that ends a table."""
    newline = "\r\n" if "\r\n" in text else "\n"
    if end == 0:
        return 0, 0, f"{pair}{newline}"
    stop = text.find("\n", end)
    if stop < 0:
        return len(text), len(text), f"{newline}{pair}"
    return stop + 1, stop + 1, f"{pair}{newline}"


def _applied(text: str, splices: list[_Splice]) -> str:
    """Work from the end, so that the places before stay true; equal places keep their order."""
    for start, end, new in sorted(reversed(splices), key=lambda splice: splice[0], reverse=True):
        text = text[:start] + new + text[end:]
    tomllib.loads(text)
    return text


def _key(name: str) -> str:
    return name if _BARE_KEY.fullmatch(name) else toml_value(name)
