"""The form's fields: plain data, always of the same keys."""

import json

import pytest

from finial.files.sheet_form import form_fields
from finial.files.sheet_rows import SHEET_FILES, rows_of

FIELD = {"path", "meaning", "required", "default", "example", "names_entry_of"}
ACCEPTED = {
    *("kind", "dimension", "units", "at_least", "above", "at_most", "choices", "names", "pattern"),
    *("least", "most", "word", "entries"),
}


@pytest.mark.parametrize("file", SHEET_FILES, ids=lambda file: file.name)
def test_every_key_is_a_field_of_plain_data(file):
    fields = form_fields(file)
    assert [field["path"] for field in fields] == [row.dotted for row in rows_of(file)]
    assert json.loads(json.dumps(fields)) == fields
    assert all(field.keys() == FIELD | ACCEPTED for field in fields)


def entries(fields):
    for field in fields:
        for entry in field["entries"] or ():
            yield entry
            yield from entries([entry])


def test_entries_of_lists_are_told_in_the_same_way():
    assert {frozenset(entry) for entry in entries(form_fields())} == {frozenset(ACCEPTED)}


def test_a_field_says_what_a_form_needs():
    fields = {field["path"]: field for field in form_fields()}
    wall = fields["part.print.wall"]
    assert (wall["kind"], wall["dimension"], wall["units"][0]) == ("quantity", "length", "mm")
    assert (wall["at_least"], wall["above"], wall["at_most"]) == (0.0001, None, 0.02)
    assert (wall["required"], wall["default"], wall["example"]) == (True, None, "1.6 mm")
    assert fields["item.offset"]["default"] == ["0 mm", "0 mm"]
    assert fields["recovery.canopy.event"]["word"] == "apogee"
    assert fields["fin.fixing.kind"]["choices"] == ["stiff", "fillet", "slot", "tab", "bolts"]
    assert fields["rod.thread"]["names"] == "thread"
    assert fields["electronics.igniter.fires"]["names_entry_of"] == "recovery.charge"
    assert fields["rod"]["example"] is None
