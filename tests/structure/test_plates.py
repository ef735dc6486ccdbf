"""Plates and bay walls against series and an independent Ritz solution done here."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.structure.reserves import Because
from finial.structure.rods.preload import Stack, preload_growth
from finial.structure.walls.bay_walls import BayWall, bay_wall_reserve, flat_bulge
from finial.structure.walls.buckling import (
    INFILL_STIFFNESS,
    flat_wall_buckling_stress,
    infill_support,
    round_wall_buckling_stress,
)
from finial.structure.walls.plates import Plate, hoop_stress, rectangular_plate, round_plate

UNIT = Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.3)


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0, 4.0, 5.0, 8.0])
def test_supported_rectangle_is_the_double_sine_series(ratio):
    # Navier 1820: w = 16 q b^4 / (pi^6 D) sum sin sin / (m n (m^2 / r^2 + n^2)^2); middle moment with nu 0.3.
    odd = np.arange(1, 400, 2)
    m, n = np.meshgrid(odd, odd)
    sign = np.where((m + n) // 2 % 2 == 1, 1.0, -1.0)
    below = m * n * (m**2 / ratio**2 + n**2) ** 2
    deflection = 16 / math.pi**6 * np.sum(sign / below)
    moment = 16 / math.pi**4 * np.sum(sign * (n**2 + 0.3 * m**2 / ratio**2) / below)
    answer = rectangular_plate(UNIT, 1.0, ratio, 1.0, edge="supported")
    assert answer.deflection_m * UNIT.stiffness_n_m == pytest.approx(deflection, rel=1e-3)
    assert answer.stress_pa == pytest.approx(6 * moment, rel=2e-3)


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0, 5.0])
def test_clamped_rectangle_is_the_minimum_of_energy(ratio):
    # Ritz with (1 - x^2)^2 (1 - y^2)^2 x^2i y^2j on [-1, 1]^2: solved here, apart from the code under test.
    terms = 8
    powers = [np.polynomial.Polynomial([0, 0, 1]) ** i for i in range(terms)]
    basis = [np.polynomial.Polynomial([1, 0, -1]) ** 2 * one for one in powers]
    x, w = np.polynomial.legendre.leggauss(40)
    f, f2 = (np.array([p.deriv(k)(x) if k else p(x) for p in basis]) for k in (0, 2))
    g00, g22, g02 = (f * w) @ f.T, (f2 * w) @ f2.T, (f * w) @ f2.T
    flat = 1 / ratio**2
    stiff = flat**2 * np.einsum("ab,cd->acbd", g22, g00) + np.einsum("ab,cd->acbd", g00, g22)
    stiff = stiff + flat * (np.einsum("ab,cd->acbd", g02, g02.T) + np.einsum("ab,cd->acbd", g02.T, g02))
    load = np.outer(f @ w, f @ w).ravel()
    shape = np.linalg.lstsq(stiff.reshape(terms**2, -1), load, rcond=None)[0].reshape(terms, terms)
    centre = shape[0, 0] / 16  # the shorter side is 2, so q b^4 = 16
    edge = abs(np.array([p(0.0) for p in basis]) @ shape @ np.array([p.deriv(2)(1.0) for p in basis])) / 4
    answer = rectangular_plate(UNIT, ratio, 1.0, 1.0, edge="clamped")
    assert answer.deflection_m * UNIT.stiffness_n_m == pytest.approx(centre, rel=6e-3)
    assert answer.stress_pa == pytest.approx(6 * edge, rel=1e-2)


def test_a_long_strip_is_the_clamped_and_the_supported_beam():
    # A strip one metre wide is a beam of the same bending stiffness: q b^4 / 384 D and q b^2 / 12, 5 times
    # and q b^2 / 8.
    held, free = (rectangular_plate(UNIT, 1.0, 50.0, 1.0, edge=edge) for edge in ("clamped", "supported"))
    assert held.deflection_m * UNIT.stiffness_n_m == pytest.approx(1 / 384, rel=1e-4)
    assert held.stress_pa == pytest.approx(6 / 12)
    assert free.deflection_m == pytest.approx(5 * held.deflection_m, rel=1e-4)
    assert free.stress_pa == pytest.approx(6 / 8)


def test_which_side_is_called_width_does_not_matter():
    one, other = (rectangular_plate(UNIT, *sides, 2.0, edge="clamped") for sides in ((0.3, 0.5), (0.5, 0.3)))
    assert one == other


def test_a_square_lies_between_its_inner_circle_and_a_long_wall():
    square = rectangular_plate(UNIT, 1.0, 1.0, 1.0, edge="clamped").deflection_m
    circle = round_plate(UNIT, 0.5, 1.0, edge="clamped").deflection_m
    wall = rectangular_plate(UNIT, 1.0, 9.0, 1.0, edge="clamped").deflection_m
    assert circle < square < wall


def test_round_tube_beats_flat_side_by_far():
    stuff = {
        "station_m": 0.3,
        "across_m": 0.1,
        "length_m": 0.3,
        "modulus": exact(2.3e9),
        "strength": exact(50e6),
    }
    flat = bay_wall_reserve(BayWall(wall_m=0.003, round_tube=False, **stuff), exact(103_421.0))
    tube = bay_wall_reserve(BayWall(wall_m=0.0015, round_tube=True, **stuff), exact(103_421.0))
    assert flat.load.value / tube.load.value == pytest.approx(57.456 / 3.396, rel=1e-3)
    assert not flat.load.inside_range
    assert not flat.reserve.inside_range
    assert tube.load.inside_range
    assert (flat.because, tube.because) == (Because.FLAT_BAY, None)


def test_a_tube_of_rubber_swells_before_it_bursts():
    """Hoop 3.396 MPa: a twentieth of 30 MPa is 1.5 MPa, though the stuff itself tears at 25 MPa."""
    size = {"station_m": 0.3, "across_m": 0.1, "length_m": 0.3, "wall_m": 0.0015, "round_tube": True}
    rubber = bay_wall_reserve(BayWall(modulus=exact(30e6), strength=exact(25e6), **size), exact(103_421.0))
    assert rubber.reserve.value == pytest.approx(0.05 * 30.0 / 3.396, rel=1e-3)
    assert rubber.because is Because.BAY_SWELLS
    stiff = bay_wall_reserve(BayWall(modulus=exact(1.3e9), strength=exact(25e6), **size), exact(103_421.0))
    assert stiff.reserve.value == pytest.approx(25.0 / 3.396, rel=1e-3)


def test_bay_without_pressure_is_not_loaded_and_intervals_pass_through():
    bay = BayWall(
        station_m=0.3,
        across_m=0.1,
        length_m=0.3,
        wall_m=0.01,
        round_tube=False,
        modulus=exact(2e9),
        strength=exact(50e6),
    )
    assert bay_wall_reserve(bay, exact(0.0)).reserve is None
    wide = bay_wall_reserve(bay, spread(1e4, 0.2, known_by=KnownBy.ASSUMED))
    assert wide.load.high / wide.load.value == pytest.approx(1.2)
    assert wide.reserve.known_by is KnownBy.ASSUMED
    assert wide.load.inside_range
    assert flat_bulge(bay, exact(0.0)).value == 0.0


def test_a_short_flat_holds_more_than_a_long_one():
    # Timoshenko and Gere, article 9.2: k = (b/a + a/b)^2 below a square; 237 by 50 mm holds six times a long
    # wall.
    long = flat_wall_buckling_stress(2.1e9, 0.002, 0.237)
    for high in (0.02, 0.05, 0.1, 0.237):
        wanted = (0.237 / high + high / 0.237) ** 2 / 4
        short = flat_wall_buckling_stress(2.1e9, 0.002, 0.237, length_m=high)
        assert short / long == pytest.approx(wanted)
    assert flat_wall_buckling_stress(2.1e9, 0.002, 0.237, length_m=0.05) / long == pytest.approx(6.1, abs=0.1)
    # Two half waves from a length of sqrt 2 widths, k = 4.5 there; whole waves meet k = 4.
    ratios = {2**0.5: 4.5, 2.0: 4.0, 3.0: 4.0, 2.5: 4.134}
    for ratio, wanted in ratios.items():
        found = flat_wall_buckling_stress(2.1e9, 0.002, 0.1, length_m=0.1 * ratio)
        assert 4 * found / flat_wall_buckling_stress(2.1e9, 0.002, 0.1) == pytest.approx(wanted, rel=1e-3)


def test_infill_behind_a_wide_wall_makes_it_a_strip_on_springs():
    # Hetenyi, Beams on Elastic Foundation: a long strip on springs buckles at 2 sqrt(k D) per width.
    modulus, wall, nu = 2.3e9, 0.0016, 0.35
    support = infill_support(modulus, 0.08, 0.06, 1.0)
    assert support == pytest.approx(0.0064 * modulus / 0.06)
    bending = modulus * wall**3 / (12 * (1 - nu**2))
    wide = flat_wall_buckling_stress(modulus, wall, 50.0, support_pa_m=support)
    assert wide == pytest.approx(2 * math.sqrt(support * bending) / wall, rel=1e-4)


def test_infill_supports_by_the_square_root_of_its_stiffness_and_never_weakens():
    bare = flat_wall_buckling_stress(2.3e9, 0.0016, 0.12)
    thin, thick = (
        flat_wall_buckling_stress(2.3e9, 0.0016, 0.12, support_pa_m=infill_support(2.3e9, share, 0.06, 0.3))
        for share in (0.05, 0.10)
    )
    assert bare < thin < thick < 2.1 * thin
    assert INFILL_STIFFNESS.high <= 1.0


@pytest.mark.parametrize("length_m", [0.03, 0.11, 0.4])
def test_finite_wall_on_springs_is_the_best_whole_number_of_waves(length_m):
    modulus, wall, width, nu, support = 2.3e9, 0.0016, 0.12, 0.35, 2e7
    bending = modulus * wall**3 / (12 * (1 - nu**2))
    along = (np.arange(1, 200) * math.pi / length_m) ** 2
    tried = (bending * (along + (math.pi / width) ** 2) ** 2 + support) / (along * wall)
    found = flat_wall_buckling_stress(modulus, wall, width, length_m=length_m, support_pa_m=support)
    assert found == pytest.approx(tried.min())


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


@pytest.mark.parametrize(
    "call",
    [
        lambda: Plate(thickness_m=0.0, modulus_pa=1.0),
        lambda: Plate(thickness_m=1.0, modulus_pa=1.0, poisson=0.6),
        lambda: round_plate(UNIT, math.nan, 1.0, edge="clamped"),
        lambda: rectangular_plate(UNIT, 1.0, 1.0, -1.0, edge="clamped"),
        lambda: rectangular_plate(UNIT, 1.0, 0.0, 1.0, edge="clamped"),
        lambda: flat_wall_buckling_stress(1e9, 0.001, 0.1, length_m=0.0),
        lambda: flat_wall_buckling_stress(1e9, 0.001, 0.1, support_pa_m=-1.0),
        lambda: infill_support(1e9, 1.2, 0.05, 0.3),
        lambda: infill_support(1e9, 0.2, 0.0, 0.3),
        lambda: hoop_stress(1e5, 0.1, 0.03),
        lambda: round_wall_buckling_stress(1e9, 1e-5, 0.1),
        lambda: Stack(wall_ea_n=0.0, rod_ea_n=1.0),
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
