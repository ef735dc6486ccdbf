"""The column over the pad, and heights read from pressure."""

import numpy as np
import pytest

from finial.atmosphere.day import Day, air_over_pad, density_altitude, standard_day
from finial.atmosphere.pressure_height import height_over_pad, pressure_height
from finial.atmosphere.standard import (
    air_state,
    geometric_height,
    geopotential_height,
    standard_air,
    standard_air_geopotential,
)
from finial.core.errors import OutsideRange


def test_a_standard_day_is_the_standard_atmosphere_above_any_pad():
    heights = np.array([0.0, 500.0, 3000.0, 10_500.0, 14_000.0])
    column = air_over_pad(standard_day(700.0), heights)
    standard = standard_air(heights + 700.0)
    assert column.pressure_pa == pytest.approx(standard.pressure_pa, rel=1e-12)
    assert column.temperature_k == pytest.approx(standard.temperature_k, rel=1e-12)


@pytest.mark.parametrize("lapse_k_m", [0.0065, 0.0, 0.0098])
def test_the_column_is_in_hydrostatic_balance(lapse_k_m):
    # dp/dH = -rho g0, by central differences: second order, so a tenth of the step, a hundredth of the miss.
    day = Day(ground_asl_m=300.0, pressure_pa=97_000.0, temperature_k=308.0, lapse_k_m=lapse_k_m)
    misses = []
    for step in (100.0, 10.0):
        pad = float(geopotential_height(300.0))
        heights = geometric_height(np.array([-step, 0.0, step]) + pad + 2000.0) - 300.0
        air = air_over_pad(day, heights)
        slope = (air.pressure_pa[2] - air.pressure_pa[0]) / (2.0 * step)
        misses.append(abs(slope / (-9.80665 * air.density_kg_m3[1]) - 1.0))
    assert misses[1] == pytest.approx(misses[0] / 100.0, rel=0.05)


def test_hot_air_is_thinner_and_taller():
    hot, cold = standard_day(0.0, 313.15), standard_day(0.0, 268.15)
    assert air_over_pad(hot, 0.0).density_kg_m3 < air_over_pad(cold, 0.0).density_kg_m3
    assert air_over_pad(hot, 1000.0).pressure_pa > air_over_pad(cold, 1000.0).pressure_pa


def test_height_over_pad_undoes_the_column():
    day = standard_day(1190.0, 308.15)
    heights = np.array([0.0, 150.0, 900.0, 3000.0])
    read = height_over_pad(day, air_over_pad(day, heights).pressure_pa)
    rise = geopotential_height(heights + 1190.0) - geopotential_height(1190.0)
    assert read == pytest.approx(rise, abs=1e-7)


def test_pressure_height_undoes_the_standard_atmosphere():
    heights = np.linspace(-500.0, 10_900.0, 9)
    assert pressure_height(standard_air_geopotential(heights).pressure_pa) == pytest.approx(heights, abs=1e-7)


def test_heights_there_and_back():
    heights = np.array([-500.0, 0.0, 12_345.0])
    assert geometric_height(geopotential_height(heights)) == pytest.approx(heights, abs=1e-8)


def test_density_altitude_undoes_the_standard_density():
    assert density_altitude(float(standard_air(2500.0).density_kg_m3)) == pytest.approx(2500.0, abs=1e-3)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: standard_air(65_000.0), "given in feet"),
        (lambda: standard_air(-700.0), "-610 to 20000"),
        (lambda: standard_air(np.nan), "not a finite number"),
        (lambda: geopotential_height(np.inf), "not a finite number"),
        (lambda: geometric_height(np.nan), "not a finite number"),
        (lambda: air_state(-1.0, 288.0), "from 0 Pa"),
        (lambda: air_state(1e5, 0.0), "above 0 K"),
        (lambda: Day(ground_asl_m=0.0, pressure_pa=1e5, temperature_k=-5.0), "given in degC"),
        (lambda: Day(ground_asl_m=np.nan, pressure_pa=1e5, temperature_k=288.0), "finite"),
        (lambda: air_over_pad(standard_day(0.0), 30_000.0), "above sea level"),
        (lambda: density_altitude(2.0), "0.3639 to 1.9311"),
        (lambda: pressure_height(1013.25), "given in hPa"),
        (
            lambda: height_over_pad(
                Day(ground_asl_m=0.0, pressure_pa=1e5, temperature_k=288.0, lapse_k_m=0.0), 9e4
            ),
            "lapse 0.0",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_the_slip(call, message):
    with pytest.raises(OutsideRange, match=message):
        call()


def test_density_altitude_reaches_from_the_tropopause_down_to_five_kilometres_below_the_sea():
    # ISO 2533:1975 (table, from memory): 0.36392 kg/m3 at 11 000 m geopotential, 11 019 m geometric, and
    # 1.9305 kg/m3 at -5000 m.
    assert density_altitude(0.36392) == pytest.approx(11_019.0, abs=2.0)
    assert density_altitude(1.9305) == pytest.approx(-4_996.0, abs=5.0)
    for beyond in (0.3638, 1.932):
        with pytest.raises(OutsideRange, match=r"accepted are 0\.3639 to 1\.9311"):
            density_altitude(beyond)
