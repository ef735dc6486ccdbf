"""Wind and gusts."""

import math

import numpy as np
import pytest

from finial.atmosphere.turbulence import (
    _kept,
    gust_column,
    low_level_turbulence,
)
from finial.atmosphere.wind import (
    measured_profile,
    power_law_wind,
    terrain_named,
    wind_profile,
)
from finial.core.errors import MissingData, OutsideRange
from finial.core.tables import table_rows

TERRAINS = [terrain_named(row["name"]) for row in table_rows("finial.atmosphere", "terrain.csv")]


@pytest.mark.parametrize("bearing_deg", [0.0, 90.0, 200.0, 359.0])
def test_the_profile_blows_from_its_bearing(bearing_deg):
    profile = wind_profile(6.0, math.radians(bearing_deg), terrain_named("crops"))
    east, north = (
        float(np.interp(10.0, profile.heights_m, part)) for part in (profile.east_m_s, profile.north_m_s)
    )
    assert math.hypot(east, north) == pytest.approx(6.0)
    assert math.degrees(math.atan2(-east, -north)) % 360.0 == pytest.approx(bearing_deg)


@pytest.mark.parametrize("terrain", TERRAINS, ids=lambda terrain: terrain.name)
def test_straight_lines_keep_within_two_percent_of_the_law(terrain):
    profile = wind_profile(1.0, 0.0, terrain)
    heights = np.linspace(0.5, terrain.gradient_m, 5000)
    joined = -np.interp(heights, profile.heights_m, profile.north_m_s)
    assert np.abs(joined - power_law_wind(heights, 1.0, terrain.exponent)).max() < 0.02
    assert profile.heights_m[-1] == terrain.gradient_m
    assert profile.north_m_s[0] == 0.0


@pytest.mark.parametrize("terrain", TERRAINS, ids=lambda terrain: terrain.name)
def test_every_terrain_names_its_source_and_rougher_ground_slows_more(terrain):
    assert terrain.source
    smoother = [other for other in TERRAINS if other.roughness_m < terrain.roughness_m]
    assert all(other.exponent < terrain.exponent for other in smoother)


def test_gusts_have_the_intensity_and_correlation_of_the_model():
    heights = np.arange(100.0, 140.0, 10.0)
    generator = np.random.default_rng(20)
    columns = [gust_column(heights, 10.0, generator) for _ in range(4000)]
    east = np.array([column.east_m_s for column in columns])
    up = np.array([column.up_m_s for column in columns])
    level = low_level_turbulence(heights, 10.0)
    # Spread of a sample deviation of 4000: 1.1 %; four of those.
    assert east.std(axis=0) == pytest.approx(level.along_intensity_m_s, rel=0.045)
    assert up.std(axis=0) == pytest.approx(level.vertical_intensity_m_s, rel=0.045)
    seen = np.corrcoef(up[:, 0], up[:, 1])[0, 1]
    assert seen == pytest.approx(math.exp(-10.0 / 105.0), abs=0.01)
    assert abs(np.corrcoef(east[:, 0], up[:, 0])[0, 1]) < 0.07


def test_gusts_depend_on_the_stream_alone():
    heights = np.arange(0.0, 200.0, 5.0)
    first, second, other = (gust_column(heights, 8.0, np.random.default_rng(seed)) for seed in (3, 3, 4))
    assert np.array_equal(first.east_m_s, second.east_m_s)
    assert not np.array_equal(first.east_m_s, other.east_m_s)


def test_turbulence_is_held_below_ten_feet_and_above_two_thousand_its_strength_above_one():
    level = low_level_turbulence([0.0, 3.048, 609.6, 5000.0], 10.0)
    low, high = level.along_length_m.reshape(2, 2)
    assert low[0] == low[1]
    assert high[0] == high[1] == level.vertical_length_m[3]
    ground, aloft = low_level_turbulence([304.8, 5000.0], 10.0).along_intensity_m_s
    assert ground == aloft == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: power_law_wind(-1.0, 5.0, 0.15), "0 m and more"),
        (lambda: power_law_wind(10.0, -5.0, 0.15), "0 m/s and more"),
        (lambda: power_law_wind(10.0, 5.0, 15.0), "0 to 1"),
        (lambda: power_law_wind(np.nan, 5.0, 0.15), "0 m and more"),
        (lambda: wind_profile(5.0, math.nan, terrain_named("city")), "not a finite number"),
        (lambda: low_level_turbulence(-1.0, 5.0), "0 and more"),
        (lambda: low_level_turbulence(10.0, math.nan), "0 and more"),
        (lambda: gust_column(np.array([1.0]), 5.0, np.random.default_rng(1)), "two heights"),
        (lambda: gust_column(np.array([1.0, 1.0]), 5.0, np.random.default_rng(1)), "rise strictly"),
    ],
)
def test_what_cannot_be_is_refused(call, message):
    with pytest.raises(OutsideRange, match=message):
        call()


def test_an_unknown_terrain_lists_the_known():
    with pytest.raises(MissingData, match="open water, level open"):
        terrain_named("moon")


def test_a_measured_wind_holds_at_its_heights_and_falls_to_the_ground():
    column = measured_profile([20.0, 100.0], [5.0, 9.0], np.radians([180.0, 270.0]), terrain_named("crops"))
    speeds = np.hypot(column.east_m_s, column.north_m_s)
    assert np.interp([20.0, 100.0], column.heights_m, speeds) == pytest.approx([5.0, 9.0])
    assert np.interp(10.0, column.heights_m, column.north_m_s) == pytest.approx(5.0 * 0.5**0.17)
    assert column.east_m_s[-1] == pytest.approx(9.0)
    assert speeds[0] == 0.0


@pytest.mark.parametrize(
    ("heights", "speeds"),
    [
        ([10, 5], [1, 1]),
        ([10, 50, 40], [1, 1, 1]),
        ([10, 20], [1]),
        ([10, 20], [1, -1]),
        ([10, 20], [1, np.nan]),
    ],
)
def test_a_measured_wind_that_cannot_be_is_refused(heights, speeds):
    with pytest.raises(OutsideRange, match="wind column"):
        measured_profile(heights, speeds, np.zeros(len(heights)), terrain_named("crops"))


def test_a_column_with_one_bearing_that_is_no_number_is_refused():
    with pytest.raises(OutsideRange, match="bearings finite"):
        measured_profile([10.0, 20.0], [1.0, 1.0], [0.0, math.nan], terrain_named("crops"))


def test_what_a_gust_keeps_over_a_step_goes_with_the_mean_length_of_its_ends():
    kept = _kept(np.array([0.0, 10.0, 40.0]), np.array([10.0, 30.0, 70.0]))
    assert kept == pytest.approx([0.0, math.exp(-10.0 / 20.0), math.exp(-30.0 / 50.0)])
