"""Outlines, places and numbers in files of shapes, point by point: worked out beside each test."""

import base64
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from finial.core.errors import BuildSheetError, MeshError, OutsideRange
from finial.files.amf import read_amf
from finial.files.meshes import read_mesh
from finial.files.svg_outline import read_svg_outline
from finial.files.tunnel_runs import own_folder, read_tunnel_runs, tunnel_runs_text
from finial.files.variants import Variants

SINE, COSINE = math.sin(math.radians(30.0)), math.cos(math.radians(30.0))


def outline(folder: Path, body: str) -> NDArray[np.float64]:
    (folder / "plan.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>')
    return read_svg_outline(folder / "plan.svg")


def shifted(corners: NDArray[np.float64], start: tuple[float, float]) -> NDArray[np.float64]:
    """Return corners from the one nearest to a place, counted from that place's own corner."""
    first = int(np.linalg.norm(corners - np.array(start), axis=1).argmin())
    turned = np.roll(corners, -first, axis=0)
    return turned - turned[0]


@pytest.mark.parametrize(
    ("path", "controls"),
    [
        ("M0 0 Q 2 -4 4 0 Z", [(0, 0), (2, -4), (4, 0)]),
        ("M0 0 C 0 -4 5 -5 6 0 Z", [(0, 0), (0, -4), (5, -5), (6, 0)]),
        ("m0 0 c 0 -4 5 -5 6 0 z", [(0, 0), (0, -4), (5, -5), (6, 0)]),
    ],
)
def test_a_curve_is_sixteen_chords_between_points_of_its_polynomial(
    path: str, controls: list[tuple[float, float]], tmp_path: Path
) -> None:
    # Bernstein's polynomials at n / 16; the drawing counts y downwards, the plan upwards.
    degree = len(controls) - 1
    wanted: list[tuple[float, float]] = []
    for step in range(17):
        share = step / 16
        weights = [math.comb(degree, n) * share**n * (1 - share) ** (degree - n) for n in range(degree + 1)]
        x, y = (sum(w * one[axis] for w, one in zip(weights, controls, strict=True)) for axis in (0, 1))
        wanted.append((x, -y))
    corners = outline(tmp_path, f'<path d="{path}"/>')
    assert len(corners) == 17
    left = float(corners[:, 0].min())
    at = corners[np.isclose(corners[:, 0], left, atol=1e-9)][:, 1].min()
    # Round the other way: the chord first, then the curve back.
    found = shifted(corners, (left, float(at)))
    np.testing.assert_allclose(found, [wanted[0], *wanted[:0:-1]], atol=1e-12)


def test_a_path_goes_on_from_where_it_is_by_every_letter(tmp_path: Path) -> None:
    # Absolute and relative: down the drawing is down the plan.
    corners = outline(tmp_path, '<path d="M 1 1 L 5 1 l 2 2 V 6 v 1 H 3 h -2 z"/>')
    found = shifted(corners, (-9.0, 9.0))
    wanted = [(0, 0), (0, -6), (2, -6), (6, -6), (6, -5), (6, -2), (4, 0)]
    np.testing.assert_allclose(found, wanted, atol=1e-12)


def test_an_ellipse_has_its_radii_and_a_circle_corners_all_round(tmp_path: Path) -> None:
    corners = outline(tmp_path, '<ellipse cx="50" cy="-9" rx="4" ry="2.5"/>')
    np.testing.assert_allclose(
        (corners[:, 0] / 4.0) ** 2 + (corners[:, 1] / 2.5) ** 2, np.ones(len(corners)), rtol=1e-12
    )
    angles = np.sort(np.arctan2(corners[:, 1] / 2.5, corners[:, 0] / 4.0))
    np.testing.assert_allclose(np.diff(angles), np.full(len(corners) - 1, math.tau / len(corners)))
    assert len(outline(tmp_path, '<circle r="2"/>')) == len(corners)


def test_corners_drawn_twice_are_dropped_and_the_middle_of_the_area_is_the_origin(tmp_path: Path) -> None:
    # An L: 4 x 1 and 1 x 2 on it; its middle by moments is (8 + 1) / 6, (2 + 4) / 6.
    body = '<polyline points="10,20 14,20 14,20 14,19 11,19 11,17 10,17 10,20"/>'
    corners = outline(tmp_path, body)
    wanted = np.array([(0, 0), (4, 0), (4, 1), (1, 1), (1, 3), (0, 3)]) - [1.5, 1.0]
    assert corners.shape == (6, 2)
    np.testing.assert_allclose(shifted(corners, (-1.5, -1.0)) - [1.5, 1.0], wanted, atol=1e-12)
    np.testing.assert_allclose(np.sort(corners[:, 0]), np.sort(wanted[:, 0]), atol=1e-12)


def gltf(folder: Path, nodes: list[dict[str, Any]], **told: Any) -> Any:
    """Return a mesh of one tetrahedron in the places that nodes give it."""
    corners = np.array([[0, 0, 0], [0.1, 0, 0], [0, 0.2, 0], [0, 0, 0.3]], dtype="<f4")
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]], dtype="<u2")
    binary = corners.tobytes() + faces.tobytes()
    uri = "data:;base64," + base64.b64encode(binary).decode()
    content = {
        "asset": {"version": "2.0"},
        "buffers": [{"byteLength": len(binary), "uri": uri}],
        "bufferViews": [
            {"buffer": 0, "byteLength": 48},
            {"buffer": 0, "byteOffset": 48, "byteLength": 24},
        ],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": 12, "type": "SCALAR"},
        ],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "nodes": nodes,
        **told,
    }
    (folder / "a.gltf").write_text(json.dumps(content))
    return read_mesh(folder / "a.gltf")


