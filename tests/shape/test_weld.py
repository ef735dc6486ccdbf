import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.shape.mesh import Mesh
from finial.shape.weld import WELD_DISTANCE_M, welded

CORNERS = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
FACES = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])


def unwelded(gap_m: float) -> Mesh:
    """A tetrahedron whose faces each have corners of their own, up to ``gap_m`` off."""
    shifts = gap_m * np.random.default_rng(1).uniform(-0.25, 0.25, (4, 3, 3))
    return Mesh(vertices_m=(CORNERS[FACES] + shifts).reshape(-1, 3), faces=np.arange(12).reshape(-1, 3))


@pytest.mark.parametrize("gap_m", [0.0, 1e-9, WELD_DISTANCE_M / 2])
def test_corners_within_the_welding_distance_become_one(gap_m: float) -> None:
    assert len(welded(unwelded(gap_m)).mesh.vertices_m) == 4


def test_corners_farther_apart_stay_apart() -> None:
    assert len(welded(unwelded(100 * WELD_DISTANCE_M)).mesh.vertices_m) == 12


def test_a_face_drawn_twice_is_dropped_in_either_sense() -> None:
    twice = np.vstack([FACES, FACES[1], np.roll(FACES[2], 1)])
    both_sides = np.vstack([FACES, FACES[1][::-1]])
    found = welded(Mesh(vertices_m=CORNERS, faces=twice))
    assert (len(found.mesh.faces), found.duplicate_faces) == (4, 2)
    assert len(welded(Mesh(vertices_m=CORNERS, faces=both_sides)).mesh.faces) == 4


def test_two_bodies_in_contact_keep_both_faces_of_the_contact() -> None:
    # A second tetrahedron on the far side of the slanted face.
    corners = np.vstack([CORNERS, [[1.0, 1.0, 1.0]]])
    second = np.array([[1, 3, 2], [1, 2, 4], [2, 3, 4], [3, 1, 4]])
    found = welded(Mesh(vertices_m=corners, faces=np.vstack([FACES, second])))
    assert (len(found.mesh.faces), found.duplicate_faces) == (8, 0)


def test_a_surface_drawn_from_both_sides_is_one_surface() -> None:
    found = welded(Mesh(vertices_m=CORNERS, faces=np.vstack([FACES, FACES[:, ::-1]])))
    assert (len(found.mesh.faces), found.duplicate_faces) == (4, 4)


def test_faces_that_shrink_to_a_line_are_dropped() -> None:
    found = welded(Mesh(vertices_m=CORNERS, faces=np.vstack([FACES, [0, 0, 1]])))
    assert (len(found.mesh.faces), found.degenerate_faces) == (4, 1)


def test_equal_vertices_far_from_the_origin_are_still_one() -> None:
    far = Mesh(vertices_m=(CORNERS[FACES] + 50.0).reshape(-1, 3), faces=np.arange(12).reshape(-1, 3))
    assert len(welded(far).mesh.vertices_m) == 4


def test_a_mesh_without_usable_faces_is_refused() -> None:
    with pytest.raises(MeshError, match="no usable face"):
        welded(Mesh(vertices_m=CORNERS, faces=np.array([[0, 0, 1]])))
    with pytest.raises(MeshError, match="no vertices"):
        welded(Mesh(vertices_m=np.empty((0, 3)), faces=np.empty((0, 3), dtype=int)))
