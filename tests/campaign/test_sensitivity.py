"""Shares of variance, against functions whose indices are known in closed form."""

import math

import numpy as np
import pytest
from scipy.special import eval_hermitenorm, eval_legendre

from finial.campaign.chaos import MOST_CANDIDATES, candidates, chosen, orthonormal
from finial.campaign.sensitivity import decided, told_of_half
from finial.core.errors import OutsideRange

A, B = 7.0, 0.1


def ishigami(x):
    return np.sin(x[:, 0]) + A * np.sin(x[:, 1]) ** 2 + B * x[:, 2] ** 4 * np.sin(x[:, 0])


def ishigami_shares():
    """Shapley shares in closed form: the parts V1, V2 and V13 of the variance, the last one halved.

    Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models,
    ISUMA 1990, with a = 7 and b = 0.1; the parts as in Sobol' and Levitan 1999. From memory, and held
    against a sum over a fine grid below.
    """
    first = 0.5 * (1.0 + B * math.pi**4 / 5.0) ** 2
    second, both = A**2 / 8.0, B**2 * math.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    whole = first + second + both
    return np.array([first, second, both]) / whole, np.array([first + both / 2, second, both / 2]) / whole


def test_the_closed_form_is_what_a_grid_gives():
    middle = (np.arange(120) + 0.5) / 120 * 2 * math.pi - math.pi
    grid = np.stack(np.meshgrid(middle, middle, middle, indexing="ij"))
    y = ishigami(grid.reshape(3, -1).T).reshape(grid.shape[1:])
    first, second = y.mean(axis=(1, 2)).var(), y.mean(axis=(0, 2)).var()
    parts = ishigami_shares()[0]
    assert first / y.var() == pytest.approx(parts[0], rel=1e-3)
    assert second / y.var() == pytest.approx(parts[1], rel=1e-3)
    # Sudret 2008, table 2, gives 0.3139, 0.4424 and 0 for single numbers (from memory).
    assert parts.round(4).tolist() == [0.3139, 0.4424, 0.2437]


@pytest.mark.parametrize(("flights", "missed"), [(200, 0.25), (500, 1e-4), (2000, 1e-5)])
def test_ishigamis_shares(flights, missed):
    x = np.random.default_rng(4).uniform(-math.pi, math.pi, (flights, 4))
    told = decided(ishigami(x), x, tuple("abcd"))
    alone, shares = ishigami_shares()
    found = {one.draw: one for one in told.causes}
    assert set(found) == set("abc")
    assert told.missed < missed
    for name, share in zip("abc", shares, strict=True):
        assert found[name].low <= share <= found[name].high
        assert found[name].high - found[name].low < 4.0 / math.sqrt(flights)
    assert found["a"].alone == pytest.approx(alone[0], abs=1.0 / math.sqrt(flights))
    assert found["c"].alone == pytest.approx(0.0, abs=0.01)


def test_intervals_hold_the_true_share_as_often_as_they_say():
    held, shares = np.zeros(3), ishigami_shares()[1]
    for seed in range(20):
        x = np.random.default_rng(seed).uniform(-math.pi, math.pi, (400, 3))
        noise = np.random.default_rng(100 + seed).normal(0.0, 1.0, 400)
        found = {one.draw: one for one in decided(ishigami(x) + noise, x, tuple("abc")).causes}
        # Noise of variance one makes every share smaller.
        part = 13.8446 / 14.8446
        for at, name in enumerate("abc"):
            held[at] += found[name].low <= part * shares[at] <= found[name].high
    assert (held >= 17).all()


def test_a_linear_sum_by_its_closed_form():
    """y = 3 a + 2 b^2 + c + noise on even numbers: variances add; calculated."""
    generator = np.random.default_rng(5)
    x = generator.uniform(-1.0, 1.0, (8000, 3))
    y = 3.0 * x[:, 0] + 2.0 * x[:, 1] ** 2 + x[:, 2] + generator.normal(0.0, 0.5, len(x))
    parts = np.array([9.0 / 3.0, 4.0 * (1 / 5 - 1 / 9), 1.0 / 3.0])
    told = decided(y, x, tuple("abc"))
    found = {one.draw: one for one in told.causes}
    for name, share in zip("abc", parts / (parts.sum() + 0.25), strict=True):
        assert found[name].share == pytest.approx(share, abs=0.015)
        assert found[name].alone == found[name].share
        assert found[name].low <= share <= found[name].high
    assert told.missed == pytest.approx(0.25 / (parts.sum() + 0.25), abs=0.01)


