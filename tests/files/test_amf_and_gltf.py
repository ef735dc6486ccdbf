"""AMF and glTF: a box written by another library, places by hand, and what is refused with its reason."""

import base64
import gzip
import json
import math
import zipfile

import numpy as np
import pytest
import trimesh

from finial.core.errors import MeshError
from finial.files.amf import METRES
from finial.files.meshes import read_mesh

SIDES_M = np.array([0.03, 0.05, 0.12])


def volume_m3(mesh) -> float:
    a, b, c = np.moveaxis(mesh.vertices_m[mesh.faces], 1, 0)
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def scene(*matrices):
    """A box of 30 x 50 x 120 mm in as many places, by trimesh, a library of others."""
    made = trimesh.Scene()
    for matrix in matrices:
        made.add_geometry(trimesh.creation.box(SIDES_M), transform=matrix)
    return made


def quarter_turn():
    return trimesh.transformations.rotation_matrix(math.pi / 2, (1.0, 0.0, 0.0), point=(0.0, 0.0, 0.0))


@pytest.mark.parametrize("file_type", ["glb", "gltf"])
def test_a_gltf_of_another_library_keeps_volume_and_place(tmp_path, file_type) -> None:
    moved = quarter_turn()
    moved[:3, 3] = (0.2, 0.0, 0.0)
    path = tmp_path / f"box.{file_type}"
    content = scene(np.eye(4), moved).export(file_type=file_type)
    if file_type == "gltf":
        content = in_one_file(content)
    path.write_bytes(content)
    mesh = read_mesh(path)
    assert mesh.objects == 2
    assert volume_m3(mesh) == pytest.approx(2 * SIDES_M.prod(), rel=1e-6)
    # The second lies on its side, 200 mm along x: 120 mm deep in y.
    np.testing.assert_allclose(mesh.vertices_m.max(axis=0), [0.215, 0.06, 0.06], atol=1e-8)
    np.testing.assert_allclose(mesh.vertices_m.min(axis=0), [-0.015, -0.06, -0.06], atol=1e-8)
    assert mesh.vertices_m.shape == (16, 3), "corners that a writer doubles for its colours are joined"


def in_one_file(files: dict[str, bytes]) -> bytes:
    """Put what a writer keeps in files beside it into the text itself."""
    told = json.loads(files["model.gltf"])
    for buffer in told["buffers"]:
        buffer["uri"] = (
            "data:application/octet-stream;base64," + base64.b64encode(files[buffer["uri"]]).decode()
        )
    return json.dumps(told).encode()


def test_a_mirrored_place_stays_the_right_way_out(tmp_path) -> None:
    (tmp_path / "a.glb").write_bytes(scene(np.diag([-1.0, 1.0, 1.0, 1.0])).export(file_type="glb"))
    assert volume_m3(read_mesh(tmp_path / "a.glb")) == pytest.approx(SIDES_M.prod(), rel=1e-6)


@pytest.mark.parametrize(("mode", "order"), [(4, [0, 2, 1, 1, 2, 3]), (5, [0, 2, 1, 3]), (6, [0, 2, 3, 1])])
def test_lists_strips_and_fans_draw_the_same_square(tmp_path, mode, order) -> None:
    """glTF 2.0, section 3.7.2.1, from memory: a strip turns every second triangle round."""
    corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [1, 1, 0]], dtype="<f4")
    binary = corners.tobytes() + np.array(order, dtype="<u2").tobytes()
    told = {
        "asset": {"version": "2.0"},
        "buffers": [{"byteLength": len(binary), "uri": "data:;base64," + base64.b64encode(binary).decode()}],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": 48},
            {"buffer": 0, "byteOffset": 48, "byteLength": len(binary) - 48},
        ],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": len(order), "type": "SCALAR"},
        ],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1, "mode": mode}]}],
    }
    (tmp_path / "a.gltf").write_text(json.dumps(told))
    mesh = read_mesh(tmp_path / "a.gltf")
    a, b, c = np.moveaxis(mesh.vertices_m[mesh.faces], 1, 0)
    normals = np.cross(b - a, c - a)
    assert len(normals) == 2
    assert normals.sum(axis=0) == pytest.approx([0.0, 0.0, -2.0])
    assert (normals[:, 2] < 0.0).all()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"extensionsRequired": ["KHR_draco_mesh_compression"]}, "without compression"),
        ({"buffers": [{"uri": "../../etc/passwd", "byteLength": 4}]}, "in another file"),
        ({"meshes": []}, "cannot be read as glTF|holds no triangles"),
        ({"nodes": [{"children": [0]}], "scenes": [{"nodes": [0]}]}, "without an end"),
        (
            {"accessors": [{"componentType": 5126, "count": 10**9, "type": "VEC3", "bufferView": 0}] * 2},
            "333333333",
        ),
    ],
)
def test_what_a_gltf_cannot_give_is_refused_with_its_reason(tmp_path, change, said) -> None:
    told = json.loads(in_one_file(scene(np.eye(4)).export(file_type="gltf")))
    (tmp_path / "a.gltf").write_text(json.dumps(told | change))
    with pytest.raises(MeshError, match=said):
        read_mesh(tmp_path / "a.gltf")