def turned_by(x: float, y: float, z: float, degrees: float) -> list[float]:
    """Return the quaternion of a right-handed turn about an axis, glTF's way: x, y, z, w."""
    half = math.radians(degrees) / 2
    return [*(math.sin(half) * one for one in (x, y, z)), math.cos(half)]


def rodrigues(axis: tuple[float, float, float], degrees: float) -> NDArray[np.float64]:
    """Turn by Rodrigues' formula: another way than a quaternion's."""
    a, angle = np.array(axis), math.radians(degrees)
    cross = np.array([[0, -a[2], a[1]], [a[2], 0, -a[0]], [-a[1], a[0], 0]])
    return np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross


FOUR: dict[str, Any] = {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"}
TETRAHEDRON = np.array([[0, 0, 0], [0.1, 0, 0], [0, 0.2, 0], [0, 0, 0.3]])


def same_points(found: NDArray[np.float64], wanted: NDArray[np.float64]) -> None:
    order, other = (np.lexsort(np.round(one, 6).T) for one in (found, wanted))
    np.testing.assert_allclose(found[order], wanted[other], atol=1e-6)


@pytest.mark.parametrize("axis", [(0.6, 0.0, 0.8), (0.0, 0.8, 0.6), (0.36, 0.48, 0.8), (1.0, 0.0, 0.0)])
def test_a_place_is_scaled_then_turned_then_shifted(axis: tuple[float, float, float], tmp_path: Path) -> None:
    node = {
        "mesh": 0,
        "rotation": turned_by(*axis, 50.0),
        "scale": [1.0, 2.0, 0.5],
        "translation": [0.3, -0.2, 0.1],
    }
    mesh = gltf(tmp_path, [node])
    wanted = (TETRAHEDRON * [1.0, 2.0, 0.5]) @ rodrigues(axis, 50.0).T + [0.3, -0.2, 0.1]
    same_points(mesh.vertices_m, wanted)


def test_a_child_stands_in_the_place_of_its_parent_and_only_the_scene_named_is_read(tmp_path: Path) -> None:
    parent = {"children": [1], "translation": [0.5, 0.0, 0.0], "rotation": turned_by(0.0, 0.0, 1.0, 90.0)}
    child = {"mesh": 0, "translation": [0.1, 0.0, 0.0]}
    other = {"mesh": 0, "translation": [2.0, 0.0, 0.0]}
    scenes = [{"nodes": [2]}, {"nodes": [0]}]
    mesh = gltf(tmp_path, [parent, child, other], scenes=scenes, scene=1)
    # A quarter turn about z: x goes to y, y to -x.
    wanted = np.array([[0.5, 0.1, 0], [0.5, 0.2, 0], [0.3, 0.1, 0], [0.5, 0.1, 0.3]])
    same_points(mesh.vertices_m, wanted)
    assert mesh.objects == 1
    # Without scenes, every node that is nobody's child is a beginning; one named first where none is.
    assert gltf(tmp_path, [parent, child, other]).objects == 2
    first = gltf(tmp_path, [parent, child, other], scenes=scenes)
    assert first.vertices_m[:, 0].min() == pytest.approx(2.0)


def test_a_matrix_is_read_by_columns(tmp_path: Path) -> None:
    columns = [0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1, 0, 0.7, 0.8, 0.9, 1]
    mesh = gltf(tmp_path, [{"mesh": 0, "matrix": columns}])
    wanted = np.array([[0.7, 0.8, 0.9], [0.7, 0.9, 0.9], [0.5, 0.8, 0.9], [0.7, 0.8, 1.2]])
    same_points(mesh.vertices_m, wanted)


def test_nodes_go_as_deep_as_a_drawing_may_and_no_deeper(tmp_path: Path) -> None:
    def chain(deep: int) -> list[dict[str, Any]]:
        return [*({"children": [n + 1]} for n in range(deep)), {"mesh": 0}]

    assert gltf(tmp_path, chain(60)).objects == 1
    with pytest.raises(MeshError, match="without an end"):
        gltf(tmp_path, chain(61))


def amf(constellations: str) -> bytes:
    corners = "".join(
        f"<vertex><coordinates><x>{x}</x><y>{y}</y><z>{z}</z></coordinates></vertex>"
        for x, y, z in (1e3 * TETRAHEDRON).tolist()
    )
    faces = "".join(
        f"<triangle><v1>{a}</v1><v2>{b}</v2><v3>{c}</v3></triangle>"
        for a, b, c in ((0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2))
    )
    mesh = f"<mesh><vertices>{corners}</vertices><volume>{faces}</volume></mesh>"
    return f'<amf unit="millimeter"><object id="1">{mesh}</object>{constellations}</amf>'.encode()


def test_an_instance_turns_about_x_then_y_then_z_and_is_shifted(tmp_path: Path) -> None:
    placed = (
        '<constellation id="2"><instance objectid="1"><deltax>10</deltax><deltay>20</deltay>'
        "<deltaz>-30</deltaz><rx>30</rx><ry>-40</ry><rz>70</rz></instance></constellation>"
    )
    corners, faces, count = read_amf(amf(placed))
    turn = rodrigues((0, 0, 1), 70.0) @ rodrigues((0, 1, 0), -40.0) @ rodrigues((1, 0, 0), 30.0)
    same_points(np.asarray(corners), TETRAHEDRON @ turn.T + [0.01, 0.02, -0.03])
    assert (len(faces), count) == (4, 1)


def test_constellations_hold_one_another_and_the_outermost_is_placed() -> None:
    two = '<instance objectid="1"/><instance objectid="1"><deltax>500</deltax></instance>'
    inner = f'<constellation id="2">{two}</constellation>'
    outer = '<constellation id="3"><instance objectid="2"><deltay>100</deltay></instance></constellation>'
    corners, faces, count = read_amf(amf(inner + outer))
    assert (count, len(faces), len(corners)) == (2, 8, 8)
    assert np.asarray(corners)[:, 1].min() == pytest.approx(0.1)
    assert np.asarray(corners)[:, 0].max() == pytest.approx(0.6)


def test_constellations_go_twenty_deep_and_no_deeper() -> None:
    def chain(deep: int) -> bytes:
        held = "".join(
            f'<constellation id="{n}"><instance objectid="{n + 1}"/></constellation>'
            for n in range(100, 100 + deep)
        )
        return amf(f'{held}<constellation id="{100 + deep}"><instance objectid="1"/></constellation>')

    assert read_amf(chain(19))[2] == 1
    with pytest.raises(MeshError, match="more than 20 deep"):
        read_amf(chain(20))
    circle = '<constellation id="9"><instance objectid="9"/></constellation>'
    top = '<constellation id="8"><instance objectid="9"/></constellation>'
    with pytest.raises(MeshError, match="of themselves"):
        read_amf(amf(top + circle))


NOWHERE: list[tuple[dict[str, Any], str]] = [
    ({"buffers": [{"uri": "data:;base32,AAAA"}]}, "in another file"),
    ({"buffers": [{"uri": "more.bin;base64,AAAA"}]}, "in another file"),
    ({"buffers": [{"uri": "data:;base64"}]}, "in another file"),
    ({"bufferViews": [{"buffer": 0, "byteOffset": 30}] * 2}, "names numbers beyond its end"),
    ({"bufferViews": [{"buffer": 0, "byteOffset": -1}] * 2}, "in no place"),
    ({"bufferViews": [{"buffer": 0, "byteStride": 11}] * 2}, "in no place"),
    (
        {"accessors": [{"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC2"}] * 2},
        "as VEC2",
    ),
    (
        {"accessors": [{"bufferView": 0, "componentType": 5121, "count": 4, "type": "VEC3"}] * 2},
        "type 5121",
    ),
    ({"accessors": [{**FOUR, "sparse": {}}] * 2}, "as changes"),
    ({"meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "mode": 7}]}]}, "of number 7"),
    ({"meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "mode": 1}]}]}, "holds no triangles"),
]


@pytest.mark.parametrize(("change", "said"), NOWHERE)
def test_numbers_that_lie_nowhere_are_refused(change: dict[str, Any], said: str, tmp_path: Path) -> None:
    with pytest.raises(MeshError, match=said):
        gltf(tmp_path, [{"mesh": 0}], **change)


def test_numbers_end_with_the_buffer_and_stand_as_far_apart_as_they_say(tmp_path: Path) -> None:
    """Four corners 16 bytes apart, from byte 4 of a view that begins at byte 8: the last ends the buffer."""
    spread = np.full((4, 4), 9.0, dtype="<f4")
    spread[:, :3] = TETRAHEDRON
    binary = b"\0" * 12 + spread.tobytes()[:-4]
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]], dtype="<u1").tobytes()

    def buffer(content: bytes) -> dict[str, Any]:
        return {"byteLength": len(content), "uri": "data:;base64," + base64.b64encode(content).decode()}

    told: dict[str, Any] = {
        "buffers": [buffer(faces), buffer(binary)],
        "bufferViews": [{"buffer": 1, "byteOffset": 8, "byteStride": 16}, {"buffer": 0}],
        "accessors": [
            {"bufferView": 0, "byteOffset": 4, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5121, "count": 12, "type": "SCALAR"},
        ],
    }
    same_points(gltf(tmp_path, [{"mesh": 0}], **told).vertices_m, TETRAHEDRON)
    told["buffers"][1] = buffer(binary[:-1])
    with pytest.raises(MeshError, match="beyond its end"):
        gltf(tmp_path, [{"mesh": 0}], **told)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<rect width="1e999" height="1"/>', "no outline of finite numbers"),
        ('<polygon points="0,0 1e999,1 2,2"/>', "no outline of finite numbers"),
        ('<path d="M0 0 L1 0 2 2 3"/>', "has 5 numbers"),
        ('<path d="M0 0 C1 0 2 2 3 3 4 4"/>', "has 8 numbers"),
        ('<g transform="scale(2) matrix(1 0 0 1 0 0)"><rect width="1" height="1"/></g>', "turned or skewed"),
        ('<ellipse rx="1"/>', "cannot be read as SVG"),
    ],
)
def test_numbers_of_an_outline_that_make_none_are_refused(body: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(MeshError, match=said):
        outline(tmp_path, body)


def test_variants_are_kept_in_turn_replaced_by_name_and_forgotten(tmp_path: Path) -> None:
    variants = Variants.of_sheet(tmp_path / "light.toml")
    assert variants.path.name == "light-variants.json"
    assert variants.kept() == ()
    variants.keep("  heavy   one ", {"item.steel.mass": "2 kg"})
    variants.keep("x" * 60, {"fin.count": "4"})
    variants.keep("heavy one", {"item.steel.mass": "3 kg", "fin.count": "3"})
    assert [one.name for one in variants.kept()] == ["x" * 60, "heavy one"]
    found = variants.named("heavy one")
    assert dict(found.change) == {"item.steel.mass": "3 kg", "fin.count": "3"}
    variants.forget("heavy one")
    assert [one.name for one in variants.kept()] == ["x" * 60]
    with pytest.raises(OutsideRange, match="no variant is called 'heavy one'"):
        variants.named("heavy one")
    for name in ("", "  ", "x" * 61):
        with pytest.raises(OutsideRange, match="1 to 60 letters"):
            variants.keep(name, {})


def test_forty_variants_are_kept_and_one_of_the_same_name_still_goes(tmp_path: Path) -> None:
    variants = Variants(path=tmp_path / "many.json")
    for number in range(40):
        variants.keep(f"v{number}", {})
    variants.keep("v3", {"a": "1"})
    assert variants.kept()[-1].name == "v3"
    with pytest.raises(OutsideRange, match="40 variants are kept already"):
        variants.keep("one more", {})


@pytest.mark.parametrize(
    "text",
    [
        "{}",
        "[",
        '[{"name": "a"}]',
        '[{"name": "a", "change": {}, "more": 1}]',
        '[{"name": 1, "change": {}}]',
        '[{"name": "a", "change": []}]',
        '[{"name": "a", "change": {"b": "1", "c": 2}}]',
    ],
)
def test_a_file_of_variants_that_is_not_as_it_was_written_is_refused(text: str, tmp_path: Path) -> None:
    (tmp_path / "v.json").write_text(text)
    with pytest.raises(OutsideRange, match="not as it was written"):
        Variants(path=tmp_path / "v.json").kept()


def run(**changed: Any) -> dict[str, Any]:
    told: dict[str, Any] = {
        "key": "a" * 32,
        "shape": "b" * 32,
        "angle_rad": 0.1,
        "roll_rad": 0.0,
        "flight_reynolds": 1e6,
        "reynolds": 8e3,
        "cells": 16.0,
        "grids": 3,
        "travel_widths": 24.0,
        "area_m2": 0.02,
        "width_m": 0.16,
        "version": "1",
        **dict.fromkeys(("pressure", "pressure_error", "total", "total_error"), [0.1] * 6),
        "force": 0.5,
        "force_error": 0.01,
        "aside": 0.0,
        "aside_error": 0.0,
        "place_m": 0.7,
        "place_error_m": 0.01,
        "section_share": 0.15,
        "wet_cells": 1000,
        "updates": 1e6,
        "restarts": 0,
        "seconds": 3.0,
        "stations_m": [0.0, 0.5, 1.0],
        "along": [[0.1, 0.2, 0.3], [0.1, 0.2, 0.4]],
    }
    return {**told, **changed}


def runs_file(folder: Path, *runs: dict[str, Any]) -> Path:
    path = folder / "runs.json"
    path.write_text(json.dumps({"finial": "1", "vehicle": "light", "runs": runs}))
    return path


def test_runs_come_back_as_they_were_written_in_an_order_of_their_own(tmp_path: Path) -> None:
    asked = [
        run(key="a" * 32, cells=24.0),
        run(key="c" * 32, angle_rad=0.0),
        run(key="d" * 32, roll_rad=0.5),
        run(key="e" * 32),
        run(key="f" * 32, shape="a" * 32, angle_rad=1.0),
    ]
    read = read_tunnel_runs(runs_file(tmp_path, *asked))
    text = tunnel_runs_text("light", reversed(read))
    (tmp_path / "again.json").write_text(text)
    assert [one.key[0] for one in read_tunnel_runs(tmp_path / "again.json")] == ["f", "c", "e", "a", "d"]
    assert json.loads(text)["vehicle"] == "light"
    assert read[0].bare is False
    assert (read[0].swing, read[0].eddies, read[0].surface) == (0.0, "smagorinsky", ())
    assert own_folder(tmp_path / "light.toml") == tmp_path / "light-tunnel"


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"pressure": [0.1] * 5}, r"runs\.0\.pressure: "),
        ({"total": [0.1] * 7}, r"runs\.0\.total: "),
        ({"along": [[0.1, 0.2]]}, r"runs\.0\.along: "),
        ({"along": [[0.1, 0.2, 0.3, 0.4]]}, r"runs\.0\.along: "),
        ({"angle_rad": -0.01}, r"runs\.0\.angle_rad: "),
        ({"angle_rad": 3.15}, r"runs\.0\.angle_rad: "),
        ({"roll_rad": 2 * math.pi}, r"runs\.0\.roll_rad: "),
        ({"section_share": 0.151}, r"runs\.0\.section_share: "),
        ({"cells": 0.0}, r"runs\.0\.cells: "),
        ({"restarts": -1}, r"runs\.0\.restarts: "),
        ({"force_error": -0.1}, r"runs\.0\.force_error: "),
        ({"key": "a" * 31}, r"runs\.0\.key: "),
        ({"version": "1" * 101}, r"runs\.0\.version: "),
        ({"more": 1}, r"runs\.0\.more: "),
    ],
)
def test_a_run_that_none_could_be_is_refused_with_its_place(
    changed: dict[str, Any], said: str, tmp_path: Path
) -> None:
    with pytest.raises(BuildSheetError) as refused:
        read_tunnel_runs(runs_file(tmp_path, run(**changed)))
    (fault,) = refused.value.faults
    assert any(said.replace("\\", "") in text for text in (fault.given, fault.likely_slip, fault.accepted))
    assert read_tunnel_runs(runs_file(tmp_path, run(angle_rad=math.pi, version="1" * 100)))
