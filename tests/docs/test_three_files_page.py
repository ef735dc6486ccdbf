"""The page from three STL files to a verdict: its commands, its tables, the words it quotes."""

import shlex
import sys
from pathlib import Path

import pypdf
import pytest
import trimesh
from code_blocks import blocks
from untried import untried

from finial.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "from-three-stl-files.md"
CODES = [0, 3, 3, 0, 0, 0, 0, 3, 3]
"""Written; no-go; no-go; listed; drawn; planned for print; tests to print; on a card and a checklist."""


def plain(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(autouse=True)
def no_advice():
    """None is quoted on the page."""
    with untried():
        yield


def test_the_page_does_what_it_says(tmp_path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    sheet, codes, told = tmp_path / "my-box" / "my-box.toml", [], ""
    for kind, body in blocks(PAGE):
        if kind == "sh":
            for line in body.splitlines():
                monkeypatch.setattr(sys, "argv", shlex.split(line))
                with pytest.raises(SystemExit) as ended:
                    main()
                codes.append(ended.value.code)
                told = plain(capsys.readouterr().out)
        elif kind == "text":
            for line in body.splitlines():
                assert plain(line) in told
        elif body.startswith("name"):
            sheet.with_name("site.toml").write_text(body)
        else:
            assert_proposed(sheet, body)
            text = sheet.read_text().replace("guessed = true\n", "")
            sheet.write_text(f"{text}\n{body}")
    assert codes == CODES
    (card,) = pypdf.PdfReader(sheet.with_name("my-box.card.pdf")).pages
    assert "my-box: NO-GO" in " ".join(card.extract_text().split())
    assert sheet.with_name("my-box.checklist.pdf").is_file()
    assert_printed(sheet.with_name("my-box-print"))


def assert_printed(folder: Path) -> None:
    """Four pieces that fit the bed of the page, closed when a library of others reads them."""
    pieces = sorted(folder.glob("*.stl"))
    assert [path.name for path in pieces] == [
        "01-roof.stl",
        "02-booth-upper.stl",
        "03-booth-lower-1.stl",
        "04-booth-lower-2.stl",
    ]
    for path in pieces:
        mesh = trimesh.load_mesh(path)
        assert mesh.is_watertight
        assert (mesh.extents <= 250.0 + 1e-3).all()


def assert_proposed(sheet: Path, body: str) -> None:
    """What the page takes from the sheet's proposals stands there, to the digit."""
    proposed = [
        line.removeprefix("#~ ").partition("  #")[0].rstrip() for line in sheet.read_text().splitlines()
    ]
    for key in ("nozzle_station", "takes", "room", "outline", "buttons", "rail_from_axis"):
        for line in body.splitlines():
            if line.startswith(f"{key} = "):
                assert any(one.partition(" # ")[0] == line for one in proposed), line
