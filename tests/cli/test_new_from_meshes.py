"""``finial new`` with a builder's own meshes: what is found, what is asked, and that nothing is ever go."""

import re
import sys
import tomllib
import zipfile
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "shape" / "pieces"))
import made_pieces as made

from finial.cli.new_command import UPS
from finial.cli.options import MESH_UNITS
from finial.core.frames import UP_AXES
from finial.files import meshes
from finial.files.examples import example_folder
from finial.files.sheet import read_sheet
from finial.files.threemf_write import Object3mf, threemf_bytes
from finial.findings.check import load_begun
from finial.report.start_sheet import OPEN, PROPOSED

FILLED = {
    "? g": "900 g",
    "? N": "400 N",
    "? mm": "5 mm",
    "? m/s": "3 m/s",
    "? deg": "250 deg",
    "? degC": "20 degC",
    "motors/?.toml": "motors/demo-k500.toml",
}
"""What a builder might write where a number with a unit stands open."""
NAMED = {
    "thread": "M6",
    "material": "PLA",
    "length": "10 m",
    "diameter": "2 m",
    "rail_length": "3.6 m",
    "code": "NFPA 1127",
}
STUFF = {"[[rod]]": "6061-T6", "[[fin]]": "polycarbonate", "[[recovery.cord]]": "nylon webbing 1000 lbf"}


def saved(folder: Path, pieces: dict) -> list[Path]:
    folder.mkdir(exist_ok=True)
    for name, piece in pieces.items():
        piece.export(folder / f"{name}.stl")
    return [folder / f"{name}.stl" for name in pieces]


@pytest.fixture(scope="module")
def tower():
    return made.tower()


@pytest.fixture
def apart(tmp_path, tower):
    """The tower's pieces, each at its own origin."""
    return saved(tmp_path / "stl", {name: made.on_its_own(one) for name, one in tower.items()})


def test_three_files_become_a_project_that_answers(finial, tmp_path, apart) -> None:
    motors = example_folder("skerry-light") / "motors"
    folder = tmp_path / "my tower"
    done = finial("new", folder, "--mesh", *apart, "--unit", "mm", "--motors", motors, "--quiet")
    assert (done.code, done.err) == (0, "")
    assert "3 pieces put on one another (as drawn, lower and middle stand in the same place)" in done.out
    assert "a round bore at the base, 54.3 mm across and 219 mm deep" in done.out
    assert "Not known: nothing checked on my tower fails" in done.out
    # The demo's motor is 54 mm across and longer than the bore is deep.
    assert "None of the motors in motors/ (1 in all) goes in." in " ".join(done.out.split())
    sheet = folder / "my-tower.toml"
    loaded = read_sheet(sheet).sheet
    assert [part.name for part in loaded.part] == ["top", "middle", "lower"]
    assert all(part.guessed for part in loaded.part)
    vehicle = load_begun(sheet)
    assert vehicle.skin.length_m == pytest.approx(0.62, abs=1e-6)
    assert [part.span_m[0] for part in vehicle.parts] == pytest.approx([0.0, 0.15, 0.37], abs=1e-6)
    assert {path.name for path in folder.iterdir()} == {"meshes", "motors", "schemas", sheet.name}
    assert {path.name for path in tmp_path.iterdir()} == {"stl", "my tower"}
    checked = finial("check", sheet, "--quiet", "--brief")
    assert checked.code == 4


def test_objects_of_one_3mf_become_a_part_each_with_their_colour_told(finial, tmp_path, tower) -> None:
    """As drawn: what a slicer or a CAD program saves as one project. With --joined they stay one part."""
    archive = tmp_path / "tower.3mf"
    objects = [
        Object3mf(name=name, vertices_mm=np.array(one.vertices), faces=np.array(one.faces))
        for name, one in tower.items()
    ]
    archive.write_bytes(threemf_bytes(objects, "tower"))
    coloured(archive, "top", "#B02020")
    done = finial("new", tmp_path / "apart", "--mesh", archive, "--quiet")
    assert (done.code, done.err) == (0, "")
    said = " ".join(done.out.split())
    assert "top: an object of tower.3mf, coloured #B02020" in said
    assert "middle: an object of tower.3mf" in said
    sheet = read_sheet(tmp_path / "apart" / "apart.toml").sheet
    assert [part.name for part in sheet.part] == ["top", "middle", "lower"]
    assert [part.mesh for part in sheet.part] == [f"meshes/{part.name}.stl" for part in sheet.part]
    vehicle = load_begun(tmp_path / "apart" / "apart.toml")
    volumes = {part.spec.name: part.solid.volume_m3.value for part in vehicle.parts}
    # STL holds 32-bit numbers.
    assert volumes == pytest.approx({name: 1e-9 * one.volume for name, one in tower.items()}, rel=1e-6)
    assert finial("new", tmp_path / "one", "--mesh", archive, "--joined", "--quiet").code == 0
    [part] = read_sheet(tmp_path / "one" / "one.toml").sheet.part
    assert (part.name, part.mesh) == ("tower", "meshes/tower.3mf")


