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


def test_a_bay_that_only_blows_down_follows_the_closed_form_of_a_choked_vessel() -> None:
    """Adiabatic blowdown of a vessel through a choked nozzle: any text on gas dynamics, from memory.

    p / p0 = (1 + (g - 1) / 2 * k t)^(-2 g / (g - 1)), k = Cd A a0 / V * (2 / (g + 1))^((g + 1) / (2 g - 2)).
    """
    shut = replace(
        BARE, powder_kg=1e-12, pins_n=1e9, vent_area_m2=150e-6, trapped_pa=400_000.0, volume_m3=0.004
    )
    history = burst(shut)
    start, gamma = 501_325.0, 1.4
    sound = np.sqrt(gamma * 287.05287 * 288.15)
    pace = 0.6 * 150e-6 * sound / 0.004 * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * gamma - 2))
    expected = start * (1 + (gamma - 1) / 2 * pace * history.times_s) ** (-2 * gamma / (gamma - 1))
    choked = expected > 101_325.0 / 0.5283
    assert choked.sum() > 100
    assert history.pressures_pa[choked] + 101_325.0 == pytest.approx(expected[choked], rel=2e-3)
    cooled = 288.15 * (expected / start) ** ((gamma - 1) / gamma)
    assert history.temperatures_k[choked] == pytest.approx(cooled[choked], rel=2e-3)


def test_a_slow_leak_is_incompressible_outflow() -> None:
    """At 2 kPa above the air outside, Bernoulli: dp/dt = -g p / V * Cd A sqrt(2 dp / rho), adiabatic."""
    shut = replace(BARE, powder_kg=1e-12, pins_n=1e9, vent_area_m2=20e-6, trapped_pa=2_000.0, volume_m3=0.004)
    history = burst(shut)
    density = 103_325.0 / (287.05287 * 288.15)
    rate = 1.4 * 103_325.0 / 0.004 * 0.6 * 20e-6 * np.sqrt(2 * 2_000.0 / density)
    seen = (history.pressures_pa[0] - history.pressures_pa[50]) / history.times_s[50]
    assert history.pressures_pa[0] == pytest.approx(2_000.0)
    assert seen == pytest.approx(rate, rel=0.02)


def test_air_comes_back_through_the_vent_where_the_bay_has_less_than_the_day() -> None:
    """The sides fly on and leave a bay below the air outside; a vent lets it in, and it ends nearer to it."""
    long = replace(CASE, powder_kg=0.0003, stroke_m=0.6, pins_n=0.0, friction_n=0.0, wall_area_m2=0.0)
    closed, vented = (burst(replace(long, vent_area_m2=area)) for area in (0.0, 300e-6))
    assert closed.pressures_pa.min() < -10_000.0
    assert vented.pressures_pa.min() > closed.pressures_pa.min() / 2


def test_all_the_powder_burns_first_fast_then_slower() -> None:
    """Grains that burn from outside in: after half the time seven eighths are gone, 1 - (1 - t)^3."""
    shut = replace(BARE, pins_n=1e9, burn_time_s=0.01)
    history = burst(shut)
    half = float(np.interp(0.005, history.times_s, history.pressures_pa))
    assert history.pressures_pa[-1] == pytest.approx(CLOSED_PA, rel=0.01)
    assert half == pytest.approx(7 / 8 * CLOSED_PA, rel=0.01)
    assert history.times_s[-1] == pytest.approx(0.12, abs=2e-5), (
        "a joint that stays shut is followed to the end"
    )


def test_walls_take_heat_until_the_gas_is_as_cool_as_they_are() -> None:
    cooled = burst(replace(BARE, pins_n=1e9, wall_area_m2=5.0, heat_w_m2_k=800.0))
    assert cooled.temperatures_k[-1] == pytest.approx(288.15, abs=3.0)
    assert cooled.temperatures_k.max() > 300.0
    # What is left is the powder's gas at the walls' temperature, above the air that was there.
    assert cooled.pressures_pa[-1] == pytest.approx(0.0009 * 119.2 * 288.15 / 0.0012, rel=0.05)


def test_parting_is_when_the_stroke_is_spent_and_friction_ends_there() -> None:
    history = burst(CASE)
    at = float(np.interp(history.parted_s or 0.0, history.times_s, history.travels_m))
    assert at == pytest.approx(CASE.stroke_m, abs=1e-3)
    assert history.pressures_pa[-1] < 500.0, "followed until the gas is spent"
    assert np.diff(history.travels_m).min() >= 0.0
