"""Packs, drop tests and ground tests of the builder."""

from dataclasses import replace

import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.recovery.canopies.descent import descent_speed
from finial.recovery.canopies.drop_testing import drop_test_drag_area
from finial.recovery.charges.burst import Burst, burst
from finial.recovery.charges.ground_testing import GroundTest, powder_share_seen, resistance_seen
from finial.recovery.packs.packing import Fit, Pack, pack_density, pack_diameter, pack_fit, room_for

BAY = Pack(contents_kg=exact(0.5), diameter_m=0.1, length_m=0.2, mouth_m=0.1)
CASE = Burst(powder_kg=0.001, volume_m3=0.0015, diameter_m=0.08, stroke_m=0.05, moved_kg=1.5, pins_n=150.0)


@pytest.mark.parametrize(
    ("pounds_per_cubic_foot", "fit"),
    [(10.0, Fit.LOOSE), (20.0, Fit.BY_HAND), (30.0, Fit.PRESSED), (50.0, Fit.TOO_MUCH)],
)
def test_packs_are_sorted_by_the_handbooks_densities(pounds_per_cubic_foot: float, fit: Fit) -> None:
    """22 lb/ft3 by hand and 45 under a press: Knacke, NWC TP 6575, from memory; 15 loose: common practice."""
    assert pack_fit(pounds_per_cubic_foot * 0.45359237 / 0.3048**3) is fit


def test_a_bay_of_the_length_asked_for_is_packed_by_hand() -> None:
    roomy = replace(BAY, length_m=room_for(0.5, 0.1))
    assert pack_density(roomy).value == pytest.approx(352.0)
    assert pack_diameter(roomy) == pytest.approx(0.1)


def test_a_drop_test_gives_back_the_area_it_was_dropped_with() -> None:
    area, density, mass = exact(3.3), exact(1.1), exact(6.0)
    speed = descent_speed(mass, area, density)
    assert drop_test_drag_area(mass, speed, density).value == pytest.approx(3.3)


def test_the_speed_seen_on_the_ground_sets_the_share_of_the_powder() -> None:
    seen = burst(replace(CASE, powder_kg=0.7e-3)).end_speed_m_s
    share = powder_share_seen(CASE, GroundTest(powder_kg=1e-3, parted=True, speed_m_s=seen))
    assert share.value == pytest.approx(0.7, abs=0.01)
    assert share.low < share.value < share.high
    assert share.known_by is KnownBy.MEASURED


@pytest.mark.parametrize("speed", [0.0, -3.0, float("nan")])
def test_a_speed_that_was_not_one_is_refused(speed: float) -> None:
    with pytest.raises(OutsideRange, match="speed_m_s"):
        powder_share_seen(CASE, GroundTest(powder_kg=1e-3, parted=True, speed_m_s=speed))


def test_a_joint_that_opened_holds_no_more_and_one_that_stayed_shut_no_less() -> None:
    wide = spread(200.0, 0.5, known_by=KnownBy.HANDBOOK)
    force = spread(180.0, 0.1, known_by=KnownBy.WEIGHED)
    opened, shut = (resistance_seen(wide, force, parted=parted) for parted in (True, False))
    assert (opened.low, opened.high) == pytest.approx((100.0, 198.0))
    assert (shut.low, shut.high) == pytest.approx((162.0, 300.0))
    assert opened.known_by is shut.known_by is KnownBy.MEASURED
