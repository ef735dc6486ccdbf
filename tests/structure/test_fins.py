"""Fins: bending, modes, flutter, divergence, stays."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.structure.beams import cantilever_frequency_factor, end_load_deflection, even_load_deflection
from finial.structure.fins.divergence import TwistingFin, divergence_pressure, twist_growth
from finial.structure.fins.modes import FinModes, FinPlate, fin_modes, plate_torsion_stiffness
from finial.structure.fins.outline import FinPlan, chords, fin_plan, trapezoids
from finial.structure.fins.quick_plate import fin_bending, fin_reserve
from finial.structure.fins.screen import flutter_screen, flutter_screen_speed
from finial.structure.fins.typical_flutter import fin_flutter
from finial.structure.fins.typical_section import (
    TypicalSection,
    divergence_speed,
    steady_flutter,
    theodorsen,
    unsteady_flutter,
)
from finial.structure.fins.wire_stiffness import stay_stiffness

SETTINGS = settings(max_examples=20, deadline=None)
RECTANGLE = np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]])
SWEPT = np.array([[0.0, 0.0], [0.12, 0.16], [0.24, 0.16], [0.26, 0.0]])
EXAMPLE = TypicalSection(axis=-0.2, imbalance=0.1, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20.0)
AIR = {"sound_m_s": 340.0, "pressure_pa": 101_325.0}


def fin(outline=SWEPT, thickness=0.005):
    return FinPlate(outline_m=outline, thickness_m=thickness, modulus_pa=2.3e9, density_kg_m3=1200.0)


def test_rectangular_fin_is_the_even_load_cantilever():
    bent = fin_bending(RECTANGLE, 0.004, 30.0, 2e9)
    stiffness = 2e9 * 0.1 * 0.004**3 / 12
    assert bent.tip_deflection_m == pytest.approx(even_load_deflection(150.0, 0.2, stiffness), rel=1e-5)
    assert bent.root_moment_n_m == pytest.approx(30.0 * 0.1)
    assert bent.stress_pa == pytest.approx(6 * 3.0 / (0.1 * 0.004**2))
    assert bent.stress_outward_m == 0.0


def test_pointed_fin_deflects_as_a_wedge():
    # Triangle, even pressure p: M = p c0 (s-y)^3 / (6 s), I = c0 (s-y) t^3 / (12 s), so
    # w'' = 2 p (s-y)^2 / (E t^3), and twice integrated the tip moves by p s^4 / (2 E t^3).
    triangle = np.array([[0.0, 0.0], [0.1, 0.2], [0.1, 0.0]])
    pressure = 30.0 / 0.01
    bent = fin_bending(triangle, 0.004, 30.0, 2e9)
    assert bent.tip_deflection_m == pytest.approx(pressure * 0.2**4 / (2 * 2e9 * 0.004**3), rel=1e-4)
    assert bent.root_moment_n_m == pytest.approx(30.0 * 0.2 / 3, rel=1e-4)


def test_a_waist_is_stressed_more_than_the_root():
    waisted = np.array([[0.0, 0.0], [0.08, 0.05], [0.0, 0.2], [0.2, 0.2], [0.12, 0.05], [0.2, 0.0]])
    bent = fin_bending(waisted, 0.005, 20.0, 2e9)
    assert bent.stress_outward_m == pytest.approx(0.05, abs=0.001)


def test_end_load_is_eight_thirds_of_an_even_one():
    assert end_load_deflection(6.0, 2.0, 5.0) / even_load_deflection(3.0, 2.0, 5.0) == pytest.approx(8 / 3)


def test_fin_reserve_uses_the_worst_force():
    entry = fin_reserve(
        SWEPT, 0.005, spread(60.0, 0.25, known_by=KnownBy.COMPUTED), exact(60e6), station_m=0.93
    )
    strong = fin_bending(SWEPT, 0.005, 75.0, 2e9).stress_pa
    assert entry.reserve.low == pytest.approx(60e6 / strong)
    assert fin_reserve(SWEPT, 0.005, exact(-60.0), exact(60e6), station_m=0.9).load.value > 0


@SETTINGS
@given(
    lean=st.floats(-0.2, 0.2),
    tip=st.floats(0.02, 0.3),
    span=st.floats(0.05, 0.4),
    middle=st.floats(0.1, 0.9),
)
def test_strips_keep_the_area_of_any_outline(lean, tip, span, middle):
    outline = np.array(
        [[0.0, 0.0], [lean + 0.01, span * middle], [lean, span], [lean + tip, span], [0.25, 0.0]]
    )
    x, y = outline.T
    shoelace = abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    plan = fin_plan(outline)
    strips = sum(
        (p.outer_m - p.inner_m) * (p.aft_m[0] - p.fore_m[0] + p.aft_m[1] - p.fore_m[1]) / 2
        for p in trapezoids(outline)
    )
    assert strips == pytest.approx(shoelace)
    assert plan.area_m2 == pytest.approx(max(shoelace, 0.25 * span / 2))


def test_chord_at_the_root_the_tip_and_beyond():
    assert chords(SWEPT, np.array([0.0, 0.08, 0.16, 0.2])) == pytest.approx([0.26, 0.19, 0.12, 0.0])


@settings(max_examples=8, deadline=None)
@given(size=st.floats(0.3, 3.0), thick=st.floats(0.5, 2.0))
def test_frequencies_scale_with_thickness_over_size_squared(size, thick):
    here, there = fin_modes(fin()), fin_modes(fin(SWEPT * size, 0.005 * thick))
    np.testing.assert_allclose(there.frequencies_rad_s, here.frequencies_rad_s * thick / size**2, rtol=1e-6)


def test_mirrored_fin_rings_the_same():
    flipped = np.column_stack([-SWEPT[:, 0], SWEPT[:, 1]])
    np.testing.assert_allclose(
        fin_modes(fin(flipped)).frequencies_rad_s, fin_modes(fin()).frequencies_rad_s, rtol=1e-6
    )


def test_a_corner_on_a_straight_edge_changes_nothing():
    extra = np.insert(SWEPT, 1, (SWEPT[0] + SWEPT[1]) / 2, axis=0)
    np.testing.assert_allclose(
        fin_modes(fin(extra)).frequencies_rad_s, fin_modes(fin()).frequencies_rad_s, rtol=1e-6
    )


def test_richer_shapes_only_lower_the_frequencies():
    ladder = [fin_modes(fin(), degree=degree).frequencies_rad_s for degree in (5, 7, 9)]
    assert (ladder[0] >= ladder[1] * (1 - 1e-9)).all()
    assert (ladder[1] >= ladder[2] * (1 - 1e-9)).all()
    assert ladder[1] == pytest.approx(ladder[2], rel=5e-3)


def test_a_narrow_strip_is_a_beam_and_a_torsion_bar():
    # nu = 0, span 20 chords: beam root 3.516; thin strip in torsion, omega = pi/(2 s) sqrt(G J / (rho I_p)).
    strip = np.array([[0.0, 0.0], [0.0, 1.0], [0.05, 1.0], [0.05, 0.0]])
    modes = fin_modes(
        FinPlate(outline_m=strip, thickness_m=0.001, modulus_pa=2e9, density_kg_m3=1000.0, poisson=0.0),
        count=10,
    )
    beam = cantilever_frequency_factor(1) * math.sqrt(2e9 * 0.001**2 / 12 / 1000.0)
    assert modes.bending_rad_s == pytest.approx(beam, rel=1e-3)
    bar = math.pi / 2 * math.sqrt(plate_torsion_stiffness(0.05, 0.001, 1e9) / (1000.0 * 0.001 * 0.05**3 / 12))
    assert modes.torsion_rad_s == pytest.approx(bar, rel=0.02)


def test_modes_that_are_not_there_are_not_invented():
    bare = FinModes(frequencies_rad_s=np.array([10.0]), twist_shares=np.array([0.0]))
    with pytest.raises(OutsideRange, match="twisting"):
        _ = bare.torsion_rad_s


def test_screen_interval_spans_both_readings_and_the_modulus():
    plan = FinPlan(root_chord_m=0.18, tip_chord_m=0.09, span_m=0.11)
    speed = flutter_screen(plan, exact(0.006), spread(0.85e9, 0.2, known_by=KnownBy.HANDBOOK), **AIR)
    assert speed.low == pytest.approx(flutter_screen_speed(plan, 0.006, 0.68e9, ratio_to="root", **AIR))
    assert speed.high == pytest.approx(flutter_screen_speed(plan, 0.006, 1.02e9, ratio_to="mean", **AIR))
    assert speed.low < speed.value < speed.high


def test_thicker_fins_and_thinner_air_flutter_later():
    plan = fin_plan(SWEPT)
    base = flutter_screen_speed(plan, 0.005, 0.8e9, **AIR)
    assert flutter_screen_speed(plan, 0.010, 0.8e9, **AIR) == pytest.approx(base * 2**1.5)
    high = flutter_screen_speed(plan, 0.005, 0.8e9, sound_m_s=340.0, pressure_pa=101_325.0 / 4)
    assert high == pytest.approx(2 * base)


def test_flutter_root_makes_the_flutter_matrix_singular():
    # The section's equations written out again, as forces on a moving section, at the answer found.
    point = unsteady_flutter(EXAMPLE)
    speed, omega = point.speed, point.frequency
    k = omega / speed
    lag = complex(theodorsen(k))
    mass = EXAMPLE.mass_ratio * np.array([[1.0, 0.1], [0.1, 0.24]])
    spring = EXAMPLE.mass_ratio * np.array([[0.16, 0.0], [0.0, 0.24]])
    a = EXAMPLE.axis
    # Rows: lift up against heave down, moment about the axis; per (heave, twist), times exp(i omega t).
    down_wash = np.array([1j * omega, speed + 1j * omega * (0.5 - a)])
    circulation = 2 * speed * lag * down_wash
    push = np.array([-(omega**2), 1j * omega * speed + a * omega**2])
    moment = -np.array([-(omega**2) / 2, 1j * omega * speed - (1 / 8 - a / 2) * omega**2])
    lift = circulation + push
    matrix = -(omega**2) * mass + spring + np.array([lift, -(moment + (0.5 + a) * lift)])
    singular = np.linalg.svd(matrix, compute_uv=False)
    assert singular[-1] < 1e-9 * singular[0]


def test_theodorsen_ends_at_one_and_one_half():
    # Theodorsen 1935: C(0) = 1, C(infinity) = 1/2.
    assert complex(theodorsen(1e-6)) == pytest.approx(1.0, abs=1e-4)
    assert complex(theodorsen(100.0)) == pytest.approx(0.5, abs=2e-3)


def test_balanced_section_ahead_of_its_axis_does_not_flutter():
    # Mass centre on or ahead of the elastic axis, axis at the quarter chord: the classical cure.
    cured = TypicalSection(
        axis=-0.5, imbalance=-0.1, radius_squared=0.5, frequency_ratio=0.4, mass_ratio=20.0
    )
    assert steady_flutter(cured) is None
    assert unsteady_flutter(cured) is None
    assert divergence_speed(cured) == math.inf


def test_steady_flutter_is_where_two_frequencies_meet():
    point = steady_flutter(EXAMPLE)
    lower, higher = (_steady_frequencies(EXAMPLE, point.speed * share) for share in (0.999, 1.001))
    assert np.abs(lower.imag).max() < 1e-6
    assert np.abs(higher.imag).max() > 1e-3


def _steady_frequencies(section, speed):
    mass = section.mass_ratio * np.array(
        [[1.0, section.imbalance], [section.imbalance, section.radius_squared]]
    )
    spring = section.mass_ratio * np.diag([section.frequency_ratio**2, section.radius_squared])
    air = speed**2 * np.array([[0.0, 2.0], [0.0, -(1 + 2 * section.axis)]])
    return np.sqrt(np.linalg.eigvals(np.linalg.solve(mass, spring + air)).astype(complex))


def test_real_fin_flutters_later_when_thicker_and_between_the_screens_bounds():
    thin, thick = fin_flutter(fin(thickness=0.004), 1.2), fin_flutter(fin(thickness=0.006), 1.2)
    assert thick.flutter_m_s > 1.5 * thin.flutter_m_s
    assert thick.divergence_m_s == pytest.approx(thin.divergence_m_s * 1.5**1.5, rel=1e-6)
    assert 0 < thin.flutter_hz < thin.modes.torsion_rad_s / (2 * math.pi)


def test_typical_section_is_taken_three_quarters_out():
    # Chord there: 0.26 less three quarters of 0.14; mass of the plate over that of the air cylinder round it.
    chord = 0.26 - 0.75 * 0.14
    expected = 1200.0 * 0.005 * chord / (math.pi * 1.2 * (chord / 2) ** 2)
    assert fin_flutter(fin(), 1.2).section.mass_ratio == pytest.approx(expected)


def test_twist_starts_at_nothing_and_runs_away():
    assert twist_growth(0.0) == (0.0, 1.0)
    assert twist_growth(0.99)[0] > 100.0
    base = TwistingFin(torsion_n_m2=50.0, span_m=0.3, chord_m=0.1, lift_ahead_m=0.025)
    assert divergence_pressure(replace(base, span_m=0.6)) == pytest.approx(divergence_pressure(base) / 4)


def test_wire_in_the_fin_plane_holds_nothing_across():
    assert stay_stiffness(0.001, 190e9, 0.2, 0.0).across_n_per_m == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: trapezoids(np.array([[0.0, 0.0], [1.0, 1.0]])),
        lambda: trapezoids(np.array([[0.0, 0.0], [1.0, math.nan], [2.0, 0.0]])),
        lambda: trapezoids(np.array([[0.0, 0.0], [1.0, -1.0], [2.0, 0.0]])),
        lambda: trapezoids(np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]])),
        lambda: fin_plan(np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1]])),
        lambda: fin_bending(RECTANGLE, 0.0, 1.0, 1e9),
        lambda: fin_bending(RECTANGLE, 0.005, math.nan, 1e9),
        lambda: fin_modes(fin(), degree=30),
        lambda: fin_flutter(fin(), 0.0),
        lambda: FinPlate(outline_m=RECTANGLE, thickness_m=0.005, modulus_pa=math.nan, density_kg_m3=1.0),
        lambda: flutter_screen_speed(fin_plan(SWEPT), 0.005, -1.0, **AIR),
        lambda: TypicalSection(
            axis=-0.2, imbalance=0.6, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20
        ),
        lambda: theodorsen([0.0, 1.0]),
        lambda: twist_growth(1.2),
        lambda: stay_stiffness(0.001, 190e9, 0.2, 2.0),
        lambda: cantilever_frequency_factor(0),
        lambda: TwistingFin(torsion_n_m2=50.0, span_m=0.3, chord_m=0.1, lift_ahead_m=0.0),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()
