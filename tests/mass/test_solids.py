"""Parts as CAD draws them: overlaps once, cavities not at all, doubt said aloud."""

import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.core.estimates import KnownBy
from finial.mass.solids import solid_of
from finial.shape.mesh import Mesh
from finial.shape.tiers import Tier, tiers_mesh


def block(across_m: float, height_m: float, top_m: float = 0.0, sides: int = 4) -> np.ndarray:
    tier = Tier(sides=sides, across_m=across_m, across_top_m=across_m, height_m=height_m)
    return tiers_mesh([tier], tip_station_m=top_m).triangles_m


def mesh_of(*bodies: np.ndarray) -> Mesh:
    triangles = np.concatenate(bodies)
    return Mesh(vertices_m=triangles.reshape(-1, 3), faces=np.arange(3 * len(triangles)).reshape(-1, 3))


def test_overlapping_bodies_count_once():
    # Two posts of 0.5 m that share 0.1 m: 0.9 m in all.
    found = solid_of(mesh_of(block(0.1, 0.5), block(0.1, 0.5, top_m=0.4)))
    assert found.volume_m3.value == pytest.approx(0.01 * 0.9, rel=1e-6)
    assert found.inside.centre_m == pytest.approx([-0.45, 0.0, 0.0], abs=1e-6)
    assert found.surface.size == pytest.approx(0.4 * 0.9 + 0.02, rel=1e-5)
    assert (found.volume_m3.half_width, found.notes) == (0.0, ())


def test_a_body_drawn_twice_counts_once():
    assert solid_of(mesh_of(block(0.1, 0.5), block(0.1, 0.5))).volume_m3.value == pytest.approx(
        0.005, rel=1e-9
    )


def test_a_cavity_weighs_nothing_but_has_a_surface():
    room = block(0.06, 0.2, top_m=0.1)[:, ::-1]
    found = solid_of(mesh_of(block(0.1, 0.5), room))
    assert found.volume_m3.value == pytest.approx(0.005 - 0.06**2 * 0.2, rel=1e-6)
    assert found.surface.size == pytest.approx(0.22 + (4 * 0.06 * 0.2 + 2 * 0.06**2), rel=1e-6)


def test_a_body_beside_a_cavity_fills_what_it_covers_of_it():
    # CAD means (post - room) + rod: the rod's wood in the room is there.
    room, rod = block(0.06, 0.2, top_m=0.1)[:, ::-1], block(0.02, 0.5)
    found = solid_of(mesh_of(block(0.1, 0.5), room, rod))
    assert found.volume_m3.value == pytest.approx(0.005 - 0.06**2 * 0.2 + 0.02**2 * 0.2, rel=1e-6)


def test_an_inside_out_part_is_caught():
    found = solid_of(mesh_of(block(0.1, 0.5)[:, ::-1]))
    assert found.volume_m3.value == pytest.approx(0.005, rel=1e-9)


def test_bodies_that_touch_in_a_face_and_along_an_edge():
    beside = block(0.1, 0.5) + np.array([0.0, 0.1, 0.0])
    diagonal = block(0.1, 0.5) + np.array([0.0, 0.1, 0.1])
    assert solid_of(mesh_of(block(0.1, 0.5), beside)).volume_m3.value == pytest.approx(0.01, rel=1e-6)
    assert solid_of(mesh_of(block(0.1, 0.5), diagonal)).volume_m3.value == pytest.approx(0.01, rel=1e-6)


def test_bodies_that_cannot_be_united_give_a_wide_interval_that_holds_the_truth():
    # Two posts that share 0.1 m, and a loose triangle that hangs on an edge of one of them.
    post = block(0.1, 0.5)
    edge = post[0, :2]
    flap = np.array([[edge[0], edge[1], edge.mean(axis=0) + np.array([0.0, 0.03, 0.03])]])
    found = solid_of(mesh_of(post, block(0.1, 0.5, top_m=0.4), flap))
    assert found.volume_m3.low < 0.009 < found.volume_m3.high
    assert found.volume_m3.value == pytest.approx(0.009, rel=0.01)
    assert (found.volume_m3.known_by, found.volume_m3.inside_range) == (KnownBy.ASSUMED, False)
    assert "Weigh the part" in found.notes[0]


def test_a_sheet_without_volume_is_refused():
    plate = np.array([[[0.0, 0, 0], [0.1, 0, 0], [0.1, 0.2, 0]]])
    with pytest.raises(MeshError, match="no inside"):
        solid_of(mesh_of(plate))
