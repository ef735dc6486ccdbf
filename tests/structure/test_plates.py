"""Plates and bay walls against series and an independent Ritz solution done here."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.structure.rods.preload import Stack, opening_pull, preload_growth
from finial.structure.walls.bay_walls import BayWall, bay_wall_reserve, flat_bulge
from finial.structure.walls.buckling import flat_wall_buckling_stress, round_wall_buckling_stress
from finial.structure.walls.plates import Plate, hoop_stress, long_wall, round_plate, square_plate

UNIT = Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.3)


def test_supported_square_is_the_double_sine_series():
    # Navier 1820: w = 16 q s^4 / (pi^6 D) sum sin sin / (m n (m^2 + n^2)^2); centre moment with nu 0.3.
    odd = np.arange(1, 400, 2)
    m, n = np.meshgrid(odd, odd)
    sign = np.where((m + n) // 2 % 2 == 1, 1.0, -1.0)
    deflection = 16 / math.pi**6 * np.sum(sign / (m * n * (m**2 + n**2) ** 2))
    moment = 16 / math.pi**4 * np.sum(sign * (m**2 + 0.3 * n**2) / (m * n * (m**2 + n**2) ** 2))
    answer = square_plate(UNIT, 1.0, 1.0, edge="supported")
    assert answer.deflection_m * UNIT.stiffness_n_m == pytest.approx(deflection, rel=1e-3)
    assert answer.stress_pa == pytest.approx(6 * moment, rel=2e-3)


def test_clamped_square_is_the_minimum_of_energy():
    # Ritz with (1 - x^2)^2 (1 - y^2)^2 x^2i y^2j on [-1, 1]^2: solved here, apart from the code under test.
    basis = [
        np.polynomial.Polynomial([1, 0, -1]) ** 2 * np.polynomial.Polynomial([0, 0, 1]) ** i for i in range(6)
    ]
    x, w = np.polynomial.legendre.leggauss(24)
    f, f2 = (np.array([p.deriv(k)(x) if k else p(x) for p in basis]) for k in (0, 2))
    g00, g22, g02 = (f * w) @ f.T, (f2 * w) @ f2.T, (f * w) @ f2.T
    stiff = np.einsum("ab,cd->acbd", g22, g00) + np.einsum("ab,cd->acbd", g00, g22)
    stiff = stiff + np.einsum("ab,cd->acbd", g02, g02.T) + np.einsum("ab,cd->acbd", g02.T, g02)
    load = np.outer(f @ w, f @ w).ravel()
    shape = np.linalg.solve(stiff.reshape(36, 36), load).reshape(6, 6)
    centre = shape[0, 0] / 16  # the side is 2, so q s^4 = 16
    edge = np.array([p.deriv(2)(1.0) for p in basis]) @ shape[:, 0] / 4
    answer = square_plate(UNIT, 1.0, 1.0, edge="clamped")
    assert answer.deflection_m * UNIT.stiffness_n_m == pytest.approx(centre, rel=5e-3)
    assert answer.stress_pa == pytest.approx(6 * edge, rel=1e-2)


def test_a_square_lies_between_its_inner_circle_and_a_long_wall():
    square = square_plate(UNIT, 1.0, 1.0, edge="clamped").deflection_m
    circle = round_plate(UNIT, 0.5, 1.0, edge="clamped").deflection_m
    wall = long_wall(UNIT, 1.0, 1.0, edge="clamped").deflection_m
    assert circle < square < wall


def test_supported_wall_deflects_five_times_as_far():
    held, free = (long_wall(UNIT, 2.0, 3.0, edge=edge) for edge in ("clamped", "supported"))
    assert free.deflection_m == pytest.approx(5 * held.deflection_m)
    assert free.stress_pa == pytest.approx(1.5 * held.stress_pa)


def test_round_tube_beats_flat_side_by_far():
    stuff = {"station_m": 0.3, "across_m": 0.1, "modulus": exact(2.3e9), "strength": exact(50e6)}
    flat = bay_wall_reserve(BayWall(wall_m=0.003, round_tube=False, **stuff), exact(103_421.0))
    tube = bay_wall_reserve(BayWall(wall_m=0.0015, round_tube=True, **stuff), exact(103_421.0))
    assert flat.load.value / tube.load.value == pytest.approx(57.456 / 3.396, rel=1e-3)
    assert not flat.load.inside_range
    assert not flat.reserve.inside_range
    assert tube.load.inside_range
    assert "round tube" in flat.note


def test_bay_without_pressure_is_not_loaded_and_intervals_pass_through():
    bay = BayWall(
        station_m=0.3, across_m=0.1, wall_m=0.01, round_tube=False, modulus=exact(2e9), strength=exact(50e6)
    )
    assert bay_wall_reserve(bay, exact(0.0)).reserve is None
    wide = bay_wall_reserve(bay, spread(1e4, 0.2, known_by=KnownBy.ASSUMED))
    assert wide.load.high / wide.load.value == pytest.approx(1.2)
    assert wide.reserve.known_by is KnownBy.ASSUMED
    assert wide.load.inside_range
    assert flat_bulge(bay, exact(0.0)).value == 0.0


def test_flat_wall_wrinkles_as_the_beam_and_plate_texts_say():
    # Timoshenko and Gere: k = 4.00; aluminium, nu 0.3: 3.615 E (t/b)^2.
    assert flat_wall_buckling_stress(70e9, 0.001, 0.1, poisson=0.3) == pytest.approx(
        3.615 * 70e9 * 1e-4, rel=1e-3
    )


def test_knock_down_falls_with_thinner_tubes_but_never_to_nothing():
    classical = [1 / math.sqrt(3 * 0.91) / ratio for ratio in (10, 100, 1000)]
    shares = [
        round_wall_buckling_stress(1.0, 1.0, ratio, poisson=0.3) / whole
        for ratio, whole in zip((10, 100, 1000), classical, strict=True)
    ]
    assert 1 > shares[0] > shares[1] > shares[2] > 0.099


def test_heat_tightens_a_plastic_stack_by_the_bars_in_parallel():
    # Two equal bars side by side: force = (a1 - a2) dT E A / 2.
    stack = Stack(wall_ea_n=2e6, rod_ea_n=2e6)
    growth = preload_growth(stack, wall_expansion_per_k=70e-6, rod_expansion_per_k=20e-6, warmer_by_k=10.0)
    assert growth == pytest.approx(50e-6 * 10 * 1e6)
    # Joint diagram: rods three times as stiff as the walls leave a quarter of the pull to them.
    assert opening_pull(Stack(wall_ea_n=1e6, rod_ea_n=3e6), 500.0) == 2000.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: Plate(thickness_m=0.0, modulus_pa=1.0),
        lambda: Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.6),
        lambda: round_plate(UNIT, math.nan, 1.0, edge="clamped"),
        lambda: long_wall(UNIT, 1.0, -1.0, edge="clamped"),
        lambda: hoop_stress(1e5, 0.1, 0.03),
        lambda: round_wall_buckling_stress(1e9, 1e-5, 0.1),
        lambda: Stack(wall_ea_n=0.0, rod_ea_n=1.0),
        lambda: opening_pull(Stack(wall_ea_n=1.0, rod_ea_n=1.0), -1.0),
        lambda: preload_growth(
            Stack(wall_ea_n=1.0, rod_ea_n=1.0),
            wall_expansion_per_k=math.nan,
            rod_expansion_per_k=0.0,
            warmer_by_k=1.0,
        ),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()