def coloured(archive: Path, name: str, colour: str) -> None:
    """Give one object of a 3MF a colour."""
    with zipfile.ZipFile(archive) as read:
        entries = {entry: read.read(entry).decode() for entry in read.namelist()}
    model = entries["3D/3dmodel.model"]
    model = model.replace(
        "<resources>",
        f'<resources><basematerials id="90"><base name="x" displaycolor="{colour}"/></basematerials>',
    )
    entries["3D/3dmodel.model"] = model.replace(f'name="{name}"', f'name="{name}" pid="90" pindex="0"')
    with zipfile.ZipFile(archive, "w") as write:
        for entry, text in entries.items():
            write.writestr(entry, text)


def test_every_proposal_can_be_taken_and_is_still_no_go_or_not_known(finial, tmp_path) -> None:
    """All marks taken away and every open place filled, the sheet reads; guesses keep it from go."""
    folder = tmp_path / "rodded"
    files = saved(tmp_path / "stl", made.rodded())
    motors = example_folder("skerry-light") / "motors"
    assert finial("new", folder, "--mesh", *files, "--unit", "mm", "--motors", motors, "--quiet").code == 0
    sheet = folder / "rodded.toml"
    sheet.write_text(taken(sheet.read_text()))
    (folder / "site.toml").write_bytes((example_folder("skerry-light") / "site.toml").read_bytes())
    loaded = read_sheet(sheet).sheet
    [rods] = loaded.rod
    assert (rods.thread, rods.count, rods.on_circle.text, rods.first_at.text) == ("M6", 4, "76 mm", "45 deg")
    assert loaded.motor.takes.value == pytest.approx(0.055, abs=2e-4)
    assert loaded.recovery.bay[0].stations[0].value == pytest.approx(0.135, abs=2e-4)
    done = finial("check", sheet, "--quiet", "--quick", "--brief")
    assert done.code in (3, 4)
    assert "material and print of cap, mid, base" in done.out


def taken(text: str) -> str:
    """The sheet with every proposal taken and every open place filled."""
    lines, table = [], ""
    for line in text.splitlines():
        line = line.removeprefix(PROPOSED)
        table = line if line.startswith("[") else table
        key = line.partition(" = ")[0]
        if OPEN in line and not line.startswith("#"):
            for mark, value in FILLED.items():
                line = line.replace(f'"{mark}"', f'"{value}"')
            value = STUFF.get(table, NAMED["material"]) if key == "material" else NAMED.get(key, "250 mm")
            line = line.replace(f'"{OPEN}"', f'"{value}"')
        lines.append(line)
    return "\n".join(line for line in lines if not line.startswith("weighed"))


def test_meshes_in_inches_are_answered_in_inches(finial, tmp_path, tower) -> None:
    small = {name: one.copy() for name, one in tower.items()}
    for one in small.values():
        one.apply_scale(1 / 25.4)
    folder = tmp_path / "tower"
    done = finial("new", folder, *saved(tmp_path / "stl", small), "--unit", "in", "--quiet")
    assert done.code == 0
    assert "24.4 in long" in done.out
    text = (folder / "tower.toml").read_text()
    sheet = tomllib.loads(text)
    assert sheet["vehicle"]["show_units"] == "us"
    assert {part["mesh_unit"] for part in sheet["part"]} == {"in"}
    # What keys mean is the schema's, a charge is weighed in grams everywhere.
    numbers = [
        line.partition("#")[0] for line in text.replace("#~ ", "").splitlines() if "powder" not in line
    ]
    assert [line for line in numbers if re.search(r"[\d?] (mm|cm|m|g|kg|N|m/s|degC)\"", line)] == []
    assert [line for line in text.splitlines() if "FOUND" in line and " mm" in line] == []
    # Where nothing is moved the builder's own bytes are kept.
    assert (folder / "meshes" / "top.stl").read_bytes() == (tmp_path / "stl" / "top.stl").read_bytes()


