"""From which angle vortices stand lopsided: rules from memory, and shapes by hand."""

import math

import pytest

from finial.aero.body import body_air
from finial.aero.lopsided_vortices import lopsided_from, tip_half_angle
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.core.errors import OutsideRange


def degrees(half_angle: float, slenderness: float) -> float:
    return math.degrees(lopsided_from(math.radians(half_angle), slenderness).value)


def test_a_sharp_cone_goes_by_its_tip_and_a_long_tube_by_its_length() -> None:
    # Keener and Chapman 1977: twice the half angle; Ericsson and Reding 1986: 4.2 widths over the length.
    assert degrees(5.0, 5.7) == pytest.approx(10.0)
    assert degrees(90.0, 10.0) == pytest.approx(math.degrees(math.atan(0.42)))
    assert degrees(14.0, 8.0) < 28.0
    assert degrees(14.0, 4.0) == pytest.approx(28.0)


def test_the_range_holds_what_was_seen_on_an_ogive() -> None:
    # Tangent ogive 3.5 widths long with a tube, ten in all: 25 to 30 degrees (Keener 1976, from memory).
    half_angle = 0.5 * (math.atan(1 / (2 * 3.5)) + 2 * math.atan(1 / (2 * 3.5)))
    found = lopsided_from(half_angle, 10.0)
    assert math.degrees(found.low) < 25.0 < math.degrees(found.high) < 30.0


def test_no_angle_lies_beyond_a_right_one() -> None:
    assert lopsided_from(math.pi / 2, 0.1).high == pytest.approx(math.pi / 2)


@pytest.mark.parametrize("given", [(0.0, 5.0), (0.2, 0.0), (-0.1, 5.0)])
def test_shapes_that_cannot_be_are_refused(given: tuple[float, float]) -> None:
    with pytest.raises(OutsideRange):
        lopsided_from(*given)


def half_angle(profile: list[tuple[float, float]]) -> float:
    return math.degrees(tip_half_angle(body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile))))


def test_half_angles_of_a_cone_a_flat_front_and_a_needle() -> None:
    assert half_angle([(0.0, 0.0), (0.2, 0.1)]) == pytest.approx(math.degrees(math.atan(0.25)), abs=0.1)
    assert half_angle([(0.0, 0.1), (0.4, 0.1)]) == 90.0
    # The roof is where the width comes, not the needle on it: 60 mm of needle, then the roof at once.
    needle = half_angle([(0.0, 0.0), (0.06, 0.004), (0.0601, 0.1), (0.4, 0.1)])
    assert needle == pytest.approx(90.0, abs=0.5)
