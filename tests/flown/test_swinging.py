"""Swings against waves whose frequency is known: rolled, slowing, dying out, drowned."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.flown.swinging import swing_ratio

TIMES = np.arange(0.0, 5.0, 0.01)


def swings(ratio, model, *, roll=0.0, size=0.3, noise=0.02, fades=0.0, seed=1):
    """Rates of a plane swing at ``ratio`` times the model's frequency, seen from a body that rolls."""
    phase = ratio * np.concatenate([[0.0], np.cumsum(0.5 * (model[1:] + model[:-1]) * np.diff(TIMES))])
    plane = size * np.exp(-fades * TIMES) * np.cos(phase) * np.exp(0.4j)
    body = plane * np.exp(-1j * roll * TIMES)
    chance = np.random.default_rng(seed)
    rates = np.column_stack([np.full(len(TIMES), roll), body.real, body.imag])
    return rates + noise * chance.standard_normal(rates.shape)


@pytest.mark.parametrize("ratio", [0.7, 0.95, 1.0, 1.2, 1.6])
@pytest.mark.parametrize("roll", [0.0, 9.0, -25.0])
def test_the_ratio_is_found_whatever_the_roll(ratio, roll):
    model = np.linspace(14.0, 5.0, len(TIMES))
    found = swing_ratio(TIMES, swings(ratio, model, roll=roll, noise=0.05), model)
    assert found.low < ratio < found.high
    assert found.half_width < 0.08 * ratio


def test_a_swing_that_dies_out_is_known_less_well():
    model = np.full(len(TIMES), 10.0)
    lasting, dying = (swing_ratio(TIMES, swings(1.1, model, fades=fades), model) for fades in (0.0, 1.5))
    assert dying.half_width > 1.05 * lasting.half_width
    assert dying.low < 1.1 < dying.high


def test_noise_alone_and_too_few_swings_tell_nothing():
    model = np.full(len(TIMES), 10.0)
    assert swing_ratio(TIMES, swings(1.0, model, size=0.0), model) is None
    slow = np.full(len(TIMES), 1.5)
    assert swing_ratio(TIMES, swings(1.0, slow), slow) is None
    rates = swings(1.0, model)
    rates[20:] = np.nan
    assert swing_ratio(TIMES, rates, model) is None


def test_times_and_frequencies_that_cannot_be_are_refused():
    model = np.full(len(TIMES), 10.0)
    rates = swings(1.0, model)
    with pytest.raises(OutsideRange):
        swing_ratio(TIMES[::-1], rates, model)
    with pytest.raises(OutsideRange):
        swing_ratio(TIMES, rates, 0.0 * model)
