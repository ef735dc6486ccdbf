"""Damaged, mislabelled and wrongly scaled meshes: refused with the file and the reason."""

import struct
import zipfile

import numpy as np
import pytest
import trimesh

from finial.core.errors import MeshError
from finial.files import mesh_limits
from finial.files.meshes import read_mesh


@pytest.fixture(scope="module")
def box():
    return trimesh.creation.box([30, 50, 120])


def refused(path, unit="mm"):
    with pytest.raises(MeshError) as caught:
        read_mesh(path, unit)
    assert str(path) in str(caught.value)
    return str(caught.value)


def written(path, content):
    path.write_bytes(content)
    return path


def binary_stl(triangles, count=None):
    body = b"".join(struct.pack("<12fH", 0, 0, 0, *np.ravel(corners), 0) for corners in triangles)
    return b"made up".ljust(80) + struct.pack("<I", len(triangles) if count is None else count) + body


TRIANGLE = ((0, 0, 0), (30, 0, 0), (0, 40, 0))


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.stl", b"", "the file is empty"),
        ("a.stl", b"too short", "9 bytes are too few"),
        ("a.stl", binary_stl([]), "there is no triangle in it"),
        ("a.stl", binary_stl([TRIANGLE] * 9)[:-70], "it says 9 triangles but ends after 7"),
        ("a.stl", binary_stl([TRIANGLE], count=4_000_000_000), "it says 4000000000 triangles"),
        ("a.stl", binary_stl([TRIANGLE]) * 2, "134 bytes follow the last of 1 triangles"),
        (
            "a.stl",
            binary_stl([TRIANGLE, ((0, 0, 0), (1, float("nan"), 0), (0, 1, 0))]),
            "the first in face 1",
        ),
        (
            "a.stl",
            binary_stl([((0, 0, 0), (float("inf"), 0, 0), (0, 1, 0))]),
            "1 corner is not a finite number",
        ),
        ("a.stl", b"<!DOCTYPE html><html>not found</html>", "this is a web page"),
        ("a.stl", b"\n <html><body>log in</body></html>", "this is a web page"),
        ("a.stl", b"version https://git-lfs.github.com/spec/v1\noid sha256:1\nsize 5\n", "git lfs pull"),
        ("a.stl", b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\n", "was cut short"),
        (
            "a.stl",
            b"solid x\nfacet\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 x 0\nendfacet\nendsolid x\n",
            "a corner is not a number",
        ),
        ("a.obj", b"\x00\x01\x02 nothing of use", "is no plain text"),
        ("a.obj", b"nothing of use", "triangle"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n", ""),
        ("a.ply", b"ply\nformat ascii 1.0\nelement vertex 3\n", ""),
        ("a.ply", b"not a ply", "cannot be read as PLY"),
        ("a.3mf", b"not a zip", "is not a 3MF archive"),
        ("a.xyz", b"0 0 0", ".xyz ending; STL, OBJ, PLY, 3MF, AMF, glTF and STEP are read"),
        ("a", b"0 0 0", "no ending"),
    ],
)
def test_files_that_are_no_mesh(tmp_path, name, content, words):
    assert words in refused(written(tmp_path / name, content))


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
@pytest.mark.parametrize("file_type", ["stl", "stl_ascii", "ply", "3mf"])
def test_files_cut_short(tmp_path, box, file_type, share):
    path = tmp_path / f"a.{file_type.split('_')[0]}"
    box.export(path, file_type=file_type)
    content = path.read_bytes()
    refused(written(path, content[: int(share * len(content))]))


@pytest.mark.parametrize(
    "model",
    [
        "<model></model>",
        "<model",
        "",
        '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><model>&b;</model>',
    ],
)
def test_3mf_archives_without_a_model(tmp_path, model):
    path = tmp_path / "a.3mf"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("3D/3dmodel.model", model)
    refused(path)


def test_a_3mf_archive_with_no_model_file(tmp_path):
    path = tmp_path / "a.3mf"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("readme.txt", "nothing here")
    refused(path)


def test_a_3mf_archive_that_unpacks_to_too_much_is_not_unpacked(tmp_path, monkeypatch):
    monkeypatch.setattr(mesh_limits, "MOST_BYTES", 10_000)
    path = tmp_path / "a.3mf"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", b" " * 100_000)
    assert "unpacks to" in refused(path)


def test_missing_files_and_folders(tmp_path):
    assert "no such file" in refused(tmp_path / "none.stl")
    assert "a folder, not a mesh" in refused(tmp_path)


@pytest.mark.parametrize("unit", [None, "inch", "MM", ""])
def test_a_unit_is_never_guessed(tmp_path, box, unit):
    box.export(tmp_path / "a.stl")
    assert "the file carries no unit: give one of mm, cm, m, in, ft" in refused(tmp_path / "a.stl", unit)


def test_a_size_no_one_prints_shows_the_size_in_every_unit(tmp_path, box):
    # 120 in the file: 120 mm, 1.2 m, 120 m, 3.048 m, 36.576 m.
    box.export(tmp_path / "a.stl")
    message = refused(tmp_path / "a.stl", "m")
    assert "in mm 120 mm, in cm 1200 mm, in m 120 m, in in 3.05 m, in ft 36.6 m" in message
    assert "is mesh_unit = 'm' right?" in message


@pytest.mark.parametrize(("scale", "passes"), [(0.16, False), (0.17, True), (41.0, True), (42.0, False)])
def test_the_limits_of_size_are_20_mm_and_5_m(tmp_path, box, scale, passes):
    # Longest side 120 mm: 19.2 and 20.4 mm lie around 20 mm, 4.92 and 5.04 m around 5 m.
    box.copy().apply_scale(scale).export(tmp_path / "a.stl")
    if passes:
        assert read_mesh(tmp_path / "a.stl", "mm").faces.shape == (12, 3)
    else:
        assert "parts between 20 mm and 5 m are read" in refused(tmp_path / "a.stl")


def test_a_3mf_of_odd_size_blames_its_own_unit(tmp_path, box):
    box.copy().apply_scale(100).export(tmp_path / "a.3mf")
    assert "is 12 m by the unit in the file" in refused(tmp_path / "a.3mf", None)
