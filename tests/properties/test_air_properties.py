"""Air loads under turning, mirroring, scaling, shifting and finer slicing of the same shape."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.aero.band.band import PressureBand, pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.outlines import outline_area, regular_polygon, section_of, skin_of, tapered_skin
from finial.aero.table.build import TableInputs, air_table
from finial.shape.fin_set import FinSet
from finial.shape.skin import Skin

ANGLES = np.radians([0.0, 8.0, 20.0])
ROLLS = np.radians(np.arange(0.0, 360.0, 15.0))
PROFILE = [
    (0.0, 0.03),
    (0.1, 0.12),
    (0.1, 0.08),
    (0.8, 0.1),
    (0.8, 0.14),
    (0.82, 0.14),
    (0.82, 0.1),
    (1.1, 0.1),
]


def plan(across_m: float) -> np.ndarray:
    """Outline without any symmetry: a skewed pentagon."""
    return across_m * np.array([[0.55, -0.1], [0.35, 0.5], [-0.3, 0.45], [-0.5, -0.2], [0.1, -0.6]])


def moved(skin: Skin, matrix: np.ndarray, shift: np.ndarray | None = None) -> Skin:
    """Skin with every outline mapped across the axis; loops stay counter-clockwise."""
    order = 1 if np.linalg.det(matrix) > 0 else -1
    offset = np.zeros(2) if shift is None else shift
    return skin_of(
        [
            section_of(s.station_m, [(loop @ matrix.T + offset)[::order] for loop in s.loops])
            for s in skin.sections
        ]
    )


def fins(first_at_rad: float, size: float = 1.0) -> FinSet:
    outline = size * np.array([[0.0, 0.0], [0.08, 0.1], [0.15, 0.1], [0.16, 0.0]])
    return FinSet(
        name="fins",
        outline_m=outline,
        station_m=0.9 * size,
        root_radius_m=0.05 * size,
        count=3,
        first_at_rad=first_at_rad,
        thickness_m=0.003 * size,
    )


def band(body: BodyAir, fin: FinSet, rolls: np.ndarray = ROLLS) -> PressureBand:
    return pressure_band(body, fin_air(body, [fin]), ANGLES, rolls)


@pytest.fixture(scope="module")
def odd_skin() -> Skin:
    return tapered_skin(plan, PROFILE, per_tier=12)


@pytest.fixture(scope="module")
def odd_band(odd_skin: Skin) -> PressureBand:
    return band(body_air(odd_skin), fins(0.2))


def same(left: PressureBand, right: PressureBand, scale: float = 1.0) -> None:
    for name in ("central_m", "forward_m", "aft_m", "bare_central_m", "bare_forward_m", "bare_aft_m"):
        assert getattr(left, name) / scale == pytest.approx(getattr(right, name), abs=1e-3)


def test_the_band_turns_with_the_vehicle(odd_skin: Skin, odd_band: PressureBand) -> None:
    turn = np.radians(40.0)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    turned = band(body_air(moved(odd_skin, matrix)), fins(0.2 + turn), ROLLS + turn)
    same(turned, odd_band)


def test_the_band_mirrors_with_the_vehicle(odd_skin: Skin, odd_band: PressureBand) -> None:
    mirrored = band(body_air(moved(odd_skin, np.diag([1.0, -1.0]))), fins(-0.2), -ROLLS)
    same(mirrored, odd_band)


def test_the_band_scales_with_the_vehicle(odd_skin: Skin, odd_band: PressureBand) -> None:
    larger = skin_of(
        [section_of(3.0 * s.station_m, [3.0 * loop for loop in s.loops]) for s in odd_skin.sections]
    )
    same(band(body_air(larger), fins(0.2, 3.0)), odd_band, scale=3.0)


def test_a_bare_stack_may_stand_beside_the_axis(odd_skin: Skin) -> None:
    here, there = (
        pressure_band(body_air(skin), (), ANGLES, ROLLS)
        for skin in (odd_skin, moved(odd_skin, np.eye(2), np.array([0.3, -0.2])))
    )
    assert there.central_m == pytest.approx(here.central_m, abs=1e-4)
    assert there.slope.value == pytest.approx(here.slope.value, rel=1e-4)


def test_finer_slices_hardly_move_the_band(odd_band: PressureBand) -> None:
    finer = band(body_air(tapered_skin(plan, PROFILE, per_tier=36)), fins(0.2))
    assert finer.central_m == pytest.approx(odd_band.central_m, abs=0.002 * 1.1)
    assert finer.forward_m == pytest.approx(odd_band.forward_m, abs=0.004 * 1.1)
    assert finer.slope.value == pytest.approx(odd_band.slope.value, rel=3e-3)


def test_mirror_images_push_opposite_ways(odd_skin: Skin) -> None:
    inputs = TableInputs(damping_centre_m=0.5)
    straight = air_table(body_air(odd_skin), (), inputs)
    mirrored = air_table(body_air(moved(odd_skin, np.diag([1.0, -1.0]))), (), inputs)
    assert mirrored.along == pytest.approx(straight.along[:, ::-1], rel=2e-3)
    assert mirrored.across == pytest.approx(-straight.across[:, ::-1], abs=2e-3 * straight.along.max())


@settings(max_examples=20, deadline=None)
@given(
    corners=st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(0.1, 0.9)), min_size=4, max_size=9),
    turn=st.floats(0.0, 6.0),
)
def test_any_outline_has_a_symmetric_positive_tensor_that_turns_with_it(
    corners: list[tuple[float, float]], turn: float
) -> None:
    angles = 2 * np.pi * (np.arange(len(corners)) + [share for _, share in corners]) / len(corners)
    outline = np.array([r for r, _ in corners])[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    tensor = added_mass_tensor([outline])
    turned = added_mass_tensor([outline @ matrix.T])
    assert tensor == pytest.approx(tensor.T)
    assert np.linalg.eigvalsh(tensor).min() > 0
    assert turned == pytest.approx(matrix @ tensor @ matrix.T, rel=0.01, abs=0.01 * np.trace(tensor))


@settings(max_examples=15, deadline=None)
@given(sides=st.integers(3, 12), stretch=st.floats(0.2, 1.0))
def test_no_outline_carries_less_than_the_circle_of_its_area_in_the_mean(sides: int, stretch: float) -> None:
    # Polya and Szego, Isoperimetric Inequalities, 1951 (from memory): of all outlines of equal
    # area the circle has the least mean added mass.
    outline = regular_polygon(sides, 1.0) * [1.0, stretch]
    mean = np.trace(added_mass_tensor([outline])) / 2
    assert mean > 0.996 * outline_area(outline)
