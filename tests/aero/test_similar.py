"""Sections that are copies of one another are solved once."""

import numpy as np
import pytest

from finial.aero.sections.added_mass import added_mass_tensor
from finial.aero.sections.outlines import regular_polygon, section_of
from finial.aero.sections.similar import per_shape, section_tensors
from finial.core.errors import MeshError

OUTLINE = regular_polygon(5, 1.0, 0.1) * [1.0, 0.6]


def test_scaled_and_shifted_copies_need_one_solve() -> None:
    stack = [section_of(float(i), [OUTLINE * (0.2 + i) + [0.1 * i, -0.3 * i]]) for i in range(6)]
    tensors, solves = section_tensors(stack)
    assert solves == 1
    assert tensors[4] == pytest.approx(added_mass_tensor(stack[4].loops), rel=1e-6, abs=1e-9)


def test_a_turned_copy_is_another_shape() -> None:
    turn = np.array([[0.0, 1.0], [-1.0, 0.0]])
    tensors, solves = section_tensors([section_of(0.0, [OUTLINE]), section_of(1.0, [OUTLINE @ turn])])
    assert solves == 2
    assert tensors[1, 0, 0] == pytest.approx(tensors[0, 1, 1], rel=1e-3)


def test_a_slow_morph_is_solved_again_and_again() -> None:
    stack = [section_of(float(i), [OUTLINE * [1.0, 1.0 + 0.1 * i]]) for i in range(5)]
    assert section_tensors(stack)[1] == 5


def test_walls_that_lean_little_do_not_stand_still_between_close_cuts() -> None:
    # Copies within two thousandths made steps of the outline between cuts of a millimetre.
    stack = [section_of(float(i), [OUTLINE * [1.0, 1.0 + 5e-4 * i]]) for i in range(9)]
    tensors, _ = section_tensors(stack)
    exact = np.array([added_mass_tensor(each.loops) for each in stack])
    assert np.abs(tensors / exact - 1.0)[:, [0, 1], [0, 1]].max() < 6e-4


def test_a_point_takes_its_shape_from_its_neighbour() -> None:
    stack = [section_of(0.0, [OUTLINE * 1e-6]), section_of(1.0, [OUTLINE])]
    tensors, solves = section_tensors(stack)
    assert solves == 1
    assert tensors[0] == pytest.approx(tensors[1] * 1e-12, rel=1e-6)


def test_a_skin_without_area_is_refused() -> None:
    with pytest.raises(MeshError, match="no section"):
        per_shape([section_of(0.0, [np.zeros((3, 2))])], added_mass_tensor)


def test_outlines_that_touch_are_no_copies_of_two_with_a_gap_between_them() -> None:
    # Moments and perimeters are the same to a thousandth; the air that goes round both is not.
    left = np.array([[-1.0, -0.5], [-0.001, -0.5], [-0.001, 0.5], [-1.0, 0.5]])
    gaps = [0.0, 0.002, 0.02]
    pairs = [
        section_of(float(i), [left, left[::-1] * [-1.0, 1.0] + [gap, 0.0]]) for i, gap in enumerate(gaps)
    ]
    whole = section_of(9.0, [np.array([[-1.0, -0.5], [1.0, -0.5], [1.0, 0.5], [-1.0, 0.5]])])
    tensors, solves = section_tensors([*pairs, whole])
    assert solves == 4
    assert tensors[3] == pytest.approx(added_mass_tensor(whole.loops), rel=1e-6, abs=1e-9)
