"""``finial print``: files written whole or not at all, the plan as text and JSON, and what is refused."""

import csv
import json
import shutil

import numpy as np
import pytest
from folded_tube import FOLDED_M, bent_tube

from finial.files.stl import read_stl, stl_bytes
from finial.files.threemf import read_3mf

from .conftest import BUOY

SKERRY = BUOY.parents[1] / "skerry-light"
DOME = """
[vehicle]
name = "Dome"
[[part]]
name = "dome"
mesh = "dome.stl"
mesh_unit = "mm"
material = "PETG"
print = { wall = "1.6 mm", infill = "8 %" }
[print]
bed = ["180 mm", "180 mm", "100 mm"]
"""


@pytest.fixture
def dome(tmp_path):
    shutil.copy(SKERRY / "meshes" / "dome.stl", tmp_path)
    sheet = tmp_path / "dome.toml"
    sheet.write_text(DOME)
    return sheet


def test_a_begun_sheet_is_cut_and_its_files_agree_with_the_plan(finial, dome) -> None:
    done = finial("print", dome, "--json", "--quiet")
    assert done.code == 0
    plan = json.loads(done.out)
    folder = dome.parent / "dome-print"
    names = {piece["file"] for piece in plan["pieces"]}
    assert {path.name for path in folder.iterdir()} == {*names, "all-pieces.3mf", "pieces.csv", "pieces.svg"}
    assert len(names) == 2
    corners_m, _, placed = read_3mf((folder / "all-pieces.3mf").read_bytes())
    assert placed == 2
    assert np.ptp(corners_m[:, 2]) < 0.1
    rows = list(csv.DictReader((folder / "pieces.csv").read_text().splitlines()))
    for row, piece in zip(rows, plan["pieces"], strict=True):
        vertices, _, _ = read_stl((folder / piece["file"]).read_bytes())
        assert np.ptp(vertices, axis=0) == pytest.approx(1e3 * np.array(piece["size_m"]), abs=1e-3)
        assert float(row["mass_g"]) == pytest.approx(1e3 * piece["mass_kg"]["value"], abs=0.1)
        assert piece["mass_kg"]["low"] < piece["mass_kg"]["value"] < piece["mass_kg"]["high"]


def test_the_text_names_every_piece_and_what_a_failed_one_costs(finial, dome) -> None:
    done = finial("print", dome, "--plan-only", "--quiet")
    told = " ".join(done.out.split())
    assert "dome, 1 of 2" in told
    assert "a failed piece costs at most" in told
    assert "not measured on your printer" in told
    assert not (dome.parent / "dome-print").exists()


def test_only_an_earlier_plan_is_replaced(finial, dome) -> None:
    folder = dome.parent / "dome-print"
    assert finial("print", dome, "--quiet").code == 0
    dome.write_text(DOME.replace('"100 mm"]', '"180 mm"]'))
    assert finial("print", dome, "--quiet").code == 0
    assert sorted(path.name for path in folder.glob("*.stl")) == ["01-dome.stl"]
    (folder / "notes.txt").write_text("mine")
    before = sorted(path.name for path in folder.iterdir())
    done = finial("print", dome, "--quiet")
    assert done.code == 2
    assert "'notes.txt', which is not of this command" in done.err
    assert sorted(path.name for path in folder.iterdir()) == before


def test_a_sheet_without_a_bed_says_what_to_write(finial, dome) -> None:
    dome.write_text(DOME.partition("[print]\n")[0])
    done = finial("print", dome, "--quiet")
    assert done.code == 2
    assert "under [print]" in done.err
    assert [path.name for path in dome.parent.iterdir() if path.is_dir()] == []


def test_an_open_scan_is_refused_and_nothing_is_written(finial, dome) -> None:
    """A dome with a crumpled rim: every third face below 15 mm is gone."""
    mesh = dome.parent / "dome.stl"
    vertices, faces, _ = read_stl(mesh.read_bytes())
    low = vertices[faces][:, :, 2].max(axis=1) < vertices[:, 2].min() + 15.0
    gone = low & (np.arange(len(faces)) % 3 == 0)
    mesh.write_bytes(stl_bytes(vertices, faces[~gone]))
    done = finial("print", dome, "--quiet")
    assert done.code == 2
    assert "dome" in done.err
    assert [path.name for path in dome.parent.iterdir() if path.is_dir()] == []


def test_a_scan_that_passes_through_itself_is_refused_and_nothing_is_written(finial, dome) -> None:
    tube = bent_tube(FOLDED_M)
    (dome.parent / "dome.stl").write_bytes(stl_bytes(1e3 * tube.vertices_m, tube.faces))
    done = finial("print", dome, "--quiet")
    assert done.code == 2
    assert "dome: a mesh whose surface passes through itself (" in " ".join(done.err.split())
    assert [path.name for path in dome.parent.iterdir() if path.is_dir()] == []
    checked = finial("check", dome, "--quiet")
    told = " ".join(checked.out.split())
    assert "CAUTION meshes" in told
    assert "The surface of dome passes through itself" in told


