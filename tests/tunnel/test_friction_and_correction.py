"""Friction of plates and a cylinder by hand; blockage against Maskell's measured factor."""

import numpy as np
import pytest
import trimesh
from bench.tunnel.friction import friction_loads

from finial.core.errors import OutsideRange
from finial.tunnel.correction import unblocked_share
from finial.tunnel.records import Stream, TunnelShape


def test_a_cylinder_along_the_wind_rubs_on_its_side_alone():
    solid = trimesh.creation.cylinder(radius=0.05, height=0.8, sections=256)
    points = np.asarray(solid.vertices)[:, [2, 0, 1]] + [0.4, 0.0, 0.0]
    shape = TunnelShape(points_m=points, triangles=np.asarray(solid.faces, dtype=np.int64))
    loads = friction_loads(shape, Stream(angle_rad=0.0), 0.004, area_m2=np.pi * 0.05**2, width_m=0.1)
    # Wetted side over the section: 4 L / d = 32.
    assert loads[0] == pytest.approx(0.004 * 32, rel=1e-3)
    assert np.abs(loads[1:]).max() < 1e-9


@pytest.mark.parametrize(("angle_deg", "roll_deg"), [(10.0, 0.0), (10.0, 90.0), (60.0, 0.0)])
def test_a_plate_rubs_by_the_square_of_the_wind_in_its_plane(angle_deg, roll_deg):
    # One side of a plate in the plane of station and a: wind in it turns the force, wind across shortens it.
    plate = TunnelShape(
        points_m=np.array([[0.0, -0.5, 0], [2, -0.5, 0], [2, 0.5, 0], [0, 0.5, 0]]),
        triangles=np.array([[0, 1, 2], [0, 2, 3]]),
    )
    stream = Stream(angle_rad=np.radians(angle_deg), roll_rad=np.radians(roll_deg))
    loads = friction_loads(plate, stream, 0.003, area_m2=0.5, width_m=0.25)
    angle = np.radians(angle_deg)
    if roll_deg == 0.0:
        expected = 0.003 * 2.0 / 0.5 * np.array([np.cos(angle), np.sin(angle), 0.0])
    else:
        expected = 0.003 * 2.0 / 0.5 * np.array([np.cos(angle) ** 2, 0.0, 0.0])
    assert loads[:3] == pytest.approx(expected, abs=1e-12)
    # The middle of the plate lies 1 m aft: the moment about b is that arm times the force across a.
    assert loads[3:] == pytest.approx([0.0, 0.0, expected[1] * 1.0 / 0.25], abs=1e-12)


@pytest.mark.parametrize(
    ("coefficient", "area_m2", "width_m"), [(-0.1, 1, 1), (np.nan, 1, 1), (0.1, 0, 1), (0.1, 1, 0)]
)
def test_friction_refuses_what_is_no_number(coefficient, area_m2, width_m):
    plate = TunnelShape(points_m=np.eye(3), triangles=np.array([[0, 1, 2]]))
    with pytest.raises(OutsideRange, match=r"accepted|above 0"):
        friction_loads(plate, Stream(angle_rad=0.0), coefficient, area_m2=area_m2, width_m=width_m)


def test_blockage_is_maskells_within_a_twentieth():
    # Maskell 1963 (from memory): a plate that fills 4.5 % reads about 1 + 2.5 * 1.17 * 0.045 too much.
    share = unblocked_share(1.17 * (1 + 2.5 * 1.17 * 0.045), 0.045)
    assert (1 - share) / share == pytest.approx(2.5 * 1.17 * 0.045, rel=0.2)
    assert unblocked_share(1.05, 0.02) == pytest.approx(1 / 1.0546, rel=1e-9)
    assert unblocked_share(1.05, 0.0) == 1.0


@pytest.mark.parametrize(("drag", "share"), [(-0.1, 0.01), (np.inf, 0.01), (1.0, 0.2), (1.0, -0.01)])
def test_blockage_refuses_a_tunnel_that_is_filled(drag, share):
    with pytest.raises(OutsideRange, match="accepted"):
        unblocked_share(drag, share)
