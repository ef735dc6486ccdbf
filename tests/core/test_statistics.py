"""Ends of a normal number's middle, against the quantiles of a library."""

import pytest
from scipy.stats import norm

from finial.core.statistics import NINETY, NINETY_FIVE


@pytest.mark.parametrize(("ends", "share"), [(NINETY, 0.90), (NINETY_FIVE, 0.95)])
def test_so_much_lies_between_the_ends(ends: float, share: float) -> None:
    assert norm.cdf(ends) - norm.cdf(-ends) == pytest.approx(share, abs=1e-4)
