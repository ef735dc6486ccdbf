"""Added mass of plane sections: symmetries, joints, refusals."""

import numpy as np
import pytest

from finial.aero.sections.added_mass import added_mass_tensor, added_roll_inertia
from finial.aero.sections.outlines import ellipse, regular_polygon
from finial.core.errors import MeshError, OutsideRange


def plate(start: float, end: float, roll: float = 0.0) -> np.ndarray:
    return np.outer([start, end], [np.cos(roll), np.sin(roll)])


def test_a_free_plate_carries_the_mass_of_its_circle() -> None:
    # Lamb, Hydrodynamics, article 71: pi a^2 across, nothing along.
    tensor = added_mass_tensor([], [plate(-1.0, 1.0)])
    assert tensor[1, 1] == pytest.approx(np.pi, rel=2e-3)
    assert tensor[0, 0] == pytest.approx(0.0, abs=1e-9)


def test_a_thin_polygon_is_a_plate() -> None:
    thin = np.array([[-1.0, -0.005], [1.0, -0.005], [1.0, 0.005], [-1.0, 0.005]])
    assert added_mass_tensor([thin])[1, 1] == pytest.approx(np.pi, rel=0.02)


def test_far_bodies_do_not_feel_each_other() -> None:
    alone = added_mass_tensor([ellipse(1.0, 1.0)])
    pair = added_mass_tensor([ellipse(1.0, 1.0), ellipse(1.0, 1.0) + np.array([100.0, 0.0])])
    assert pair == pytest.approx(2 * alone, rel=5e-3, abs=5e-3)


def test_two_close_bodies_shield_each_other_in_line() -> None:
    # Two circles in line with the motion carry less than alone, side by side more
    # (Lamb, Hydrodynamics, article 98, from memory: sign of the interaction).
    pair = added_mass_tensor([ellipse(1.0, 1.0), ellipse(1.0, 1.0) + np.array([2.5, 0.0])], panels=160)
    assert pair[0, 0] < 2 * np.pi < pair[1, 1]


def test_a_gap_at_the_root_costs_a_tenth() -> None:
    body = ellipse(1.0, 1.0, 720)
    joined = added_mass_tensor([body], [plate(1.0, 2.0)])[1, 1]
    apart = added_mass_tensor([body], [plate(1.02, 2.0)], plate_panels=30)[1, 1]
    bare = added_mass_tensor([body])[1, 1]
    assert 0.6 < (apart - bare) / (joined - bare) < 0.9


def test_the_tensor_does_not_depend_on_where_the_section_stands() -> None:
    outline = regular_polygon(5, 1.0, 0.3) * [1.0, 0.4]
    here = added_mass_tensor([outline])
    there = added_mass_tensor([outline + np.array([7.0, -3.0])])
    assert there == pytest.approx(here, rel=1e-6, abs=1e-9)


def test_outlines_may_run_either_way_and_slivers_do_not_count() -> None:
    square = regular_polygon(4, 1.0)
    sliver = np.array([[2.0, 0.0], [2.1, 0.0], [2.1, 1e-8]])
    assert added_mass_tensor([square[::-1], sliver]) == pytest.approx(added_mass_tensor([square]), rel=1e-3)


@pytest.mark.parametrize(
    ("loops", "error", "words"),
    [
        ([], OutsideRange, "at least one outline"),
        ([np.array([[0.0, 0.0], [1.0, np.nan], [1.0, 1.0]])], OutsideRange, "finite"),
        ([np.zeros((4, 2))], MeshError, "no size"),
        ([np.array([[0.0, 0.0], [1.0, 0.0]])], MeshError, "three distinct points"),
    ],
)
def test_refusals_say_what_is_wrong(loops: list[np.ndarray], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        added_mass_tensor(loops)


PLATE = np.array([[-1.0, 0.0], [1.0, 0.0]])
CROSS = [
    np.array([[0.01, 0.0], [1.0, 0.0]]) @ turn
    for turn in (np.array([[c, s], [-s, c]]) for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1)))
]
TURNED = {
    # From memory of Newman, Marine Hydrodynamics, 1977, table 4.3; the circle beside its axis by arithmetic.
    "circle": ([ellipse(1.0, 1.0)], [], 0.0),
    "circle beside its axis": ([ellipse(1.0, 1.0) + np.array([0.0, 2.0])], [], 4 * np.pi),
    "ellipse 2:1": ([ellipse(2.0, 1.0)], [], np.pi / 8 * (4 - 1) ** 2),
    "ellipse 10:1": ([ellipse(1.0, 0.1)], [], np.pi / 8 * (1 - 0.01) ** 2),
    "square": ([regular_polygon(4, 2.0)], [], 0.725),
    "plate": ([], [PLATE], np.pi / 8),
    "cross": ([ellipse(0.01, 0.01)], CROSS, 2 / np.pi),
}


@pytest.mark.parametrize("name", TURNED)
def test_turned_sections_against_closed_forms(name: str) -> None:
    loops, plates, expected = TURNED[name]
    assert added_roll_inertia(loops, plates) == pytest.approx(expected, rel=0.01, abs=1e-9)
