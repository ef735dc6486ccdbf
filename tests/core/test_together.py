"""Measurements that scatter more than they say: against hand-worked cases and drawn ones."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.together import scatter_between, together


def test_the_published_estimate_of_the_scatter():
    """Equations 3 to 9 of DerSimonian and Laird (1986) by hand: w = 100 each, Q = 8, less one, over 100."""
    assert scatter_between([1.0, 1.4], [0.1, 0.1]) ** 2 == pytest.approx(7.0 / 100.0)
    assert scatter_between([1.0, 1.05], [0.1, 0.1]) == 0.0
    assert scatter_between([5.0], [0.1]) == 0.0


def test_the_mean_is_weighted_by_what_each_says_and_the_scatter():
    told = together([2.0, 2.2], [0.1, 0.2], 1e-6)
    assert told.mean == pytest.approx((2.0 / 0.01 + 2.2 / 0.04) / (1 / 0.01 + 1 / 0.04))
    assert told.mean_sigma == pytest.approx((1 / 0.01 + 1 / 0.04) ** -0.5)
    wide = together([2.0, 2.2], [0.001, 0.002], 1.0)
    assert wide.mean == pytest.approx(2.1, abs=1e-5)


def test_the_scatter_is_at_least_that_taken_for_granted_and_known_by_few():
    told = together([1.0, 1.4], [0.1, 0.1], 0.02)
    assert told.scatter**2 == pytest.approx(0.07)
    # Student's t at 95 % with 3 degrees of freedom, of any table: 2.353.
    wider = 2.353 / 1.645
    assert told.next_sigma == pytest.approx(wider * np.hypot(told.scatter, told.mean_sigma), rel=1e-3)
    alone = together([5.0], [0.1], 0.3)
    assert (alone.mean, alone.scatter) == (5.0, pytest.approx(0.3))


@pytest.mark.parametrize(("flights", "scatter"), [(1, 0.02), (2, 0.02), (8, 0.02), (8, 0.1), (20, 0.1)])
def test_the_next_one_lies_in_its_band_nine_times_in_ten(flights, scatter):
    chance = np.random.default_rng(7)
    inside = 0
    for _ in range(400):
        truths = chance.normal(1.0, scatter, flights + 1)
        sigmas = chance.uniform(0.005, 0.05, flights)
        told = together(chance.normal(truths[:-1], sigmas), sigmas, 0.02)
        inside += abs(truths[-1] - told.mean) < 1.645 * told.next_sigma
    # A scatter known by one or two alone is taken wide.
    assert 0.84 < inside / 400 < (1.0 if flights < 3 else 0.97)


@pytest.mark.parametrize(
    ("values", "sigmas"), [([], []), ([1.0], [0.0]), ([1.0, 2.0], [0.1]), ([float("nan")], [0.1])]
)
def test_what_tells_nothing_is_refused(values, sigmas):
    with pytest.raises(OutsideRange):
        together(values, sigmas, 0.1)
    with pytest.raises(OutsideRange):
        together([1.0], [0.1], 0.0)
