"""What a new project is called and holds before anything is computed of it."""

import inspect
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.start.pieces import arrange_pieces, read_pieces
from finial.face.start import Begin, begin_project, piece_names
from finial.face.vehicle import Vehicle
from finial.files.meshes import read_mesh
from finial.files.stl import stl_bytes
from finial.shape.pieces.arrange import Placing, ToldPlacing


def test_pieces_of_one_name_are_told_apart_by_their_number() -> None:
    names = ("hull", "hull", "hull (old)", "hull", "fin/left", "///", "hull")
    found = piece_names([SimpleNamespace(name=name) for name in names])
    assert found == ["hull", "hull (2)", "hull (old)", "hull (4)", "fin left", "part", "hull (5)"]
    assert len(set(found)) == len(found)


def test_a_new_project_is_metric_and_of_no_told_material() -> None:
    begin = Begin(folder=Path("boat"), unit=None)
    assert (begin.us_units, begin.title, begin.material, begin.motors) == (False, "", "", None)


def test_a_thousand_flights_are_flown_unless_told_otherwise() -> None:
    told = inspect.signature(Vehicle.campaign).parameters
    assert (told["flights"].default, told["seed"].default) == (1000, 1)


def box(path, sides_mm, foot_mm=0.0):
    """Write a box that stands on a height, its middle on the axis z."""
    low = np.array([-sides_mm[0] / 2, -sides_mm[1] / 2, foot_mm])
    corners = low + np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)]) * np.array(sides_mm)
    faces = [[0, 2, 3], [0, 3, 1], [4, 5, 7], [4, 7, 6], [0, 1, 5], [0, 5, 4], [2, 6, 7], [2, 7, 3]]
    faces += [[0, 4, 6], [0, 6, 2], [1, 3, 7], [1, 7, 5]]
    path.write_bytes(stl_bytes(corners, np.array(faces)))


def test_a_project_holds_its_meshes_moved_where_they_stand_and_its_motors(tmp_path) -> None:
    box(tmp_path / "foot.stl", (120, 120, 400))
    box(tmp_path / "top.stl", (80, 80, 300))
    motors = tmp_path / "motors"
    motors.mkdir()
    (motors / "one.TOML").write_text("# none\n", encoding="utf-8")
    (motors / "notes.md").write_text("not a motor", encoding="utf-8")
    (motors / "old.toml").mkdir()
    pieces = read_pieces([tmp_path / "foot.stl", tmp_path / "top.stl"], "mm", joined=False)
    arranged = arrange_pieces(pieces, ToldPlacing(up="+z", placing=Placing.STACKED, order=(0, 1)))
    begin = Begin(folder=tmp_path / "tower", unit="mm", motors=motors)
    started = begin_project(begin, pieces, arranged, lambda _note: None)
    assert started.sheet == tmp_path / "tower" / "tower.toml"
    files = {one.relative_to(tmp_path / "tower").as_posix() for one in (tmp_path / "tower").rglob("*.*")}
    assert {"tower.toml", "meshes/foot.stl", "meshes/top.stl", "motors/one.TOML"} <= files
    assert not {"motors/notes.md", "motors/old.toml"} & files
    stands = {one: read_mesh(tmp_path / "tower" / "meshes" / f"{one}.stl", "mm") for one in ("foot", "top")}
    spans = {name: np.ptp(mesh.vertices_m, axis=0).tolist() for name, mesh in stands.items()}
    assert spans["foot"] == pytest.approx([0.12, 0.12, 0.4])
    assert spans["top"] == pytest.approx([0.08, 0.08, 0.3])
