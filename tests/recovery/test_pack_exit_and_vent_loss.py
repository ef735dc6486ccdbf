"""Vents against the charge followed in time; friction of packs by hand; what pulls them out."""

import math
from dataclasses import replace

import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import exact
from finial.recovery.charges.burst import Burst, burst
from finial.recovery.charges.vent_loss import share_kept
from finial.recovery.packs.pack_exit import pack_friction, pulled_out, pushed_out, wall_pressure
from finial.recovery.packs.packing import Pack

SHUT = Burst(
    powder_kg=0.0009, volume_m3=0.0012, diameter_m=0.076, stroke_m=0.05, moved_kg=1.8, friction_n=1e6
)
PACK = Pack(contents_kg=exact(0.545), diameter_m=0.076, length_m=0.34, mouth_m=0.076)


@pytest.mark.parametrize("vent_m2", [50e-6, 200e-6, 500e-6, 1000e-6])
def test_the_correction_is_that_of_a_shut_bay_followed_in_time(vent_m2: float) -> None:
    """Peak with the vent over the peak without it, both from the energy balance in steps of 20 us."""
    sealed, vented = burst(SHUT).peak_pa, burst(replace(SHUT, vent_area_m2=vent_m2)).peak_pa
    assert share_kept(vent_m2, exact(SHUT.volume_m3)).value == pytest.approx(vented / sealed, rel=0.33)


def test_an_absurd_vent_leaves_nothing() -> None:
    assert share_kept(0.12, exact(1.15e-3)).high < 0.03
    assert burst(replace(SHUT, vent_area_m2=0.12)).peak_pa < 0.05 * burst(SHUT).peak_pa


def test_no_vent_takes_nothing_and_none_may_be_negative() -> None:
    assert share_kept(0.0, exact(1.2e-3)).value == 1.0
    with pytest.raises(OutsideRange):
        share_kept(-1e-6, exact(1.2e-3))


def test_wall_pressure_runs_through_hand_and_press() -> None:
    assert wall_pressure(exact(352.0)).value == pytest.approx(3e3)
    assert wall_pressure(exact(720.0)).value == pytest.approx(100e3, rel=0.02)


def test_friction_by_hand() -> None:
    """0.3 of 3 kPa on the wall of a tube, for a pack as dense as a hand makes it."""
    mass = 352.0 * math.pi / 4 * 0.1**2 * 0.2
    pack = Pack(contents_kg=exact(mass), diameter_m=0.1, length_m=0.2, mouth_m=0.1)
    assert pack_friction(pack).value == pytest.approx(0.3 * 3e3 * math.pi * 0.1 * 0.2)


def test_a_narrow_mouth_holds_harder() -> None:
    assert pack_friction(replace(PACK, mouth_m=0.06)).value > 3 * pack_friction(PACK).value


def test_work_and_force_out_of_the_bay() -> None:
    """1.25 kg at 4 m/s carries 10 J; 50 N that falls to nothing over 0.4 m takes 10 J."""
    assert pulled_out(exact(50.0), 0.4, 1.25, exact(4.0)).value == pytest.approx(1.0)
    assert pushed_out(exact(50.0), exact(100.0)).value == pytest.approx(2.0)


def test_a_pack_as_dense_as_nothing_is_keeps_a_number():
    # 38 kg of cloth in a litre and a half: exp of 235 would do, of 1000 not.
    told = wall_pressure(exact(200_000.0))
    assert math.isfinite(told.high)
    assert told.low > 1e20
