"""Crossflow drag of sections: smooth in roll, sums, refusals."""

import numpy as np
import pytest

from finial.aero.crossflow import finite_length_factor, section_drag_width, section_edge
from finial.aero.outlines import ellipse, regular_polygon, rounded_square
from finial.core.errors import OutsideRange

ROLLS = np.radians(np.arange(0.0, 361.0, 2.5))


@pytest.mark.parametrize(
    "outline",
    [
        regular_polygon(4, 1.0, np.pi / 4),
        regular_polygon(3, 1.0),
        regular_polygon(8, 1.0),
        regular_polygon(4, 1.0, np.pi / 4) * [3.0, 1.0],
        rounded_square(1.0, 0.2),
    ],
)
def test_drag_changes_smoothly_with_roll(outline: np.ndarray) -> None:
    drag = section_drag_width([outline], ROLLS)
    assert np.abs(np.diff(drag)).max() < 0.12 * drag.mean()
    assert drag[0] == pytest.approx(drag[-1])


def test_a_circle_drags_alike_all_round_however_it_is_faceted() -> None:
    for corners in (24, 48, 96, 360):
        drag = section_drag_width([ellipse(0.5, 0.5, corners)], ROLLS)
        assert drag == pytest.approx(1.2, rel=0.05)


def test_rounding_the_corners_lowers_the_drag() -> None:
    drags = [section_drag_width([rounded_square(1.0, r)], [0.0])[0] for r in (0.01, 0.05, 0.12)]
    assert drags == sorted(drags, reverse=True)


def test_outlines_side_by_side_add() -> None:
    one = regular_polygon(6, 1.0)
    both = section_drag_width([one, one + np.array([0.0, 5.0])], ROLLS)
    assert both == pytest.approx(2 * section_drag_width([one], ROLLS))


def test_sharpness_ranks_polygons() -> None:
    ranks = [section_edge(regular_polygon(n, 1.0)).sharpness for n in (4, 6, 8, 12, 24)]
    assert ranks == sorted(ranks, reverse=True)


def test_refusals() -> None:
    with pytest.raises(OutsideRange, match="finite"):
        section_drag_width([np.array([[0.0, 0.0], [np.inf, 0.0], [0.0, 1.0]])], [0.0])
    with pytest.raises(OutsideRange, match="positive"):
        finite_length_factor(0.0)
