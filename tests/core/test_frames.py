"""Axes: every way a mesh may stand, compass bearings, quaternions."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.frames import UP_AXES, body_from_mesh, east_north_from_bearing, rotation_from_quaternion


@pytest.mark.parametrize("up", UP_AXES)
def test_the_named_mesh_axis_becomes_forward_and_hands_are_kept(up):
    rotation = body_from_mesh(up)
    axis = np.zeros(3)
    axis["xyz".index(up[1])] = 1.0 if up[0] == "+" else -1.0
    assert (rotation @ axis).tolist() == [1.0, 0.0, 0.0]
    assert np.linalg.det(rotation) == pytest.approx(1.0)
    np.testing.assert_array_equal(rotation @ rotation.T, np.eye(3))


def test_z_up_keeps_the_roll_convention():
    # Roll angles run from mesh +x (body y) towards mesh +y (body z): the project's own convention.
    rotation = body_from_mesh("+z")
    assert (rotation @ [1.0, 0.0, 0.0]).tolist() == [0.0, 1.0, 0.0]
    assert (rotation @ [0.0, 1.0, 0.0]).tolist() == [0.0, 0.0, 1.0]


@pytest.mark.parametrize("up", ["z", "+w", "", "+Z"])
def test_other_axes_are_refused_with_what_to_write(up):
    with pytest.raises(OutsideRange, match=r"write one of \+x, \+y, \+z, -x, -y, -z"):
        body_from_mesh(up)


@pytest.mark.parametrize(
    ("degrees", "east", "north"), [(0, 0, 1), (90, 1, 0), (180, 0, -1), (270, -1, 0), (450, 1, 0)]
)
def test_bearings_run_clockwise_from_north(degrees, east, north):
    assert east_north_from_bearing(math.radians(degrees)) == pytest.approx((east, north), abs=1e-12)


def test_a_quaternion_turns_right_handed_about_its_axis():
    # A quarter turn about z takes x to y: (cos 45, 0, 0, sin 45), any textbook on rotations.
    half = math.sqrt(0.5)
    turned = rotation_from_quaternion([half, 0.0, 0.0, half]) @ [1.0, 0.0, 0.0]
    np.testing.assert_allclose(turned, [0.0, 1.0, 0.0], atol=1e-15)


def test_rotations_agree_with_scipy():
    from scipy.spatial.transform import Rotation

    unit = np.array([0.5, -0.1, 0.7, 0.2])
    unit /= np.linalg.norm(unit)
    theirs = Rotation.from_quat(unit, scalar_first=True).as_matrix()
    np.testing.assert_allclose(rotation_from_quaternion(unit), theirs, atol=1e-14)