def test_a_product_is_shared_evenly_by_its_two_numbers():
    """Of u v, both of variance one and mean zero, each has one half, and nothing alone."""
    x = np.random.default_rng(5).normal(size=(2000, 3))
    found = decided(x[:, 0] * x[:, 2], x, tuple("uwv")).causes
    assert {one.draw for one in found} == {"u", "v"}
    for one in found:
        assert (one.share, one.alone) == pytest.approx((0.5, 0.0), abs=0.03)


@pytest.mark.parametrize("flights", [100, 1000])
def test_causes_without_any_say_are_not_listed(flights):
    """Forty numbers that do nothing, twenty times: at most one of 800 may be taken for a cause."""
    wrong = 0
    for seed in range(20):
        generator = np.random.default_rng(seed)
        x = generator.normal(size=(flights, 41))
        told = decided(x[:, 7] + 0.7 * generator.normal(size=flights), x, range(41))
        assert told.causes[0].draw == 7
        wrong += len(told.causes) - 1
    assert wrong <= 1


def test_noise_alone_has_no_cause():
    generator = np.random.default_rng(5)
    told = decided(generator.normal(size=500), generator.normal(size=(500, 10)), range(10))
    assert told.causes == ()
    assert told.missed == pytest.approx(1.0, abs=0.05)


def test_a_number_of_two_values_has_a_share_too():
    generator = np.random.default_rng(5)
    fails = (generator.random(2000) < 0.1).astype(float)
    (found,) = decided(10.0 * fails + generator.normal(size=2000), fails[:, None], ("fails",)).causes
    assert found.share == pytest.approx(9.0 / 10.0, abs=0.03)
    few = np.zeros(2000)
    few[:9] = 1.0
    assert decided(10.0 * few + generator.normal(size=2000), few[:, None], ("few",)).causes == ()


def test_results_that_do_not_scatter_have_no_cause():
    x = np.random.default_rng(5).random((100, 2))
    assert decided(np.full(100, 3.0), x, ("a", "b")).causes == ()


def test_too_few_flights_have_no_shares():
    with pytest.raises(OutsideRange, match="30 or more"):
        decided(np.full(100, np.nan), np.zeros((100, 1)), ("a",))


def test_polynomials_of_even_and_of_normal_numbers_are_legendres_and_hermites():
    middles = (np.arange(100_000) + 0.5) / 100_000
    even = orthonormal(2.0 * middles - 1.0, 4)
    legendre = [math.sqrt(2 * k + 1) * eval_legendre(k, 2.0 * middles - 1.0) for k in range(1, 5)]
    assert even == pytest.approx(np.column_stack(legendre), abs=1e-3)
    normal = np.random.default_rng(3).normal(size=400_000)
    hermite = [eval_hermitenorm(k, normal) / math.sqrt(math.factorial(k)) for k in (1, 2)]
    near = np.abs(normal) < 2.0
    assert orthonormal(normal, 2)[near] == pytest.approx(np.column_stack(hermite)[near], abs=0.02)


def test_pairs_beyond_what_can_be_tried_hold_one_of_the_strongest():
    terms = candidates([1] * 100, [42, *range(42), *range(43, 100)], 3)
    pairs = [term for term in terms if len(term) == 2]
    assert len(terms) == MOST_CANDIDATES
    assert sum(42 in dict(term) for term in pairs) == 99
    assert candidates([3, 3], [0, 1], 3).count(((0, 1), (1, 1))) == 1
    assert ((0, 2), (1, 2)) not in candidates([3, 3], [0, 1], 3)


def test_as_many_columns_of_chance_are_left_alone():
    generator = np.random.default_rng(8)
    columns, y = generator.normal(size=(200, 1000)), generator.normal(size=200)
    assert len(chosen(y, columns, 50)[0]) <= 1
    assert chosen(y + columns[:, 3], columns, 50)[0][0] == 3


def test_what_chance_adds_to_a_coefficient_is_taken_off():
    """Of noise alone each of thirty flights would give x one share in thirty, were it not taken off."""
    generator, one = np.random.default_rng(5), np.ones((1, 1), dtype=bool)
    pairs = generator.normal(size=(1000, 2, 30))
    shares = [told_of_half(y, x[:, None], one, 0.0).shares[0] for x, y in pairs]
    assert np.mean(shares) == pytest.approx(0.0, abs=0.006)
