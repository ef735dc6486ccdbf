"""Crossflow drag of sections: smooth in roll, sums, refusals."""

import numpy as np
import pytest
from drawn_bodies import rounded_square

from finial.aero.sections.crossflow import (
    drag_width_parts,
    finite_length_factor,
    lee_factor,
    section_edge,
    smooth_reynolds_factor,
    smooth_reynolds_range,
)
from finial.aero.sections.outlines import ellipse, regular_polygon
from finial.core.errors import OutsideRange

ROLLS = np.radians(np.arange(0.0, 361.0, 2.5))


def drag_width(loops, rolls_rad):
    return drag_width_parts(loops, rolls_rad)[:2].sum(axis=0)


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
    drag = drag_width([outline], ROLLS)
    assert np.abs(np.diff(drag)).max() < 0.12 * drag.mean()
    assert drag[0] == pytest.approx(drag[-1])


def test_a_circle_drags_alike_all_round_however_it_is_faceted() -> None:
    for corners in (24, 48, 96, 360):
        drag = drag_width([ellipse(0.5, 0.5, corners)], ROLLS)
        assert drag == pytest.approx(1.2, rel=0.05)


def test_rounding_the_corners_lowers_the_drag() -> None:
    drags = [drag_width([rounded_square(1.0, r)], [0.0])[0] for r in (0.01, 0.05, 0.12)]
    assert drags == sorted(drags, reverse=True)


def test_outlines_side_by_side_add() -> None:
    one = regular_polygon(6, 1.0)
    beside = np.abs(np.cos(ROLLS)) > 0.5
    both = drag_width([one, one + np.array([0.0, 5.0])], ROLLS[beside])
    assert both == pytest.approx(2 * drag_width([one], ROLLS[beside]))


def test_posts_in_the_lee_of_others_count_by_the_solidity_of_the_row() -> None:
    # EN 1991-1-4, figures 7.33 and 7.34 (from memory): a square lattice tower over one of its faces,
    # 3.5 / 1.9, 2.7 / 1.7 and 2.1 / 1.6 at a solidity of 0.1, 0.3 and 0.5.
    for solidity, rows in ((0.1, 3.5 / 1.9), (0.3, 2.7 / 1.7), (0.5, 2.1 / 1.6)):
        count, gap = 5, 1.0
        post = regular_polygon(4, 1.0, np.pi / 4) * solidity * gap * count / (count - 1 + solidity) / count
        width = float(np.ptp(post[:, 1]))
        row = [post + np.array([0.0, place]) for place in np.linspace(0.0, gap - width, count)]
        both = [*row, *(loop + np.array([3.0, 0.0]) for loop in row)]
        front = drag_width(row, [0.0])[0]
        covered = count * width / gap
        assert covered == pytest.approx(solidity, rel=0.3)
        assert drag_width(both, [0.0])[0] / front == pytest.approx(1 + (1 - covered) ** 1.6)
        assert 1 + (1 - solidity) ** 1.6 == pytest.approx(rows, rel=0.03)


def test_turning_a_pair_of_posts_is_smooth_from_beside_to_behind() -> None:
    post = regular_polygon(6, 1.0)
    pair = [post, post + np.array([3.0, 0.0])]
    fine = np.radians(np.arange(0.0, 91.0, 1.0))
    factor = lee_factor(pair, fine)
    assert np.all((factor > 0.49) & (factor <= 1.0))
    assert np.all(np.diff(factor) > -1e-9)
    assert np.abs(np.diff(factor)).max() < 0.05


def test_sharpness_ranks_polygons() -> None:
    ranks = [section_edge(regular_polygon(n, 1.0)).sharpness for n in (4, 6, 8, 12, 24)]
    assert ranks == sorted(ranks, reverse=True)


def test_refusals() -> None:
    with pytest.raises(OutsideRange, match="finite"):
        drag_width([np.array([[0.0, 0.0], [np.inf, 0.0], [0.0, 1.0]])], [0.0])
    with pytest.raises(OutsideRange, match="positive"):
        finite_length_factor(0.0)


def test_a_square_that_turns_is_pushed_towards_the_face_it_shows() -> None:
    # EN 1991-1-4 table E.7 has a galloping factor of 1.2 for a square: side force falls by that and
    # its drag, 3.3 per radian in all (from memory, not re-read). Here it is weaker, of the same sign.
    turn = np.radians([0.0, 2.0, 45.0])
    side = drag_width_parts([regular_polygon(4, 1.0, np.pi / 4)], turn)[2]
    assert -3.3 < side[1] / turn[1] < -1.5
    assert side[[0, 2]] == pytest.approx(0.0, abs=1e-6)


def test_a_thin_plate_is_pushed_along_its_normal() -> None:
    # Pressure on a flat face has no part along the face; arithmetic.
    turn = np.radians([20.0, 40.0])
    sharp, _, side = drag_width_parts([regular_polygon(4, 1.0, np.pi / 4) * [0.01, 1.0]], turn)
    assert side / sharp == pytest.approx(-np.tan(turn), rel=0.03)


def test_round_and_rounded_outlines_are_hardly_pushed_aside() -> None:
    square, rounded, circle = (
        np.abs(drag_width_parts([outline], ROLLS)[2]).max()
        for outline in (regular_polygon(4, 1.0, np.pi / 4), rounded_square(1.0, 0.2), ellipse(0.5, 0.5))
    )
    assert rounded < 0.15 * square
    assert circle < 0.01 * square


def test_the_range_at_a_reynolds_number_holds_what_the_flow_may_act_as() -> None:
    for reynolds in (0.0, 3e4, 1e5, 3e5, 2e6, 1e8):
        low, high = smooth_reynolds_range(reynolds)
        assert 0.0 < low < smooth_reynolds_factor(reynolds) < high
    # Slow air cannot have lost the drag, fast air cannot have kept it.
    assert smooth_reynolds_range(2e4)[0] == pytest.approx(0.75)
    assert smooth_reynolds_range(2e6)[1] < 0.75


@pytest.mark.parametrize("reynolds", [-1.0, np.nan, np.inf])
def test_a_reynolds_number_that_is_none_is_refused(reynolds: float) -> None:
    with pytest.raises(OutsideRange, match="0 or more"):
        smooth_reynolds_factor(reynolds)
