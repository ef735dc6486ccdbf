"""Even designs know a mean sooner; shares of variance meet SciPy's own indices on the same flights."""

import numpy as np
import pytest
from scipy.stats import sobol_indices, uniform

from finial.campaign.campaign import fly_range, planned
from finial.campaign.sensitivity import decided
from finial.flight.example import example_inputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import fly_many
from finial.flight.packing.many import packed_many
from finial.flight.spread import Spread, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain


def _spread():
    """Four numbers, no gusts: what is left is a smooth function of the four."""
    draws = (
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, base=1.0),
        either_way(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, 0.3, base=1.0),
        either_way(Uncertain(kind=Drawn.WIND), slots.WIND_SPEED, 2.0, base=4.0),
        either_way(Uncertain(kind=Drawn.RAIL_TILT), slots.RAIL_TILT, 0.03, base=0.05),
    )
    return Spread(draws=draws, masses=whole_mass(example_inputs()), wind_speed_m_s=4.0)


def _mean_apogee(design, seed, flights=64):
    campaign = planned("designs", example_inputs(), _spread(), flights=flights, seed=seed, design=design)
    return fly_range(campaign, 0, flights).column("apogee_m").mean()


def test_mean_apogee_is_known_far_better_from_even_designs():
    spread = {
        design: np.std([_mean_apogee(design, seed) for seed in range(8)])
        for design in ("plain", "latin", "sobol")
    }
    assert spread["latin"] < 0.4 * spread["plain"]
    assert spread["sobol"] < 0.2 * spread["plain"]


def test_mean_apogee_of_all_designs_is_the_same():
    means = [_mean_apogee(design, 3, flights=512) for design in ("plain", "latin", "sobol")]
    assert means[1] == pytest.approx(means[2], abs=0.2)
    assert means[0] == pytest.approx(means[2], abs=3.0)


def test_shares_meet_scipys_indices():
    """Indices by Saltelli's design of 512 x 6 flights against ours from 1000 plain ones.

    Where no three numbers act together, a Shapley share lies in the middle of first-order and total index.
    """
    results = ("apogee_m", "rail_exit_speed_m_s")
    ours = packed_many(example_inputs(), _spread(), seed=3)
    theirs = packed_many(example_inputs(), _spread(), seed=3, drawn_here=False)

    def flown(shares):
        many = fly_many(theirs, 0, shares.shape[1], shares=np.clip(shares.T, 1e-9, 1.0 - 1e-9))
        return np.array([many.column(result) for result in results])

    indices = sobol_indices(func=flown, n=512, dists=[uniform()] * 4, rng=np.random.default_rng(1))
    plain = fly_many(ours, 0, 1000)
    for result, first, total in zip(results, indices.first_order, indices.total_order, strict=True):
        told = decided(plain.column(result), plain.drawn, tuple("abcd"))
        found = {one.draw: one for one in told.causes}
        for name, alone, whole in zip("abcd", first, total, strict=True):
            shares = (found[name].alone, found[name].share) if name in found else (0.0, 0.0)
            assert shares == pytest.approx((alone, (alone + whole) / 2.0), abs=0.05)
