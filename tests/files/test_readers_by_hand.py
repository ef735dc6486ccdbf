"""Files written byte by byte and row by row: what each reader takes, leaves, and where its limits lie."""

import struct
import zipfile

import numpy as np
import pytest

from finial.core.errors import BuildSheetError, MeshError
from finial.files.obj import read_obj
from finial.files.ply import read_ply
from finial.files.stl import joined, read_stl
from finial.files.threemf import read_3mf
from finial.files.thrust_curve import read_thrust_curve

SQUARE = [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 2.0, 0.0), (0.0, 2.0, 3.0)]


def ply_heading(
    form: str, vertex: str, face: str, *, corners: int = 4, faces: int = 1, first: str = ""
) -> bytes:
    return (
        f"ply\nformat {form} 1.0\n{first}element vertex {corners}\n{vertex}"
        f"element face {faces}\n{face}end_header\n"
    ).encode()


XYZ = "property float x\nproperty float y\nproperty float z\n"
ONE_LIST = "property list uchar int vertex_indices\n"


def test_a_ply_gives_the_places_by_the_names_of_its_columns() -> None:
    turned = "property float z\nproperty uchar red\nproperty float x\nproperty float y\n"
    rows = "".join(f"{z} 255 {x} {y}\n" for x, y, z in SQUARE)
    corners, faces, objects = read_ply(ply_heading("ascii", turned, ONE_LIST) + f"{rows}4 0 1 2 3\n".encode())
    assert corners.tolist() == [list(place) for place in SQUARE]
    # Five corners would be fanned from the first, too.
    assert faces.tolist() == [[0, 1, 2], [0, 2, 3]]
    assert objects == 1


def test_a_ply_s_other_rows_and_columns_are_passed_over() -> None:
    camera = "element camera 2\nproperty float view\nproperty float far\n"
    listed = "property uchar shade\nproperty list uchar int vertex_index\nproperty list uchar float weights\n"
    content = ply_heading("ascii", XYZ, listed, first=camera)
    rows = "1 2\n\n3 4\n" + "".join(f"{x} {y} {z}\n" for x, y, z in SQUARE) + "9 3 0 1 3 2 0.5 0.5\n\n"
    _, faces, _ = read_ply(content + rows.encode())
    assert faces.tolist() == [[0, 1, 3]]


@pytest.mark.parametrize(("form", "order"), [("binary_little_endian", "<"), ("binary_big_endian", ">")])
def test_a_binary_ply_with_lists_of_many_lengths(form: str, order: str) -> None:
    camera = "element camera 1\nproperty list uchar short marks\nproperty double far\n"
    listed = "property uchar shade\nproperty list ushort uint vertex_indices\n"
    content = ply_heading(
        form, "property double x\nproperty uchar red\n" + XYZ[17:], listed, faces=2, first=camera
    )
    content += struct.pack(f"{order}B2hd", 2, 5, 6, 1.5)
    content += b"".join(struct.pack(f"{order}dBff", x, 7, y, z) for x, y, z in SQUARE)
    content += struct.pack(f"{order}BH3I", 1, 3, 0, 1, 2) + struct.pack(f"{order}BH4I", 1, 4, 3, 2, 1, 0)
    corners, faces, _ = read_ply(content)
    assert corners.tolist() == [list(place) for place in SQUARE]
    assert faces.tolist() == [[0, 1, 2], [3, 2, 1], [3, 1, 0]]


@pytest.mark.parametrize("spare", [b"", b"\n", b"\r\n"])
def test_a_line_end_after_the_last_binary_row_is_no_fault(spare: bytes) -> None:
    content = ply_heading("binary_little_endian", XYZ, ONE_LIST)
    content += b"".join(struct.pack("<3f", *place) for place in SQUARE) + struct.pack("<B3i", 3, 0, 1, 2)
    assert read_ply(content + spare)[1].tolist() == [[0, 1, 2]]
    with pytest.raises(MeshError, match="3 bytes follow"):
        read_ply(content + b"abc")


