"""A charge in time: what bounds it, and which way every cause pulls."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.recovery.charges.burst import Burst, burst
from finial.recovery.joints.parting import expansion_work

CASE = Burst(
    powder_kg=0.0009,
    volume_m3=0.0012,
    diameter_m=0.076,
    stroke_m=0.05,
    moved_kg=1.8,
    friction_n=20.0,
    pins_n=190.0,
    vent_area_m2=12e-6,
    wall_area_m2=0.09,
)
BARE = replace(CASE, friction_n=0.0, pins_n=0.0, vent_area_m2=0.0, wall_area_m2=0.0)
CLOSED_PA = 0.0009 * 119.2 * 1837.2 / 0.0012


def test_the_pressure_stays_below_the_closed_form_and_the_joint_opens() -> None:
    history = burst(CASE)
    assert 0.5 * CLOSED_PA < history.peak_pa < CLOSED_PA
    assert history.moved_s is not None
    assert history.parted_s is not None
    assert history.moved_s < history.parted_s


def test_the_energy_that_moves_the_sides_is_the_work_of_the_gas() -> None:
    """Without friction, heat and leaks: kinetic energy = integral of gauge pressure over volume."""
    history = burst(replace(BARE, stroke_m=0.2))
    area = np.pi / 4 * BARE.diameter_m**2
    while_sealed = history.travels_m <= 0.2
    work = np.trapezoid(history.pressures_pa[while_sealed], area * history.travels_m[while_sealed])
    speed = float(history.speeds_m_s[while_sealed][-1])
    assert BARE.moved_kg * speed**2 / 2 == pytest.approx(float(work), rel=2e-3)


def test_it_does_less_than_the_sealed_isothermal_bound() -> None:
    history = burst(replace(BARE, stroke_m=0.3, burn_time_s=1e-3))
    bound = (2 * expansion_work(CLOSED_PA, BARE.volume_m3, BARE.ambient_pa, 1.0) / BARE.moved_kg) ** 0.5
    assert 0.5 * bound < history.end_speed_m_s < bound


@pytest.mark.parametrize(
    ("change", "slower"),
    [
        ({"heat_w_m2_k": 800.0}, True),
        ({"burn_time_s": 0.02}, True),
        ({"friction_n": 80.0}, True),
        ({"vent_area_m2": 200e-6}, True),
        ({"moved_kg": 3.0}, True),
        ({"powder_kg": 0.0014}, False),
        ({"volume_m3": 0.0018}, True),
        ({"trapped_pa": 10_000.0}, False),
    ],
)
def test_every_cause_pulls_its_own_way(change: dict[str, float], slower: bool) -> None:
    before, after = burst(CASE).end_speed_m_s, burst(replace(CASE, **change)).end_speed_m_s
    assert (after < before) is slower


def test_pins_hold_until_the_pressure_breaks_them() -> None:
    held, broken = burst(replace(CASE, pins_n=900.0)), burst(CASE)
    assert held.parted_s is None
    assert held.end_speed_m_s == 0.0
    assert held.travels_m.max() == 0.0
    area = np.pi / 4 * CASE.diameter_m**2
    at_break = float(np.interp(broken.moved_s or 0.0, broken.times_s, broken.pressures_pa))
    assert at_break * area == pytest.approx(CASE.friction_n + CASE.pins_n, rel=0.05)


def test_height_changes_little_while_the_bay_is_vented() -> None:
    """The gas adds to the air in the bay: half the outside pressure moves the gauge by a few per cent."""
    low, high = burst(CASE), burst(replace(CASE, ambient_pa=50_000.0))
    assert high.peak_pa == pytest.approx(low.peak_pa, rel=0.06)


def test_a_small_charge_behind_a_long_shoulder_sucks_itself_to_a_stop() -> None:
    long = replace(CASE, powder_kg=0.0002, stroke_m=0.4, diameter_m=0.12, pins_n=0.0, volume_m3=0.0009)
    history = burst(long)
    assert history.pressures_pa.min() < 0
    assert history.parted_s is None
    assert history.travels_m.max() < 0.4


def test_halving_the_step_would_change_nothing_that_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    coarse = burst(CASE)
    monkeypatch.setattr("finial.recovery.charges.burst.STEP_S", 1e-5)
    fine = burst(CASE)
    assert coarse.peak_pa == pytest.approx(fine.peak_pa, rel=1e-4)
    assert coarse.end_speed_m_s == pytest.approx(fine.end_speed_m_s, rel=2e-3)


@pytest.mark.parametrize(
    "field", ["powder_kg", "volume_m3", "diameter_m", "stroke_m", "moved_kg", "ambient_pa"]
)
@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
def test_numbers_that_mean_nothing_are_refused(field: str, value: float) -> None:
    with pytest.raises(OutsideRange, match=field):
        burst(replace(CASE, **{field: value}))
