"""What leans a little is drawn up to where it stood: the first order of the angle is gone."""

import numpy as np
import pytest

from finial.aero.body import body_air
from finial.aero.steps.upright import stood_upright
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

EYE = np.pi * np.eye(2)


def test_a_bar_across_keeps_its_depth() -> None:
    stations = np.array([0.0, 0.0998, 0.1002, 0.1497, 0.1503, 0.3])
    sizes = np.array([0.01, 0.01, 0.1, 0.1, 0.01, 0.01])[:, None, None] * EYE
    at, drawn = stood_upright(stations, sizes, [(0.09982, 0.10018), (0.14972, 0.15028)])
    assert at[2] - 20e-6 == pytest.approx(0.1)
    assert at[3] + 20e-6 == pytest.approx(0.15)
    assert np.array_equal(drawn, sizes)


def test_a_wall_that_slopes_is_carried_on() -> None:
    stations = np.array([0.001, 0.01, 0.5, 0.999])
    sizes = (0.2 + 0.3 * stations)[:, None, None] * EYE
    at, drawn = stood_upright(stations, sizes, [(0.0, 0.001), (0.999, 1.0)])
    assert at[[0, -1]] == pytest.approx([0.0005, 0.9995])
    assert drawn[[0, -1], 0, 0] / np.pi == pytest.approx(0.2 + 0.3 * at[[0, -1]], rel=1e-12)


def test_nothing_is_carried_on_from_a_step_nor_below_nothing() -> None:
    stations = np.array([0.0, 0.09998, 0.10002, 0.101, 0.2])
    sizes = np.array([1.0, 1.0, 0.2, 0.01, 0.01])[:, None, None] * EYE
    _, drawn = stood_upright(stations, sizes, [(0.10002, 0.1009)])
    assert drawn[2, 0, 0] == pytest.approx(0.2 * np.pi)
    stations = np.array([0.0, 0.19, 0.2])
    sizes = np.array([1.0, 1.0, 0.1])[:, None, None] * EYE
    _, drawn = stood_upright(stations, sizes, [(0.2, 0.21)])
    assert np.linalg.eigvalsh(drawn[-1]).min() == pytest.approx(0.0)


@pytest.mark.parametrize("gap_m", [60e-6, 3e-4, 0.1])
def test_a_wall_is_carried_on_however_close_the_cut_beside_it_stands(gap_m: float) -> None:
    stations = np.array([0.0, 0.2 - gap_m, 0.2, 0.204, 0.204 + gap_m, 0.5])
    sizes = (0.2 + 3.0 * stations)[:, None, None] * EYE
    at, drawn = stood_upright(stations, sizes, [(0.2 + 20e-6, 0.204 - 20e-6)])
    assert drawn[[2, 3], 0, 0] / np.pi == pytest.approx(0.2 + 3.0 * at[[2, 3]], rel=1e-9)


def test_less_is_carried_on_from_a_run_that_another_stretch_ends() -> None:
    # A run of 0.001 between two faces that lean by 0.003: drawn on by half as much again, half of its growth.
    stations = np.array([0.0, 0.1, 0.103, 0.104, 0.107, 0.3])
    sizes = np.array([1.0, 1.0, 2.0, 2.2, 3.0, 3.0])[:, None, None] * EYE
    _, drawn = stood_upright(stations, sizes, [(0.1 + 20e-6, 0.103 - 20e-6), (0.104 + 20e-6, 0.107 - 20e-6)])
    share = 2.0 - 0.00148 / 0.001
    assert drawn[[2, 3], 0, 0] / np.pi == pytest.approx([2.0 - 0.2 * share, 2.2 + 0.2 * share], rel=1e-6)


def test_a_stretch_with_a_section_inside_stays() -> None:
    stations, sizes = np.array([0.0, 0.1, 0.11, 0.12, 0.2]), np.ones((5, 1, 1)) * EYE
    at, drawn = stood_upright(stations, sizes, [(0.1, 0.12)])
    assert np.array_equal(at, stations)
    assert np.array_equal(drawn, sizes)


def wedge(lean_m: float) -> Mesh:
    """A wedge, ridge first, 0.2 m wide; the ridge and the floor sink by so much over it."""
    corners = [[0.0, y, 0.0] for y in (-0.1, 0.1)]
    corners += [[-0.3, y, z] for y in (-0.1, 0.1) for z in (-0.1, 0.1)]
    points = np.array(corners)
    points[:, 0] -= lean_m * (points[:, 1] / 0.2 + 0.5)
    faces = [[0, 2, 3], [1, 5, 4], [0, 3, 5], [0, 5, 1], [0, 1, 4], [0, 4, 2], [2, 4, 5], [2, 5, 3]]
    return Mesh(vertices_m=points - [points[:, 0].max(), 0.0, 0.0], faces=np.array(faces))


@pytest.mark.parametrize("degrees", [0.1, 0.5])
def test_the_edge_of_a_wedge_that_leans_is_as_sharp_as_it_was(degrees: float) -> None:
    lean = 0.2 * float(np.tan(np.radians(degrees)))
    straight, leaning = (body_air(slice_skin([wedge(each)])) for each in (0.0, lean))
    assert leaning.stations_m[0] == pytest.approx(lean / 2, abs=1e-4)
    assert leaning.sizes_m[0] == pytest.approx(straight.sizes_m[0], rel=5e-3)
    one, other = (
        sum(lip.sharpness * np.trace(lip.growth_m2) for lip in body.growth.fronts)
        for body in (straight, leaning)
    )
    # Drawn to the tip from where it was cut, by a tenth at 0.1 degrees.
    assert other == pytest.approx(one, rel=0.03 * max(degrees / 0.1, 1.0))
