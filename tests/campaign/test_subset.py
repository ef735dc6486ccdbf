"""Subset simulation against closed forms: tails of normal numbers, calculated."""

import math

import numpy as np
import pytest
from scipy.stats import binomtest, norm

from finial.campaign.subset import subset_share
from finial.core.errors import OutsideRange

_FAR = norm.isf(1e-5)


def _sum_is_far(points, _numbers):
    return _FAR - points.sum(axis=1) / math.sqrt(points.shape[1])


def _either_side(points, _numbers):
    return norm.isf(0.5e-5) - np.abs(points[:, 0])


def _in_a_square(points, _numbers):
    """Where a landing among people lies: a square off to one side."""
    return np.maximum(np.maximum(3.5 - points[:, 0], points[:, 0] - 4.5), np.abs(points[:, 1]) - 0.5)


_SQUARE = (norm.cdf(4.5) - norm.cdf(3.5)) * (norm.cdf(0.5) - norm.cdf(-0.5))


@pytest.mark.parametrize(
    ("judge", "dimensions", "share"),
    [(_sum_is_far, 20, 1e-5), (_either_side, 10, 1e-5), (_in_a_square, 43, _SQUARE)],
)
def test_small_odds_by_their_closed_form(judge, dimensions, share):
    found = [subset_share(judge, dimensions, seed=seed) for seed in range(30)]
    held = sum(one.low <= share <= one.high for one in found)
    # 95 % bounds hold 30 times, or miss so seldom that chance explains it.
    assert binomtest(held, 30, 0.95, alternative="less").pvalue > 0.05
    assert np.mean([one.share for one in found]) == pytest.approx(share, rel=0.2)
    assert np.std([math.log(one.share) for one in found]) < 1.3 * found[0].deviation
    assert max(one.points for one in found) < 7000
    # Bounds that are wide enough to hold anything would tell nothing.
    assert np.median([one.high / one.low for one in found]) < 7.0


def test_chance_beside_the_numbers_counts_too():
    """Half of the scatter follows from the number beside each point, as gusts do: 1e-3 by its closed form."""

    def judge(points, numbers):
        gusts = np.array([np.random.default_rng([9, int(one)]).standard_normal() for one in numbers])
        return norm.isf(1e-3) * math.sqrt(2.0) - points[:, 0] - gusts

    found = [subset_share(judge, 3, seed=seed) for seed in range(12)]
    assert np.mean([one.share for one in found]) == pytest.approx(1e-3, rel=0.3)
    assert sum(one.low <= 1e-3 <= one.high for one in found) >= 10


def test_what_is_common_is_counted():
    found = subset_share(lambda points, _: points[:, 0], 1, seed=3)
    theirs = binomtest(round(1000 * found.share), 1000).proportion_ci(0.95, method="exact")
    assert (found.levels, found.points) == (1, 1000)
    assert (found.low, found.high) == (pytest.approx(theirs.low), pytest.approx(theirs.high))


def test_where_nothing_gets_nearer_only_a_bound_is_known():
    found = subset_share(lambda points, _: np.full(len(points), 7.0), 2, seed=3)
    assert found.share is None
    # 0 of 1000 by Clopper and Pearson, two-sided: 1 - 0.025^(1/1000).
    assert found.high == pytest.approx(1.0 - 0.025 ** (1.0 / 1000.0))
    assert found.low == 0.0


def test_a_wall_on_the_way_keeps_the_share_up_to_it():
    """One in a hundred reaches the wall at 2.326 deviations, and none comes through."""
    found = subset_share(lambda points, _: np.maximum(norm.isf(0.01) - points[:, 0], 0.0) + 5.0, 4, seed=5)
    assert found.share is None
    assert 1e-5 < found.high < 2e-3


def test_the_same_seed_finds_the_same_to_the_last_bit():
    assert subset_share(_sum_is_far, 5, seed=4) == subset_share(_sum_is_far, 5, seed=4)
    assert subset_share(_sum_is_far, 5, seed=4) != subset_share(_sum_is_far, 5, seed=6)


@pytest.mark.parametrize("size", [{"dimensions": 0}, {"dimensions": 3, "per_level": 50}])
def test_too_little_to_walk_on_is_refused(size):
    with pytest.raises(OutsideRange, match="accepted are 1 and 100 or more"):
        subset_share(_sum_is_far, seed=1, **size)