def test_a_face_of_very_many_corners_is_refused_and_one_less_is_not() -> None:
    def content(count: int) -> bytes:
        heading = ply_heading("binary_little_endian", XYZ, "property list int int vertex_indices\n", faces=1)
        places = b"".join(struct.pack("<3f", *place) for place in SQUARE)
        return heading + places + struct.pack("<i", count) + struct.pack(f"<{count}i", *[0] * count)

    assert len(read_ply(content(10_000))[1]) == 9_998
    with pytest.raises(MeshError, match="a list of 10001 numbers"):
        read_ply(content(10_001))


@pytest.mark.parametrize("missing", ["vertex", "face"])
def test_a_ply_without_corners_or_faces_holds_no_triangles(missing: str) -> None:
    kept = "element vertex 1\n" + XYZ if missing == "face" else f"element face 0\n{ONE_LIST}"
    row = "0 0 0\n" if missing == "face" else ""
    with pytest.raises(MeshError, match="no faces, or no corners"):
        read_ply(f"ply\nformat ascii 1.0\n{kept}end_header\n{row}".encode())


FACETS = [((0, 0, 0), (30, 0, 0), (0, 40, 0)), ((0, 0, 0), (0, 40, 0), (0, 0, 50))]


def binary_stl(count: int = 2, heading: bytes = b" " * 80, spare: bytes = b"") -> bytes:
    rows = b"".join(struct.pack("<12fH", 0, 0, 1, *np.ravel(facet), 0) for facet in FACETS)
    return heading + struct.pack("<I", count) + rows + spare


def test_a_binary_stl_says_where_its_triangles_end() -> None:
    corners, faces, solids = read_stl(binary_stl())
    assert corners[faces].tolist() == [[list(map(float, corner)) for corner in facet] for facet in FACETS]
    assert solids == 1
    assert len(read_stl(binary_stl(count=1))[1]) == 1, "one record to spare is forgiven"
    with pytest.raises(MeshError, match="51 bytes follow the last of 2"):
        read_stl(binary_stl(spare=b"x" * 51))
    assert len(read_stl(binary_stl(spare=b"x" * 50))[1]) == 2
    with pytest.raises(MeshError, match="says 3 triangles but ends after 2"):
        read_stl(binary_stl(count=3))
    with pytest.raises(MeshError, match="83 bytes are too few"):
        read_stl(b" " * 83)
    assert read_stl(b" " * 80 + struct.pack("<I", 0))[1].shape == (0, 3)


def test_a_binary_stl_that_calls_itself_solid_is_still_binary() -> None:
    assert len(read_stl(binary_stl(heading=b"solid made by a program".ljust(80)))[1]) == 2


def text_stl(*solids: list) -> str:
    told = ""
    for name, facets in enumerate(solids):
        told += f"solid part{name}\n"
        for facet in facets:
            corners = "".join(f"   vertex {x} {y:e} {z}\n" for x, y, z in facet)
            told += f" facet normal 0 0 1\n  outer loop\n{corners}  endloop\n endfacet\n"
        told += f"endsolid part{name}\n"
    return told


def test_a_text_stl_counts_its_solids() -> None:
    corners, faces, solids = read_stl(text_stl(FACETS[:1], FACETS[1:]).encode())
    assert solids == 2
    assert corners[faces].tolist() == [[list(map(float, corner)) for corner in facet] for facet in FACETS]
    with pytest.raises(MeshError, match="2 facets but 5 readable corners"):
        read_stl(text_stl(FACETS).replace("vertex", "vertx", 1).encode())
    with pytest.raises(MeshError, match="was cut short or damaged"):
        read_stl(text_stl(FACETS).replace("endsolid part0\n", "").encode())


