"""Plates that close a bay: how holes, corners, rims and washers move what they bear."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.structure.walls.closing_plates import (
    ClosingPlate,
    bent_by_charge,
    bent_by_pull,
    rim_shear_of_charge,
    rim_shear_of_pull,
)

NU = 0.3


def plate(**more) -> ClosingPlate:
    given = {"thickness_m": 0.01, "across_m": 0.2, "modulus": exact(10e9), "poisson": NU, **more}
    return ClosingPlate(**given)


def test_a_rim_spans_from_clamped_to_simply_supported() -> None:
    # Timoshenko: 3/4 and 3 (3 + nu) / 8 of p a2 / t2, here with a = 10 t.
    bent = bent_by_charge(plate(), exact(1e5))
    assert bent.stress.low == pytest.approx(0.75 * 1e7)
    assert bent.stress.high == pytest.approx(3 * (3 + NU) / 8 * 1e7)
    assert bent.stress.value == pytest.approx((bent.stress.low + bent.stress.high) / 2)
    # The supported one sags (5 + nu) / (1 + nu) times as far, 4.08 at nu 0.3.
    assert bent.sag.high / bent.sag.low == pytest.approx(5.3 / 1.3)


def test_ends_of_the_pressure_go_with_the_ends_of_the_rim() -> None:
    pressure = Estimate(value=1e5, low=0.5e5, high=2e5, known_by=KnownBy.COMPUTED)
    bent = bent_by_charge(plate(), pressure)
    assert bent.stress.low == pytest.approx(0.5 * bent_by_charge(plate(), exact(1e5)).stress.low)
    assert bent.stress.high == pytest.approx(2.0 * bent_by_charge(plate(), exact(1e5)).stress.high)


def test_stress_falls_with_the_square_of_the_thickness_and_sag_with_its_cube() -> None:
    thin, thick = (bent_by_charge(plate(thickness_m=size), exact(1e4)) for size in (0.01, 0.02))
    assert thin.stress.high / thick.stress.high == pytest.approx(4.0)
    assert thin.sag.high / thick.sag.high == pytest.approx(8.0)


def test_a_hole_amid_doubles_what_bends_there() -> None:
    # Kirsch with both tensions alike: 2; amid a clamped plate 3 (1 + nu) / 8 of p a2 / t2.
    whole, holed = (bent_by_charge(plate(holed=hole), exact(1e5)).stress for hole in (False, True))
    assert holed.high == pytest.approx(2 * whole.high)
    assert holed.low == pytest.approx(2 * 3 * (1 + NU) / 8 * 1e7)
    pulled = [bent_by_pull(plate(holed=hole), exact(500.0), 0.03).stress.high for hole in (False, True)]
    assert pulled[1] == pytest.approx(2 * pulled[0])


def test_a_square_bends_less_than_the_circle_round_it_and_more_than_the_one_inside() -> None:
    square = bent_by_charge(plate(longer_m=0.2), exact(1e5)).stress
    inside = bent_by_charge(plate(), exact(1e5)).stress
    around = bent_by_charge(plate(across_m=0.2 * math.sqrt(2)), exact(1e5)).stress
    assert inside.low < square.low < around.low
    # Roark, table of rectangular plates: 0.3078 q b2 / t2 clamped, more than the 0.2874 supported.
    assert (square.low, square.high) == pytest.approx((0.2874e5 * 400.0, 0.3078e5 * 400.0), rel=2e-3)


def test_thin_plates_sag_beyond_what_the_formulas_hold_for() -> None:
    assert bent_by_charge(plate(), exact(1e5)).stress.inside_range
    assert not bent_by_charge(plate(thickness_m=0.001), exact(1e5)).stress.inside_range


def test_a_pull_amid_the_plate_by_hand() -> None:
    # 3 F / (2 pi t2) = 4.775 MPa for 1 kN on 10 mm; ln(a / r) = ln 10 with a washer of 20 mm.
    bent = bent_by_pull(plate(), exact(1000.0), 0.02)
    assert bent.stress.high == pytest.approx(4.7746e6 * (1.3 * math.log(10.0) + 1.0), rel=1e-4)
    assert bent.stress.low == pytest.approx(4.7746e6 * 1.3 * math.log(10.0), rel=1e-4)


def test_wide_washers_and_long_sides() -> None:
    narrow, wide = (bent_by_pull(plate(), exact(1000.0), size).stress.high for size in (0.02, 0.04))
    assert narrow > wide
    assert math.isfinite(bent_by_pull(plate(), exact(1000.0), 0.5).stress.high)
    long = bent_by_pull(plate(longer_m=0.4), exact(1000.0), 0.02).stress.high
    assert long == pytest.approx(bent_by_pull(plate(across_m=0.4), exact(1000.0), 0.02).stress.high)


def test_shear_at_the_rim_balances_the_load() -> None:
    round_one = plate()
    rim = math.pi * 0.2 * 0.01
    charge = rim_shear_of_charge(round_one, exact(1e5)).value
    assert charge * rim == pytest.approx(1e5 * math.pi / 4 * 0.2**2)
    assert rim_shear_of_pull(round_one, exact(700.0)).value * rim == pytest.approx(700.0)
    assert round_one.area_m2 == pytest.approx(math.pi / 4 * 0.04)


def test_amid_the_longer_side_of_a_plate_with_corners_the_rim_bears_as_a_strip() -> None:
    strip = plate(longer_m=0.8)
    assert rim_shear_of_charge(strip, exact(1e5)).value == pytest.approx(1e5 * 0.2 / 2 / 0.01)
    assert strip.area_m2 == pytest.approx(0.16)


@pytest.mark.parametrize("wrong", [{"thickness_m": 0.0}, {"across_m": math.nan}, {"longer_m": 0.1}])
def test_no_such_plate(wrong) -> None:
    with pytest.raises(OutsideRange):
        plate(**wrong)


def test_nothing_that_pushes_bends_nothing() -> None:
    assert bent_by_charge(plate(), exact(0.0)).stress.high == 0.0