def test_loose_bodies_are_pieces_of_their_own_and_said(finial, dome) -> None:
    import manifold3d

    posts = [
        manifold3d.Manifold.cube((8.0, 8.0, 60.0)).translate((12.0 * (n % 8), 12.0 * (n // 8), 0.0))
        for n in range(10)
    ]
    mesh = manifold3d.Manifold.compose(posts).to_mesh64()
    (dome.parent / "dome.stl").write_bytes(
        stl_bytes(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))
    )
    done = finial("print", dome, "--plan-only", "--quiet")
    assert done.code == 0, done.err
    assert "dome falls into 10 loose bodies without a cut" in " ".join(done.out.split())


def test_bodies_that_fit_one_by_one_are_not_cut_for_standing_far_apart(finial, dome) -> None:
    """Two legs of an arch, 600 mm apart over a bed of 180 mm, each 40 x 40 mm: two pieces and no joint."""
    import manifold3d

    dome.write_text(DOME.replace('"8 %" }', '"8 %", layers_along = "z" }'))
    legs = [manifold3d.Manifold.cube((40.0, 40.0, 90.0)).translate((x, 0.0, 0.0)) for x in (-320.0, 280.0)]
    mesh = manifold3d.Manifold.compose(legs).to_mesh64()
    (dome.parent / "dome.stl").write_bytes(
        stl_bytes(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))
    )
    done = finial("print", dome, "--plan-only", "--json", "--quiet")
    assert done.code == 0, done.err
    plan = json.loads(done.out)
    assert [piece["size_m"] for piece in plan["pieces"]] == [pytest.approx([0.04, 0.04, 0.09], abs=1e-6)] * 2
    assert plan["joints"] == []


def test_parts_that_nobody_prints_are_named(finial) -> None:
    done = finial("print", BUOY, "--plan-only", "--quiet")
    assert done.code == 2
    assert "bed" in done.err


def test_motions_are_set_beside_the_sheet(finial, dome) -> None:
    """A square of two lines of 0.45 mm, where the sheet says 1.6 mm."""
    lines = ["G21 G90 M83", "G1 F1800"]
    for layer in range(1, 9):
        lines.append(f"G0 Z{0.2 * layer}")
        for low, high in ((0.225, 39.775), (0.675, 39.325)):
            pushed = 0.45 * 0.2 * (high - low) / 2.4053
            lines.append(f"G0 X{low} Y{low}")
            lines += [
                f"G1 X{x} Y{y} E{pushed}" for x, y in ((high, low), (high, high), (low, high), (low, low))
            ]
    motions = dome.parent / "dome.gcode"
    motions.write_text("\n".join(lines))
    done = finial("print", dome, "--gcode", motions, "--quiet")
    assert done.code == 0, done.err
    told = " ".join(done.out.split())
    assert "2 of 0.45 mm" in told
    assert "0.90 mm: thinner" in told
    as_json = json.loads(finial("print", dome, "--gcode", motions, "--json", "--quiet").out)
    assert as_json["wall_m"]["value"] == pytest.approx(9e-4, rel=0.02)
    motions.write_text("G1 X")
    assert finial("print", dome, "--gcode", motions, "--quiet").code == 2


def test_test_pieces_are_written_with_what_to_do(finial, dome) -> None:
    done = finial("print", dome, "--tests", "--quiet")
    assert done.code == 0, done.err
    told = " ".join(done.out.split())
    assert "material.density" in told
    names = sorted(path.name for path in (dome.parent / "dome-tests").iterdir())
    assert names[-1] == "tests.csv" or "tests.csv" in names
    assert [name for name in names if name.endswith(".stl")] == [
        "test-01-cube-petg.stl",
        "test-02-bar-along-petg.stl",
        "test-03-bar-across-petg.stl",
        # The dome is higher than the bed: the plan cuts it, and nobody knows yet what its seam holds.
        "test-04-joint-dome.stl",
        "test-05-gauge-dowel-of-5-mm.stl",
    ]
    dome.write_text(DOME.replace('"100 mm"]', '"200 mm"]'))
    whole = finial("print", dome, "--tests", "--quiet")
    assert "joint" not in whole.out


def test_inches_and_pounds_are_told_without_a_millimetre(finial, dome) -> None:
    dome.write_text(DOME.replace('name = "Dome"', 'name = "Dome"\nshow_units = "us"'))
    told = finial("print", dome, "--plan-only", "--quiet").out
    assert "2.36 in/s" in told
    assert not [word for word in told.split() if word in ("mm", "mm/s", "cm2", "mm2", "g", "kg", "m")]


def test_a_mesh_drawn_thinner_than_two_lines_is_told(finial, dome) -> None:
    """A closed box of 60 mm with drawn walls of 0.7 mm: lines of a 0.4 mm nozzle are 0.45 mm wide."""
    import manifold3d

    box = manifold3d.Manifold.cube((60.0, 60.0, 60.0), True) - manifold3d.Manifold.cube(
        (58.6, 58.6, 58.6), True
    )
    mesh = box.to_mesh64()
    (dome.parent / "dome.stl").write_bytes(
        stl_bytes(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))
    )
    dome.write_text(DOME.replace('"100 mm"]', '"180 mm"]'))
    done = finial("print", dome, "--plan-only", "--quiet")
    assert done.code == 0, done.err
    assert "dome is drawn thinner than two lines of 0.45 mm in 100 % of its cut" in " ".join(done.out.split())
