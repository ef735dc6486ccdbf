"""Wall rings, transformed sections and rods against closed forms."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.core.errors import OutsideRange
from finial.structure.walls.outline import polygon_moments, wall_area
from finial.structure.walls.section import rod_circle, rods_alone_strain, section_response

BOX = np.array([[-0.05, -0.03], [0.05, -0.03], [0.05, 0.03], [-0.05, 0.03]])
SETTINGS = settings(max_examples=25, deadline=None)


def circle(radius, corners=720):
    angles = 2 * np.pi * np.arange(corners) / corners
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def turned(points, angle):
    return points @ np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])


def test_box_ring_has_the_moments_of_two_rectangles():
    # I = b h^3 / 12, outer minus inner; any strength of materials text.
    ring = wall_area([BOX], 0.002)
    assert ring.area_m2 == pytest.approx(0.1 * 0.06 - 0.096 * 0.056)
    assert ring.second_m4[0, 0] == pytest.approx((0.06 * 0.1**3 - 0.056 * 0.096**3) / 12)
    assert ring.second_m4[1, 1] == pytest.approx((0.1 * 0.06**3 - 0.096 * 0.056**3) / 12)
    assert ring.flat_width_m == pytest.approx(0.1)


def test_round_ring_has_the_moments_of_a_tube():
    # A = pi (R^2 - r^2), I = pi (R^4 - r^4) / 4; the 720 corners fall short by 1 part in 40 000 at most.
    ring = wall_area([circle(0.05)], 0.003)
    assert ring.area_m2 == pytest.approx(math.pi * (0.05**2 - 0.047**2), rel=1e-4)
    assert ring.second_m4[0, 0] == pytest.approx(math.pi / 4 * (0.05**4 - 0.047**4), rel=1e-4)
    assert ring.round_radius_m == pytest.approx(0.05, rel=1e-4)
    assert ring.flat_width_m < 0.02


def test_infill_counts_by_its_square_and_full_infill_is_solid():
    empty, some, solid = (wall_area([BOX], 0.002, share).area_m2 for share in (0.0, 0.2, 1.0))
    assert some - empty == pytest.approx(0.04 * 0.096 * 0.056)
    assert solid == pytest.approx(wall_area([BOX], None).area_m2) == pytest.approx(0.006)


def test_walls_thicker_than_the_section_leave_no_inside():
    assert wall_area([BOX], 0.05).area_m2 == pytest.approx(0.006)


def test_two_towers_add():
    aside = BOX + np.array([0.2, 0.0])
    both = wall_area([BOX, aside], 0.002)
    alone = wall_area([aside], 0.002)
    assert both.area_m2 == pytest.approx(2 * alone.area_m2)
    assert both.first_m3[0] == pytest.approx(alone.area_m2 * 0.2)


@SETTINGS
@given(angle=st.floats(0.0, 6.3), shift=st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1)))
def test_turning_or_shifting_the_section_leaves_its_own_stiffness(angle, shift):
    rods = rod_circle(3, 0.05, 0.3)
    here = section_response(wall_area([BOX], 0.002), 2e9, rods, 2e-5, 7e10)
    there = section_response(
        wall_area([turned(BOX, angle) + shift], 0.002), 2e9, turned(rods, angle) + shift, 2e-5, 7e10
    )
    assert there.ea_n == pytest.approx(here.ea_n)
    assert there.wall_strain_per_n_m == pytest.approx(here.wall_strain_per_n_m, rel=1e-6)
    assert there.rod_strain_per_n_m == pytest.approx(here.rod_strain_per_n_m, rel=1e-6)
    assert np.linalg.eigvalsh(there.bending_n_m2) == pytest.approx(np.linalg.eigvalsh(here.bending_n_m2))


def test_worst_direction_is_found_by_turning_the_moment():
    # Brute force over 3600 directions of the moment against the closed form.
    response = section_response(wall_area([BOX], 0.002), 2e9)
    inverse = np.linalg.inv(response.bending_n_m2)
    angles = np.linspace(0, 2 * np.pi, 3600)
    moments = np.column_stack([np.cos(angles), np.sin(angles)])
    brute = np.abs(BOX @ inverse @ moments.T).max()
    assert response.wall_strain_per_n_m == pytest.approx(brute, rel=1e-6)


def test_thin_tube_bends_by_m_over_e_i():
    response = section_response(wall_area([circle(0.05)], 0.001), 2e9)
    inertia = math.pi / 4 * (0.05**4 - 0.049**4)
    assert response.wall_strain_per_n_m == pytest.approx(0.05 / (2e9 * inertia), rel=1e-4)
    assert response.rod_share == 0.0


def test_rods_alone_carry_bending_as_a_bolt_circle():
    # A bolt circle of n bolts and radius R: F = 2 M / (n R); Shigley, bolted joints.
    for count in (3, 4, 6):
        assert rods_alone_strain(rod_circle(count, 0.1)) == pytest.approx(2 / (count * 0.05))


def test_section_off_the_axis_says_so():
    response = section_response(wall_area([BOX + np.array([0.01, -0.02])], 0.002), 2e9)
    assert response.off_axis_m == pytest.approx(math.hypot(0.01, 0.02))


def test_clockwise_outline_is_taken_as_drawn_the_other_way():
    assert wall_area([BOX[::-1]], 0.002).area_m2 == pytest.approx(wall_area([BOX], 0.002).area_m2)
    assert polygon_moments(BOX[::-1])[0] == pytest.approx(-0.006)


@pytest.mark.parametrize(
    "make",
    [
        lambda: wall_area([], 0.002),
        lambda: wall_area([BOX], -0.002),
        lambda: wall_area([BOX], 0.002, 1.5),
        lambda: wall_area([BOX], 0.002, math.nan),
        lambda: polygon_moments(np.array([[0.0, 0.0], [1.0, 0.0]])),
        lambda: polygon_moments(np.array([[0.0, 0.0], [1.0, 0.0], [math.nan, 1.0]])),
        lambda: section_response(None, 0.0),
        lambda: section_response(None, 0.0, rod_circle(2, 0.1), 2e-5, 2e11),
        lambda: section_response(wall_area([BOX], 0.002), -1.0),
        lambda: rod_circle(0, 0.1),
    ],
)
def test_bad_numbers_are_refused(make):
    with pytest.raises(OutsideRange):
        make()
