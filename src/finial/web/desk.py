"""The build sheet on the page: what stands in it, what is typed, and how that is put back."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import FinialError, OutsideRange
from finial.core.units import in_unit_of
from finial.files.edit import put_text, set_values, toml_value
from finial.files.entries import without
from finial.files.read_by import revision_of
from finial.files.sheet_form import FilledField, filled_tables, form_fields, form_table
from finial.files.source import dotted, place_of, read_toml
from finial.files.typed import Typed, fields_of, named_entries, typed_changes
from finial.report.place_words import place_words
from finial.web.adding import Adding, addable


class ChangedMeanwhile(FinialError):
    """The sheet or a file it reads is no longer what the page was shown."""


def _refuse_any(_text: str) -> None:
    raise OutsideRange("nothing can be added here")


def _as_there(field: FilledField, text: str) -> str:
    measured = field.value.measured
    return in_unit_of(text, field.text, measured.dimension) if measured and field.text else text


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """One build sheet that may be filled in on the page."""

    path: Path
    refuse: Callable[[Changes], None]
    """Raises what the sheet's own reader says to the changes."""
    refuse_text: Callable[[str], None] = _refuse_any
    """Raises what the sheet's own reader says to a whole text."""

    def revision(self) -> str | None:
        """Twelve digits that change with any byte that the sheet reads; ``None`` where it cannot be read."""
        return revision_of(self.path)

    def form(self) -> dict[str, Any]:
        """Every key with its meaning, and every place of this sheet with what stands there."""
        source = read_toml(self.path)
        return {
            "revision": self.revision(),
            "keys": {field["path"]: field for field in form_fields()},
            "tables": [form_table(table) for table in filled_tables(source)],
            "addable": [asdict(table) for table in addable(source)],
        }

    def said(self, typed: Typed) -> tuple[str, ...]:
        """Say in words what was typed."""
        return place_words(typed, named_entries(self.path)) if typed else ()

    def changes(self, typed: Typed) -> Changes:
        """Turn what was typed into changes of the sheet.

        Raises
        ------
        OutsideRange
            If the sheet has no such place, or a list is not written as one.
        """
        return typed_changes(self.path, typed)

    def typed(self, changes: Changes) -> Typed | None:
        """Write changes as one would type them; ``None`` where the sheet has no field for one of them."""
        return self._written(changes, lambda _field, text: text)

    def typed_as_there(self, changes: Changes) -> Typed | None:
        """Write them in the units of the sheet, to six figures: advice, not a trial to know again."""
        return self._written(changes, _as_there)

    def _written(self, changes: Changes, put: Callable[[FilledField, str], str]) -> Typed | None:
        fields = {one.place: one for one in fields_of(self.path).values()}
        if not all(place in fields for place in changes):
            return None
        return {
            dotted(place): put(fields[place], value) if isinstance(value, str) else toml_value(value)
            for place, value in changes.items()
        }

    def add(self, adding: Adding, revision: str) -> None:
        """Put a new table into the sheet; all that stands there stays.

        Raises
        ------
        ChangedMeanwhile
            If the sheet or what it reads is not of that revision; nothing is written.
        OutsideRange
            If the sheet may have no such table, or a key is not one that it needs.
        BuildSheetError
            With all faults of the sheet as it would be; nothing is written.
        """
        self._require(revision)
        text = adding.text(read_toml(self.path))
        self.refuse_text(text)
        put_text(self.path, text)

    def take_away(self, place: str, revision: str) -> None:
        """Take a table, or an entry of a list, out of the sheet, with the comments that stand in it.

        Raises
        ------
        ChangedMeanwhile
            If the sheet or what it reads is not of that revision; nothing is written.
        OutsideRange
            If there is none, or the file is written so that it cannot be taken away alone.
        BuildSheetError
            With all faults of the sheet as it would be; nothing is written.
        """
        self._require(revision)
        source = read_toml(self.path)
        if place not in {dotted(table.place) for table in filled_tables(source) if table.place}:
            raise OutsideRange(f"the sheet has no table {place!r}")
        text = without(source, place_of(place))
        self.refuse_text(text)
        put_text(self.path, text)

    def save(self, typed: Typed, revision: str) -> None:
        """Put what was typed into the sheet; its comments and layout stay.

        Raises
        ------
        ChangedMeanwhile
            If the sheet or what it reads is not of that revision; nothing is written.
        BuildSheetError
            With all faults of the sheet as it would be; nothing is written.
        """
        self._require(revision)
        changes = self.changes(typed)
        self.refuse(changes)
        set_values(self.path, changes)

    def _require(self, revision: str) -> None:
        if self.revision() != revision:
            raise ChangedMeanwhile(
                f"{self.path.name} was changed on disk meanwhile: nothing is written. Read it again; what was"
                " typed here stays, beside what now stands in the file"
            )
