"""Meshes in the wrong letters, cut, lying about their counts, or with a damaged archive."""

import io
import lzma
import struct
import zipfile
import zlib

import numpy as np
import pytest
import trimesh

from finial.core.errors import MeshError
from finial.files.meshes import read_mesh

HEADING = (
    "ply\nformat {form} 1.0\ncomment made up\nelement vertex {corners}\nproperty float x\nproperty float y\n"
    "property float z\nproperty uchar red\nelement face {faces}\n"
    "property list uchar int vertex_indices\nend_header\n"
)
CORNERS = [(0, 0, 0), (90, 0, 0), (90, 60, 0), (0, 60, 0)]


def plain_ply(rows, corners=4, faces=1):
    return (HEADING.format(form="ascii", corners=corners, faces=faces) + "\n".join(rows) + "\n").encode()


def binary_ply(order, *, faces, corners=4, spare=b""):
    word = {"<": "little", ">": "big"}[order]
    heading = HEADING.format(form=f"binary_{word}_endian", corners=corners, faces=len(faces)).encode()
    body = b"".join(struct.pack(f"{order}3fB", *corner, 255) for corner in CORNERS)
    for face in faces:
        body += struct.pack(f"{order}B{len(face)}i", len(face), *face)
    return heading + body + spare


ROWS = ["0 0 0 9", "90 0 0 9", "90 60 0 9", "0 60 0 9", "4 0 1 2 3"]


def refused(path, content, unit="mm"):
    path.write_bytes(content)
    with pytest.raises(MeshError) as caught:
        read_mesh(path, unit)
    assert str(caught.value).startswith(str(path))
    return str(caught.value)


def test_a_plain_ply_of_a_rectangle_becomes_two_triangles(tmp_path):
    path = tmp_path / "a.ply"
    path.write_bytes(plain_ply(ROWS))
    mesh = read_mesh(path, "mm")
    assert mesh.faces.tolist() == [[0, 1, 2], [0, 2, 3]]
    np.testing.assert_allclose(mesh.vertices_m[2], [0.090, 0.060, 0.0])


@pytest.mark.parametrize("order", "<>")
@pytest.mark.parametrize("faces", [[(0, 1, 2), (0, 2, 3)], [(0, 1, 2, 3)], [(0, 1, 2), (0, 1, 2, 3)]])
def test_a_binary_ply_in_both_orders_of_bytes(tmp_path, order, faces):
    path = tmp_path / "a.ply"
    path.write_bytes(binary_ply(order, faces=faces))
    mesh = read_mesh(path, "mm")
    assert len(mesh.faces) == sum(len(face) - 2 for face in faces)
    np.testing.assert_allclose(mesh.vertices_m.max(axis=0), [0.090, 0.060, 0.0])


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (plain_ply(ROWS[:-1]), "1 rows of face by the heading, 0 are there"),
        (plain_ply(ROWS, corners=9, faces=0), "a corner of 5 numbers, 4 by the heading"),
        (plain_ply(ROWS, corners=3), "a face of"),
        (plain_ply([*ROWS, "3 0 1 2"]), "more rows follow than the heading says"),
        (plain_ply([*ROWS[:-1], "4 0 1 2"]), "a face of 4 numbers, 5 by its own count"),
        (plain_ply([*ROWS[:-1], "3 0 1 2 3"]), "a face of 5 numbers, 4 by its own count"),
        (plain_ply([*ROWS[:-1], "2 0 1"]), "a face of 2 corners"),
        (plain_ply([*ROWS[:-1], "3 0 1 4"]), "outside 0 to 3"),
        (plain_ply([*ROWS[:-1], "3 0 1 -1"]), "outside 0 to 3"),
        (plain_ply([*ROWS[:-1], "3 0 1 x"]), "cannot be read as PLY"),
        (plain_ply([*ROWS[:-1], "3 0 1 99999999999999999999"]), "cannot be read as PLY"),
        (plain_ply(["0 0 0", *ROWS[1:]]), "a corner of 3 numbers, 4 by the heading"),
        (plain_ply(ROWS).replace(b"property float z\n", b""), "without x, y and z"),
        (plain_ply(ROWS).replace(b"vertex 4", b"vertex -4"), "a row of the heading"),
        (plain_ply(ROWS).replace(b"vertex 4", b"vertex four"), "a row of the heading"),
        (plain_ply(ROWS).replace(b"float x", b"colour x"), "a row of the heading"),
        (plain_ply(ROWS).replace(b"ascii", b"morse"), "no format that is known"),
        (plain_ply(ROWS).replace(b"end_header", b"end"), "its heading is damaged"),
        (binary_ply("<", faces=[(0, 1, 2)])[:-5], "it ends before the last of 1 rows of face"),
        (binary_ply("<", faces=[(0, 1, 2)], corners=40), "it ends before the last of 40 rows of vertex"),
        (binary_ply("<", faces=[(0, 1, 2)], spare=b"12345"), "5 bytes follow"),
        (binary_ply(">", faces=[(0, 1, 7)]), "outside 0 to 3"),
    ],
)
def test_a_ply_cut_or_lying_about_its_counts_is_refused(tmp_path, content, words):
    assert words in refused(tmp_path / "a.ply", content)


