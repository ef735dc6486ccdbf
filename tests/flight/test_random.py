"""The kernel's random numbers against NumPy's generator of the same name and SciPy's quantiles."""

import numpy as np
import pytest
from scipy.special import ndtri

from finial.flight.kernel.random_numbers import four_words, normal_quantile, unit_share


@pytest.mark.parametrize(
    ("seed", "flight", "stream", "count"),
    [(0, 0, 0, 0), (7, 123, 1, 5), (2**63 - 1, 2**40 + 3, 2, 1000), (1, 2**62, 0, 2**33)],
)
def test_words_are_those_of_numpys_philox(seed, flight, stream, count):
    generator = np.random.Philox(
        counter=np.array([count, 0, stream, 0], dtype=np.uint64),
        key=np.array([seed, flight], dtype=np.uint64),
    )
    # NumPy steps its counter before it makes a block.
    ours = [int(word) for ahead in (1, 2) for word in four_words(seed, flight, stream, count + ahead)]
    assert ours == generator.random_raw(8).tolist()


def test_shares_lie_strictly_between_the_ends():
    assert 0.0 < unit_share(np.uint64(0)) < 1e-15
    assert 1.0 - 1e-15 < unit_share(np.uint64(2**64 - 1)) < 1.0


@pytest.mark.parametrize("share", [1e-12, 1e-6, 0.001, 0.025, 0.3, 0.5, 0.7, 0.975, 0.99999])
def test_normal_quantile_against_scipy(share):
    assert normal_quantile(share) == pytest.approx(float(ndtri(share)), rel=1e-12, abs=1e-13)
