"""Canopy kinds, what a diameter measures, and drag areas."""

import math

import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.recovery.canopies.kinds import canopy_drag_area, canopy_kind, canopy_kinds, nominal_diameter


def test_unknown_kind_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match=r"flat circular.*disk-gap-band"):
        canopy_kind("bedsheet")


def test_unknown_measure_says_what_to_write() -> None:
    with pytest.raises(OutsideRange, match="nominal, projected, mouth"):
        nominal_diameter(canopy_kind("annular"), exact(1.0), "12 ft")


def test_every_kind_has_a_plausible_row_with_a_source() -> None:
    for kind in canopy_kinds():
        coefficient = kind.drag_coefficient
        assert 0.2 < coefficient.low < coefficient.value < coefficient.high < 1.0
        assert 1.0 <= kind.opening_factor <= 2.0
        assert 0 <= kind.swing_rad[0] < kind.swing_rad[1] < math.radians(45)
        assert kind.fill_constant.low > 0
        assert 0.5 < kind.projected_ratio < 1 < kind.mouth_ratio + 0.4
        assert kind.source


def test_a_fill_constant_nobody_measured_is_assumed() -> None:
    assert canopy_kind("conical").fill_constant.known_by is KnownBy.ASSUMED
    assert canopy_kind("flat circular").fill_constant.known_by is KnownBy.HANDBOOK


def test_projected_diameter_means_more_cloth_than_the_same_nominal_one() -> None:
    kind = canopy_kind("hemispherical")
    areas = {m: canopy_drag_area(kind, exact(1.0), m).value for m in ("nominal", "projected", "mouth")}
    assert areas["projected"] > areas["mouth"] > areas["nominal"]


def test_the_builders_coefficient_belongs_to_the_stated_disc() -> None:
    area = canopy_drag_area(canopy_kind("toroidal"), exact(2.0), "projected", exact(1.0))
    assert area.value == pytest.approx(math.pi)


@pytest.mark.parametrize(("coefficient", "usual"), [(0.75, True), (2.2, False), (0.3, False)])
def test_an_odd_coefficient_is_flagged(coefficient: float, usual: bool) -> None:
    area = canopy_drag_area(canopy_kind("flat circular"), exact(2.0), "nominal", exact(coefficient))
    assert area.inside_range is usual


def test_width_of_the_diameter_reaches_the_area() -> None:
    tape = spread(2.0, 0.01, known_by=KnownBy.MEASURED)
    area = canopy_drag_area(
        canopy_kind("flat circular"), tape, "nominal", exact(0.8, known_by=KnownBy.MEASURED)
    )
    assert (area.low / area.value, area.high / area.value) == pytest.approx((0.99**2, 1.01**2))
    assert area.known_by is KnownBy.MEASURED


@pytest.mark.parametrize("diameter", [0.0, -1.0])
def test_a_canopy_without_size_is_refused(diameter: float) -> None:
    with pytest.raises(OutsideRange, match="diameter_m"):
        canopy_drag_area(canopy_kind("cross"), exact(diameter), "nominal")


def test_a_kind_without_a_filling_of_its_own_takes_the_range_of_all() -> None:
    """The slowest of the table fills in 14 diameters; 3 is what measured rescue canopies want."""
    fills = [kind.fill_constant for kind in canopy_kinds()]
    own = [fill.value for fill in fills if fill.known_by is KnownBy.HANDBOOK]
    unknown = canopy_kind("conical").fill_constant
    assert unknown.known_by is KnownBy.ASSUMED
    assert (unknown.low, unknown.value) == (3.0, 8.0)
    assert unknown.high == max(own)