@pytest.mark.parametrize(("scale", "likely"), [(1.0, "mm"), (1 / 25.4, "in"), (1e-3, "m")])
def test_without_a_unit_the_likely_one_is_named_and_nothing_is_written(
    finial, tmp_path, tower, scale, likely
) -> None:
    scaled = {name: one.copy() for name, one in tower.items()}
    for one in scaled.values():
        one.apply_scale(scale)
    done = finial("new", tmp_path / "new", "--mesh", *saved(tmp_path / "stl", scaled))
    assert done.code == 2
    assert "the meshes carry no unit: give --unit" in done.err
    assert f"--unit {likely} is likely" in done.err
    assert not (tmp_path / "new").exists()


def refused(finial, tmp_path, *words) -> str:
    done = finial("new", tmp_path / "new", *words, "--quiet")
    assert done.code == 2
    assert done.out == ""
    assert not (tmp_path / "new").exists()
    assert not [path for path in tmp_path.iterdir() if ".finial-new" in path.name]
    return done.err


def test_a_scale_that_is_absurd_is_refused_with_the_sizes(finial, tmp_path, apart) -> None:
    assert "its longest side would be in mm 250 mm" in refused(
        finial, tmp_path, "--mesh", *apart, "--unit", "m"
    )


def test_what_nobody_can_tell_is_asked_for(finial, tmp_path) -> None:
    [post] = saved(tmp_path / "stl", {"post": made.rod(50, 500)})
    said = " ".join(refused(finial, tmp_path, post, "--unit", "mm").split())
    assert "which end is the tip: perhaps mesh +z. Say --up=+z or --up=-z" in said
    done = finial("new", tmp_path / "new", post, "--unit", "mm", "--up", "+z", "--quiet")
    assert done.code == 0
    assert "you said so" in done.out


def test_what_speaks_against_the_likely_tip_is_told(finial, tmp_path) -> None:
    boughs = [made.turned_about(made.block((120, 5, 170), 350, x=85), (0, 0, 1), 90 * n) for n in range(4)]
    tree = made.union([made.rod(40, 520), *boughs, made.rod(150, 80, 520)])
    [file] = saved(tmp_path / "stl", {"tree": made.difference([tree, made.rod(28, 320, -1)])})
    said = " ".join(refused(finial, tmp_path, file, "--unit", "mm").split())
    assert "perhaps mesh -z, but a bore is open at that end and then it is drawn upside down." in said


def test_a_part_that_is_hollow_in_few_places_is_called_solid(finial, tmp_path) -> None:
    """A bore of 60 mm in a post of 500 mm: of 30 cuts three or four meet it."""
    post = made.difference([made.frustum(50, 30, 500), made.rod(20, 60, -1)])
    [file] = saved(tmp_path / "stl", {"post": post})
    done = finial("new", tmp_path / "new", "--mesh", file, "--unit", "mm", "--up=+z", "--quiet")
    assert done.code == 0, done.err
    assert "post: drawn solid but for a room or a bore somewhere (sure: 1" in " ".join(done.out.split())


def test_a_room_with_windows_is_hollow_in_part(finial, tmp_path) -> None:
    """Walls of 8 mm; of 200 mm of height 130 are cut through, where a cut shows two walls and no room."""
    walls = [made.block((120, 120, 200), 0), made.block((104, 104, 220), -10), made.block((160, 60, 130), 40)]
    [file] = saved(tmp_path / "stl", {"room": made.difference(walls)})
    done = finial("new", tmp_path / "new", "--mesh", file, "--unit", "mm", "--up=+z", "--quiet")
    assert done.code == 0, done.err
    said = " ".join(done.out.split())
    assert (
        "room: hollow in part, or open at the side: walls 8.0 mm on the mean where it is (likely: 3" in said
    )


def test_a_piece_that_lies_turned_over_for_its_print_is_asked_for(finial, tmp_path, tower) -> None:
    pieces = {name: made.on_its_own(one) for name, one in tower.items()}
    pieces["top"] = made.on_its_own(made.turned_about(tower["top"], (1, 0, 0), 180.0))
    files = saved(tmp_path / "stl", pieces)
    said = " ".join(refused(finial, tmp_path, "--mesh", *files, "--unit", "mm").split())
    assert "their ends match far better with top turned over" in said
    assert "if they lie so for their print, export them as they fly" in said
    assert "--in-order" in said


def test_a_forgotten_piece_is_asked_for(finial, tmp_path, tower) -> None:
    files = saved(tmp_path / "stl", {name: tower[name] for name in ("lower", "top")})
    told = refused(finial, tmp_path, "--mesh", *files, "--unit", "mm")
    assert "lower and top do not touch" in told
    assert "--as-drawn" in told
    # Kept as drawn, the gap is refused once more, by the file's own name.
    assert "a gap of 220 mm" in refused(finial, tmp_path, *files, "--unit", "mm", "--as-drawn")


