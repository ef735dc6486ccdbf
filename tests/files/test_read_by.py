"""The content of a sheet is that of all it reads: with one file left out, a new sheet gets an old answer."""

import shutil
import sys
from pathlib import Path

import pytest

from finial.assemble.vehicle.loading import load_vehicle
from finial.files.read_by import content_of_sheet, revision_of

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEETS = sorted(path for path in EXAMPLES.glob("*/*.toml") if path.stem == path.parent.name)
_opened: list[str] = []
_watching = []


def _note(event, arguments):
    if _watching and event == "open" and isinstance(arguments[0], str | Path):
        _opened.append(str(arguments[0]))


sys.addaudithook(_note)


@pytest.fixture
def opened():
    """Names of files that are opened from here on."""
    _opened.clear()
    _watching.append(True)
    yield _opened
    _watching.clear()


@pytest.fixture
def copied(tmp_path):
    def copy(sheet):
        return shutil.copytree(sheet.parent, tmp_path / sheet.parent.name) / sheet.name

    return copy


def inside(names, folder):
    return {Path(name).resolve() for name in names if Path(name).resolve().is_relative_to(folder.resolve())}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_every_file_that_is_read_counts(sheet, copied, opened):
    sheet = copied(sheet)
    opened.clear()
    load_vehicle(sheet, lambda note: None)
    read = inside(opened, sheet.parent)
    assert sheet in read
    before = content_of_sheet(sheet)
    for file in sorted(read):
        whole = file.read_bytes()
        file.write_bytes(whole + b"\n")
        assert content_of_sheet(sheet) != before, file
        file.write_bytes(whole)
    assert content_of_sheet(sheet) == before


def test_what_stands_beside_a_sheet_unnamed_does_not_count(copied):
    sheet = copied(SHEETS[0])
    before = content_of_sheet(sheet)
    (sheet.parent / "notes.txt").write_text("bought new batteries")
    assert content_of_sheet(sheet) == before


def test_a_name_that_leads_out_of_the_folder_is_not_followed(tmp_path, opened):
    outside = tmp_path / "outside.toml"
    outside.write_text("a = 1")
    folder = tmp_path / "sheet"
    folder.mkdir()
    sheet = folder / "sheet.toml"
    sheet.write_text(f'one = "../outside.toml"\ntwo = "{outside}"\nthree = ["/dev/zero", "{"x" * 5000}"]')
    opened.clear()
    assert content_of_sheet(sheet)
    assert inside(opened, tmp_path) == {sheet}


@pytest.mark.parametrize("text", [b"a = ", b"\xff\xfe"])
def test_a_sheet_that_cannot_be_read_has_no_content(tmp_path, text):
    sheet = tmp_path / "sheet.toml"
    assert content_of_sheet(sheet) is None
    sheet.write_bytes(text)
    assert content_of_sheet(sheet) is None


def test_a_revision_is_of_the_bytes_and_not_of_the_place(copied, tmp_path):
    sheet = copied(SHEETS[0])
    before = revision_of(sheet)
    assert before == revision_of(SHEETS[0])
    assert content_of_sheet(sheet) != content_of_sheet(SHEETS[0])
    mesh = next(path for path in sorted(sheet.parent.glob("mot*/*")) if path.is_file())
    mesh.write_bytes(mesh.read_bytes() + b"\n")
    assert len(revision_of(sheet)) == 12
    assert revision_of(sheet) != before
    assert revision_of(tmp_path / "nothing.toml") is None
