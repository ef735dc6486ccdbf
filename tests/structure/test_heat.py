"""Walls in the sun."""

import math

import pytest

from finial.core.corners import over_corners
from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.structure.heat import (
    STEFAN_BOLTZMANN_W_M2_K4,
    absorbed_share,
    softening_margin,
    sunlit_surface_temperature,
    surface_temperature,
)

HOT_DAY = 313.15


def test_balance_closes():
    surface = sunlit_surface_temperature(HOT_DAY, 900.0, 0.7, 12.0)
    around = ((0.0552 * HOT_DAY**1.5) ** 4 + HOT_DAY**4) / 2
    lost = 12.0 * (surface - HOT_DAY) + 0.9 * STEFAN_BOLTZMANN_W_M2_K4 * (surface**4 - around)
    assert lost == pytest.approx(630.0, rel=1e-9)


def test_without_sun_a_wall_is_a_little_cooler_than_the_air():
    # Clear sky: a few kelvin below the air, as frost on still clear nights shows.
    assert 1.0 < HOT_DAY - sunlit_surface_temperature(HOT_DAY, 0.0, 0.7, 12.0) < 10.0


def test_dark_is_hotter_than_light_and_wind_cools():
    shares = [absorbed_share(colour).value for colour in ("white", "light", "mid", "dark", "black")]
    assert shares == sorted(shares)
    hot = [sunlit_surface_temperature(HOT_DAY, 900.0, share, 15.0) for share in shares]
    assert hot == sorted(hot)
    assert sunlit_surface_temperature(HOT_DAY, 900.0, 0.9, 25.0) < hot[-1]


def test_white_pla_on_a_mild_day_keeps_its_shape_and_black_does_not():
    glass = exact(333.15)
    mild = exact(293.15)
    assert softening_margin(glass, surface_temperature(mild, colour="white")).value > 0
    assert softening_margin(glass, surface_temperature(exact(303.15), colour="black")).value < 0


def test_bad_end_of_the_margin_is_soft_print_on_a_hot_wall():
    glass = Estimate(value=333, low=328, high=338, known_by=KnownBy.HANDBOOK)
    wall = Estimate(value=320, low=310, high=335, known_by=KnownBy.ASSUMED)
    margin = softening_margin(glass, wall)
    assert (margin.low, margin.value, margin.high) == (-17.0, 3.0, 18.0)
    assert margin.known_by is KnownBy.ASSUMED


def test_celsius_given_for_kelvin_is_refused():
    with pytest.raises(OutsideRange, match="air_k"):
        sunlit_surface_temperature(40.0, 900.0, 0.5, 15.0)
    with pytest.raises(OutsideRange, match="glass_transition_k"):
        softening_margin(exact(60.0), exact(320.0))
    with pytest.raises(OutsideRange):
        sunlit_surface_temperature(math.nan, 900.0, 0.5, 15.0)
    with pytest.raises(MissingData, match="white"):
        absorbed_share("plaid")


def test_corners_enclose_every_inner_point():
    parts = (spread(2.0, 0.2, known_by=KnownBy.MEASURED), spread(3.0, 0.5, known_by=KnownBy.HANDBOOK))
    answer = over_corners(lambda a, b: a**2 / b, dict(zip("ab", parts, strict=True)), method="m", source="s")
    inner = [a**2 / b for a in (1.6, 1.9, 2.4) for b in (1.5, 3.3, 4.5)]
    assert answer.low == pytest.approx(min(inner))
    assert answer.high == pytest.approx(max(inner))
    assert answer.known_by is KnownBy.HANDBOOK
    peaked = over_corners(
        lambda a: 1.0 - a**2, {"a": Estimate(value=0, low=-1, high=1, known_by=KnownBy.MEASURED)}
    )
    assert (peaked.low, peaked.high) == (0.0, 1.0)