def test_storeys_of_one_width_are_asked_for_their_order(finial, tmp_path) -> None:
    files = saved(tmp_path / "stl", {f"{n}": made.rod(50, 100 + 50 * n) for n in range(3)})
    assert "several orders match as well" in refused(finial, tmp_path, *files, "--unit", "mm", "--up", "+z")


def test_a_scan_that_encloses_nothing_is_refused_by_its_own_name(finial, tmp_path) -> None:
    open_scan = made.frustum(60, 30, 300)
    kept = open_scan.copy()
    kept.update_faces([number % 3 != 0 for number in range(len(kept.faces))])
    [file] = saved(tmp_path / "stl", {"scan": kept})
    told = refused(finial, tmp_path, file, "--unit", "mm")
    assert str(file) in told
    assert "do not hang together" in told


def test_a_mended_mesh_is_named_in_the_sheet(finial, tmp_path) -> None:
    open_base = made.frustum(60, 10, 300)
    flat = [number for number in range(len(open_base.faces)) if open_base.triangles[number][:, 2].max() > 1.0]
    open_base.update_faces(flat)
    [file] = saved(tmp_path / "stl", {"cone": open_base})
    done = finial("new", tmp_path / "new", file, "--unit", "mm", "--quiet")
    assert done.code == 0
    assert "cone: mended: 1 hole was closed" in done.out
    assert "FOUND  mended: 1 hole was closed" in (tmp_path / "new" / "new.toml").read_text()
    open_base.apply_scale(1 / 25.4)
    [small] = saved(tmp_path / "inches", {"cone": open_base})
    done = finial("new", tmp_path / "us", small, "--unit", "in", "--quiet")
    # 120 mm across.
    told = re.search(r"cone: mended: 1 hole was closed, the widest ([\d.]+) in across", done.out)
    assert float(told[1]) == pytest.approx(120 / 25.4, abs=2e-3)
    assert f"{told[1]} in across" in (tmp_path / "us" / "us.toml").read_text()
    assert " mm" not in done.out


def test_many_bodies_in_one_file_are_one_part_and_told(finial, tmp_path) -> None:
    """Forty rings on one another in one file: one part, and the builder reads how many bodies it has."""
    rings = [made.rod(60 - n, 10, 10 * n) for n in range(40)]
    [file] = saved(tmp_path / "stl", {"rings": made.trimesh.util.concatenate(rings)})
    done = finial("new", tmp_path / "new", file, "--unit", "mm", "--quiet")
    assert done.code == 0
    assert "rings: 40 bodies in one file, taken as one part" in done.out
    assert "hangs in the air" not in done.out
    apart = [made.rod(20, 10, 10 * n, x=50.0 * (n % 2)) for n in range(40)]
    [file] = saved(tmp_path / "stl", {"apart": made.trimesh.util.concatenate(apart)})
    done = finial("new", tmp_path / "apart", file, "--unit", "mm", "--up=+z", "--quiet")
    assert done.code == 0
    assert "A body of apart hangs in the air, touching nothing." in " ".join(done.out.split())


def test_a_folder_that_holds_something_is_left_alone(finial, tmp_path, apart) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "notes.txt").write_text("mine")
    done = finial("new", tmp_path / "mine", "--mesh", *apart, "--unit", "mm")
    assert done.code == 2
    assert "is not empty" in done.err
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["notes.txt"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--unit", "mm"), "without a mesh"),
        (("a.stl", "--example", "pagoda"), "give one of them"),
        (("a.stl", "--unit", "mm", "--stack", "--as-drawn"), "--as-drawn keeps"),
        (("a.stl", "--unit", "mm"), "no such file"),
        (("a.igs", "--unit", "mm"), "STL, OBJ, PLY, 3MF, AMF, glTF and STEP are read"),
    ],
)
def test_slips_on_the_command_line_are_told(finial, tmp_path, monkeypatch, words, told) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.igs").write_bytes(b"x")
    assert told in refused(finial, tmp_path, *words)


def test_a_mesh_in_the_folders_place_is_told(finial, tmp_path) -> None:
    done = finial("new", "--mesh", tmp_path / "a.stl", tmp_path / "b.stl")
    assert done.code == 2
    assert "name the new folder first" in done.err


