"""Air against published and independently computed values."""

import csv
from pathlib import Path

import pytest

from finial.atmosphere.day import density_altitude
from finial.atmosphere.pressure_height import pressure_height
from finial.atmosphere.standard import air_state, standard_air, standard_air_geopotential
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.recovery.charges.ports import lag_height

_LBF_PER_FT3 = 4.4482216152605 / 0.3048**3

QUANTITIES = {
    "geometric temperature": lambda z: standard_air(z).temperature_k,
    "geometric pressure": lambda z: standard_air(z).pressure_pa,
    "geometric density": lambda z: standard_air(z).density_kg_m3,
    "geometric sound speed": lambda z: standard_air(z).sound_speed_m_s,
    "geometric viscosity": lambda z: standard_air(z).viscosity_pa_s,
    "geopotential temperature": lambda h: standard_air_geopotential(h).temperature_k,
    "geopotential pressure": lambda h: standard_air_geopotential(h).pressure_pa,
    "geopotential density": lambda h: standard_air_geopotential(h).density_kg_m3,
    "geopotential sound speed": lambda h: standard_air_geopotential(h).sound_speed_m_s,
    "dry density": lambda p, t: air_state(p, t).density_kg_m3,
    "sound speed": lambda p, t: air_state(p, t).sound_speed_m_s,
    "viscosity": lambda p, t: air_state(p, t).viscosity_pa_s,
    "specific weight in lbf/ft3": lambda p, t: (
        air_state(p, t).density_kg_m3 * STANDARD_GRAVITY_M_S2 / _LBF_PER_FT3
    ),
    "density altitude": lambda p, t: density_altitude(float(air_state(p, t).density_kg_m3)),
    "standard pressure by geometric height": lambda z: standard_air(z).pressure_pa,
    "pressure height": pressure_height,
    "metres per hectopascal": lambda p, t: lag_height(100.0, float(air_state(p, t).density_kg_m3)),
}


def _rows():
    with (Path(__file__).parent / "atmosphere.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_air(row):
    quantity, _, given = row["inputs"].partition(": ")
    answer = float(QUANTITIES[quantity](*map(float, given.split())))
    expected, tolerance = float(row["expected"]), row["tolerance"]
    if tolerance.endswith("%"):
        assert answer == pytest.approx(expected, rel=float(tolerance.rstrip(" %")) / 100.0)
    else:
        assert answer == pytest.approx(expected, abs=float(tolerance))
