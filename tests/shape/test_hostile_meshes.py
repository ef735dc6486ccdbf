"""Whatever triangles come, the answer is a skin or a MeshError that says what is wrong."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import MeshError
from finial.shape.mesh import Mesh
from finial.shape.placing import to_body
from finial.shape.sections import slice_skin


@st.composite
def soups(drawn):
    """Random triangles on a coarse lattice, so that corners, edges and faces often coincide."""
    count = drawn(st.integers(1, 40))
    seed = drawn(st.integers(0, 2**32 - 1))
    scale = drawn(st.sampled_from([1e-6, 1e-3, 0.1, 1.0, 1e3]))
    levels = drawn(st.sampled_from([2, 3, 5, 1000]))
    corners = np.random.default_rng(seed).integers(0, levels, (3 * count, 3)) * (scale / levels)
    return Mesh(vertices_m=corners, faces=np.arange(3 * count).reshape(-1, 3))


def skin_or_message(mesh: Mesh) -> str:
    try:
        (placed,), _ = to_body([mesh], "+z")
        skin = slice_skin([placed])
    except MeshError as error:
        return str(error)
    assert np.isfinite([skin.volume_m3, skin.wetted_area_m2, skin.length_m]).all()
    assert skin.areas_m2.min() > 0.0
    assert np.diff(skin.stations_m).min() > 0.0
    return "skin"


@settings(max_examples=20, deadline=None)
@given(mesh=soups())
def test_random_triangles_give_a_skin_or_a_reason(mesh):
    assert len(skin_or_message(mesh)) > 0


@pytest.mark.parametrize("share", [0.5, 0.9])
def test_a_mesh_with_most_faces_gone_gives_a_skin_or_a_reason(draw, tower, share):
    kept = np.random.default_rng(4).random(len(tower.faces)) > share
    assert len(skin_or_message(draw.soup(tower.triangles_m[kept]))) > 0


def test_an_upside_down_vehicle_has_its_base_first(draw, tower):
    (placed,), _ = to_body([tower], "-x")
    upside_down = slice_skin([placed])
    assert upside_down.areas_m2[0] == pytest.approx(slice_skin([tower]).base_area_m2, rel=1e-6)


def test_a_mesh_with_a_coordinate_that_is_no_number_is_refused():
    with pytest.raises(MeshError, match="vertex 1 has a coordinate that is not a finite number"):
        Mesh(vertices_m=[[0, 0, 0], [np.nan, 0, 0], [0, 1, 0]], faces=[[0, 1, 2]])


def test_a_face_that_names_a_vertex_that_is_not_there_is_refused():
    with pytest.raises(MeshError, match="outside 0 to 2"):
        Mesh(vertices_m=[[0, 0, 0], [1, 0, 0], [0, 1, 0]], faces=[[0, 1, 3]])
