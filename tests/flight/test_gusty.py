"""Gusts laid over the wind, and flights that do not know of each other."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from finial.atmosphere.turbulence import gust_column
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.gusty import with_gusts


def _gusty(seed):
    inputs = example_inputs()
    column = gust_column(np.arange(0.0, 320.0, 5.0), 6.0, np.random.default_rng(seed))
    return replace(inputs, air=with_gusts(inputs.air, column))


def test_wind_and_gusts_add_at_any_height():
    inputs = example_inputs()
    column = gust_column(np.arange(0.0, 320.0, 7.0), 6.0, np.random.default_rng(2))
    both = with_gusts(inputs.air, column)
    heights = np.linspace(0.0, 300.0, 777)
    mean = np.interp(heights, inputs.air.wind_heights_m, inputs.air.wind_north_m_s)
    gust = np.interp(heights, column.heights_m, column.north_m_s)
    assert np.interp(heights, both.wind_heights_m, both.wind_north_m_s) == pytest.approx(mean + gust)


def test_gusts_on_gusts_add_up():
    inputs = example_inputs()
    column = gust_column(np.arange(0.0, 320.0, 7.0), 6.0, np.random.default_rng(2))
    twice = with_gusts(with_gusts(inputs.air, column), column)
    assert np.interp(100.0, twice.wind_heights_m, twice.wind_up_m_s) == pytest.approx(
        2.0 * np.interp(100.0, column.heights_m, column.up_m_s)
    )


def test_gusts_move_the_landing_and_still_converge():
    coarse, fine = (fly(_gusty(3), tolerance=at).positions_m[-1] for at in (1e-5, 1e-10))
    assert coarse == pytest.approx(fine, abs=0.1)
    assert np.linalg.norm(fine - fly(example_inputs()).positions_m[-1]) > 1.0


def test_flights_in_threads_are_bitwise_those_in_a_row():
    cases = [_gusty(seed) for seed in range(12)]
    in_a_row = [fly(case).positions_m for case in cases]
    with ThreadPoolExecutor(max_workers=4) as pool:
        together = list(pool.map(lambda case: fly(case).positions_m, cases))
    assert all(np.array_equal(one, other) for one, other in zip(in_a_row, together, strict=True))