def test_only_equal_corners_are_joined() -> None:
    strip = np.array(
        [[[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[1, 0, 0], [1, 1, 0], [0, 1, 1e-7]]], dtype=np.float32
    )
    vertices, faces = joined(strip)
    assert len(vertices) == 5
    assert vertices[faces].astype(np.float32).tolist() == strip.tolist()


def test_an_obj_counts_corners_from_one_or_from_the_last() -> None:
    text = (
        "# a pyramid\no base\nv 0 0 0 1.0\nv 1 0 0 0.5 0.5 0.5\nv 1 1 0\nv 0 1 0\n"
        "f 1/1/1 2//2 3 4 # quad\no top\nv 0.5 0.5 \\\n 2\nf -1 -5 \\\n -4\nf 5 2 3\n"
    )
    corners, faces, objects = read_obj(text.encode())
    assert corners[[1, 4]].tolist() == [[1.0, 0.0, 0.0], [0.5, 0.5, 2.0]]
    assert faces.tolist() == [[0, 1, 2], [0, 2, 3], [4, 0, 1], [4, 1, 2]]
    assert objects == 2
    assert read_obj(b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n")[2] == 1


@pytest.mark.parametrize(
    "text", ["v 0 0 0\nv 1 0 0\nf 1 2\n", "v 0 0 0\nf 0 1 1\n", "v 0 0\n", "v a b c\n", "f 1 2 x\n"]
)
def test_a_row_of_an_obj_that_makes_no_sense_is_told(text: str) -> None:
    with pytest.raises(MeshError, match="the row b'"):
        read_obj(text.encode())


@pytest.mark.parametrize("content", ["v 0 0 0".encode("utf-16-le"), "\ufeffv 0 0 0".encode("utf-16-be")])
def test_an_obj_in_wide_letters_is_refused(content: bytes) -> None:
    with pytest.raises(MeshError, match="UTF-16"):
        read_obj(content)


def archive(tmp_path, *models: tuple[str, str]) -> bytes:
    path = tmp_path / "a.3mf"
    with zipfile.ZipFile(path, "w") as written:
        for name, resources in models:
            written.writestr(
                name,
                f'<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" '
                f'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">{resources}</model>',
            )
    return path.read_bytes()


TRIANGLE = (
    '<object id="1"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/>'
    '<vertex x="0" y="2" z="0"/></vertices><triangles><triangle v1="0" v2="1" v3="2"/></triangles>'
    "</mesh></object>"
)
QUARTER_TURN = "0 1 0 -1 0 0 0 0 1 10 0 0"
"""x becomes y and y becomes -x, then 10 along x: rows of the matrix of section 3.3, from memory."""


def test_parts_of_parts_are_placed_by_both_places(tmp_path) -> None:
    """A corner is placed by the component first and then by the item."""
    both = (
        f"<resources>{TRIANGLE}<object id='2'><components>"
        f"<component objectid='1' transform='1 0 0 0 1 0 0 0 1 0 5 0'/><component objectid='1'/>"
        f"</components></object></resources><build><item objectid='2' transform='{QUARTER_TURN}'/></build>"
    )
    corners, faces, pieces = read_3mf(archive(tmp_path, ("3D/3dmodel.model", both)))
    assert pieces == 2
    assert (corners * 1000).round(9).tolist() == [
        [5, 0, 0],
        [5, 1, 0],
        [3, 0, 0],
        [10, 0, 0],
        [10, 1, 0],
        [8, 0, 0],
    ]
    assert faces.tolist() == [[0, 1, 2], [3, 4, 5]]


def test_an_object_of_another_file_is_fetched_and_only_the_main_one_builds(tmp_path) -> None:
    main = "<resources/><build><item objectid='1' p:path='/3D/other.model'/></build>"
    other = f"<resources>{TRIANGLE}</resources><build><item objectid='1'/></build>"
    content = archive(tmp_path, ("3D/3dmodel.model", main), ("3D/other.model", other))
    assert read_3mf(content)[2] == 1
    lost = archive(tmp_path, ("3D/3dmodel.model", main))
    with pytest.raises(MeshError, match="named and not there"):
        read_3mf(lost)


def chain(depth: int) -> str:
    objects = "".join(
        f"<object id='{n}'><components><component objectid='{n - 1}'/></components></object>"
        for n in range(2, depth + 2)
    )
    return f"<resources>{TRIANGLE}{objects}</resources><build><item objectid='{depth + 1}'/></build>"


def test_twenty_deep_is_read_and_no_deeper(tmp_path) -> None:
    assert len(read_3mf(archive(tmp_path, ("3D/3dmodel.model", chain(20))))[1]) == 1
    with pytest.raises(MeshError, match="more than 20 deep"):
        read_3mf(archive(tmp_path, ("3D/3dmodel.model", chain(21))))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('objectid="1"', 'objectid="7"'), "'7' is placed and not there"),
        (('v3="2"', 'v3="3"'), "names a corner that is not there"),
        (('v3="2"', 'v3="-1"'), "names a corner that is not there"),
        (('<item objectid="1"/>', '<item objectid="1" transform="1 0 0"/>'), "a place of 3 numbers"),
        (('<item objectid="1"/>', ""), "no triangles that are built"),
    ],
)
def test_a_3mf_that_does_not_add_up_is_refused(tmp_path, change: tuple[str, str], words: str) -> None:
    model = f'<resources>{TRIANGLE}</resources><build><item objectid="1"/></build>'
    assert change[0] in model
    with pytest.raises(MeshError, match=words):
        read_3mf(archive(tmp_path, ("3D/3dmodel.model", model.replace(*change))))


