"""A file that is drawn on the page: kept as text, edited in place, saved if nobody changed it meanwhile."""

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from finial.core.errors import BuildSheetError
from finial.files.edit import put_text
from finial.files.read_by import revision_of
from finial.files.sheet_form import filled_tables, form_fields, form_table
from finial.files.sheet_rows import SheetFile
from finial.files.source import TomlSource, read_toml, toml_from
from finial.files.write import write_atomically
from finial.web.desk import ChangedMeanwhile
from finial.web.drafts.edits import Starter

Told = Callable[[TomlSource, bool], Mapping[str, Any]]
"""What a draft comes to, in metric or US units."""


def _nothing(_source: TomlSource) -> Mapping[str, Any]:
    return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """One file that may be drawn on the page."""

    path: Path
    kind: str
    file: SheetFile
    begin: str
    """Its text where there is none yet."""
    start: Starter
    told: Told
    """Raises what the file's own reader says."""
    untold: Mapping[str, Any]
    """What stands in place of it where it is refused."""
    seen: Callable[[TomlSource], Mapping[str, Any]] = _nothing
    """What a text shows, refused or not."""

    @property
    def name(self) -> str:
        """Name of the file."""
        return self.path.name

    def revision(self) -> str:
        """Digits that change with any byte of the file or a file that it names; empty where there is none."""
        return revision_of(self.path) or ""

    def source(self) -> TomlSource:
        """Return the file as it stands, or as it begins.

        Raises
        ------
        BuildSheetError
            If it is there and cannot be read.
        """
        return read_toml(self.path) if self.path.exists() else toml_from(self.path, self.begin)

    def page(self, source: TomlSource, *, us_units: bool) -> dict[str, Any]:
        """Tell a text of it: its form, and what it comes to or what is refused."""
        fault, faults, told = "", (), self.untold
        try:
            told = self.told(source, us_units)
        except BuildSheetError as error:
            fault, faults = str(error), error.faults
        return {
            "kind": self.kind,
            "file": self.path.name,
            "revision": self.revision(),
            "text": source.text,
            "keys": {field["path"]: field for field in form_fields(self.file)},
            "tables": [form_table(table) for table in filled_tables(source, self.file)],
            "fault": fault,
            "faults": [asdict(one) for one in faults],
            **self.seen(source),
            **told,
        }

    def save(self, text: str, revision: str) -> None:
        """Write a text; its comments are those that it has.

        Raises
        ------
        ChangedMeanwhile
            If the file is not of that revision; nothing is written.
        BuildSheetError
            With all that its reader refuses; nothing is written.
        OSError
            If it cannot be written; the file is then as it was.
        """
        self.require(revision)
        self.told(toml_from(self.path, text), False)
        if self.path.exists():
            put_text(self.path, text)
        else:
            write_atomically(self.path, text.encode())

    def require(self, revision: str) -> None:
        """Refuse where the file is not of a revision.

        Raises
        ------
        ChangedMeanwhile
            If it is of another.
        """
        if self.revision() != revision:
            raise ChangedMeanwhile(
                f"{self.path.name} was changed on disk meanwhile: nothing is written. Read it again: what was"
                " drawn here is one undo away"
            )
