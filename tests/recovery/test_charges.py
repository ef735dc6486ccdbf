"""Charges: pressure, force, need, and how fast the halves fly apart."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.recovery.charges.powder import (
    bay_pressure,
    force_on_joint,
    free_bay_volume,
    needed_powder,
    needed_pressure,
    powder_mass,
)
from finial.recovery.joints.parting import Blast, expansion_work, parting_speed

BLAST = Blast(
    pressure_pa=exact(100_000.0),
    volume_m3=exact(0.0025),
    diameter_m=0.1,
    ambient_pa=95_000.0,
    fore_mass_kg=exact(2.0),
    aft_mass_kg=exact(6.0),
)


def test_powder_and_pressure_are_each_others_inverse() -> None:
    powder = powder_mass(80_000.0, 0.002)
    assert bay_pressure(exact(powder), exact(0.002), 101_325.0).value == pytest.approx(80_000.0)


def test_the_need_at_its_bad_end_makes_the_pressure_at_its_bad_end() -> None:
    volume = spread(0.002, 0.1, known_by=KnownBy.ASSUMED)
    need = needed_powder(exact(80_000.0), volume)
    assert bay_pressure(exact(need.high), volume, 101_325.0).low == pytest.approx(80_000.0)


@pytest.mark.parametrize(("ambient_pa", "burns_well"), [(50_000.0, True), (46_000.0, False)])
def test_powder_above_20000_ft_is_flagged(ambient_pa: float, burns_well: bool) -> None:
    assert bay_pressure(exact(0.001), exact(0.002), ambient_pa).inside_range is burns_well


def test_weak_joints_still_get_the_least_pressure_of_the_trade() -> None:
    assert needed_pressure(exact(0.0), exact(0.1)).value == pytest.approx(10 * 6894.757, rel=1e-4)


def test_large_tubes_are_capped_at_300_lbf() -> None:
    pressure = needed_pressure(exact(0.0), exact(0.3))
    assert force_on_joint(pressure, exact(0.3)).value == pytest.approx(300 * 4.448222, rel=1e-4)


def test_strong_pins_ask_for_more() -> None:
    pressure = needed_pressure(exact(1000.0), exact(0.1))
    assert force_on_joint(pressure, exact(0.1)).value == pytest.approx(1000.0)


def test_packed_bay_lies_between_empty_and_tight() -> None:
    volume = free_bay_volume(exact(0.1), exact(0.3), exact(0.4))
    empty = math.pi / 4 * 0.1**2 * 0.3
    assert (volume.low, volume.high) == pytest.approx((empty - 0.4 / 720, empty))
    assert volume.inside_range


def test_a_pack_too_big_for_its_bay_is_flagged() -> None:
    volume = free_bay_volume(exact(0.1), exact(0.3), exact(1.5))
    assert not volume.inside_range
    assert volume.low > 0


def test_a_pack_of_more_cloth_than_bay_is_refused() -> None:
    with pytest.raises(OutsideRange, match="does not fit"):
        free_bay_volume(exact(0.1), exact(0.3), exact(3.0))


@pytest.mark.parametrize("powder", [0.0, -0.001])
def test_a_charge_without_powder_is_refused(powder: float) -> None:
    with pytest.raises(OutsideRange, match="powder_kg"):
        bay_pressure(exact(powder), exact(0.002), 101_325.0)


def test_work_is_the_area_under_the_pressure() -> None:
    volumes = np.linspace(0.0025, 0.0035, 20_001)
    gauge = (95_000.0 + 100_000.0) * 0.0025 / volumes - 95_000.0
    area = float(np.trapezoid(gauge, volumes))
    assert expansion_work(100_000.0, 0.0025, 95_000.0, 0.001) == pytest.approx(area, rel=1e-7)


def test_work_stops_where_the_pressures_are_equal() -> None:
    furthest = 0.0025 * 100_000.0 / 95_000.0
    most = expansion_work(100_000.0, 0.0025, 95_000.0, furthest)
    assert expansion_work(100_000.0, 0.0025, 95_000.0, 10 * furthest) == most


def test_energy_of_the_parting_bodies_is_the_work() -> None:
    stroke = 0.08
    speed = parting_speed(replace(BLAST, stroke_m=exact(stroke))).value
    work = expansion_work(100_000.0, 0.0025, 95_000.0, math.pi / 4 * 0.1**2 * stroke)
    assert 1.5 * speed**2 / 2 == pytest.approx(work)


def test_unknown_stroke_spans_half_a_diameter_to_all_the_gas_can_give() -> None:
    speed = parting_speed(BLAST)
    half = parting_speed(replace(BLAST, stroke_m=exact(0.05))).value
    full = parting_speed(replace(BLAST, stroke_m=exact(10.0))).value
    assert (speed.low, speed.high) == pytest.approx((half, full))
    assert speed.known_by is KnownBy.ASSUMED


def test_a_small_bay_does_not_bring_more_gas_along() -> None:
    powder, volume = exact(0.0014), spread(0.001, 0.5, known_by=KnownBy.ASSUMED)
    wide = replace(BLAST, volume_m3=volume, pressure_pa=bay_pressure(powder, volume, 95_000.0))
    small = exact(volume.low)
    alone = replace(BLAST, volume_m3=small, pressure_pa=bay_pressure(powder, small, 95_000.0))
    assert parting_speed(wide).high == pytest.approx(parting_speed(alone).high)


def test_no_pressure_no_speed() -> None:
    assert parting_speed(replace(BLAST, pressure_pa=exact(0.0))).high == 0.0


@pytest.mark.parametrize(("share", "by_hand"), [(0.99, True), (1.01, False)])
def test_a_pack_denser_than_hands_can_make_it_is_outside_the_range(share: float, by_hand: bool) -> None:
    """22 lb/ft^3 by hand: Knacke, NWC TP 6575, from memory, not re-read; 352.4 kg/m^3."""
    empty = math.pi / 4 * 0.1**2 * 0.3
    contents = share * 22 * 0.45359237 / 0.3048**3 * empty
    assert free_bay_volume(exact(0.1), exact(0.3), exact(contents)).inside_range is by_hand