def curve(tmp_path, text: str):
    path = tmp_path / "curve.csv"
    path.write_text(text)
    return read_thrust_curve(path)


def faults(tmp_path, text: str) -> list[tuple[int | None, str]]:
    with pytest.raises(BuildSheetError) as caught:
        curve(tmp_path, text)
    return [(fault.line, str(fault)) for fault in caught.value.faults]


def test_a_last_thrust_of_a_hundredth_counts_as_none(tmp_path) -> None:
    assert curve(tmp_path, "0 0\n1 400\n2 4\n")[1].tolist() == [0.0, 400.0, 0.0]
    ((line, told),) = faults(tmp_path, "0 0\n1 400\n2 4.1\n")
    assert line == 3
    assert "ends at 4.1 N" in told


def test_a_curve_begins_within_five_seconds_of_ignition(tmp_path) -> None:
    assert curve(tmp_path, "5 0\n6 400\n7 0\n")[0].tolist() == [0.0, 5.0, 6.0, 7.0]
    ((line, told),) = faults(tmp_path, "5.1 0\n6 400\n7 0\n")
    assert line == 1
    assert "a first point at 5.1 s" in told


def test_thrust_that_stops_and_comes_back_is_a_hole_in_the_record(tmp_path) -> None:
    ((line, told),) = faults(tmp_path, "0 0\n1 400\n2 0\n3 0\n4 300\n5 0\n")
    assert line == 3
    assert "no thrust from 2 s to 3 s, then thrust again" in told
    assert len(curve(tmp_path, "0 0\n1 400\n2 300\n3 0\n4 0\n")[0]) == 5


def test_three_points_are_a_curve_and_a_point_at_zero_is_not_doubled(tmp_path) -> None:
    times, thrusts = curve(tmp_path, "0 50\n1 400\n2 0\n")
    assert (times.tolist(), thrusts.tolist()) == ([0.0, 1.0, 2.0], [50.0, 400.0, 0.0])


@pytest.mark.parametrize(
    ("unit", "metres"),
    [
        ("micron", 1e-6),
        ("millimeter", 1e-3),
        ("centimeter", 1e-2),
        ("inch", 0.0254),
        ("foot", 0.3048),
        ("meter", 1),
    ],
)
def test_a_3mf_is_read_in_its_own_unit(tmp_path, unit: str, metres: float) -> None:
    """The units of 3MF core specification 1.3, section 3.4; from memory, not re-read."""
    path = tmp_path / "a.3mf"
    with zipfile.ZipFile(path, "w") as written:
        written.writestr(
            "3D/3dmodel.model",
            f'<model unit="{unit}" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
            f'<resources>{TRIANGLE}</resources><build><item objectid="1"/></build></model>',
        )
    assert read_3mf(path.read_bytes())[0].max(axis=0) == pytest.approx([metres, 2 * metres, 0.0])
