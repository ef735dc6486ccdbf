"""Values put back into sheets: the new bytes and no others."""

import shutil
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import BuildSheetError
from finial.files.edit import set_values, toml_value
from finial.files.sheet import read_sheet

EXAMPLE = Path(__file__).with_name("full_sheet")

SHEET = b"""\
# heading comment, with an umlaut: \xc3\xbc
title='x'   # odd spacing kept

[[item]] # first
name = "ballast"
mass   =   "1 kg +- 2 g"     # weighed twice
[[item]]
name = 'nuts'
mass = \"\"\"3 g\"\"\"# right behind

[a.b]
list = [ "1 mm",   # one
  [ 2, 3.5 ], # two
]
inline = { deep = { er = "5 s" }, flag = true } # flags
empty = {}

[[item]]
name = "late"
mass = "7 g"
"""


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "sheet.toml"
    path.write_bytes(SHEET)
    return path


@pytest.mark.parametrize(
    ("where", "value", "old", "new"),
    [
        (("item", 0, "mass"), "2 kg", b'"1 kg +- 2 g"', b'"2 kg"'),
        (("item", 1, "mass"), "4 g", b'"""3 g"""', b'"4 g"'),
        (("item", 2, "mass"), "8 g", b'"7 g"', b'"8 g"'),
        (("title",), 'a "b" \\ \u00b1', b"'x'", b'"a \\"b\\" \\\\ \xc2\xb1"'),
        (("a", "b", "list", 0), "2 mm", b'"1 mm"', b'"2 mm"'),
        (("a", "b", "list", 1, 1), 4.5, b"3.5", b"4.5"),
        (("a", "b", "list"), [1], SHEET[SHEET.index(b'[ "1 mm"') : SHEET.index(b"\ninline")], b"[1]"),
        (("a", "b", "inline", "deep", "er"), "6 s", b'"5 s"', b'"6 s"'),
        (("a", "b", "inline", "flag"), False, b"true", b"false"),
        (("item", 0, "station"), "9 mm", b"# weighed twice\n", b'# weighed twice\nstation = "9 mm"\n'),
        (("item", 2, "station"), "9 mm", b'mass = "7 g"\n', b'mass = "7 g"\nstation = "9 mm"\n'),
        (("a", "b", "inline", "new key"), 1, b"true }", b'true, "new key" = 1 }'),
        (("a", "b", "inline", "deep", "new"), 1, b'"5 s" }', b'"5 s", new = 1 }'),
        (("a", "b", "empty", "new"), 1, b"{}", b"{ new = 1 }"),
        (("extra",), 1, b"# odd spacing kept\n", b"# odd spacing kept\nextra = 1\n"),
    ],
)
def test_only_the_bytes_of_the_value_change(sheet, where, value, old, new):
    assert SHEET.count(old) == 1
    set_values(sheet, {where: value})
    assert sheet.read_bytes() == SHEET.replace(old, new)


def test_line_ends_and_byte_order_mark_are_kept(sheet):
    content = b"\xef\xbb\xbf" + SHEET.replace(b"\n", b"\r\n")
    sheet.write_bytes(content)
    set_values(sheet, {("item", 0, "mass"): "2 kg", ("item", 1, "note"): "n"})
    wanted = content.replace(b'"1 kg +- 2 g"', b'"2 kg"').replace(
        b"right behind\r\n", b'right behind\r\nnote = "n"\r\n'
    )
    assert sheet.read_bytes() == wanted


def test_a_last_line_without_line_end_gets_one(sheet):
    sheet.write_bytes(SHEET.rstrip())
    set_values(sheet, {("item", 2, "a"): 1, ("item", 2, "b"): 2})
    assert sheet.read_bytes() == SHEET.rstrip() + b"\na = 1\nb = 2"


@pytest.mark.parametrize(
    "where",
    [
        (),
        ("item", 3, "mass"),
        ("item", -1, "mass"),
        ("nothing", "x"),
        ("title", "x"),
        ("item",),
        ("a", "b", "list", 2),
    ],
)
def test_a_place_that_is_not_there_leaves_the_file_alone(sheet, where):
    with pytest.raises(BuildSheetError, match="a place that is not there"):
        set_values(sheet, {("item", 0, "mass"): "2 kg", where: "x"})
    assert sheet.read_bytes() == SHEET


def test_a_change_inside_another_change_is_refused(sheet):
    with pytest.raises(BuildSheetError, match="not there"):
        set_values(sheet, {("a", "b", "list"): [1], ("a", "b", "list", 0): 2})
    assert sheet.read_bytes() == SHEET


def test_a_broken_sheet_is_refused_with_its_line(sheet):
    sheet.write_bytes(SHEET + b"x = = 3\n")
    with pytest.raises(BuildSheetError, match=r"sheet\.toml:21"):
        set_values(sheet, {("title",): "y"})


def test_comments_of_a_whole_example_survive(tmp_path):
    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "project"))
    path = folder / "lamp.toml"
    before = path.read_text(encoding="utf-8").splitlines()
    set_values(path, {("item", 0, "mass"): "1.5 kg +- 5 g", ("fin", 0, "outline", 1, 1): "180 mm"})
    after = path.read_text(encoding="utf-8").splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 2
    assert all(old.partition("#")[2] == new.partition("#")[2] for old, new in changed)
    sheet = read_sheet(path).sheet
    assert sheet.item[0].mass.value == 1.5
    assert sheet.fin[0].outline[1][1].value == 0.18


VALUES = st.recursive(
    st.text(max_size=12) | st.integers(-(2**63), 2**63 - 1) | st.booleans() | st.floats(allow_nan=False),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=5,
)


@settings(max_examples=30, deadline=None)
@given(value=VALUES)
def test_every_value_reads_back_the_same(value):
    assert tomllib.loads(f"x = {toml_value(value)}")["x"] == value
