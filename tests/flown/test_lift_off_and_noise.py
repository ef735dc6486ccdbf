"""Lift-off through noise, knocks and late starts; noise through spikes, drift and steps."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flown.lift_off import lift_off_felt, lift_off_risen
from finial.flown.noise import reading_noise, saturated

TIMES = np.arange(0.0, 20.0, 0.02)


def felt(at_s, push=60.0, seed=3):
    noise = 0.3 * np.random.default_rng(seed).standard_normal(len(TIMES))
    return np.where((TIMES < at_s) | (TIMES > at_s + 2.0), 9.81, 9.81 + push) + noise


@pytest.mark.parametrize("seed", range(8))
def test_lift_off_is_found_within_a_row(seed):
    found = lift_off_felt(TIMES, felt(5.01, seed=seed))
    assert found.low <= 5.01 <= found.high
    assert found.high - found.low < 0.05


def test_a_knock_on_the_pad_is_no_lift_off():
    readings = felt(8.0)
    readings[100] += 200.0
    assert lift_off_felt(TIMES, readings).value == pytest.approx(8.0, abs=0.03)


def test_a_pad_that_never_pushes_has_none():
    assert lift_off_felt(TIMES, np.full(len(TIMES), 9.81) + 0.1 * np.sin(TIMES)) is None


def test_a_recorder_that_woke_up_in_flight_is_refused():
    with pytest.raises(OutsideRange, match="before lift-off"):
        lift_off_felt(TIMES, felt(0.03))
    with pytest.raises(OutsideRange, match="before lift-off"):
        lift_off_risen(TIMES, 30.0 * TIMES**2)


@pytest.mark.parametrize("seed", range(8))
def test_a_barometer_alone_tells_it_too(seed):
    noise = 0.5 * np.random.default_rng(seed).standard_normal(len(TIMES))
    found = lift_off_risen(TIMES, 25.0 * np.maximum(TIMES - 5.0, 0.0) ** 2 + 240.0 + noise)
    assert found.low <= 5.0 <= found.high
    assert abs(found.value - 5.0) < 0.25


def test_a_gust_on_the_pad_is_no_climb():
    heights = np.where(np.abs(TIMES - 3.0) < 0.2, 20.0, 0.0) + 0.3 * np.sin(77.0 * TIMES)
    assert lift_off_risen(TIMES, heights) is None


def test_noise_is_told_in_spite_of_drift_and_spikes():
    chance = np.random.default_rng(1)
    readings = 0.5 * chance.standard_normal(4000) + np.linspace(0.0, 20.0, 4000)
    readings[::400] += 100.0
    assert reading_noise(readings) == pytest.approx(0.5, rel=0.08)


def test_noise_below_a_step_is_that_of_the_step():
    readings = np.zeros(100)
    readings[50:] = 0.1
    assert reading_noise(readings) == pytest.approx(0.1 / np.sqrt(12.0))
    with pytest.raises(OutsideRange):
        reading_noise(np.array([1.0, np.nan, 2.0]))


def test_saturation_by_limit_and_by_plateau():
    readings = np.array([9.8, 9.8, 100.0, 156.9, 156.9, 156.9, 156.9, 50.0, -3.0, -3.0, 9.8])
    assert saturated(readings, 157.0).sum() == 4
    assert np.flatnonzero(saturated(readings)).tolist() == [3, 4, 5, 6]
    assert not saturated(np.sin(TIMES)).any()


@pytest.mark.parametrize(("alike", "stuck"), [(2, 0), (3, 3), (4, 4)])
def test_three_readings_alike_at_an_end_are_a_plateau_wherever_they_stand(alike, stuck):
    readings = np.concatenate([np.linspace(0.0, 5.0, 40), np.full(alike, 9.0), np.linspace(4.0, 0.5, 20)])
    assert saturated(readings).sum() == stuck


def test_a_barometer_may_tell_lift_off_three_tenths_and_a_row_late_and_no_more_early_than_a_row() -> None:
    found = lift_off_risen(TIMES, 25.0 * np.maximum(TIMES - 5.0, 0.0) ** 2 + 240.0)
    step = TIMES[1] - TIMES[0]
    assert found.value - found.low == pytest.approx(0.3 + step)
    assert found.high - found.value == pytest.approx(0.1)
