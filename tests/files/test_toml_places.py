"""The walk over a TOML text against tomllib, which knows what is there but not where."""

import tomllib
from pathlib import Path

import pytest

from finial.core.errors import BuildSheetError
from finial.files.source import read_toml
from finial.files.toml_places import places_of

EXAMPLES = sorted(Path(__file__).with_name("full_sheet").glob("**/*.toml"))

ODD = r'''
"quoted key" = 1 # "not" = a key
'literal' = 'C:\no\escape'		# tabs
a . b . c = [1, 2, [3, { x = "]" }]]  # a "]" in a comment
multi = """
a "quoted" word \"""
# not a comment
"""
literal_multi = \'\'\'
it's [not] a table
\'\'\'
when = 1979-05-27T07:32:00Z
empty_list = [ # comment ]
]
[table."x.y"]
n = 0x1F
[[list]]
[[list.inner]]
k = 1
[[list.inner]]
k = 2
[[list]]
[list.sub]
k = 3
'''.replace(r"\'", "'")


def leaves(value, path=()):
    yield path
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    if isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*path, index))


@pytest.mark.parametrize("text", [ODD, *(path.read_text() for path in EXAMPLES)])
def test_every_path_is_found_and_no_other(text):
    places = places_of(text)
    there = set(leaves(tomllib.loads(text))) - {()}
    assert set(places.lines) <= there
    missing = there - set(places.lines)
    # Tables that only other headings imply, and lists of tables as a whole, have no line of their own.
    assert all(any(path[: len(gap)] == gap for path in places.lines) for gap in missing)


@pytest.mark.parametrize("text", [ODD, *(path.read_text() for path in EXAMPLES)])
def test_every_span_holds_its_value(text):
    values = tomllib.loads(text)
    spans = places_of(text).spans
    assert spans
    for path, (start, end) in spans.items():
        value = values
        for step in path:
            value = value[step]
        assert tomllib.loads(f"x = {text[start:end]}")["x"] == value


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("quoted key",), 2),
        (("a", "b", "c", 2, 1, "x"), 4),
        (("literal_multi",), 9),
        (("table", "x.y", "n"), 16),
        (("list", 0, "inner", 1, "k"), 21),
        (("list", 1, "sub", "k"), 24),
        (("list", 1, "sub", "not there"), 23),
    ],
)
def test_lines_are_counted_from_one(path, line):
    assert places_of(ODD).line_of(path) == line


def test_a_heading_of_endless_steps_is_refused_and_a_row_of_many_numbers_is_read(tmp_path):
    """Both begin with a bracket and hold more than a hundred dots; only one of them is a key."""
    path = tmp_path / "sheet.toml"
    path.write_text("[" + "a." * 150 + "a]\nx = 1\n")
    with pytest.raises(BuildSheetError, match="dotted steps"):
        read_toml(path)
    path.write_text("x = [\n  [" + "0.1, " * 150 + "],\n]\n")
    assert read_toml(path).values == {"x": [[0.1] * 150]}


def test_forty_lists_in_one_another_are_read_and_one_more_is_refused(tmp_path):
    path = tmp_path / "sheet.toml"
    deepest = 39
    path.write_text("x = " + "[" * deepest + "]" * deepest)
    assert read_toml(path).values["x"] is not None
    path.write_text("x = " + "[" * (deepest + 1) + "]" * (deepest + 1))
    with pytest.raises(BuildSheetError, match="nested too deep"):
        read_toml(path)
