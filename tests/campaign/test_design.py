"""Designs: each flight's point by its number alone, and as even as they promise."""

from itertools import pairwise

import numpy as np
import pytest

from finial.campaign.design import design_points
from finial.core.errors import OutsideRange


@pytest.mark.parametrize("design", ["latin", "sobol"])
@pytest.mark.parametrize("cuts", [(0, 3, 4, 50, 64), (0, 1, 2, 63, 64)])
def test_points_do_not_depend_on_the_cuts(design, cuts):
    whole = design_points(design, 9, 64, 5, (0, 64))
    parts = [design_points(design, 9, 64, 5, span) for span in pairwise(cuts)]
    assert np.array_equal(np.vstack(parts), whole)
    assert not np.array_equal(design_points(design, 10, 64, 5, (0, 64)), whole)
    assert whole.min() > 0.0
    assert whole.max() < 1.0


def test_latin_hypercube_has_one_flight_in_every_stratum():
    points = design_points("latin", 5, 100, 3, (0, 100))
    assert [sorted(column.tolist()) for column in (points * 100).astype(int).T] == [list(range(100))] * 3
    assert abs(np.corrcoef(points.T)[0, 1]) < 0.3


def test_sobol_points_fill_every_box_of_a_net():
    """A (0, m, 2)-net in base 2: one point in each elementary box of area 1/64 (Sobol 1967)."""
    points = design_points("sobol", 5, 64, 2, (0, 64))
    for across in (1, 2, 4, 8, 16, 32, 64):
        boxes = (points * [across, 64 // across]).astype(int)
        assert len(np.unique(boxes, axis=0)) == 64


def test_even_designs_know_the_mean_better_than_plain_flights():
    """Mean of a smooth function of 4 shares, spread over 20 seeds: McKay et al. 1979 promise less."""
    spreads = {}
    for design in ("latin", "sobol"):
        means = [
            np.prod(0.5 + design_points(design, seed, 128, 4, (0, 128)), axis=1).mean() for seed in range(20)
        ]
        spreads[design] = np.std(means)
    plain = [np.prod(0.5 + np.random.default_rng(s).random((128, 4)), axis=1).mean() for s in range(20)]
    assert spreads["latin"] < 0.5 * np.std(plain)
    assert spreads["sobol"] < 0.2 * np.std(plain)


def test_plain_flights_draw_their_own():
    assert design_points("plain", 1, 10, 3, (0, 10)) is None


def test_flights_without_uncertain_numbers_have_empty_points():
    assert design_points("sobol", 1, 8, 0, (2, 5)).shape == (3, 0)
    assert design_points("latin", 1, 8, 0, (2, 5)).shape == (3, 0)


@pytest.mark.parametrize(("design", "span"), [("grid", (0, 2)), ("latin", (0, 11)), ("latin", (3, 3))])
def test_what_cannot_be_is_refused(design, span):
    with pytest.raises(OutsideRange):
        design_points(design, 1, 10, 2, span)
