"""Wind and turbulence against handbook forms."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad

from finial.atmosphere.turbulence import gust_shares, low_level_turbulence
from finial.atmosphere.wind import friction_velocity, log_law_wind, power_law_wind, terrain_named

_FOOT_M = 0.3048


def _level(feet):
    return low_level_turbulence(feet * _FOOT_M, 10.0)


def _slope(height, roughness):
    """Exponent that a power law needs to follow the log law there: its slope on double logarithmic paper."""
    low, high = (log_law_wind(share * height, 1.0, roughness) for share in (0.999, 1.001))
    return math.log(high / low) / math.log(1.001 / 0.999)


QUANTITIES = {
    "log law": lambda z, u, z0: log_law_wind(z, u, z0),
    "friction velocity": friction_velocity,
    "slope of the log law": _slope,
    "vertical intensity over wind at 20 ft": lambda h: float(_level(h).vertical_intensity_m_s) / 10.0,
    "power law": lambda z, u, a: float(power_law_wind(z, u, a)),
    "along length in ft": lambda h: float(_level(h).along_length_m) / _FOOT_M,
    "vertical length in ft": lambda h: float(_level(h).vertical_length_m) / _FOOT_M,
    "intensity ratio": lambda h: float(_level(h).along_intensity_m_s / _level(h).vertical_intensity_m_s),
}
BY_TERRAIN = {
    "exponent": lambda terrain: terrain.exponent,
    "log of roughness": lambda terrain: math.log(terrain.roughness_m),
}


def _rows():
    with (Path(__file__).parent / "wind.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_wind(row):
    quantity, _, given = row["inputs"].partition(": ")
    if quantity in BY_TERRAIN:
        answer = BY_TERRAIN[quantity](terrain_named(given))
    else:
        answer = QUANTITIES[quantity](*map(float, given.split()))
    expected, tolerance = float(row["expected"]), row["tolerance"]
    if tolerance.endswith("%"):
        assert answer == pytest.approx(expected, rel=float(tolerance.rstrip(" %")) / 100.0)
    else:
        assert answer == pytest.approx(expected, abs=float(tolerance))


def _along(times_length):
    """MIL-F-8785C along the path, variance and length 1, against waves per metre."""
    return 2.0 / math.pi / (1.0 + times_length**2)


def _across(times_length):
    return (1.0 + 3.0 * times_length**2) / math.pi / (1.0 + times_length**2) ** 2


@pytest.mark.parametrize("spectrum", [_along, _across])
def test_published_spectra_hold_the_whole_variance(spectrum):
    """WND-05: from nothing to endless waves per metre each integrates to the variance."""
    whole, _ = quad(spectrum, 0.0, np.inf)
    assert whole == pytest.approx(1.0, rel=1e-3)


@pytest.mark.parametrize("waves", [0.1, 0.5, 1.0, 3.0])
def test_gusts_have_the_published_spectrum_along_the_path(waves):
    """WND-05: the chain's correlation, turned into a spectrum, is the one of MIL-F-8785C with its length."""
    step_m = 0.25
    heights = 150.0 + step_m * np.arange(40)
    kept = float(gust_shares(heights)[20, 1])
    length_m = float(low_level_turbulence(heights[20], 1.0).vertical_length_m)
    lags = step_m * np.arange(40_000)
    correlation = kept ** np.arange(40_000)
    ours = 2.0 / math.pi * np.trapezoid(correlation * np.cos(waves / length_m * lags), lags)
    assert ours == pytest.approx(length_m * _along(waves), rel=5e-3)
