"""Meshes of more faces than are looked at together, and numbers too large for the quick sort."""

import numpy as np
import pytest
from scipy.spatial import KDTree

from finial.core.alike import alike, in_order
from finial.shape.bodies import signed_volumes_m3
from finial.shape.cut import cuts
from finial.shape.fin_edges import edge_bluntness
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh, area_columns, area_vectors, crossed, used_only
from finial.shape.stations import askew, steps, steps_and_askew
from finial.shape.weld import WELD_DISTANCE_M, _crowded, welded

AROUND = 20_000
"""Corners of a prism: 80,000 faces, in three blocks."""


@pytest.fixture(scope="module")
def prism():
    """Regular prism of radius 0.1 m, from station 0 to 1."""
    turns = 2.0 * np.pi * np.arange(AROUND) / AROUND
    ring = 0.1 * np.column_stack([np.cos(turns), np.sin(turns)])
    ends = [np.column_stack([np.full(AROUND, -station), ring]) for station in (0.0, 1.0)]
    here, there = np.arange(AROUND), (np.arange(AROUND) + 1) % AROUND
    tip, base = np.full(AROUND, 2 * AROUND), np.full(AROUND, 2 * AROUND + 1)
    faces = [
        np.column_stack([tip, here, there]),
        np.column_stack([here, here + AROUND, there]),
        np.column_stack([there, here + AROUND, there + AROUND]),
        np.column_stack([base, there + AROUND, here + AROUND]),
    ]
    vertices = np.vstack([*ends, [[0.0, 0.0, 0.0], [-1.0, 0.0, 0.0]]])
    return Mesh(vertices_m=vertices, faces=np.vstack(faces))


def area_m2():
    return 0.5 * AROUND * 0.01 * np.sin(2.0 * np.pi / AROUND)


def test_volume_of_many_faces(prism):
    [volume] = signed_volumes_m3(prism, np.zeros(len(prism.faces), dtype=np.int64))
    assert volume == pytest.approx(area_m2(), rel=1e-9)


def test_every_face_is_cut_once(prism):
    found = cuts(prism, np.array([0.25, 0.5, 0.75]))
    for cut in found:
        (loop,) = cut.loops
        y, z = loop.T
        # Each wall is two triangles: two points on each.
        assert len(loop) == 2 * AROUND
        area = abs(float(np.sum(y * np.roll(z, -1) - z * np.roll(y, -1)))) / 2.0
        assert area == pytest.approx(area_m2(), rel=1e-9)


def test_a_plane_through_corners_cuts_what_lies_ahead_of_it(prism):
    """Faces that only touch the first plane aft of it, or the last one ahead, are not cut."""
    ahead, at_end = cuts(prism, np.array([0.0, 1.0]))
    assert ahead.loops == ()
    assert len(at_end.loops) == 1
    assert len(cuts(prism, np.empty(0))) == 0


def test_steps_of_many_faces(prism):
    both = steps_and_askew([prism], 0.04)
    assert both == (steps([prism], 0.04), askew([prism], 0.04))
    assert [round(step.fore_m, 9) for step in both[0]] == [0.0, 1.0]


def test_walls_of_a_fin_are_found_among_many_faces(prism):
    plate = np.array([[0.0, 0.0], [0.05, 0.1], [0.15, 0.1], [0.15, 0.0]])
    fin = FinSet(
        name="",
        outline_m=plate,
        station_m=0.5,
        root_radius_m=0.1,
        first_at_rad=0.0,
        count=1,
        thickness_m=0.01,
    )
    assert edge_bluntness(fin, [prism]) is None


@pytest.mark.parametrize("largest", [1_000, 2**62, 2**63 - 1])
def test_numbers_alike_are_found_however_large(largest):
    keys = np.random.default_rng(largest % 97).integers(0, largest, 5_000)
    keys[::7] = keys[0]
    _, first, which = np.unique(keys, return_index=True, return_inverse=True)
    found = alike(keys)
    assert np.array_equal(found[0], first)
    assert np.array_equal(found[1], which)
    assert np.array_equal(in_order(keys), np.argsort(keys, kind="stable"))


def test_numbers_below_zero_and_without_sign_are_alike_too():
    for keys in (np.array([-(2**62), 0, -(2**62)]), np.array([2**64 - 1, 5, 2**64 - 1], dtype=np.uint64)):
        _, first, which = np.unique(keys, return_index=True, return_inverse=True)
        assert [found.tolist() for found in alike(keys)] == [first.tolist(), which.tolist()]


def test_every_close_pair_is_among_the_crowded():
    """Pairs just closer than the distance, in any direction, across borders of cells and not."""
    chance = np.random.default_rng(3)
    one = chance.uniform(-0.5, 0.5, (4_000, 3))
    way = chance.normal(size=one.shape)
    other = one + 0.999 * WELD_DISTANCE_M * way / np.linalg.norm(way, axis=1, keepdims=True)
    alone = chance.uniform(-0.5, 0.5, (4_000, 3))
    points = np.vstack([one, other, alone])
    crowded = _crowded(points, WELD_DISTANCE_M)
    close = np.unique(KDTree(points).query_pairs(WELD_DISTANCE_M, output_type="ndarray"))
    assert len(close) >= 8_000
    assert np.isin(close, crowded).all()
    assert len(crowded) < 8_100


def test_faces_with_the_same_corners_are_found_whichever_comes_first():
    corners = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    assert welded(Mesh(vertices_m=corners, faces=faces)).duplicate_faces == 0
    for again in ([1, 0, 2], [2, 1, 0]):
        twice = welded(Mesh(vertices_m=corners, faces=np.vstack([faces, [again]])))
        assert (twice.duplicate_faces, len(twice.mesh.faces)) == (1, 4)


def test_columns_say_what_rows_say():
    triangles = np.random.default_rng(5).normal(size=(50, 3, 3))
    rows = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]) / 2.0
    assert np.array_equal(area_vectors(triangles), rows)
    assert np.array_equal(area_columns(triangles.transpose(2, 1, 0)).T, rows)
    one, other = triangles[:, 0], triangles[:, 1]
    assert np.array_equal(crossed(one.T, other.T).T, np.cross(one, other))


def test_corners_in_use():
    faces = np.random.default_rng(6).integers(0, 900, (200, 3))
    used, renamed = np.unique(faces, return_inverse=True)
    found = used_only(faces, 1_000)
    assert np.array_equal(found[0], used)
    assert np.array_equal(found[1], renamed.reshape(faces.shape))
