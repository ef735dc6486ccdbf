"""Ridges that lean a little and corners between two cuts are seen as they are."""

import numpy as np
import pytest
import trimesh

from finial.shape.mesh import Mesh
from finial.shape.refining import hidden_corners
from finial.shape.ridges import ridge_ends
from finial.shape.sections import slice_skin

WIDE = 0.2


def roof(high_m: float, lean: float = 0.0) -> Mesh:
    """A ridge over a square floor, the ridge sinking by so much of its length."""
    corners = [[0.0, -WIDE / 2, 0.0], [-lean * WIDE, WIDE / 2, 0.0]]
    corners += [[-high_m, y, z] for y in (-WIDE / 2, WIDE / 2) for z in (-WIDE / 2, WIDE / 2)]
    faces = [[0, 2, 3], [1, 5, 4], [0, 3, 5], [0, 5, 1], [0, 1, 4], [0, 4, 2], [2, 4, 5], [2, 5, 3]]
    return Mesh(vertices_m=np.array(corners), faces=np.array(faces))


def turned_over(mesh: Mesh) -> Mesh:
    length = -mesh.vertices_m[:, 0].min()
    points = mesh.vertices_m * [-1.0, 1.0, -1.0] - [length, 0.0, 0.0]
    return Mesh(vertices_m=points, faces=mesh.faces)


@pytest.mark.parametrize("degrees", [0.0, 0.05, 0.5, 1.4])
def test_a_ridge_is_as_long_as_it_leans(degrees: float) -> None:
    lean = float(np.tan(np.radians(degrees)))
    fore, aft = ridge_ends([roof(0.2, lean)])
    assert fore == pytest.approx(lean * WIDE)
    assert aft == pytest.approx(0.2)
    fore, aft = ridge_ends([turned_over(roof(0.2, lean))])
    assert fore == pytest.approx(0.0)
    assert aft == pytest.approx(0.2 - lean * WIDE)


def test_an_edge_that_leans_more_is_a_hip() -> None:
    fore, _ = ridge_ends([roof(0.2, float(np.tan(np.radians(1.6))))])
    assert fore == 0.0


@pytest.mark.parametrize("degrees", [0.05, 0.5])
def test_the_edge_of_a_disc_on_edge_is_a_ridge_though_its_facets_hardly_fold(degrees: float) -> None:
    # Turned by half a facet: an edge of 20 mm lies foremost and another rearmost, folded by 11 degrees.
    disc = trimesh.creation.cylinder(radius=0.07, height=0.02, sections=32)
    lean = float(np.tan(np.radians(degrees)))
    points = disc.vertices[:, [0, 1, 2]]
    points[:, 0] -= lean * points[:, 2]
    points[:, 0] -= points[:, 0].max()
    fore, aft = ridge_ends([Mesh(vertices_m=points, faces=disc.faces)])
    assert fore == pytest.approx(0.02 * lean)
    assert aft == pytest.approx(0.14, abs=1e-12)


@pytest.mark.parametrize("degrees", [0.05, 0.2])
def test_the_first_cut_shows_the_whole_ridge(degrees: float) -> None:
    lean = float(np.tan(np.radians(degrees)))
    for mesh, which in ((roof(0.2, lean), 0), (turned_over(roof(0.2, lean)), -1)):
        section = slice_skin([mesh]).sections[which]
        assert np.ptp(np.concatenate(section.loops)[:, 0]) == pytest.approx(WIDE, rel=0.01)


def test_a_corner_between_two_cuts_is_found() -> None:
    # A pawn: a ball with so many corners that nothing is cut at their stations, and a foot with a shoulder.
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.05)
    ball.apply_translation([0.0, 0.0, 0.26])
    foot = [(0, 0), (0.09, 0), (0.09, 0.03), (0.04, 0.06), (0.03, 0.2), (0.05, 0.22), (0.02, 0.23), (0, 0.23)]
    pawn = trimesh.util.concatenate([ball, trimesh.creation.revolve(np.array(foot), sections=48)])
    points = pawn.vertices[:, [2, 0, 1]] - [pawn.vertices[:, 2].max(), 0.0, 0.0]
    stations = slice_skin([Mesh(vertices_m=points, faces=pawn.faces)]).stations_m
    shoulder = 0.31 - 0.03
    after = int(np.searchsorted(stations, shoulder))
    assert stations[after] - stations[after - 1] < 1e-3


@pytest.mark.parametrize("number", [12, 40, 120])
def test_a_dome_has_no_hidden_corners_not_even_at_its_tip(number: int) -> None:
    stations = np.linspace(0.0, 1.0, number) ** 1.5
    assert hidden_corners(stations, np.pi * (1 - (1 - stations) ** 2)).max() < 1.0
