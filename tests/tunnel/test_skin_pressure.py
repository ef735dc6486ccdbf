"""Pressure read at the lattice's cells, asked for elsewhere on the skin."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.tunnel.skin_pressure import (
    MOST_PRESSURE,
    before_corners,
    middle_pressures,
    pressures_near,
    spread_out,
)

PLATE_M, HALF_M = 0.1, 0.008
"""A square plate, and half of what it is blown thick: 1.6 cells of 10 mm."""


def plate() -> tuple[np.ndarray, np.ndarray]:
    """Places 10 mm apart on both sides, pressed on one and pulled on the other."""
    one = np.arange(0.005, PLATE_M, 0.01)
    x, y = (part.ravel() for part in np.meshgrid(one, one))
    sides = [np.column_stack([x, y, np.full(len(x), side * HALF_M)]) for side in (1.0, -1.0)]
    return np.concatenate(sides), np.repeat([0.8, -0.6], len(x))


def test_each_side_of_a_thin_fin_has_its_own_pressure() -> None:
    places, pressures = plate()
    thin = 0.001
    up = np.array([[[0.02, 0.02, thin], [0.08, 0.02, thin], [0.02, 0.08, thin]]])
    down = up[:, ::-1] * np.array([1.0, 1.0, -1.0])
    found = [pressures_near(places, pressures, before_corners(one, 0.0075)[0], 0.0225) for one in (up, down)]
    assert found[0] == pytest.approx([0.8] * 3, abs=0.02)
    assert found[1] == pytest.approx([-0.6] * 3, abs=0.02)


def test_a_mean_lies_between_what_was_read_and_the_nearer_counts_more() -> None:
    places = np.array([[0.0, 0, 0], [0.03, 0, 0]])
    # A third of the way: weights 1 / 1^2 and 1 / 2^2, so (4 * 1 + 1 * -1) / 5.
    (found,) = pressures_near(places, np.array([1.0, -1.0]), np.array([[0.01, 0, 0]]), 0.05)
    assert found == pytest.approx(0.6)


def test_where_no_cell_lies_near_it_is_not_known() -> None:
    places, pressures = plate()
    # Right above a place, so that it alone is as near.
    asked = np.array([[0.045, 0.045, HALF_M + 0.0201], [0.045, 0.045, HALF_M + 0.0199]])
    found = pressures_near(places, pressures, asked, 0.02)
    assert np.isnan(found).tolist() == [True, False]
    assert found[1] == pytest.approx(0.8)
    assert np.isnan(pressures_near(np.empty((0, 3)), np.empty(0), asked, 1.0)).all()


def test_single_wild_cells_are_asked_of_their_neighbours() -> None:
    places, pressures = plate()
    wild = pressures.copy()
    wild[::23] = 8.0
    middle = middle_pressures(places, wild, 0.015)
    assert np.array_equal(middle, pressures)


@pytest.mark.parametrize(("read", "known"), [(MOST_PRESSURE - 0.01, True), (MOST_PRESSURE + 0.01, False)])
def test_harder_than_air_can_press_is_not_known(read: float, known: bool) -> None:
    assert MOST_PRESSURE == 1.2
    places, _ = plate()
    middle = middle_pressures(places, np.full(len(places), read), 0.015)
    assert np.isfinite(middle).all() == known


def test_places_keep_their_distance_and_none_is_left_alone() -> None:
    places = np.random.default_rng(4).uniform(size=(500, 3))
    chosen = places[spread_out(places, 0.2)]
    away = np.linalg.norm(chosen[:, None] - chosen, axis=2) + 9.0 * np.eye(len(chosen))
    assert away.min() > 0.2
    assert np.linalg.norm(places[:, None] - chosen, axis=2).min(axis=1).max() <= 0.2
    assert 10 < len(chosen) < 500


def test_both_sides_of_the_thinnest_fin_stay() -> None:
    places, _ = plate()
    chosen = places[spread_out(places, 1.5 * 0.01)]
    assert {side > 0 for side in chosen[:, 2]} == {True, False}
    assert (chosen[:, 2] > 0).sum() == (chosen[:, 2] < 0).sum()


@pytest.mark.parametrize("reach_m", [0.0, -1.0, float("nan")])
def test_a_reach_of_nothing_is_refused(reach_m: float) -> None:
    places, pressures = plate()
    for ask in (lambda: pressures_near(places, pressures, places, reach_m),
                lambda: middle_pressures(places, pressures, reach_m)):  # fmt: skip
        with pytest.raises(OutsideRange):
            ask()
