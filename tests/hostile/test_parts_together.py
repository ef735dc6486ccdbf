"""Meshes that cannot be used, or do not stand together: all at once, each with its line, exit code 2."""

import shutil
import struct
import sys
from pathlib import Path

import numpy as np
import pytest
from untried import untried

from finial.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def tower(tmp_path: Path) -> Path:
    folder = tmp_path / "skerry-light"
    shutil.copytree(EXAMPLES / "skerry-light", folder)
    return folder / "skerry-light.toml"


@pytest.fixture
def check(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    def run(sheet: Path) -> tuple[int, str]:
        before = sorted(sheet.parent.rglob("*"))
        monkeypatch.setattr(sys, "argv", ["finial", "check", "--quiet", "--brief", str(sheet)])
        with untried(), pytest.raises(SystemExit) as ended:
            main()
        assert sorted(sheet.parent.rglob("*")) == before
        told = capsys.readouterr()
        assert ended.value.code != 2 or told.out == ""
        return int(ended.value.code or 0), told.err + told.out

    return run


def altered(sheet: Path, before: str, after: str) -> int:
    """Change the first place of the sheet that reads so, and return its line."""
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(text.replace(before, after, 1), encoding="utf-8")
    return text[: text.index(before)].count("\n") + 1


def box_stl(path: Path, low: tuple[float, ...], high: tuple[float, ...], *, faces: int = 12) -> None:
    """Write a box as binary STL, less the faces that are left out at the end."""
    corners = np.array(
        [[(low, high)[bit][axis] for axis, bit in enumerate(bits)] for bits in np.ndindex(2, 2, 2)]
    )
    triangles = [
        (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
        (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
    ]  # fmt: skip
    with path.open("wb") as stream:
        stream.write(bytes(80) + struct.pack("<I", faces))
        for one in triangles[:faces]:
            stream.write(struct.pack("<12fH", 0, 0, 0, *corners[list(one)].ravel(), 0))


def test_every_unusable_mesh_is_told_at_once(tower: Path, check) -> None:
    meshes = tower.parent / "meshes"
    (meshes / "dome.stl").write_bytes(b"")
    (meshes / "lantern.stl").write_bytes(b"<html>not found</html>")
    (meshes / "tower-upper.stl").write_text("solid nothing\nendsolid nothing\n", encoding="ascii")
    code, told = check(tower)
    assert code == 2
    assert "3 faults in the build sheet" in told
    for field, words in (
        ("part[1].mesh", "empty"),
        ("part[2].mesh", "web page"),
        ("part[3].mesh", "no triangle"),
    ):
        assert field in told
        assert words in told


def test_a_tower_of_a_kilometre_names_field_and_line(tower: Path, check) -> None:
    line = altered(tower, 'mesh_unit = "mm"', 'mesh_unit = "m"') - 1
    code, told = check(tower)
    assert code == 2
    assert f"skerry-light.toml:{line}: part[1].mesh" in told
    assert "is mesh_unit = 'm' right?" in told


def test_one_part_in_inches_leaves_a_gap_and_is_refused(tower: Path, check) -> None:
    altered(tower, 'mesh_unit = "mm"', 'mesh_unit = "in"')
    code, told = check(tower)
    assert code == 2
    assert "a gap of" in told
    assert "another mesh_unit, or meshes that do not share one origin" in told


def test_an_inner_part_that_stands_elsewhere_is_refused(tower: Path, check) -> None:
    box_stl(tower.parent / "meshes" / "tube.stl", (-20, -20, -3000), (20, 20, -2600))
    altered(
        tower,
        "[[item]]",
        '[[part]]\nname = "inner tube"\nmesh = "meshes/tube.stl"\nmesh_unit = "mm"\nmaterial = "G10"\n'
        "outside = false\n\n[[item]]",
    )
    code, told = check(tower)
    assert code == 2
    assert "inner tube has outside = false, and sticks 3 m out of the skin" in told


def test_a_vehicle_that_is_all_inside_is_refused(tower: Path, check) -> None:
    text = tower.read_text(encoding="utf-8").replace('mesh_unit = "mm"', 'mesh_unit = "mm"\noutside = false')
    tower.write_text(text, encoding="utf-8")
    code, told = check(tower)
    assert code == 2
    assert "outside = false on every part" in told


def test_a_mesh_with_half_its_faces_missing_is_never_a_go(tower: Path, check) -> None:
    box_stl(tower.parent / "meshes" / "dome.stl", (-60, -60, 1060), (60, 60, 1200), faces=6)
    code, told = check(tower)
    assert code in (3, 4)
    assert "NOT KNOWN  meshes" in told


def test_unknown_names_and_misfits_come_together_with_what_was_meant(tower: Path, check) -> None:
    altered(tower, '"PETG"', '"PETGG"')
    altered(tower, '"NFPA 1127"', '"NFPA1127"')
    altered(tower, 'on_circle = "95 mm"', 'on_circle = "3 m"')
    code, told = check(tower)
    assert code == 2
    assert "3 faults in the build sheet" in told
    assert 'did you mean "PETG"?' in told
    assert 'did you mean "NFPA 1127"?' in told
    assert "rod[1].on_circle" in told


def test_a_tolerance_that_reaches_past_zero_is_a_fault_of_its_field(tower: Path, check) -> None:
    line = altered(tower, 'mass = "1.91 kg +- 10 g"', 'mass = "18 g +- 20 g"')
    code, told = check(tower)
    assert code == 2
    assert f"skerry-light.toml:{line}: item[1].mass" in told
    assert "a tolerance smaller than the number itself" in told


def test_a_curve_that_begins_late_is_refused(tower: Path, check) -> None:
    curve = tower.parent / "motors" / "demo-k500.csv"
    rows = [line.split(",") for line in curve.read_text(encoding="utf-8").splitlines() if line[:1].isdigit()]
    curve.write_text("".join(f"{float(time) + 100},{thrust}\n" for time, thrust in rows), encoding="utf-8")
    code, told = check(tower)
    assert code == 2
    assert "a first point at 100 s" in told


def test_a_choice_left_out_lists_the_choices(tower: Path, check) -> None:
    altered(tower, 'diameter_measures = "nominal"', "#")
    code, told = check(tower)
    assert code == 2
    assert 'one of "nominal", "projected", "mouth"' in told


def test_an_impulse_beyond_the_codes_table_names_the_code(tower: Path, check) -> None:
    curve = tower.parent / "motors" / "demo-k500.csv"
    rows = [line.split(",") for line in curve.read_text(encoding="utf-8").splitlines() if line[:1].isdigit()]
    curve.write_text("".join(f"{time},{60 * float(thrust)}\n" for time, thrust in rows), encoding="utf-8")
    motor = tower.parent / "motors" / "demo-k500.toml"
    motor.write_text(
        motor.read_text(encoding="utf-8").replace('claimed_impulse = "1500 N s"', ""), encoding="utf-8"
    )
    line = altered(tower, 'code = "NFPA 1127"', 'code = "NFPA 1127"')
    code, told = check(tower)
    assert code == 2
    assert f"skerry-light.toml:{line}: launch.code" in told
    assert "ask the range safety officer" in told


@pytest.mark.parametrize(
    ("before", "after", "field", "words"),
    [
        ('wall = "1.6 mm"', 'wall = "1.6 in"', "part[1].print.wall", "at most 20 mm"),
        ('wall = "1.6 mm"', 'wall = "1.6 um"', "part[1].print.wall", "at least 0.1 mm"),
        ('["325 mm", "190 mm"]', '["325 m", "190 mm"]', "fin[1].outline", "one corner in another unit"),
        ('wall = "1.5 mm"', 'wall = "1.5 m"', "recovery.bay[1].wall", "at most 20 mm"),
        ('on_circle = "95 mm"', 'on_circle = "0 mm"', "rod[1].on_circle", "above zero for more than one rod"),
        ('["250 mm", "0 mm"]]', '["0 mm", "0 mm"]]', "fin[1].outline", "in order round the plate"),
        ('station = "295 mm"', 'station = "0 mm"', "recovery.joint[1].station", "above zero"),
        ('knot_keeps = "60 %"', 'knot_keeps = "0 %"', "recovery.cord[1].knot_keeps", "above zero"),
        ('infill = "8 %"', "infill = 8", "part[1].print.infill", 'write "8 %" for per cent'),
        ('powder = "0.62 g +- 0.02 g"', 'powder = "0 g"', "recovery.charge[1].powder", "above zero"),
        ('weighed = "165 g +- 2 g"', 'weighed = "0 g"', "part[1].weighed", "above zero"),
        ('mass = "380 g"', 'mass = "0 g"', "recovery.canopy[1].mass", "above zero"),
        (
            'current_on_pad = "25 mA"',
            'current_on_pad = "0 mA"',
            "electronics.computer[1].current_on_pad",
            "above",
        ),
        ('resistance = "1.5 ohm"', 'resistance = "0 ohm"', "electronics.igniter[1].resistance", "above zero"),
        ('thickness = "6.5 mm"', 'root = "5 m"\nthickness = "6.5 mm"', "fin[1].root", "root in another unit"),
        ('diameter = "76 mm"', 'diameter = "7.6 m"', "recovery.bay[1].diameter", "at most its length"),
        ('["304 mm", "660 mm"]', '["304 mm", "6.4 m"]', "recovery.bay[1].stations", "the base, 1200 mm"),
        ("[[item]]", "[item]", "TOML syntax", "an earlier [item] has single brackets"),
    ],
)
def test_numbers_that_no_vehicle_has_are_refused(
    tower: Path, check, before: str, after: str, field: str, words: str
) -> None:
    altered(tower, before, after)
    code, told = check(tower)
    assert code == 2
    assert f": {field}" in told
    assert words in told


def test_a_limit_of_zero_is_a_limit_and_no_fault_of_finials(tower: Path, check) -> None:
    altered(tower, 'landing_speed = "6 m/s"', 'landing_speed = "0 m/s"')
    code, told = check(tower)
    assert code == 3
    assert "limit at most 0 m/s" in told


def test_fins_where_the_axis_is_outside_the_shape_ask_for_their_root(tower: Path, check) -> None:
    text = tower.read_text(encoding="utf-8").replace("tower-lower.stl", "towers.stl")
    tower.write_text(text, encoding="utf-8")
    meshes = tower.parent / "meshes"
    box_stl(meshes / "one.stl", (30, 30, 0), (80, 80, 350))
    box_stl(meshes / "two.stl", (-80, -80, 0), (-30, -30, 350))
    one, two = ((meshes / name).read_bytes() for name in ("one.stl", "two.stl"))
    (meshes / "towers.stl").write_bytes(bytes(80) + struct.pack("<I", 24) + one[84:] + two[84:])
    altered(tower, 'first_at = "45 deg"', 'first_at = "135 deg"')
    code, told = check(tower)
    assert code == 2
    assert "fin[1].root" in told
    assert "the axis is outside the shape there" in told
