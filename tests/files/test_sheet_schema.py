"""JSON Schemas for editors: checked by a library of the standard, and against the reader of sheets.

Source of what a schema means: JSON Schema, draft 2020-12; judged by the library ``jsonschema``.
"""

import copy
import json
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from finial.core.dimensions import Dimension, units_of
from finial.core.errors import UnitError
from finial.core.units import parse_quantity
from finial.files.part_stations import with_part_stations
from finial.files.sheet import MESH_SUFFIXES, Sheet
from finial.files.sheet_rows import BUILD_SHEET, MOTOR_FILE, SHEET_FILES, SITE_FILE
from finial.files.sheet_schema import json_schema, quantity_pattern
from finial.files.source import read_toml

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/"))
EXAMPLES = [folder for folder in EXAMPLES if (folder / "site.toml").is_file()]
FULL = ROOT / "tests" / "files" / "full_sheet"
VALIDATORS = {file.name: Draft202012Validator(json_schema(file)) for file in SHEET_FILES}
_EVERY = ROOT / "examples" / "every-key"
EVERY_KEY = with_part_stations(read_toml(_EVERY / "every-key.toml"), _EVERY, Sheet, MESH_SUFFIXES)[0].values
"""As the records take it: stations from a part are lengths by then."""
FILES = [
    *((BUILD_SHEET, folder / f"{folder.name}.toml") for folder in EXAMPLES),
    *((SITE_FILE, folder / "site.toml") for folder in EXAMPLES),
    *((MOTOR_FILE, path) for folder in EXAMPLES for path in sorted(folder.glob("motors/*.toml"))),
    (BUILD_SHEET, FULL / "lamp.toml"),
    (SITE_FILE, FULL / "site.toml"),
    (MOTOR_FILE, FULL / "motors" / "demo-k500.toml"),
]


def accepted(file, values) -> bool:
    return VALIDATORS[file.name].is_valid(values)


def read(file, values) -> bool:
    """Say whether the record takes the values."""
    try:
        file.record.model_validate(values)
    except ValidationError:
        return False
    return True


def places(values, where=()):
    """Every path in a tree of tables and lists."""
    inner = values.items() if isinstance(values, dict) else enumerate(values)
    for step, value in inner:
        yield (*where, step), value
        if isinstance(value, dict | list):
            yield from places(value, (*where, step))


def changed(values, where, new):
    """Return a copy with another value at one place."""
    whole = copy.copy(values)
    here = whole
    for step in where[:-1]:
        here[step] = copy.copy(here[step])
        here = here[step]
    here[where[-1]] = new
    return whole


def alone(values, where):
    """Return the one entry that a place is in, with what a schema needs: it holds no two tables together."""
    top, *inner = where
    entry = [values[top][inner[0]]] if isinstance(values[top], list) else values[top]
    return {name: values[name] for name in ("vehicle", "motor", "launch")} | {top: entry}


@pytest.mark.parametrize("file", SHEET_FILES, ids=lambda file: file.name)
def test_a_schema_is_one(file):
    Draft202012Validator.check_schema(json_schema(file))


@pytest.mark.parametrize(("file", "path"), FILES, ids=lambda one: getattr(one, "stem", None))
def test_files_that_are_read_are_accepted(file, path):
    values = tomllib.loads(path.read_text(encoding="utf-8"))
    assert [error.message for error in VALIDATORS[file.name].iter_errors(values)] == []


TABLES = [(), *(where for where, value in places(EVERY_KEY) if isinstance(value, dict))]


@pytest.mark.parametrize("where", TABLES, ids=lambda where: ".".join(map(str, where)) or "top")
def test_an_unknown_key_is_refused_in_every_table(where):
    wrong = changed(EVERY_KEY, (*where, "colur"), "red")
    assert not accepted(BUILD_SHEET, wrong)
    assert not read(BUILD_SHEET, wrong)


_ALL = [where for where, value in places(EVERY_KEY) if not isinstance(value, dict | list)]
LEAVES = list({tuple(step for step in where if isinstance(step, str)): where for where in _ALL}.values())
"""One place for each key."""
OTHERS = ["red", "3 mm", "4 kg", "5 %", 7, -3, 0.5, 1_000_000, True, [], {}, ["1 mm", "2 mm"], ""]


def test_the_sheet_with_every_key_is_accepted_whole_and_each_entry_alone():
    assert accepted(BUILD_SHEET, EVERY_KEY)
    assert all(accepted(BUILD_SHEET, alone(EVERY_KEY, where)) for where in LEAVES)


@pytest.mark.parametrize("other", OTHERS, ids=repr)
def test_the_schema_refuses_nothing_that_is_read(other):
    """A false alarm in an editor is worse than a fault it leaves to the reader."""
    for where in LEAVES:
        tried = changed(EVERY_KEY, where, other)
        assert not read(BUILD_SHEET, tried) or accepted(BUILD_SHEET, alone(tried, where)), (where, other)


@pytest.mark.parametrize("other", [True, [], {}], ids=repr)
def test_another_kind_of_value_is_refused_where_it_is_not_read(other):
    for where in LEAVES:
        tried = changed(EVERY_KEY, where, other)
        assert read(BUILD_SHEET, tried) or not accepted(BUILD_SHEET, alone(tried, where)), (where, other)