def test_names_that_are_alike_are_told_apart_and_odd_ones_made_plain(finial, tmp_path, tower) -> None:
    [one] = saved(tmp_path / "one", {"Piece #1": tower["lower"]})
    two, three = saved(tmp_path / "two", {"Piece #1": tower["middle"], "Ünten": tower["top"]})
    words = ("new", tmp_path / "new", one, two, three, "--unit", "mm", "--quiet")
    assert finial(*words, "--name", "My Tower").code == 0
    sheet = tomllib.loads((tmp_path / "new" / "my-tower.toml").read_text())
    assert [part["name"] for part in sheet["part"]] == ["Ünten", "Piece 1 (2)", "Piece 1"]
    assert all((tmp_path / "new" / part["mesh"]).is_file() for part in sheet["part"])


def test_a_name_that_hides_something_is_refused(finial, tmp_path, apart) -> None:
    told = refused(finial, tmp_path, "--mesh", *apart, "--unit", "mm", "--name", "My \u202e tower")
    assert "--name: vehicle.name" in told
    assert "\u202e" not in told


def test_choices_are_those_of_the_library() -> None:
    assert UPS == tuple(sorted(UP_AXES, key=lambda up: (up[1], up[0])))
    assert MESH_UNITS == meshes.UNITS


def test_a_file_named_twice_is_told(finial, tmp_path, apart) -> None:
    assert "named twice" in refused(finial, tmp_path, "--mesh", *apart, apart[0], "--unit", "mm")


def test_a_material_nobody_knows_is_refused_with_those_that_are_known(finial, tmp_path, apart) -> None:
    told = refused(finial, tmp_path, "--mesh", *apart, "--unit", "mm", "--material", "PLLA")
    assert "PETG" in told


@pytest.fixture
def at_a_terminal(monkeypatch):
    """Answers typed at a terminal, one after the other."""

    def answers(*lines: str) -> None:
        monkeypatch.setattr("finial.cli.start._asks", lambda: True)
        typed = iter(lines)
        monkeypatch.setattr("click.termui.visible_prompt_func", lambda _prompt: next(typed))

    return answers


def test_at_a_terminal_unit_and_material_are_asked_for(finial, tmp_path, apart, at_a_terminal) -> None:
    """Enter takes the likely unit; the material is told, and is no guess then."""
    at_a_terminal("", "PETG")
    done = finial("new", tmp_path / "new", "--mesh", *apart, "--quiet")
    assert done.code == 0, done.err
    assert "The longest piece would be in mm 250 mm, in cm 2.5 m" in done.err
    sheet = (tmp_path / "new" / "new.toml").read_text()
    assert {part["material"] for part in tomllib.loads(sheet)["part"]} == {"PETG"}
    [told, *_] = [line for line in sheet.splitlines() if line.startswith("material = ")]
    assert "GUESS" not in told


def test_at_a_terminal_the_end_is_asked_for(finial, tmp_path, at_a_terminal) -> None:
    [post] = saved(tmp_path / "stl", {"post": made.rod(50, 500)})
    at_a_terminal("-z", "")
    assert finial("new", tmp_path / "new", post, "--unit", "mm", "--quiet").code == 0
    assert tomllib.loads((tmp_path / "new" / "new.toml").read_text())["vehicle"]["up"] == "-z"


def test_at_a_terminal_the_order_is_asked_for(finial, tmp_path, at_a_terminal) -> None:
    files = saved(tmp_path / "stl", {f"{n}": made.rod(50, 100 + 50 * n) for n in range(3)})
    at_a_terminal("in-order", "")
    assert finial("new", tmp_path / "new", *files, "--unit", "mm", "--up", "+z", "--quiet").code == 0
    parts = tomllib.loads((tmp_path / "new" / "new.toml").read_text())["part"]
    assert [part["name"] for part in parts] == ["0", "1", "2"]


def test_files_that_carry_their_unit_begin_a_project_without_one(finial, tmp_path, tower) -> None:
    """The tower as .glb, whose lengths are metres by its standard: 1e-3 of the millimetres drawn."""
    files = []
    for name, piece in tower.items():
        metres = piece.copy()
        metres.apply_scale(1e-3)
        metres.export(tmp_path / f"{name}.glb")
        files.append(tmp_path / f"{name}.glb")
    done = finial("new", tmp_path / "p", "--mesh", *files, "--quiet")
    assert done.code == 0, done.err
    sheet = tomllib.loads((tmp_path / "p" / "p.toml").read_text())
    assert [Path(part["mesh"]).suffix for part in sheet["part"]] == [".glb"] * len(files)
    assert not any("mesh_unit" in part for part in sheet["part"])
    begun = load_begun(tmp_path / "p" / "p.toml")
    drawn_mm = sum(piece.volume for piece in tower.values())
    assert begun.skin.volume_m3 >= 1e-9 * drawn_mm
