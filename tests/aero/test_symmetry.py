"""Shapes that repeat round their axis are worked out over one repeat, and nothing changes but the time."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import finial.aero.band.band as band_module
import finial.aero.table.build as table_module
from finial.aero.band.band import pressure_band
from finial.aero.body import BodyAir, body_air
from finial.aero.fins.on_body import fin_air, loads_repeat
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.aero.sections.symmetry import ALIKE, is_even, repeats_per_turn, rolls_needed
from finial.aero.table.build import TableInputs, air_table
from finial.shape.fin_set import FinSet

STRAIGHT = [(0.0, 0.02), (0.3, 0.1), (1.0, 0.1)]
ROLLS = np.radians(np.arange(0.0, 360.0, 15.0))
SHAPES = {
    "circle": (lambda d: ellipse(d / 2, d / 2), 144),
    "square": (lambda d: regular_polygon(4, d, 0.1), 4),
    "hexagon": (lambda d: regular_polygon(6, d), 6),
    "triangle": (lambda d: regular_polygon(3, d), 3),
    "ellipse": (lambda d: ellipse(d / 2, d / 4), 2),
    "kite": (lambda d: np.array([[d, 0.0], [0.0, d / 2], [-d / 2, 0.0], [0.0, -d / 2]]), 1),
    "beside its axis": (lambda d: ellipse(d / 2, d / 2) + np.array([d / 4, 0.0]), 1),
}


@pytest.mark.parametrize("scale", [1e-6, 1.0, 1e6])
@pytest.mark.parametrize(("other", "even"), [(1.003, True), (1.005, False)])
def test_even_is_within_two_thousandths_of_the_largest_whatever_the_unit(scale, other, even) -> None:
    """1 beside 1.003 is 0.0015 either side of their mean, 1 beside 1.005 is 0.0025."""
    assert is_even(scale * np.array([np.eye(2), np.diag([1.0, other])])) is even


@pytest.mark.parametrize("shape", SHAPES)
def test_repeats_are_those_of_the_outline(shape: str) -> None:
    outline, expected = SHAPES[shape]
    assert body_air(tapered_skin(outline, STRAIGHT)).repeats == expected


def test_fins_keep_or_break_the_repeats(square_tower: BodyAir, four_fins: Callable[..., FinSet]) -> None:
    def repeats(count: int) -> int:
        return loads_repeat(square_tower, fin_air(square_tower, [replace(four_fins(), count=count)]))

    assert (repeats(4), repeats(2), repeats(1)) == (4, 2, 2)


@pytest.mark.parametrize("shape", ["square", "hexagon", "circle"])
def test_the_band_is_the_same_as_without_symmetry(
    shape: str, four_fins: Callable[..., FinSet], monkeypatch: pytest.MonkeyPatch
) -> None:
    body = body_air(tapered_skin(SHAPES[shape][0], STRAIGHT))
    fins = fin_air(body, [four_fins()])
    angles = np.radians([0.0, 10.0, 25.0])
    quick = pressure_band(body, fins, angles, ROLLS)
    monkeypatch.setattr(band_module, "rolls_needed", lambda repeats, rolls: len(rolls))
    slow = pressure_band(body, fins, angles, ROLLS)
    for name in ("central_m", "forward_m", "aft_m", "bare_forward_m"):
        assert getattr(quick, name) == pytest.approx(getattr(slow, name), abs=2 * ALIKE * body.width_m)


@pytest.mark.parametrize("aside", [0.0, 5e-4, 1.5e-3, 5e-3])
def test_the_table_is_the_same_as_without_symmetry(aside: float, monkeypatch: pytest.MonkeyPatch) -> None:
    # A body a little off its axis is turned one way or the other by wind, never one way by all winds.
    body = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2) + np.array([0.1 * aside, 0.0]), STRAIGHT))
    inputs = TableInputs(damping_centre_m=0.5)
    quick = air_table(body, (), inputs)
    monkeypatch.setattr(table_module, "rolls_needed", lambda repeats, rolls: len(rolls))
    slow = air_table(body, (), inputs)
    for name in ("along", "across", "along_moment", "roll_moment"):
        found, expected = getattr(quick, name), getattr(slow, name)
        assert found == pytest.approx(expected, abs=2 * ALIKE * np.abs(slow.along).max()), name
    assert np.abs(quick.roll_moment[:, :-1].mean(axis=1)).max() < 1e-6


def test_a_profile_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="145 roll angles: got 10"):
        repeats_per_turn(np.eye(2)[None], [np.zeros((1, 10))])


def test_roll_angles_that_are_no_whole_turn_are_all_needed() -> None:
    assert rolls_needed(4, np.radians([0.0, 30.0, 45.0])) == 3
    assert rolls_needed(144, np.array([0.3])) == 1
