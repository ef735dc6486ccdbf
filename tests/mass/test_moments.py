"""Moments of closed meshes against closed forms and against trimesh."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.mass.moments import solid_moments, surface_moments
from finial.shape.tiers import Tier, tiers_mesh

BRICK = np.array([0.1, 0.2, 0.5])


@pytest.fixture(scope="module")
def trimesh():
    return pytest.importorskip("trimesh")


def brick(trimesh):
    solid = trimesh.creation.box(extents=BRICK)
    solid.apply_translation([3.0, -2.0, 7.0])
    return np.array(solid.triangles)


def test_a_brick_far_from_the_origin(trimesh):
    found = solid_moments(brick(trimesh))
    assert found.size == pytest.approx(0.01, rel=1e-12)
    assert found.centre_m == pytest.approx([3.0, -2.0, 7.0])
    # I = m (b^2 + c^2) / 12; any handbook of mechanics.
    squares = BRICK**2
    assert found.inertia == pytest.approx(np.diag(0.01 / 12 * (squares.sum() - squares)), abs=1e-15)


def test_the_skin_of_a_brick_is_the_sum_of_its_faces(trimesh):
    found = surface_moments(brick(trimesh))
    assert found.size == pytest.approx(2 * (0.1 * 0.2 + 0.1 * 0.5 + 0.2 * 0.5), rel=1e-12)
    assert found.centre_m == pytest.approx([3.0, -2.0, 7.0])


def test_an_odd_shape_agrees_with_trimesh(trimesh):
    solid = trimesh.creation.annulus(r_min=0.02, r_max=0.05, height=0.3, sections=40)
    solid.apply_transform(trimesh.transformations.rotation_matrix(0.7, [1, 2, 3], point=[0.1, 0, 0]))
    found = solid_moments(np.array(solid.triangles))
    assert found.size == pytest.approx(solid.volume, rel=1e-10)
    assert found.centre_m == pytest.approx(solid.center_mass, abs=1e-12)
    assert found.inertia == pytest.approx(solid.moment_inertia, rel=1e-9, abs=1e-15)


def test_an_open_shell_has_the_inertia_of_a_thin_tube():
    # I_axis = m r^2, I_across = m (6 r^2 + L^2) / 12; any handbook of mechanics.
    tube = tiers_mesh([Tier(sides=0, across_m=0.1, across_top_m=0.1, height_m=1.0)]).triangles_m
    sides = tube[np.ptp(tube[..., 0], axis=1) > 0.1]
    found = surface_moments(sides)
    assert found.inertia[0, 0] / found.size == pytest.approx(0.05**2, rel=2e-3)
    assert found.inertia[1, 1] / found.size == pytest.approx((6 * 0.05**2 + 1) / 12, rel=1e-4)


@settings(max_examples=20, deadline=None)
@given(
    shift=st.tuples(*[st.floats(-10, 10)] * 3),
    scale=st.floats(0.1, 10),
)
def test_moments_follow_shift_and_scale(shift, scale):
    cone = tiers_mesh([Tier(sides=7, across_m=0.1, across_top_m=0.03, height_m=0.4)]).triangles_m
    at_home = solid_moments(cone)
    moved = solid_moments(cone * scale + np.array(shift))
    assert moved.size == pytest.approx(scale**3 * at_home.size, rel=1e-9)
    assert moved.centre_m == pytest.approx(scale * at_home.centre_m + shift, abs=1e-9)
    assert moved.inertia == pytest.approx(scale**5 * at_home.inertia, rel=1e-6, abs=1e-12 * scale**5)


def test_an_inside_out_mesh_has_a_negative_volume():
    cone = tiers_mesh([Tier(sides=7, across_m=0.1, across_top_m=0.03, height_m=0.4)]).triangles_m
    assert solid_moments(cone[:, ::-1]).size == pytest.approx(-solid_moments(cone).size, rel=1e-12)
