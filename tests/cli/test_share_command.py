"""``finial share`` writes one file to send, with the revision of what it is of."""

import shutil
from pathlib import Path

from untried import untried

from finial.files.read_by import revision_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "buoy-tiers"


def test_one_file_beside_the_sheet_with_its_revision(finial, tmp_path):
    shutil.copytree(EXAMPLE, tmp_path / "it")
    sheet = tmp_path / "it" / "buoy-tiers.toml"
    before = {one.name for one in sheet.parent.iterdir()}
    with untried():
        done = finial("share", sheet, "--quiet")
    assert "page to send written to" in done.err
    assert {one.name for one in sheet.parent.iterdir()} - before == {"buoy-tiers.page.html"}
    page = (sheet.parent / "buoy-tiers.page.html").read_text(encoding="utf-8")
    assert f'"revision": "{revision_of(sheet)}"' in page
    assert '<script type="module">' in page


def test_a_sheet_that_is_only_begun_gets_no_page(finial, tmp_path):
    (tmp_path / "begun.toml").write_text('[vehicle]\nname = "It"\nup = "+z"\n', encoding="utf-8")
    done = finial("share", tmp_path / "begun.toml", "--quiet")
    assert done.code in (2, 4)
    assert [one.name for one in tmp_path.iterdir()] == ["begun.toml"]
