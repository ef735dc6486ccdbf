"""Corners that crowd a cut, and outlines that cross themselves."""

import numpy as np
import pytest
import shapely

from finial.shape.mesh import Mesh
from finial.shape.planar import less, overlap
from finial.shape.stations import first_cuts, steps


def tube(rings: list[tuple[float, float]]) -> Mesh:
    """Square in section and closed: at each station [m] so wide [m], tip first."""
    around = 0.5 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    corners = np.concatenate([np.column_stack([np.full(4, -at), wide * around]) for at, wide in rings])
    faces = [[0, 2, 1], [0, 3, 2]]
    for ring in range(0, len(corners) - 4, 4):
        for side in range(4):
            a, b = ring + side, ring + (side + 1) % 4
            faces += [[a, b, b + 4], [a, b + 4, a + 4]]
    last = len(corners) - 4
    faces += [[last, last + 1, last + 2], [last, last + 2, last + 3]]
    return Mesh(vertices_m=corners, faces=np.array(faces))


def test_a_corner_just_ahead_of_a_step_has_no_cut_of_its_own() -> None:
    """0.4 mm ahead of the step of a metre: nearer than a 2000th of the length; 0.6 mm ahead it has one."""
    for ahead_m, crowds in ((0.0004, True), (0.0006, False)):
        post = tube([(0.0, 0.1), (0.5 - ahead_m, 0.1), (0.5, 0.1001), (0.5, 0.2), (1.0, 0.2)])
        found = steps([post], 0.02)
        assert 0.5 in [round(step.fore_m, 6) for step in found]
        cuts = first_cuts([post], 1.0, found)
        assert bool(np.isclose(cuts, 0.5 - ahead_m, atol=1e-5).any()) is not crowds


def test_an_outline_that_crosses_itself_is_mended_and_counted() -> None:
    bow = shapely.Polygon([(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)])
    room = shapely.box(-1.0, -1.0, 0.5, 2.0)
    assert overlap(bow, room).area == pytest.approx(0.25)
    assert less(bow, room).area == pytest.approx(0.25)
