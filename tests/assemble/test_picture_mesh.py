"""The mesh of the pictures: fins are closed plates with the volume of the plate."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.vehicle.picture import display_mesh, fin_plate


@pytest.fixture(scope="module")
def fins_only(answered):
    mesh, is_fin = display_mesh((), answered.shape.fins)
    assert is_fin.all()
    return mesh


def test_every_edge_of_the_fins_is_shared_by_two_faces_that_agree(fins_only) -> None:
    faces = fins_only.faces
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    forward, counts = np.unique(edges, axis=0, return_counts=True)
    assert (counts == 1).all()
    assert {tuple(edge) for edge in forward} == {tuple(edge[::-1]) for edge in forward}


def test_the_fins_hold_the_volume_of_four_plates(fins_only) -> None:
    one, two, three = np.moveaxis(fins_only.vertices_m[fins_only.faces], 1, 0)
    volume = float(np.sum(np.einsum("ij,ij->i", one, np.cross(two, three))) / 6)
    assert volume == pytest.approx(4 * (0.250 + 0.165) / 2 * 0.190 * 6.5e-3, rel=1e-6)


def test_the_picture_is_the_skin_and_the_fins(answered) -> None:
    shape = answered.shape
    assert len(shape.fin_faces) == len(shape.display_mesh.faces)
    assert shape.fin_faces.any()
    assert not shape.fin_faces.all()
    stations = -shape.display_mesh.vertices_m[:, 0]
    assert stations.min() == pytest.approx(0.0, abs=1e-6)
    # The tips of the fins stand 65 mm behind the base.
    assert stations.max() == pytest.approx(1.265, abs=0.002)
    reach = np.hypot(*shape.display_mesh.vertices_m[:, 1:].T).max()
    fins = shape.fins[0]
    assert reach == pytest.approx(fins.root_radius_m + 0.190, abs=1e-3)


def test_a_plate_is_canted_and_tapered_as_it_is_built(answered) -> None:
    fin = replace(
        answered.shape.fins[0], first_at_rad=0.0, cant_rad=np.radians(2.0), tip_thickness_m=2e-3, count=4
    )
    corners, _ = fin_plate(fin, 0)
    one, other = np.split(corners, 2)
    thick = np.linalg.norm(one - other, axis=1)
    root, tip = np.isclose(one[:, 1], fin.root_radius_m), np.isclose(one[:, 1], one[:, 1].max())
    assert thick[root] == pytest.approx(fin.thickness_m)
    assert thick[tip] == pytest.approx(2e-3)
    # It stands along y: its trailing edge lies towards z, so that air from ahead pushes it there.
    middle = (one + other) / 2
    slope = np.polyfit(-middle[:, 0], middle[:, 2], 1)[0]
    assert slope == pytest.approx(np.tan(np.radians(2.0)))
