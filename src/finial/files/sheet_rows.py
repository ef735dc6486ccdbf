"""The keys as one list from top to bottom, each with its path and an example.

The examples stand in the project ``every-key``, which uses every key there is: they are read from it
where they are needed, so that an example that no longer reads cannot go unseen.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from finial.core.trees import is_list, is_table
from finial.files.examples import example_folder
from finial.files.fields import Record
from finial.files.motor_data import MotorSheet
from finial.files.photo_marks import PhotoMarks
from finial.files.sheet import Sheet
from finial.files.sheet_keys import Key, KeyTable, inner_table, table_of
from finial.files.sheet_rules import REFERENCES
from finial.files.site import Site
from finial.files.source import read_toml
from finial.files.toml_places import KeyPath
from finial.files.tower import Tower

Keys = tuple[str, ...]
"""Keys from the top of a file down; entries of lists are not counted."""


_NAMED: dict[Keys, str] = {(*table, key): ".".join(target) for table, key, target in REFERENCES}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyExample:
    """What a key holds in the example project: its value, and how it is written there."""

    value: Any
    text: str
    """Empty for tables under headings of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFile:
    """One kind of file with a record of its own."""

    name: str
    title: str
    record: type[Record]
    example: str
    """Path of the example inside the example project; empty where it has none."""


BUILD_SHEET = SheetFile(name="build-sheet", title="The build sheet", record=Sheet, example="every-key.toml")
MOTOR_FILE = SheetFile(
    name="motor", title="A motor's file", record=MotorSheet, example="motors/demo-k500.toml"
)
SITE_FILE = SheetFile(name="site", title="A site's file", record=Site, example="site.toml")
TOWER_FILE = SheetFile(name="tower", title="A tower's drawing", record=Tower, example="")
PHOTOS_FILE = SheetFile(name="photos", title="The marks of photos", record=PhotoMarks, example="")
SHEET_FILES = (BUILD_SHEET, MOTOR_FILE, SITE_FILE)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyRow:
    """One key at its place."""

    path: Keys
    key: Key
    example: KeyExample | None
    names_entry_of: str = ""
    """List of tables of the sheet whose entries this key names, such as ``recovery.bay``."""

    @property
    def dotted(self) -> str:
        """The path as it is spoken of: ``fin.outline``."""
        return ".".join(self.path)


def rows_of(file: SheetFile) -> tuple[KeyRow, ...]:
    """Every key of a kind of file, from top to bottom.

    Raises
    ------
    BuildSheetError
        If the example project cannot be read.

    Examples
    --------
    >>> rows = {row.dotted: row for row in rows_of(BUILD_SHEET)}
    >>> rows["fin.thickness"].example.text
    '"6 mm"'
    >>> rows["recovery.canopy.bay"].names_entry_of
    'recovery.bay'
    """
    examples, walked = examples_of(file), list(_walk((), table_of(file.record)))
    # Tables of one kind stand at several places, an event at three: any of them shows how a key is written.
    alike = {id(key): examples[path] for path, key in reversed(walked) if path in examples}
    return tuple(
        KeyRow(
            path=path,
            key=key,
            example=examples.get(path) or alike.get(id(key)),
            names_entry_of=_NAMED.get(path, ""),
        )
        for path, key in walked
    )


@cache
def examples_of(file: SheetFile) -> Mapping[Keys, KeyExample]:
    """Every key that the example project's file uses, as it stands there first."""
    if not file.example:
        return MappingProxyType({})
    source = read_toml(example_folder("every-key") / file.example)
    found: dict[Keys, KeyExample] = {}
    for where, value in _leaves((), source.values):
        path = tuple(step for step in where if isinstance(step, str))
        start, end = source.places.spans.get(where, (0, 0))
        found.setdefault(path, KeyExample(value=value, text=" ".join(source.text[start:end].split())))
    return MappingProxyType(found)


def _leaves(where: KeyPath, value: Any) -> Iterator[tuple[KeyPath, Any]]:
    if is_table(value):
        for key, inner in value.items():
            yield (*where, key), inner
            yield from _leaves((*where, key), inner)
    elif is_list(value):
        for index, entry in enumerate(value):
            yield from _leaves((*where, index), entry)


def _walk(above: Keys, table: KeyTable) -> Iterator[tuple[Keys, Key]]:
    for key in table.keys:
        path = (*above, key.name)
        yield path, key
        inner = inner_table(key.value)
        if inner is not None:
            yield from _walk(path, inner)
