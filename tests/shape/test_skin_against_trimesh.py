"""Sections of odd shapes against trimesh, a general mesh library, one plane at a time."""

from pathlib import Path

import numpy as np
import pytest

from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.sections import slice_skin

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def trimesh():
    return pytest.importorskip("trimesh")


def body_axes(solid) -> Mesh:
    (placed,), _ = to_body([Mesh(vertices_m=np.array(solid.vertices), faces=np.array(solid.faces))], "+z")
    return placed


def reference_area(trimesh, mesh: Mesh, station_m: float) -> float:
    """Area of trimesh's own section, holes filled and overlaps united."""
    import shapely

    solid = trimesh.Trimesh(vertices=mesh.vertices_m, faces=mesh.faces)
    cut = solid.section(plane_origin=[-station_m, 0, 0], plane_normal=[1, 0, 0])
    flat, _ = cut.to_2D()
    return shapely.union_all(list(flat.polygons_closed)).area


def test_a_ball_has_the_areas_of_trimesh_and_the_volume_of_the_ball(trimesh):
    ball = body_axes(trimesh.creation.icosphere(subdivisions=4, radius=0.1))
    skin = slice_skin([ball])
    for section in skin.sections[5:-5:9]:
        expected = reference_area(trimesh, ball, section.station_m)
        assert section.area_m2 == pytest.approx(expected, rel=1e-4)
    assert skin.volume_m3 == pytest.approx(4 / 3 * np.pi * 0.1**3, rel=5e-3)


def test_a_ring_on_edge_is_two_loops_and_a_ring_lying_flat_is_full(trimesh):
    ring = trimesh.creation.torus(major_radius=0.1, minor_radius=0.02, major_sections=180, minor_sections=60)
    flat = slice_skin([body_axes(ring)])
    assert flat.reference_area_m2 == pytest.approx(np.pi * 0.12**2, rel=5e-3)
    on_edge = ring.copy()
    on_edge.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [1, 0, 0]))
    middle = slice_skin([body_axes(on_edge)])
    assert len(middle.sections[len(middle.sections) // 2].loops) == 2
    assert middle.volume_m3 == pytest.approx(2 * np.pi**2 * 0.1 * 0.02**2, rel=2e-2)


@pytest.mark.parametrize("part", ["skerry-light/meshes/dome.stl", "skerry-light/meshes/tower-middle.stl"])
def test_example_parts_have_the_areas_of_trimesh(trimesh, part):
    solid = trimesh.load(EXAMPLES / part)
    solid.apply_scale(1e-3)
    mesh = body_axes(solid)
    for section in slice_skin([mesh]).sections[3:-3:7]:
        expected = reference_area(trimesh, mesh, section.station_m)
        assert section.area_m2 == pytest.approx(expected, rel=1e-4)