@pytest.mark.parametrize(
    ("where", "wrong"),
    [
        (("part", 0, "weighed"), 260),
        (("part", 0, "weighed"), "260"),
        (("part", 0, "weighed"), "260 mm"),
        (("part", 0, "print", "infill"), True),
        (("rod", 0, "stations"), ["300 mm"]),
        (("rod", 0, "stations"), ["300 mm", "400 mm", "500 mm"]),
        (("rod", 0, "count"), 65),
        (("vehicle", "up"), "z"),
        (("part", 1, "tiers", 0, "outline"), "2-gon"),
        (("recovery", "canopy", 0, "event"), "landing"),
        (("fin", 0, "outline"), [["0 mm", "0 mm"], ["1 mm", "2 mm"]]),
        (("print", "bed"), ["300 mm", "300 mm"]),
    ],
)
def test_the_usual_slips_are_marked(where, wrong):
    assert not accepted(BUILD_SHEET, changed(EVERY_KEY, where, wrong))


@pytest.mark.parametrize("key", ["vehicle", "motor", "launch"])
def test_a_missing_table_is_marked(key):
    assert not accepted(BUILD_SHEET, {name: value for name, value in EVERY_KEY.items() if name != key})


SPELLINGS = [
    (unit.dimension, spelling) for d in Dimension for unit in units_of(d) for spelling in unit.spellings
]
SHAPES = [
    "{n} {u}",
    "{n}{u}",
    " {n}  {u} ",
    "{n} {u} +- 1 {u}",
    "{n} {u} +/- 1{u}",
    "{n} {u} ± 1 {u}",
    "{n} +- 1 {u}",
]
WRITTEN_OTHERWISE = [
    (Dimension.AREA, "12 mm²"),
    (Dimension.AREA, "12 mm^2"),
    (Dimension.TEMPERATURE, "22 °C"),
    (Dimension.ANGLE, "5°"),
    (Dimension.RESISTANCE, "2 Ω"),
    (Dimension.RESISTANCE, "2 Ω"),
    (Dimension.IMPULSE, "1500 N·s"),
    (Dimension.LENGTH, "30 µm"),
    (Dimension.LENGTH, "30 μm"),
    (Dimension.LENGTH, "7 ft 10.5 in"),
    (Dimension.LENGTH, "7 ft 10.5 in +- 0.5 in"),
    (Dimension.MASS, "400 g +- 5 %"),
    (Dimension.RATIO, "0.75 +- 0.08"),
    (Dimension.RATIO, "75 % +- 8 %"),
    (Dimension.SPEED, "5e0 m/s"),
    (Dimension.SPEED, ".5 m/s"),
    (Dimension.SPEED, "+5. m/s"),
]


def fits(dimension, text) -> bool:
    schema = {"pattern": quantity_pattern(dimension)}
    return Draft202012Validator(schema).is_valid(text)


@pytest.mark.parametrize(("dimension", "spelling"), SPELLINGS, ids=lambda one: str(one))
def test_every_spelling_of_every_unit_is_accepted(dimension, spelling):
    for shape in SHAPES:
        text = shape.format(n=300, u=spelling)
        try:
            parse_quantity(text, dimension)
        except UnitError:
            continue
        assert fits(dimension, text), text


@pytest.mark.parametrize(("dimension", "text"), WRITTEN_OTHERWISE)
def test_every_way_of_writing_is_accepted(dimension, text):
    assert parse_quantity(text, dimension).text
    assert fits(dimension, text)


@given(
    text=st.from_regex(
        r"\A[ +-]?[0-9.]{1,4}[ ]?(mm|in|ft|m|kg|%|°|)( ?(\+-|±) ?[0-9]{1,2} ?(mm|in|kg|%)?)?\Z"
    )
)
def test_no_length_that_is_read_is_refused(text):
    try:
        parse_quantity(text, Dimension.LENGTH)
    except UnitError:
        return
    assert fits(Dimension.LENGTH, text)


@pytest.mark.parametrize("text", ["12", "mm", "", "12 kg", "12 mmm", "12 mm 3", "about 12 mm", "1,2 mm"])
def test_what_is_no_length_is_marked(text):
    assert not fits(Dimension.LENGTH, text)


def test_a_key_says_what_it_means_and_what_it_may_be():
    wall = json_schema(BUILD_SHEET)["$defs"]["PrintedEntry"]["properties"]["wall"]
    assert wall["description"] == "Thickness of the walls: perimeters times line width. 0.1 mm to 20 mm"
    assert wall["examples"] == ["1.6 mm"]
    layers = json_schema(BUILD_SHEET)["$defs"]["PrintedEntry"]["properties"]["layers_along"]
    assert (layers["enum"], layers["default"]) == (["x", "y", "z"], "z")
    offset = json_schema(BUILD_SHEET)["$defs"]["ItemEntry"]["properties"]["offset"]
    assert json.dumps(offset["default"]) == '["0 mm", "0 mm"]'
