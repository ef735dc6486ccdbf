"""Photos of a facade: a pinhole camera by its own formula, and what marks and lenses do to lengths."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.shape.facade import (
    FacadeMarks,
    bowed_px,
    by_several,
    facade_view,
    length_on,
    measured_length,
)

SIZE = (2000.0, 1500.0)
CORNERS_M = [[0, 0, 0], [6, 0, 0], [6, 9, 0], [0, 9, 0]]
ASKEW = {"yaw": 0.5, "pitch": 0.2, "camera_m": (1.0, 2.0, -20.0)}


def photo(points_m, *, yaw=0.0, pitch=0.0, camera_m=(3.0, 4.5, -20.0), focal_px=1500.0) -> np.ndarray:
    """x = f X / Z of a pinhole camera, the lens axis through the middle, y down."""
    cy, sy, cp, sp = math.cos(yaw), math.sin(yaw), math.cos(pitch), math.sin(pitch)
    turn = np.array([[1, 0, 0], [0, cp, -sp], [0, sp, cp]]) @ np.array([[cy, 0, -sy], [0, 1, 0], [sy, 0, cy]])
    seen = (np.asarray(points_m, dtype=float) - camera_m) @ turn.T
    return np.array(SIZE) / 2 + focal_px * seen[:, :2] / seen[:, 2:] * (1.0, -1.0)


def marks(click_px: float = 1.0, **view) -> FacadeMarks:
    corners = photo(CORNERS_M, **view)
    return FacadeMarks(
        size_px=SIZE, corners_px=corners, known_px=corners[:2], known_m=exact(6.0), click_px=click_px
    )


def test_the_camera_and_every_length_come_back() -> None:
    told = marks(**ASKEW)
    view = facade_view(told)
    assert view.focal_px == pytest.approx(1500.0, rel=1e-9)
    assert view.distance_m == pytest.approx(20.0, rel=1e-9)
    for ends in ([[1, 1, 0], [1, 8, 0]], [[0.5, 2, 0], [5, 7, 0]]):
        assert length_on(view, photo(ends, **ASKEW)) == pytest.approx(math.dist(*ends), rel=1e-9)


def moved_aside(by_px: float) -> FacadeMarks:
    askew = marks(**ASKEW)
    aside = np.array([by_px, 0.0])
    return replace(askew, corners_px=askew.corners_px + aside, known_px=askew.known_px + aside)


def test_where_the_lens_does_not_show_its_doubt_does_unless_it_is_told() -> None:
    """Looking up alone: only the uprights converge, and width to height hangs on the focal length."""
    upward = {"pitch": 0.3, "camera_m": (3.0, -2.0, -20.0)}
    ends = photo([[1, 1, 0], [1, 8, 0]], **upward)
    doubted = measured_length(marks(**upward), ends)
    assert facade_view(marks(**upward)).focal_px is None
    assert doubted.low < 7.0 < doubted.high
    assert doubted.half_width > 0.5
    told = measured_length(replace(marks(**upward), focal_px=1500.0), ends)
    assert told.value == pytest.approx(7.0, rel=1e-9)
    assert told.half_width < 0.2


def test_square_on_the_lens_does_not_show_and_the_proportions_still_do() -> None:
    view = facade_view(marks())
    assert (view.focal_px, view.distance_m) == (None, None)
    assert length_on(view, photo([[1, 1, 0], [1, 8, 0]])) == pytest.approx(7.0, rel=1e-9)


def test_what_stands_out_reads_too_long_by_its_share_of_the_distance() -> None:
    """One metre out of a facade 20 m away: 20 / 19."""
    ends = photo([[1, 1, -1], [1, 8, -1]], **ASKEW)
    assert length_on(facade_view(marks(**ASKEW)), ends) == pytest.approx(7.0 * 20 / 19, rel=1e-9)
    assert measured_length(marks(**ASKEW), ends, proud_m=1.0).value == pytest.approx(7.0, rel=1e-9)
    with pytest.raises(OutsideRange, match="how far away"):
        measured_length(marks(), ends, proud_m=1.0)
    with pytest.raises(OutsideRange, match="out of a facade 20 m away"):
        measured_length(marks(**ASKEW), ends, proud_m=21.0)


def test_the_interval_holds_what_random_marks_do() -> None:
    """Against 400 photos marked with errors of 2 px: their spread, within a seventh."""
    ends = photo([[1, 1, 0], [1, 8, 0]], **ASKEW)
    told = measured_length(marks(click_px=2.0, **ASKEW), ends)
    chance = np.random.default_rng(3)
    whole = marks(**ASKEW)
    found = []
    for _ in range(400):
        moved = replace(
            whole,
            corners_px=whole.corners_px + chance.normal(0.0, 2.0, (4, 2)),
            known_px=whole.known_px + chance.normal(0.0, 2.0, (2, 2)),
        )
        found.append(length_on(facade_view(moved), ends + chance.normal(0.0, 2.0, (2, 2))))
    assert told.half_width / 2 == pytest.approx(np.std(found), rel=1 / 7)
    assert told.value == pytest.approx(7.0, rel=1e-9)


def test_twice_the_error_of_a_mark_is_twice_the_interval_and_the_known_length_adds_its_own() -> None:
    ends = photo([[1, 1, 0], [1, 8, 0]], **ASKEW)
    one, two = (measured_length(marks(click_px=px, **ASKEW), ends) for px in (1.0, 2.0))
    assert two.half_width == pytest.approx(2 * one.half_width, rel=1e-9)
    loose = replace(marks(**ASKEW), known_m=spread(6.0, 0.02, known_by=KnownBy.MEASURED))
    told = measured_length(loose, ends)
    assert told.half_width == pytest.approx(math.hypot(one.half_width, 0.02 * 7.0), rel=1e-6)


def test_several_photos_weigh_by_their_errors_or_say_how_far_apart_they_are() -> None:
    """By hand: deviations of 0.01 and 0.005 weigh one to four; 0.03 apart they do not agree."""
    first = spread(2.0, 0.01, known_by=KnownBy.MEASURED)
    both = by_several([first, spread(2.03, 0.01 / 2.03, known_by=KnownBy.MEASURED)])
    assert both.length.value == pytest.approx((2.0 / 4 + 2.03) / (1 / 4 + 1))
    assert both.apart == pytest.approx(0.03 / math.hypot(0.01, 0.005))
    assert not both.agree
    near = by_several([first, spread(2.01, 0.01 / 2.01, known_by=KnownBy.MEASURED)])
    assert near.agree
    assert near.length.half_width == pytest.approx(2 / math.sqrt(1 / 0.01**2 + 1 / 0.005**2))
    # Apart, the Birge ratio widens it: chi squared of one degree of freedom is the square of `apart`.
    assert both.length.half_width == pytest.approx(near.length.half_width * both.apart)


def test_a_lens_that_bends_shows_on_a_straight_edge() -> None:
    edge = np.array([[0.0, 0.0], [30.0, 40.0], [60.0, 80.0]])
    assert bowed_px(edge) == pytest.approx(0.0, abs=1e-12)
    assert bowed_px(edge + np.array([[0, 0], [4, -3], [0, 0]])) == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: replace(marks(), corners_px=marks().corners_px[[0, 2, 1, 3]]), "go crosswise"),
        (lambda: replace(marks(), corners_px=marks().corners_px[:3]), "four corners"),
        (lambda: replace(marks(), click_px=0.0), "click_px"),
        (lambda: facade_view(replace(marks(), known_px=marks().known_px[[0, 0]])), "in one place"),
        # The photo cropped by 800 px on one side: its middle is no longer the lens's.
        (lambda: facade_view(moved_aside(800.0)), "no camera sees a rectangle so"),
        (lambda: bowed_px(np.zeros((2, 2))), "three places"),
        (lambda: by_several([]), "one of each"),
        (lambda: by_several([exact(1.0)]), "with its error"),
    ],
)
def test_what_no_photo_shows_is_refused(make, said) -> None:
    with pytest.raises(OutsideRange, match=said):
        make()
