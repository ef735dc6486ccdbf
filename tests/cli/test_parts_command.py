"""``finial parts``: the list on the screen, the file beside it, and a sheet that is only begun."""

import csv
import shutil

from .conftest import BUOY

BEGUN = """
[vehicle]
name = "Dome"
[[part]]
name = "dome"
mesh = "dome.stl"
mesh_unit = "mm"
material = "PETG"
"""


def test_the_list_and_its_file_say_the_same(finial, tmp_path) -> None:
    target = tmp_path / "parts.csv"
    done = finial("parts", BUOY, "--csv", target, "--quiet")
    assert (done.code, done.err) == (0, "")
    rows = list(csv.DictReader(target.read_text().splitlines()))
    assert rows
    told = " ".join(done.out.split())
    assert "Still to be weighed:" in told
    for row in rows:
        assert row["what"].split()[0] in told


def test_a_begun_sheet_has_its_parts(finial, tmp_path) -> None:
    shutil.copy(BUOY.parents[1] / "skerry-light" / "meshes" / "dome.stl", tmp_path)
    sheet = tmp_path / "dome.toml"
    sheet.write_text(BEGUN)
    done = finial("parts", sheet, "--quiet")
    assert done.code == 0
    assert "Still to be weighed: dome." in done.out


def test_a_file_that_cannot_be_written_is_told(finial, tmp_path) -> None:
    done = finial("parts", BUOY, "--csv", tmp_path / "none" / "parts.csv", "--quiet")
    assert done.code == 2
    assert "parts.csv" in done.err