def test_a_glb_cut_short_is_told(tmp_path) -> None:
    (tmp_path / "a.glb").write_bytes(scene(np.eye(4)).export(file_type="glb")[:-40])
    with pytest.raises(MeshError, match="the end is missing"):
        read_mesh(tmp_path / "a.glb")


def amf(*, unit: str = "millimeter", constellation: str = "", corner: str = "", volumes: int = 1) -> str:
    """A box of 30 x 50 x 120 in the words of ISO/ASTM 52915 (from memory): a colour on it is passed over."""
    box = trimesh.creation.box(1e3 * SIDES_M)
    vertices = "".join(
        f"<vertex><coordinates><x>{x}</x><y>{y}</y><z>{z}</z></coordinates>{corner}</vertex>"
        for x, y, z in box.vertices.tolist()
    )
    triangles = "".join(
        f"<triangle><v1>{a}</v1><v2>{b}</v2><v3>{c}</v3></triangle>" for a, b, c in box.faces.tolist()
    )
    mesh = (
        f"<mesh><vertices>{vertices}</vertices>"
        f'<volume materialid="2"><color><r>1</r><g>0</g><b>0</b></color>{triangles}</volume></mesh>'
    )
    return (
        f'<?xml version="1.0"?><amf unit="{unit}"><metadata type="name">x</metadata>'
        f'<object id="7">{mesh * volumes}</object>{constellation}</amf>'
    )


@pytest.mark.parametrize(("unit", "metres"), METRES.items())
def test_an_amf_carries_its_unit(tmp_path, unit, metres) -> None:
    (tmp_path / "a.amf").write_text(amf(unit=unit))
    if not 0.02 <= 120.0 * metres <= 5.0:
        with pytest.raises(MeshError, match="by the unit in the file"):
            read_mesh(tmp_path / "a.amf")
        return
    mesh = read_mesh(tmp_path / "a.amf")
    assert volume_m3(mesh) == pytest.approx((1e3 * SIDES_M * metres).prod(), rel=1e-9)


def test_a_constellation_turns_then_shifts_and_may_be_packed(tmp_path) -> None:
    """A quarter turn about x lays the 120 mm along -y; then 200 mm along x. By hand."""
    placed = (
        '<constellation id="9"><instance objectid="7"/><instance objectid="7">'
        "<deltax>200</deltax><rx>90</rx></instance></constellation>"
    )
    with zipfile.ZipFile(tmp_path / "a.amf", "w") as archive:
        archive.writestr("a.amf", amf(constellation=placed))
    mesh = read_mesh(tmp_path / "a.amf")
    assert mesh.objects == 2
    np.testing.assert_allclose(mesh.vertices_m.max(axis=0), [0.215, 0.06, 0.06], atol=1e-12)
    assert volume_m3(mesh) == pytest.approx(2 * SIDES_M.prod(), rel=1e-9)


def test_a_turn_goes_from_y_to_z() -> None:
    """A right-handed quarter turn about x carries +y to +z."""
    from finial.files.amf import _Instance

    turned = _Instance(of="7", numbers={"rx": 90.0}).placed(np.array([[0.0, 1.0, 0.0]]))
    np.testing.assert_allclose(turned, [[0.0, 0.0, 1.0]], atol=1e-15)


def test_two_meshes_of_one_object_count_their_corners_apart(tmp_path) -> None:
    (tmp_path / "a.amf").write_text(amf(volumes=2))
    assert volume_m3(read_mesh(tmp_path / "a.amf")) == pytest.approx(2 * SIDES_M.prod(), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (amf(corner="<normal><nx>0</nx></normal>"), "meant to be curved"),
        (amf(unit="furlong"), "none of the AMF units"),
        (amf(constellation='<constellation id="9"><instance objectid="8"/></constellation>'), "not there"),
        (amf(constellation='<constellation id="9"><instance objectid="9"/></constellation>'), "one another"),
        (amf().replace("<v1>0</v1>", "<v1>99</v1>", 1), "names a corner that is not there"),
        (amf()[:-30], "cannot be read as AMF"),
        ('<!DOCTYPE a [<!ENTITY b "c">]><amf/>', "document type"),
        ("<amf/>", "holds no triangles"),
    ],
)
def test_what_an_amf_cannot_give_is_refused_with_its_reason(tmp_path, text, said) -> None:
    (tmp_path / "a.amf").write_text(text)
    with pytest.raises(MeshError, match=said):
        read_mesh(tmp_path / "a.amf")


def test_places_multiply_and_are_counted_before_any_is_made(tmp_path) -> None:
    """Ten levels of ten: a kilobyte that asks for ten thousand million boxes."""
    groups = "".join(
        f'<constellation id="g{level}">'
        + f'<instance objectid="{"7" if level == 0 else f"g{level - 1}"}"/>' * 10
        + "</constellation>"
        for level in range(10)
    )
    (tmp_path / "a.amf").write_text(amf(constellation=groups))
    with pytest.raises(MeshError, match="at most 20000 times"):
        read_mesh(tmp_path / "a.amf")


def test_a_packing_that_is_none_of_the_standards_is_refused(tmp_path) -> None:
    (tmp_path / "a.amf").write_bytes(gzip.compress(amf().encode()))
    with pytest.raises(MeshError, match="cannot be read as AMF"):
        read_mesh(tmp_path / "a.amf")
