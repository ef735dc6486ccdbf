"""A small change of the shape moves the pressure band a little: no rule switches on or off."""

from itertools import pairwise

import numpy as np
import pytest

from finial.aero.band.band import pressure_band
from finial.aero.body import body_air
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin

ANGLES = np.radians([0.0, 10.0])


def round_(across: float) -> np.ndarray:
    return ellipse(across / 2, across / 2, 90)


def ends(profile: list[tuple[float, float]]) -> np.ndarray:
    """Force slope per radian and the band's ends and centre in widths, in one row."""
    body = body_air(tapered_skin(round_, profile))
    band = pressure_band(body, (), ANGLES, [0.0])
    places = np.concatenate([band.forward_m, band.central_m, band.aft_m], axis=1) / body.width_m
    return np.concatenate([[band.slope.low, band.slope.value, band.slope.high], places.ravel()])


def steps_of(shapes: list[list[tuple[float, float]]]) -> float:
    """Largest step of anything from one shape to the next."""
    rows = [ends(profile) for profile in shapes]
    return max(float(np.abs(after - before).max()) for before, after in pairwise(rows))


def test_dead_air_that_just_closes_before_the_base() -> None:
    # Half-width boom behind a cone: the streamline lands at 150 mm; steps of half a millimetre. What
    # the air may follow grows with the run until there, a fortieth of a width a step.
    booms = [[(0, 0), (0.3, 0.1), (0.3, 0.05), (0.3 + x, 0.05)] for x in np.arange(0.146, 0.153, 0.0005)]
    assert steps_of(booms) < 0.05


def test_a_tail_that_just_becomes_steeper_than_the_dividing_streamline() -> None:
    # From 1 in 6.3 to 1 in 5.9, in steps of a thousandth.
    tails = [
        [(0, 0), (0.3, 0.1), (0.31, 0.1), (0.41, 0.1 - 0.2 * slope)]
        for slope in np.arange(0.158, 0.170, 0.001)
    ]
    assert steps_of(tails) < 0.10


def test_a_lip_that_grows_from_nothing_at_the_base() -> None:
    lips = [
        [(0, 0), (0.3, 0.1), (0.3, 0.1 - lip), (0.301, 0.1 - lip)] for lip in np.arange(0.0001, 0.003, 0.0001)
    ]
    assert steps_of(lips) < 0.10


def test_a_base_that_shrinks_until_its_tail_is_steep() -> None:
    bases = [[(0, 0), (0.2, 0.1), (0.5, 0.1), (0.6, base)] for base in np.arange(0.064, 0.07, 0.0005)]
    assert steps_of(bases) < 0.15


@pytest.mark.parametrize("depth", [1.0, 0.5, 0.2])
def test_a_box_turned_by_45_degrees_has_the_same_band(depth: float) -> None:
    def box(turn: float):
        c, s = np.cos(turn), np.sin(turn)

        def outline(across: float) -> np.ndarray:
            return regular_polygon(4, across, np.pi / 4) * [depth, 1.0] @ np.array([[c, s], [-s, c]])

        return body_air(tapered_skin(outline, [(0.0, 0.02), (0.3, 0.1), (1.0, 0.1)]))

    straight, turned = box(0.0), box(np.pi / 4)
    rolls = np.radians(np.arange(0.0, 360.0, 15.0))
    one = pressure_band(straight, (), ANGLES, rolls)
    other = pressure_band(turned, (), ANGLES, rolls + np.pi / 4)
    for name in ("bare_forward_m", "bare_central_m", "bare_aft_m"):
        found, expected = getattr(other, name), getattr(one, name)
        assert found == pytest.approx(expected, abs=4e-3 * straight.width_m), name
