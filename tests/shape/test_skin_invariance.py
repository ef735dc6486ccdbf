"""What the skin must not depend on: roll, mirror, scale, origin, triangulation, order of faces."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

FEW = settings(max_examples=12, deadline=None)


@pytest.fixture(scope="module")
def plain(tower):
    return slice_skin([tower])


@FEW
@given(angle=st.floats(0.0, 2 * math.pi))
def test_roll_changes_no_area(draw, tower, plain, angle):
    skin = slice_skin([draw.rolled(tower, angle)])
    assert skin.areas_m2 == pytest.approx(plain.areas_m2, rel=1e-4)
    assert skin.wetted_area_m2 == pytest.approx(plain.wetted_area_m2, rel=1e-4)


@FEW
@given(scale=st.floats(0.2, 4.0))
def test_scale_goes_with_square_and_cube(tower, plain, scale):
    skin = slice_skin([Mesh(vertices_m=tower.vertices_m * scale, faces=tower.faces)])
    assert skin.reference_area_m2 == pytest.approx(scale**2 * plain.reference_area_m2, rel=1e-6)
    assert skin.volume_m3 == pytest.approx(scale**3 * plain.volume_m3, rel=1e-3)


@FEW
@given(y=st.floats(-0.5, 0.5), z=st.floats(-0.5, 0.5))
def test_a_shift_across_moves_the_centroid_only(draw, tower, plain, y, z):
    skin = slice_skin([draw.moved(tower, (0.0, y, z))])
    assert skin.areas_m2 == pytest.approx(plain.areas_m2, rel=1e-4)
    assert skin.sections[40].centroid_m == pytest.approx((y, z), abs=1e-6)


def test_the_mirror_image_has_the_same_skin(tower, plain):
    mirrored = Mesh(vertices_m=tower.vertices_m * [1.0, -1.0, 1.0], faces=tower.faces[:, ::-1])
    assert slice_skin([mirrored]).areas_m2 == pytest.approx(plain.areas_m2, rel=1e-6)


@FEW
@given(seed=st.integers(0, 2**31))
def test_the_order_of_faces_does_not_matter(draw, tower, plain, seed):
    order = np.random.default_rng(seed).permutation(len(tower.faces))
    skin = slice_skin([draw.soup(tower.triangles_m[order])])
    assert skin.volume_m3 == pytest.approx(plain.volume_m3, rel=1e-6)


@pytest.mark.parametrize("rounds", [1, 2, 3])
def test_finer_triangles_give_the_same_skin(draw, tower, plain, rounds):
    skin = slice_skin([draw.subdivided(tower, rounds)])
    assert skin.volume_m3 == pytest.approx(plain.volume_m3, rel=3e-4)
    assert skin.wetted_area_m2 == pytest.approx(plain.wetted_area_m2, rel=1e-3)
    assert skin.reference_area_m2 == pytest.approx(plain.reference_area_m2, rel=1e-6)


def test_a_mesh_split_in_two_gives_the_same_skin(draw, tower, plain):
    # Through the gallery, and left open there: as if a model were split and the cut never closed.
    middle = tower.triangles_m[..., 0].mean(axis=1)
    parts = [draw.soup(tower.triangles_m[middle < -0.19]), draw.soup(tower.triangles_m[middle >= -0.19])]
    skin = slice_skin(parts)
    assert skin.volume_m3 == pytest.approx(plain.volume_m3, rel=1e-4)
    assert skin.reference_area_m2 == pytest.approx(plain.reference_area_m2, rel=1e-6)
