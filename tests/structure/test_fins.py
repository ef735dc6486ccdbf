"""Fins: outlines, bending, modes, the flutter screen."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.structure.fins.air_states import air_states
from finial.structure.fins.modal_flutter import FinSwinging, first_growth
from finial.structure.fins.outline import FinPlan, chords, fin_plan, trapezoids
from finial.structure.fins.plate import FinPlate
from finial.structure.fins.plate_answers import plate_modes
from finial.structure.fins.plate_model import plate_model
from finial.structure.fins.quick_plate import fin_bending, fin_reserve
from finial.structure.fins.screen import flutter_screen, flutter_screen_speed

SETTINGS = settings(max_examples=20, deadline=None)
RECTANGLE = np.array([[0.0, 0.0], [0.0, 0.2], [0.1, 0.2], [0.1, 0.0]])
SWEPT = np.array([[0.0, 0.0], [0.12, 0.16], [0.24, 0.16], [0.26, 0.0]])
AIR = {"sound_m_s": 340.0, "pressure_pa": 101_325.0}


def fin(outline=SWEPT, thickness=0.005):
    return FinPlate(outline_m=outline, thickness_m=thickness, modulus_pa=2.3e9, density_kg_m3=1200.0)


def frequencies(plate, count=4):
    return plate_modes(plate_model(plate), count=count).frequencies_rad_s


def test_rectangular_fin_is_the_even_load_cantilever():
    bent = fin_bending(RECTANGLE, 0.004, 30.0, 2e9)
    stiffness = 2e9 * 0.1 * 0.004**3 / 12
    assert bent.tip_deflection_m == pytest.approx(150.0 * 0.2**4 / (8 * stiffness), rel=1e-5)
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


def test_fin_reserve_uses_the_worst_force():
    force = spread(60.0, 0.25, known_by=KnownBy.COMPUTED)
    thick = spread(0.005, 0.1, known_by=KnownBy.MEASURED)
    entry = fin_reserve(SWEPT, thick, force, exact(60e6), station_m=0.93)
    strong = fin_bending(SWEPT, 0.0045, 75.0, 2e9).stress_pa
    assert entry.reserve.low == pytest.approx(60e6 / strong)
    assert fin_reserve(SWEPT, thick, exact(-60.0), exact(60e6), station_m=0.9).load.value > 0


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
    here, there = frequencies(fin()), frequencies(fin(SWEPT * size, 0.005 * thick))
    np.testing.assert_allclose(there, here * thick / size**2, rtol=1e-4)


def test_mirrored_fin_rings_the_same():
    flipped = np.column_stack([-SWEPT[:, 0], SWEPT[:, 1]])
    np.testing.assert_allclose(frequencies(fin(flipped)), frequencies(fin()), rtol=1e-3)


def test_a_corner_on_a_straight_edge_changes_nothing():
    extra = np.insert(SWEPT, 1, (SWEPT[0] + SWEPT[1]) / 2, axis=0)
    np.testing.assert_allclose(frequencies(fin(extra)), frequencies(fin()), rtol=2e-3)


@pytest.mark.parametrize("chord", [0.05, 0.02])
def test_a_narrow_strip_is_a_beam_and_a_torsion_bar(chord):
    # nu = 0: Blevins, beam root 3.516; thin strip in torsion, omega = pi / (2 s) sqrt(G J / (rho I_p)).
    strip = np.array([[0.0, 0.0], [0.0, 1.0], [chord, 1.0], [chord, 0.0]])
    modes = plate_modes(
        plate_model(
            FinPlate(outline_m=strip, thickness_m=0.001, modulus_pa=2e9, density_kg_m3=1000.0, poisson=0.0)
        ),
        count=10,
    )
    beam = 3.51602 * math.sqrt(2e9 * 0.001**2 / 12 / 1000.0)
    assert modes.frequencies_rad_s[~modes.twists][0] == pytest.approx(beam, rel=1e-4)
    bar = math.pi / 2 * math.sqrt(1e9 * chord * 0.001**3 / 3 / (1000.0 * 0.001 * chord**3 / 12))
    assert modes.frequencies_rad_s[modes.twists][0] == pytest.approx(bar, rel=0.02)


def test_screen_interval_spans_both_readings_and_the_modulus():
    plan = FinPlan(root_chord_m=0.18, tip_chord_m=0.09, span_m=0.11)
    speed = flutter_screen(plan, exact(0.006), spread(0.85e9, 0.2, known_by=KnownBy.HANDBOOK), **AIR)
    assert speed.low == pytest.approx(flutter_screen_speed(plan, 0.006, 0.68e9, ratio_to="root", **AIR))
    assert speed.high == pytest.approx(flutter_screen_speed(plan, 0.006, 1.02e9, ratio_to="mean", **AIR))
    assert speed.low < speed.value < speed.high
    assert speed.known_by is KnownBy.ASSUMED  # which reading is meant


def test_thicker_fins_and_thinner_air_flutter_later():
    plan = fin_plan(SWEPT)
    base = flutter_screen_speed(plan, 0.005, 0.8e9, **AIR)
    assert flutter_screen_speed(plan, 0.010, 0.8e9, **AIR) == pytest.approx(base * 2**1.5)
    high = flutter_screen_speed(plan, 0.005, 0.8e9, sound_m_s=340.0, pressure_pa=101_325.0 / 4)
    assert high == pytest.approx(2 * base)


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
        lambda: FinPlate(outline_m=RECTANGLE, thickness_m=0.005, modulus_pa=math.nan, density_kg_m3=1.0),
        lambda: flutter_screen_speed(fin_plan(SWEPT), 0.005, -1.0, **AIR),
    ],
)
def test_bad_numbers_are_refused(call):
    with pytest.raises(OutsideRange):
        call()


def test_flutter_of_a_fin_as_soft_as_a_sail_is_found_below_a_metre_a_second():
    """One mode that the air pushes as it stands: stiffness 0.125 is used up at 0.5 m/s."""
    k = np.linspace(0.0, 1.0, 9)
    push = air_states(k, np.ones((9, 1, 1), dtype=complex))
    soft = FinSwinging(mass=np.eye(1), stiffness=np.array([[0.125]]), air=push, half_chord_m=0.1)
    found = first_growth(soft, 1.0, np.linspace(0.1, 2.0, 8))
    assert found.speed_m_s == pytest.approx(0.5, rel=1e-3)
    assert found.frequency_hz == 0.0
