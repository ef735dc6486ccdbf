"""Holes and fine details, counted by hand."""

import numpy as np
import pytest
import trimesh

from finial.tunnel.leaks import leaks, lost_below
from finial.tunnel.links import GridBox
from finial.tunnel.records import TunnelShape

BOX = GridBox(origin_m=(-2.03, -2.03, -2.03), cell_m=0.1, counts=(41, 41, 41))


def shape_of(*meshes):
    whole = trimesh.util.concatenate(meshes)
    return TunnelShape(points_m=np.asarray(whole.vertices), triangles=np.asarray(whole.faces, dtype=np.int64))


def test_a_closed_shape_has_no_leak():
    found = leaks(shape_of(trimesh.creation.icosphere(2)))
    assert (found.holes, found.loose_edges) == (0, 0)


def test_each_hole_is_told_with_its_reach():
    box = trimesh.creation.box((1.0, 2.0, 4.0))
    normals = np.asarray(box.face_normals)
    # Without both ends: two square holes of 1 by 2.
    open_ends = box.faces[np.abs(normals[:, 2]) < 0.5]
    found = leaks(TunnelShape(points_m=np.asarray(box.vertices), triangles=open_ends))
    assert found.widths_m == pytest.approx((np.hypot(1.0, 2.0),) * 2)
    assert found.loose_edges == 0


def test_a_turned_triangle_is_no_hole():
    ball = trimesh.creation.icosphere(2)
    faces = np.asarray(ball.faces).copy()
    faces[7] = faces[7][::-1]
    assert leaks(TunnelShape(points_m=np.asarray(ball.vertices), triangles=faces)).holes == 0


def test_a_wire_is_lost_and_told_by_its_length_and_thickness():
    # 3 m of 0.02 m along the first axis: lines along the other two meet it 30 times 0.2 each.
    met = []
    for shift in np.linspace(0.0, 0.09, 10):
        moved = trimesh.creation.box((3.0, 0.02, 0.02))
        moved.apply_translation([0.0, shift, shift + 0.013])
        met.append(lost_below(shape_of(moved), BOX).wires)
    assert np.mean(met) == pytest.approx(2 * 30 * 0.2, rel=0.3)


def test_a_turned_wire_is_lost_too():
    wire = trimesh.creation.box((3.0, 0.04, 0.04))
    wire.apply_transform(trimesh.transformations.rotation_matrix(np.radians(30.0), [1.0, 0.0, 0.0]))
    wire.apply_translation([0.0, -0.03, -0.03])
    assert lost_below(shape_of(wire), BOX).wires >= 50


def test_a_wire_through_a_body_counts_over_its_length():
    wire = trimesh.creation.box((3.0, 0.02, 0.02))
    wire.apply_translation([0.0, -0.03, -0.03])
    lost = lost_below(shape_of(trimesh.creation.box((1.0, 1.0, 1.0)), wire), BOX)
    # 3 m of it, inside the body too, met by a line of either axis at each of 30 cells.
    assert lost.wires == pytest.approx(2 * 30, abs=4)
    assert 0.0 < lost.wire_share < 0.1


@pytest.mark.parametrize("tilt_deg", [0.0, 20.0, 45.0, 70.0])
def test_a_thin_plate_is_a_wall_and_next_to_nothing_is_lost(tilt_deg):
    plate = trimesh.creation.box((2.0, 2.0, 0.01))
    plate.apply_transform(trimesh.transformations.rotation_matrix(np.radians(tilt_deg), [1.0, 0.0, 0.0]))
    lost = lost_below(shape_of(plate), BOX)
    assert lost.wire_share < 0.01
    assert lost.gaps == 0
    # Lines along two axes meet its two faces; where a cell's centre lies between these, two pieces are cut.
    once = 20 * 20 * (np.cos(np.radians(tilt_deg)) + np.sin(np.radians(tilt_deg)))
    assert 0.94 * once < lost.cut < 2.12 * once


def test_a_slot_narrower_than_a_cell_is_shut_and_told():
    lower, upper = trimesh.creation.box((1.0, 1.0, 1.0)), trimesh.creation.box((1.0, 1.0, 1.0))
    upper.apply_translation([0.0, 0.0, 1.0 + 0.004])
    for lift in (0.0, 0.05):
        both = shape_of(lower, upper)
        moved = TunnelShape(points_m=both.points_m + np.array([0.0, 0.0, lift]), triangles=both.triangles)
        assert lost_below(moved, BOX).gaps == pytest.approx(100, abs=25)
    upper.apply_translation([0.0, 0.0, 0.15])
    assert lost_below(shape_of(lower, upper), BOX).gaps == 0
