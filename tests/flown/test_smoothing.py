"""The smoother against motions whose truth is known, and its stated spread against its errors."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import OutsideRange
from finial.flown.example import example_sensed
from finial.flown.smoothing import smoothed
from finial.flown.turning import attitudes, turning

G = STANDARD_GRAVITY_M_S2
TIMES = np.arange(-3.0, 14.0, 0.02)
TOP_S = 12.0


def truth(times):
    """Even push of 40 m/s^2 for 2 s, then a coast that drag slows, by fine steps."""
    fine = np.arange(0.0, times[-1] + 0.01, 0.0005)
    heights, speeds, rates = (np.zeros(len(fine)) for _ in range(3))
    for step in range(1, len(fine)):
        before = speeds[step - 1]
        rates[step] = (40.0 if fine[step] < 2.0 else -G) - 0.0012 * before * abs(before)
        speeds[step] = before + 0.0005 * rates[step]
        heights[step] = heights[step - 1] + 0.0005 * speeds[step]
    return tuple(np.where(times < 0.0, 0.0, np.interp(times, fine, one)) for one in (heights, speeds, rates))


HEIGHTS, SPEEDS, RATES = truth(TIMES)


def sensed(seed, *, accelerometer=True, offset=0.0):
    chance, count = np.random.default_rng(seed), len(TIMES)
    felt = np.column_stack([RATES + G + offset + 0.4 * chance.standard_normal(count), np.zeros((count, 2))])
    return replace(
        example_sensed(),
        times_s=TIMES,
        heights_m=HEIGHTS + 0.6 * chance.standard_normal(count),
        height_noise_m=0.6,
        felt_m_s2=felt if accelerometer else np.full((count, 3), np.nan),
        felt_noise_m_s2=0.4,
        saturated=np.zeros(count, dtype=bool),
        turning_rad_s=np.full((count, 3), np.nan),
    )


def smooth(seed, **kind):
    read = sensed(seed, **kind)
    return smoothed(read, attitudes(read, 0.0), TOP_S)


@pytest.mark.parametrize(
    ("kind", "speed_m_s"), [({}, 0.5), ({"accelerometer": False}, 4.0), ({"offset": 0.4}, 0.6)]
)
def test_speed_and_height_come_near_the_truth(kind, speed_m_s):
    climb = smooth(5, **kind)
    inside = (TIMES > 0.5) & (TIMES < 11.0)
    assert np.abs(climb.speeds_m_s - SPEEDS)[inside].max() < speed_m_s
    assert np.abs(climb.heights_m - HEIGHTS)[inside].max() < 1.5
    assert climb.felt == kind.get("accelerometer", True)


def test_smoothing_is_better_than_the_readings():
    climb, read = smooth(7), sensed(7)
    inside = (TIMES > 0.0) & (TIMES < 11.0)
    off = np.abs(climb.heights_m - HEIGHTS)[inside].mean()
    assert off < 0.4 * np.abs(read.heights_m - HEIGHTS)[inside].mean()


def test_the_stated_spread_holds_what_it_says():
    """Nine in ten of the true speeds lie within 1.645 deviations; here over ten logs in the coast."""
    inside = (TIMES > 3.0) & (TIMES < 10.0)
    held = []
    for seed in range(10):
        climb = smooth(seed)
        z = np.abs(climb.speeds_m_s - SPEEDS)[inside][::25] / climb.speed_sigmas_m_s[inside][::25]
        held.append(np.mean(z < 1.645))
    assert 0.8 <= np.mean(held) <= 1.0


def test_a_charge_in_the_pressure_is_passed_over():
    read = sensed(3)
    heights = read.heights_m.copy()
    heights[500:503] -= 400.0
    climb = smoothed(replace(read, heights_m=heights), attitudes(read, 0.0), TOP_S)
    assert climb.spikes >= 3
    assert np.abs(climb.heights_m - HEIGHTS)[480:520].max() < 2.0


def test_fast_flight_trusts_the_port_less():
    slow, fast = smooth(3), smooth(3, accelerometer=False)
    quick, late = np.argmax(SPEEDS), np.searchsorted(TIMES, 10.5)
    assert fast.height_sigmas_m[quick] > 1.3 * fast.height_sigmas_m[late]
    assert slow.speed_sigmas_m_s[quick] < fast.speed_sigmas_m_s[quick]


def test_many_rows_are_averaged_not_lost(monkeypatch):
    import finial.flown.smoothing as smoothing

    monkeypatch.setattr(smoothing, "MOST_ROWS", 300)
    climb = smooth(3)
    assert len(climb.times_s) <= 300
    at = np.interp(8.0, climb.times_s, climb.speeds_m_s)
    assert at == pytest.approx(np.interp(8.0, TIMES, SPEEDS), abs=1.0)


def test_nothing_to_smooth_is_refused():
    read = sensed(1, accelerometer=False)
    with pytest.raises(OutsideRange, match="neither"):
        smoothed(replace(read, heights_m=np.full(len(TIMES), np.nan)), attitudes(read, 0.0), TOP_S)


def test_gyroscopes_carry_the_lean_from_the_pad():
    rates = np.zeros((len(TIMES), 3))
    rates[(TIMES > 1.0) & (TIMES < 2.0), 1] = np.radians(30.0)
    rates += np.radians(2.0)  # a zero that is off, seen on the pad
    read = replace(sensed(1), turning_rad_s=rates)
    leans = np.degrees(np.arccos(attitudes(read, 0.0)[:, 2, 0]))
    assert leans[TIMES < 0.9].max() < 2.0
    assert leans[TIMES > 2.1] == pytest.approx(30.0, abs=2.0)
    with pytest.raises(OutsideRange):
        attitudes(read, 2.0)


def test_coning_is_found_by_rate_and_frequency():
    rates = np.zeros((len(TIMES), 3))
    flying = TIMES > 0.0
    rates[flying, 0] = 3.0
    rates[flying, 1] = np.radians(6.0) * 2.0 * np.pi * 1.5 * np.cos(2.0 * np.pi * 1.5 * TIMES[flying])
    found = turning(replace(sensed(1), turning_rad_s=rates), 2.0, 12.0)
    assert found.swings_hz == pytest.approx(1.5, abs=0.1)
    assert np.degrees(found.cone_rad) == pytest.approx(6.0, rel=0.05)
    assert found.fastest_roll_rad_s == pytest.approx(3.0)


@pytest.mark.parametrize("gyroscopes", [False, True])
def test_a_bump_near_the_speed_of_sound_is_not_read_as_height(gyroscopes):
    """A shock on the port: 150 m too low for as long as it flies faster than Mach 0.9; common practice."""
    chance, count = np.random.default_rng(4), len(TIMES)
    rates = np.where(TIMES < 0.0, 0.0, np.where(TIMES < 3.0, 110.0, -G - 12.0))
    speeds = np.concatenate([[0.0], np.cumsum(0.5 * (rates[1:] + rates[:-1]) * 0.02)])
    speeds = np.maximum(speeds, 0.0)
    heights = np.cumsum(speeds * 0.02)
    bump = np.where(speeds > 0.9 * 340.0, -150.0, 0.0)
    assert bump.any()
    read = replace(
        sensed(1),
        heights_m=heights + bump + 0.6 * chance.standard_normal(count),
        felt_m_s2=np.column_stack([rates + G + 0.4 * chance.standard_normal(count), np.zeros((count, 2))]),
        turning_rad_s=0.01 * chance.standard_normal((count, 3))
        if gyroscopes
        else np.full((count, 3), np.nan),
    )
    climb = smoothed(read, attitudes(read, 0.0), 13.9)
    fast = (TIMES > 1.0) & (TIMES < 6.0)
    assert np.abs(climb.heights_m - heights)[fast].max() < 15.0
    assert np.abs(climb.speeds_m_s - speeds)[fast].max() < 8.0
