"""The records say it all: every key has a meaning, a value that is read right, and an example that parses."""

import tomllib
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from finial.core.dimensions import Dimension
from finial.core.errors import BuildSheetError
from finial.files.fields import Record
from finial.files.sheet import Sheet, read_sheet
from finial.files.sheet_body import ItemEntry, TierEntry, VehicleEntry
from finial.files.sheet_keys import KeyKind, accepted_words, bounds_words, every_table, inner_table, table_of
from finial.files.sheet_recovery import EventEntry, RecoveryEntry
from finial.files.sheet_rows import BUILD_SHEET, SHEET_FILES, rows_of

ROWS = [(file, row) for file in SHEET_FILES for row in rows_of(file)]
EVERY_KEY = Path(__file__).parents[2] / "examples" / "every-key"


def row_named(dotted, file=BUILD_SHEET):
    (found,) = [row for row in rows_of(file) if row.dotted == dotted]
    return found


def records(record: type[Record]) -> dict[str, type[Record]]:
    """Every record of a file, by name, found without the walk that is tested here."""
    found, todo = {}, [record]
    while todo:
        one = todo.pop()
        if isinstance(one, type) and issubclass(one, Record) and one.__name__ not in found:
            found[one.__name__] = one
            todo += [field.annotation for field in one.model_fields.values()]
        todo += [arg for arg in getattr(one, "__args__", ()) if arg is not one]
    return found


@pytest.mark.parametrize("file", SHEET_FILES, ids=lambda file: file.name)
def test_every_field_of_every_record_is_a_key(file):
    walked = {table.name: {key.name for key in table.keys} for table in every_table(table_of(file.record))}
    fields = {name: set(record.model_fields) for name, record in records(file.record).items()}
    assert walked == {name: keys - {records(file.record)[name].WORD} for name, keys in fields.items()}


@pytest.mark.parametrize(("file", "row"), ROWS, ids=[f"{file.name}:{row.dotted}" for file, row in ROWS])
def test_every_key_says_what_it_means_and_shows_how_it_is_written(file, row):
    assert row.key.meaning.endswith(".")
    assert len(row.key.meaning.split()) >= 2
    assert "``" not in row.key.meaning
    assert row.example is not None, "use the key in examples/every-key"


def test_the_examples_are_read_by_the_reader_of_sheets():
    loaded = read_sheet(EVERY_KEY / "every-key.toml")
    assert loaded.sheet.fin[0].fixing.glue == row_named("fin.fixing.glue").example.value
    assert loaded.sheet.part[0].print.wall.text == row_named("part.print.wall").example.value
    assert loaded.motor.claimed_letter == "K"
    assert loaded.field is not None
    assert loaded.wind_column is not None


def test_an_example_is_shown_as_it_is_written():
    for _, row in ROWS:
        if row.example.text and not row.example.text.startswith(("[", "{")):
            assert tomllib.loads(f"it = {row.example.text}")["it"] == row.example.value


def test_what_stands_when_a_key_is_left_out_is_what_the_reader_takes():
    for file in SHEET_FILES:
        for name, record in records(file.record).items():
            keys = {key.name: key for key in table_of(record).keys}
            for field_name, field in record.model_fields.items():
                if field_name == record.WORD:
                    continue
                key = keys[field_name]
                assert key.required == field.is_required(), (name, field_name)
                if key.default is not None:
                    hint = record.__annotations__[field_name]
                    default = list(key.default) if isinstance(key.default, tuple) else key.default
                    assert TypeAdapter(hint).validate_python(default) == field.default, (name, field_name)


# Typed by hand: kind, dimension, bounds in words, needed.
SPOT_CHECKS = [
    ("part.print.wall", KeyKind.QUANTITY, Dimension.LENGTH, "0.1 mm to 20 mm", True),
    ("part.tip_station", KeyKind.QUANTITY, Dimension.LENGTH, "not negative", False),
    ("launch.tilt", KeyKind.QUANTITY, Dimension.ANGLE, "not negative, at most 89 deg", False),
    ("fin.stays.along", KeyKind.QUANTITY, Dimension.LENGTH, "", True),
    ("limits.landing_energy", KeyKind.QUANTITY, Dimension.ENERGY, "above zero", False),
    ("recovery.cord.knot_keeps", KeyKind.QUANTITY, Dimension.RATIO, "above zero, at most 1", False),
    ("rod.count", KeyKind.COUNT, None, "", False),
    ("vehicle.note", KeyKind.TEXT, None, "", False),
    ("item.known_by", KeyKind.CHOICE, None, "", False),
    ("part.glued", KeyKind.YES_NO, None, "", False),
    ("recovery.bay.lip", KeyKind.TABLE, None, "", False),
    ("recovery.bay", KeyKind.LIST, None, "", False),
]


@pytest.mark.parametrize(("dotted", "kind", "dimension", "bounds", "needed"), SPOT_CHECKS)
def test_what_a_key_accepts(dotted, kind, dimension, bounds, needed):
    key = row_named(dotted).key
    measured = key.value.measured
    assert (key.value.kind, key.required) == (kind, needed)
    assert (measured.dimension if measured else None) == dimension
    assert (bounds_words(measured) if measured else "") == bounds


def test_what_a_list_accepts():
    bed = row_named("print.bed").key.value
    assert (len(bed.entries), bed.least, bed.most) == (3, 3, 3)
    outline = row_named("fin.outline").key.value
    assert (len(outline.entries), outline.least, outline.most) == (1, 3, None)
    along, outward = outline.entries[0].entries
    assert (bounds_words(along.measured), bounds_words(outward.measured)) == ("", "not negative")
    assert inner_table(row_named("part.tiers").key.value) is table_of(TierEntry)


def test_names_lead_to_files_tables_and_entries():
    assert row_named("part.mesh").key.value.names == "file"
    assert row_named("recovery.joint.pins.screw").key.value.names == "shear pin"
    assert row_named("recovery.cord.material").key.value.names == "cord"
    assert row_named("recovery.cord.joint").names_entry_of == "recovery.joint"
    assert row_named("launch.site").names_entry_of == ""


def test_a_word_that_stands_for_a_table_is_no_key_of_it():
    assert table_of(EventEntry).word == "apogee"
    assert table_of(EventEntry).key("apogee") is None
    assert table_of(RecoveryEntry).word == ""
    assert table_of(VehicleEntry).key("name").required


def test_the_word_is_written_alone(tmp_path):
    text = (EVERY_KEY / "every-key.toml").read_text(encoding="utf-8")
    for path in EVERY_KEY.rglob("*"):
        if path.is_file():
            (tmp_path / path.relative_to(EVERY_KEY)).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / path.relative_to(EVERY_KEY)).write_bytes(path.read_bytes())
    sheet = tmp_path / "every-key.toml"
    sheet.write_text(text.replace('event = "apogee"', "event = { apogee = true }", 1), encoding="utf-8")
    with pytest.raises(BuildSheetError, match=r'accepted: "apogee", '):
        read_sheet(sheet)


def test_sheet_is_the_record_of_the_build_sheet():
    assert BUILD_SHEET.record is Sheet


def test_a_table_is_accepted_by_the_names_of_its_keys():
    names = [key.name for key in table_of(EventEntry).keys]
    assert accepted_words(row_named("recovery.charge.event").key.value) == f"a table with {', '.join(names)}"


@pytest.mark.parametrize(("kind", "carried"), [("ballast", True), ("nose weight", False)])
def test_only_ballast_is_carried_for_its_weight(kind, carried):
    assert ItemEntry.model_construct(kind=kind).ballast is carried
