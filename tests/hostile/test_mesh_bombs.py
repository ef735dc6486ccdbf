"""Meshes that ask for more than a machine has, or for more time: refused, or read in no time."""

import subprocess
import sys
import time
import zipfile

import pytest

from finial.core.errors import MeshError
from finial.files.meshes import read_mesh

MOST_SECONDS = 20.0
MOST_BYTES = 2_000_000_000

NAMESPACE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
CORNERS = '<vertex x="0" y="0" z="0"/><vertex x="90" y="0" z="0"/><vertex x="0" y="90" z="0"/>'
MESH = (
    f"<mesh><vertices>{CORNERS}</vertices><triangles>"
    + '<triangle v1="0" v2="1" v3="2"/>' * 1000
    + "</triangles></mesh>"
)


def model(objects, items):
    return (
        f'<model unit="millimeter" xmlns="{NAMESPACE}"><resources>{objects}</resources>'
        f"<build>{items}</build></model>"
    )


def archive(path, *pieces, packing=zipfile.ZIP_DEFLATED):
    with zipfile.ZipFile(path, "w", packing) as made, made.open("3D/3dmodel.model", "w") as stream:
        for piece in pieces:
            stream.write(piece)
    return path


def refused(path, unit=None):
    began = time.perf_counter()
    with pytest.raises(MeshError) as caught:
        read_mesh(path, unit)
    assert time.perf_counter() - began < MOST_SECONDS
    return str(caught.value)


def instances_of_itself(levels, each):
    """Objects made of objects: each level holds the one below several times."""
    objects = [f'<object id="0" type="model">{MESH}</object>']
    for level in range(1, levels + 1):
        inner = f'<component objectid="{level - 1}"/>' * each
        objects.append(f'<object id="{level}" type="model"><components>{inner}</components></object>')
    return model("".join(objects), f'<item objectid="{levels}"/>').encode()


def test_ten_thousand_instances_are_counted_before_any_is_placed(tmp_path):
    body = model(f'<object id="1" type="model">{MESH}</object>', '<item objectid="1"/>' * 10_000)
    assert "holds 10000000 triangles" in refused(archive(tmp_path / "a.3mf", body.encode()))


def test_objects_made_of_objects_multiply_and_are_counted(tmp_path):
    words = refused(archive(tmp_path / "a.3mf", instances_of_itself(levels=12, each=10)))
    assert "places objects" in words or "triangles; at most" in words


def test_an_object_made_of_itself_is_refused(tmp_path):
    body = model(
        '<object id="1" type="model"><components><component objectid="1"/></components></object>',
        '<item objectid="1"/>',
    )
    assert "or of themselves" in refused(archive(tmp_path / "a.3mf", body.encode()))


def test_a_long_chain_of_objects_is_refused(tmp_path):
    assert "deep" in refused(archive(tmp_path / "a.3mf", instances_of_itself(levels=5000, each=1)))


def test_megabytes_of_blanks_are_not_unpacked(tmp_path):
    blanks = [b" " * 10_000_000] * 60
    assert "unpacks to 600 MB" in refused(archive(tmp_path / "a.3mf", b"<model>", *blanks, b"</model>"))


MEASURED = """
import resource, sys, time
from pathlib import Path
from finial.core.errors import MeshError
from finial.files.meshes import read_mesh
resource.setrlimit(resource.RLIMIT_AS, (int(sys.argv[3]), int(sys.argv[3])))
try:
    read_mesh(Path(sys.argv[1]), sys.argv[2] or None)
except MeshError as error:
    sys.stdout.write(str(error))
"""


def read_in_two_gigabytes(path, unit=""):
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, str(path), unit, str(MOST_BYTES)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert time.perf_counter() - began < MOST_SECONDS
    return done.stdout


def test_the_most_blanks_that_are_unpacked_take_less_than_two_gigabytes(tmp_path):
    blanks = [b" " * 10_000_000] * 49
    path = archive(tmp_path / "a.3mf", b"<model>", *blanks, b"</model>")
    assert "no triangles that are built" in read_in_two_gigabytes(path)


def test_one_endless_word_takes_less_than_two_gigabytes(tmp_path):
    word = [b"9" * 10_000_000] * 20
    path = archive(tmp_path / "a.3mf", b'<model unit="', *word, b'"></model>')
    assert read_in_two_gigabytes(path)
    stl = tmp_path / "a.stl"
    stl.write_bytes(
        b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 "
        + b"9" * 100_000_000
        + b"\nendloop\nendfacet\nendsolid x\n"
    )
    assert "cut short or damaged" in read_in_two_gigabytes(stl, "mm")


def test_more_triangles_than_are_read_are_refused_by_their_count(tmp_path):
    for name, body, unit in [
        ("a.ply", ply(corners=3, faces=90_000_000), "mm"),
        ("b.ply", ply(corners=90_000_000, faces=1), "mm"),
    ]:
        (tmp_path / name).write_bytes(body)
        assert "at most" in refused(tmp_path / name, unit)


def ply(corners, faces, form="ascii", rows=b"0 0 0\n90 0 0\n0 90 0\n3 0 1 2\n"):
    heading = (
        f"ply\nformat {form} 1.0\nelement vertex {corners}\nproperty float x\nproperty float y\n"
        f"property float z\nelement face {faces}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    return heading.encode() + rows


def test_text_of_many_empty_lines_is_read_in_no_time(tmp_path):
    box = "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 90 0 0\nvertex 0 90 0\nendloop\nendfacet\n"
    path = tmp_path / "a.stl"
    path.write_text("solid x\n" + box + "\n" * 1_000_000 + " \n" * 500_000 + box + "endsolid x\n")
    began = time.perf_counter()
    assert read_mesh(path, "mm").faces.shape == (2, 3)
    assert time.perf_counter() - began < 5.0


def test_a_text_without_corners_but_many_blanks_is_refused_in_no_time(tmp_path):
    path = tmp_path / "a.stl"
    path.write_text("solid x\nfacet normal" + " " * 2_000_000 + "\n" * 1_000_000)
    assert "cut short or damaged" in refused(path, "mm")