def obj(comment):
    corners = "".join("v {} {} {}\n".format(*corner) for corner in CORNERS)
    return f"# {comment}\no {comment}\n{corners}f 1/1 2/2 3/3 4/4\nf -4 -3 \\\n-2\n"


def test_an_obj_with_letters_of_an_old_code_page_is_read(tmp_path):
    path = tmp_path / "a.obj"
    path.write_bytes(obj("Türmchen").encode("latin-1"))
    assert read_mesh(path, "mm").faces.tolist() == [[0, 1, 2], [0, 2, 3], [0, 1, 2]]


@pytest.mark.parametrize("letters", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_an_obj_in_wide_letters_says_what_to_export(tmp_path, letters):
    assert "export it as OBJ in plain text" in refused(tmp_path / "a.obj", obj("tower").encode(letters))


@pytest.mark.parametrize(
    "row", ["f 1 2", "f 0 1 2", "f 1 2 x", "v 1 2", "v 1 2 z", "f 1 2 1.5", "f 1 2 99999999999999999999"]
)
def test_an_obj_with_a_row_that_is_none_quotes_it(tmp_path, row):
    assert row.split()[0] in refused(tmp_path / "a.obj", (obj("tower") + row + "\n").encode())


def three_mf(path, packing):
    trimesh.creation.icosphere(subdivisions=2, radius=60).export(path, file_type="3mf")
    with zipfile.ZipFile(path) as read:
        model = read.read("3D/3dmodel.model")
    with zipfile.ZipFile(path, "w", packing) as made:
        made.writestr("3D/3dmodel.model", model)
    return bytearray(path.read_bytes())


@pytest.mark.parametrize("packing", [zipfile.ZIP_DEFLATED, zipfile.ZIP_LZMA, zipfile.ZIP_BZIP2])
def test_a_damaged_archive_is_refused_whichever_byte_it_is(tmp_path, packing):
    whole = three_mf(tmp_path / "whole.3mf", packing)
    assert read_mesh(tmp_path / "whole.3mf").faces.shape == (320, 3)
    # Four bytes after the name are a heading of one packing, half of which nobody reads.
    begin, model, harmless = 34 + len("3D/3dmodel.model"), unpacked(bytes(whole)), 0
    for at in np.linspace(begin, len(whole) - 200, 60).astype(int):
        damaged = whole.copy()
        damaged[at] ^= 0x55
        if unpacked(bytes(damaged)) == model:  # it points at another place where the same letters stand
            harmless += 1
            continue
        assert "3MF archive, or damaged" in refused(tmp_path / "a.3mf", bytes(damaged), None)
    assert harmless < 6


def unpacked(content):
    """What the archive holds, or nothing where its sums say that it is damaged."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return archive.read("3D/3dmodel.model")
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, OSError, EOFError, ValueError):
        return None


@pytest.mark.parametrize(("at", "value"), [(4, 99), (6, 1), (8, 77)])
def test_an_archive_of_another_version_locked_or_packed_by_another_way(tmp_path, at, value):
    # Local heading of a zip file: version at 4, flags at 6, packing at 8; the list at the end repeats them.
    content = three_mf(tmp_path / "whole.3mf", zipfile.ZIP_DEFLATED)
    listed = content.index(b"PK\x01\x02") + 2
    content[at], content[listed + at] = value, value
    assert "3MF archive, or damaged" in refused(tmp_path / "a.3mf", bytes(content), None)


def test_a_model_in_letters_that_nobody_knows_is_refused(tmp_path):
    with zipfile.ZipFile(tmp_path / "a.3mf", "w") as made:
        made.writestr("3D/3dmodel.model", "<?xml version='1.0' encoding='tf-8'?><model/>")
    with pytest.raises(MeshError, match="unknown encoding"):
        read_mesh(tmp_path / "a.3mf")
