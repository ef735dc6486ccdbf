"""Shear pins, what loads them early, static ports and their lag."""

import math

import numpy as np
import pytest

from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.recovery.charges.ports import HOLE_DISCHARGE, Climb, lag_height, port_diameter, port_lag
from finial.recovery.joints.pins import (
    PinnedHalf,
    drag_separation_force,
    fewest_pins,
    inertia_force,
    pins_hold,
    screw_names,
    springback_force,
    trapped_pressure,
)
from finial.recovery.joints.warmth import nylon_share


def half(mass_kg: float, drag_n: float) -> PinnedHalf:
    return PinnedHalf(mass_kg=exact(mass_kg), drag_n=exact(drag_n))


@pytest.mark.parametrize(
    ("screw", "diameter_mm", "pitch_mm"), [("M2", 2, 0.4), ("M2.5", 2.5, 0.45), ("M3", 3, 0.5)]
)
def test_metric_screws_use_the_iso_stress_area(screw: str, diameter_mm: float, pitch_mm: float) -> None:
    # ISO 898-1: stress area pi/4 (d - 0.9382 P)^2, from memory, not re-read.
    area = math.pi / 4 * (diameter_mm - 0.9382 * pitch_mm) ** 2
    assert pins_hold(f"{screw} nylon", 1).value == pytest.approx(45.9 * area, rel=2e-3)


def test_strength_grows_with_the_count_and_keeps_its_quarter() -> None:
    three, one = pins_hold("M3 nylon", 3), pins_hold("M3 nylon", 1)
    assert three.value == pytest.approx(3 * one.value)
    assert (three.low / three.value, three.high / three.value) == pytest.approx((0.75, 1.25))


def test_larger_screws_hold_more() -> None:
    ordered = ["M2 nylon", "2-56 nylon", "M2.5 nylon", "4-40 nylon", "M3 nylon", "6-32 nylon"]
    holds = [pins_hold(screw, 1).value for screw in ordered]
    assert holds == sorted(holds)
    assert set(ordered) == set(screw_names())


def test_unknown_screw_lists_the_known_ones() -> None:
    with pytest.raises(MissingData, match=r"M2\.5 nylon"):
        pins_hold("M8 steel", 2)


def test_no_pins_is_refused() -> None:
    with pytest.raises(OutsideRange, match="at least one pin"):
        pins_hold("M3 nylon", 0)


def test_halves_that_slow_alike_do_not_pull() -> None:
    assert drag_separation_force(half(2.0, 10.0), half(4.0, 20.0)).value == pytest.approx(0.0)


def test_pull_gives_both_halves_one_deceleration() -> None:
    pull = drag_separation_force(half(3.0, 10.0), half(1.0, 50.0)).value
    assert (10.0 + pull) / 3.0 == pytest.approx((50.0 - pull) / 1.0)


def test_swapping_the_halves_turns_the_pull_into_a_push() -> None:
    first, second = half(3.0, 10.0), half(1.0, 50.0)
    assert drag_separation_force(first, second).value == -drag_separation_force(second, first).value


def test_sealed_bay_keeps_the_ground_pressure_at_most() -> None:
    pressure = trapped_pressure(100_000.0, 90_000.0)
    assert (pressure.low, pressure.high) == (0.0, 10_000.0)
    assert pressure.known_by is KnownBy.ASSUMED


def test_a_vent_leaves_only_its_lag() -> None:
    pressure = trapped_pressure(100_000.0, 90_000.0, port_lag_pa=300.0)
    assert (pressure.low, pressure.value, pressure.high) == (0.0, 300.0, 600.0)


def test_a_tiny_vent_is_no_worse_than_none() -> None:
    assert trapped_pressure(100_000.0, 90_000.0, port_lag_pa=1e9).high == 10_000.0


def test_below_the_pad_nothing_is_trapped() -> None:
    assert trapped_pressure(90_000.0, 100_000.0).high == 0.0


def test_inertia_force_takes_the_heavy_end() -> None:
    assert inertia_force(spread(2.0, 0.1, known_by=KnownBy.WEIGHED), exact(100.0)).high == pytest.approx(
        220.0
    )


def test_ports_share_the_rules_area() -> None:
    one, four = port_diameter(0.002, 1), port_diameter(0.002, 4)
    assert four == pytest.approx(one / 2)


