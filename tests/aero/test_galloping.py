"""Flats that drive a swing across the wind: against the galloping factor of EN 1991-1-4, and by hand."""

import math

import numpy as np
import pytest
from drawn_bodies import rounded_square

from finial.aero.body import BodyAir, body_air
from finial.aero.galloping import STEEPER, galloping
from finial.aero.sections.outlines import ellipse, regular_polygon, tapered_skin
from finial.core.errors import OutsideRange

SIDE, LENGTH = 0.1, 1.0


def prism(outline) -> BodyAir:
    return body_air(tapered_skin(outline, [(0.0, SIDE), (LENGTH, SIDE)]))


@pytest.fixture(scope="module")
def square() -> BodyAir:
    return prism(lambda side: regular_polygon(4, side, math.pi / 4))


def factor(body: BodyAir, steeper: float) -> float:
    """Galloping factor: driving width over the side, without the loss over the ends [-]."""
    ends = body.drag_areas_m2[0] / (2.0 * SIDE * LENGTH)
    return float(galloping(body, steeper).areas_m2.max() / ends / (SIDE * LENGTH))


def test_a_square_has_the_factor_of_the_standard(square: BodyAir) -> None:
    # EN 1991-1-4, table E.7: 1.2 (from memory); Parkinson and Smith 1964, smooth flow: 2.69 (from memory).
    # A difference over five degrees takes 4 % of a slope of 3.2, and of 4.7.
    assert factor(square, STEEPER[1]) == pytest.approx(1.2, abs=0.15)
    assert factor(square, STEEPER[2]) == pytest.approx(2.69, abs=0.25)


def test_it_drives_face_on_and_damps_corner_on(square: BodyAir) -> None:
    drive = galloping(square).areas_m2
    face, corner = (int(np.argmin(np.abs(square.rolls_rad - angle))) for angle in (0.0, math.pi / 4))
    assert drive[face] > 0.0 > drive[corner]
    assert drive[0] == pytest.approx(drive[-1], rel=1e-9)


def test_moments_are_those_of_a_prism(square: BodyAir) -> None:
    found = galloping(square)
    area, face = found.areas_m2[0], 0
    assert found.moments_m3[face] == pytest.approx(area * LENGTH / 2, rel=1e-3)
    # A rod about its middle: a twelfth of the length squared.
    middle = found.inertias_m4 - LENGTH * found.moments_m3 + LENGTH**2 / 4 * found.areas_m2
    assert middle[face] == pytest.approx(area * LENGTH**2 / 12, rel=1e-2)


@pytest.mark.parametrize("outline", [lambda d: ellipse(d / 2, d / 2), lambda s: rounded_square(s, 0.3 * s)])
def test_round_shapes_and_round_corners_only_damp(outline) -> None:
    assert galloping(prism(outline), STEEPER[2]).areas_m2.max() < 0.0


def test_a_slope_below_nothing_is_refused(square: BodyAir) -> None:
    with pytest.raises(OutsideRange, match="steeper"):
        galloping(square, -1.0)
