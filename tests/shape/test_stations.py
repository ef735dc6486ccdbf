import numpy as np
import pytest

from finial.shape.mesh import Mesh
from finial.shape.refining import finer
from finial.shape.sections import slice_skin
from finial.shape.stations import BESIDE_STEP_M, first_cuts, steps
from finial.shape.tiers import Tier, tiers_mesh


def test_steps_are_where_flat_faces_look_along_the_axis(tower):
    found = steps([tower], 0.17**2)
    assert [step.fore_m for step in found] == pytest.approx([0.06, 0.18, 0.20, 1.0])


def test_a_step_drawn_in_fine_triangles_is_the_same_step(tower, fine_tower):
    coarse, fine = steps([tower], 0.17**2), steps([fine_tower], 0.17**2)
    assert [step.fore_m for step in fine] == pytest.approx([step.fore_m for step in coarse])


def test_small_flats_are_no_steps(tower):
    assert steps([tower], 100.0) == ()


def test_there_is_a_cut_on_each_side_of_every_step(tower):
    found = steps([tower], 0.17**2)
    stations = first_cuts([tower], 1.0, found)
    for step in found[:-1]:
        for wanted in (step.fore_m - BESIDE_STEP_M, step.aft_m + BESIDE_STEP_M):
            assert np.abs(stations - wanted).min() < 1e-9


def test_a_corner_is_cut_at_where_it_is():
    roof = Tier(sides=4, across_m=0.1, across_top_m=0.04, height_m=0.08014)
    stations = first_cuts(
        [tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.3), roof])], 0.38014, []
    )
    assert np.abs(stations - 0.08014).min() < 1e-9


def test_spaces_that_change_most_are_halved_first():
    stations = np.array([0.0, 0.1, 0.2, 0.3, 0.3005])
    changes = np.array([0.5, 3.0, 2.0, 9.0])
    assert finer(stations, changes, 0.001, 1) == pytest.approx([0.15])
    assert finer(stations, changes, 0.001, 9) == pytest.approx([0.15, 0.25])
    assert len(finer(stations, changes, 0.001, 0)) == 0


@pytest.mark.parametrize("levels", [1, 2, 3])
def test_a_finer_ball_is_four_times_nearer_the_round_one(levels):
    # Facets cut corners off by the square of their size: order 2.
    trimesh = pytest.importorskip("trimesh")

    def missing(subdivisions: int) -> float:
        ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=0.1)
        vertices = np.array(ball.vertices)[:, [2, 0, 1]] - [0.1, 0.0, 0.0]
        skin = slice_skin([Mesh(vertices_m=vertices, faces=np.array(ball.faces))])
        return 1.0 - skin.volume_m3 / (4 / 3 * np.pi * 0.1**3)

    assert 3.5 < missing(levels) / missing(levels + 1) < 4.2
