"""``finial kit`` writes one file beside the sheet, with the revision of what it is of."""

import shutil
from pathlib import Path

from finial.files.read_by import revision_of
from finial.findings import what_if

EXAMPLE = Path(__file__).parents[2] / "examples" / "skerry-light"


def test_one_file_with_the_revision_of_the_sheet(finial, tmp_path, monkeypatch):
    # One cell of the table instead of 125: what it says is tested with the page.
    monkeypatch.setattr(what_if, "WINDS_M_S", (3.0,))
    monkeypatch.setattr(what_if, "_around", lambda known, _least, digits: (round(known.value, digits),))
    shutil.copytree(EXAMPLE, tmp_path / "it")
    sheet = tmp_path / "it" / "skerry-light.toml"
    before = {one.name for one in sheet.parent.iterdir()}
    done = finial("kit", sheet, "--flights", "50", "--quiet")
    assert done.code == 0
    assert done.err.startswith("Go, with ")
    assert "\nsite kit written to" in done.err
    made = {one.name for one in sheet.parent.iterdir()} - before
    assert made == {"skerry-light.kit.html"}
    page = (sheet.parent / "skerry-light.kit.html").read_text(encoding="utf-8")
    assert f"<code>{revision_of(sheet)}</code>" in page
    assert page.count('"rank"') == 1


def test_a_sheet_that_is_only_begun_gets_no_kit(finial, tmp_path):
    (tmp_path / "begun.toml").write_text('[vehicle]\nname = "It"\nup = "+z"\n', encoding="utf-8")
    done = finial("kit", tmp_path / "begun.toml", "--quiet")
    assert done.code in (2, 4)
    assert [one.name for one in tmp_path.iterdir()] == ["begun.toml"]
