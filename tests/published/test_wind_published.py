"""Wind and turbulence against handbook forms."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from finial.atmosphere.turbulence import across_spectrum, along_spectrum, low_level_turbulence
from finial.atmosphere.wind import friction_velocity, log_law_wind, power_law_wind, terrain_named

_FOOT_M = 0.3048


def _variance(spectrum, intensity, length):
    """Integral from 0 to infinity by the substitution L W = tan(x): a smooth, finite integrand."""
    nodes, weights = np.polynomial.legendre.leggauss(40)
    angle = (nodes + 1.0) * math.pi / 4.0
    density = spectrum(np.tan(angle) / length, intensity, length)
    return float(np.sum(weights * density / (length * np.cos(angle) ** 2)) * math.pi / 4.0)


def _level(feet):
    return low_level_turbulence(feet * _FOOT_M, 10.0)


QUANTITIES = {
    "log law": lambda z, u, z0: float(log_law_wind(z, u, z0)),
    "friction velocity": friction_velocity,
    "power law": lambda z, u, a: float(power_law_wind(z, u, a)),
    "matching exponent": lambda z, z0: (
        math.log(float(log_law_wind(z * 1.001, 1.0, z0) / log_law_wind(z / 1.001, 1.0, z0)))
        / (2.0 * math.log(1.001))
    ),
    "along length in ft": lambda h: float(_level(h).along_length_m) / _FOOT_M,
    "vertical length in ft": lambda h: float(_level(h).vertical_length_m) / _FOOT_M,
    "intensity ratio": lambda h: float(_level(h).along_intensity_m_s / _level(h).vertical_intensity_m_s),
    "along variance": lambda s, length: _variance(along_spectrum, s, length),
    "across variance": lambda s, length: _variance(across_spectrum, s, length),
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