def test_lag_is_where_outflow_and_climb_balance() -> None:
    # Empties a volume through a hole step by step while the air outside thins with height.
    volume, area, climb, density, temperature = 0.002, 8e-6, 150.0, 1.1, 288.15
    gas = 287.05287 * temperature
    outside = density * gas
    inside, step = outside, 1e-4
    lags = []
    for _ in range(30_000):
        difference = max(inside - outside, 0.0)
        flow = HOLE_DISCHARGE * area * np.sqrt(2 * density * difference)
        inside -= flow * gas / volume * step
        outside -= density * 9.80665 * climb * step
        lags.append(difference)
    case = Climb(
        volume_m3=volume, port_area_m2=area, climb_m_s=climb, density_kg_m3=density, temperature_k=temperature
    )
    assert lags[-1] == pytest.approx(port_lag(case), rel=0.01)


def test_lag_grows_with_the_square_of_speed_over_area() -> None:
    slow = Climb(volume_m3=0.002, port_area_m2=2e-5, climb_m_s=100.0, density_kg_m3=1.1, temperature_k=288.0)
    fast = Climb(volume_m3=0.002, port_area_m2=1e-5, climb_m_s=200.0, density_kg_m3=1.1, temperature_k=288.0)
    assert port_lag(fast) == pytest.approx(16 * port_lag(slow))
    assert lag_height(port_lag(fast), 1.1) > 0


@pytest.mark.parametrize("count", [0, -3])
def test_no_ports_is_refused(count: int) -> None:
    with pytest.raises(OutsideRange, match="at least one port"):
        port_diameter(0.002, count)


def test_a_blocked_port_is_refused() -> None:
    with pytest.raises(OutsideRange, match="port_area_m2"):
        port_lag(
            Climb(volume_m3=0.002, port_area_m2=0.0, climb_m_s=1.0, density_kg_m3=1.0, temperature_k=288.0)
        )


def test_two_masses_on_a_spring_pull_as_hard_as_they_were_pushed() -> None:
    """Thrust on the aft of two masses, taken off at once: the spring between them, stepped in time."""
    fore, aft, stiffness, thrust = 2.0, 5.0, 4e5, 350.0
    squeezed = -thrust * fore / (fore + aft)
    stretch, speed, step, pulls = squeezed / stiffness, 0.0, 2e-6, []
    for _ in range(20_000):
        speed -= step * stiffness * stretch * (1 / fore + 1 / aft)
        stretch += step * speed
        pulls.append(stiffness * stretch)
    found = springback_force(thrust, exact(fore), exact(aft), exact(1.0))
    assert found.value == pytest.approx(max(pulls), rel=1e-3)
    assert springback_force(thrust, exact(fore), exact(aft), exact(0.4)).value == pytest.approx(
        0.4 * found.value
    )


@pytest.mark.parametrize(("hold_n", "count"), [(0.0, 1), (71.0, 1), (71.5, 2), (142.5, 2), (143.0, 3)])
def test_fewest_pins_hold_at_their_weak_end(hold_n: float, count: int) -> None:
    """M2: 2.07 mm2 times 45.9 MPa, a quarter off: 71.3 N each."""
    assert fewest_pins("M2 nylon", hold_n) == count


@pytest.mark.parametrize(
    ("celsius", "dry_mpa", "damp_mpa"),
    [(-40.0, (113.8, 82.8), (110.3, 77.2)), (77.0, (58.6, 82.8), (40.7, 77.2))],
)
def test_nylon_at_the_ends_of_its_table_holds_what_its_makers_say(
    celsius: float, dry_mpa: tuple[float, float], damp_mpa: tuple[float, float]
) -> None:
    """Tensile strength of nylon 6/6 there and at 23 degC: makers' design guides, from memory, not re-read."""
    share = nylon_share(exact(celsius + 273.15))
    ratios = sorted((dry_mpa[0] / dry_mpa[1], damp_mpa[0] / damp_mpa[1]))
    assert share.low == pytest.approx(ratios[0], abs=0.08)
    assert share.high == pytest.approx(ratios[1], abs=0.05)


def test_nylon_is_as_strong_as_the_trade_says_on_a_mild_day_and_weaker_the_warmer() -> None:
    mild = nylon_share(Estimate(value=293.15, low=284.0, high=302.0, known_by=KnownBy.MEASURED))
    assert (mild.low, mild.value, mild.high) == (1.0, 1.0, 1.0)
    lows = [nylon_share(exact(kelvin)).low for kelvin in (243.15, 293.15, 323.15, 350.15)]
    assert lows == sorted(lows, reverse=True)
    assert lows[0] > 1.0 > lows[2]


def test_nylon_beyond_its_table_is_marked() -> None:
    assert not nylon_share(exact(223.15)).inside_range
    assert nylon_share(exact(243.15)).inside_range


def test_a_day_known_badly_counts_the_warm_end_as_weak_and_the_cold_end_as_strong() -> None:
    day = Estimate(value=323.15, low=303.15, high=350.15, known_by=KnownBy.MEASURED)
    share = nylon_share(day)
    assert (share.low, share.high) == pytest.approx((0.5, 1.0))
