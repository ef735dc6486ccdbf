"""Gusts by their own noise, and columns of wind that begin near the ground."""

import numpy as np
import pytest

from finial.atmosphere.turbulence import gust_column, gust_shares
from finial.atmosphere.wind import measured_profile, terrain_named
from finial.core.errors import OutsideRange


def test_each_gust_keeps_its_share_of_the_one_below_and_is_as_strong_as_the_wind_has_it():
    """East, north and up each by their own third of the noise: g_k = a g_{k-1} + sqrt(1 - a^2) n_k."""
    heights = np.array([5.0, 12.0, 20.0])
    noise = np.random.default_rng(7).standard_normal((3, 3))
    keep, keep_up, along, vertical = gust_shares(heights).T

    def chain(drawn, shares):
        told = [drawn[0]]
        for one, share in zip(drawn[1:], shares[1:], strict=True):
            told.append(share * told[-1] + np.sqrt(1.0 - share**2) * one)
        return np.array(told)

    found = gust_column(heights, 6.0, np.random.default_rng(7))
    assert found.east_m_s == pytest.approx(6.0 * along * chain(noise[0], keep))
    assert found.north_m_s == pytest.approx(6.0 * along * chain(noise[1], keep))
    assert found.up_m_s == pytest.approx(6.0 * vertical * chain(noise[2], keep_up))
    assert found.heights_m.tolist() == heights.tolist()


@pytest.mark.parametrize("heights", [[5.0], [5.0, 5.0], [[5.0, 6.0]]])
def test_gusts_need_two_heights_that_rise(heights):
    with pytest.raises(OutsideRange, match="two heights"):
        gust_column(np.array(heights), 5.0, np.random.default_rng(1))


def test_a_column_may_begin_half_a_metre_up_and_not_below_the_ground():
    ground = terrain_named("level open")
    low = measured_profile([0.5, 10.0], [1.0, 4.0], [0.0, 0.0], ground)
    assert float(np.interp(0.5, low.heights_m, low.north_m_s)) == pytest.approx(-1.0)
    assert float(np.interp(10.0, low.heights_m, low.north_m_s)) == pytest.approx(-4.0)
    for heights in ([-0.5, 10.0], [10.0, 10.0], [10.0, 5.0], [float("nan"), 10.0]):
        with pytest.raises(OutsideRange):
            measured_profile(heights, [1.0, 4.0], [0.0, 0.0], ground)
