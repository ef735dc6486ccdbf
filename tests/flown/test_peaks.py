"""The largest push of a stretch, and whether a sensor could tell it."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flown.example import example_sensed
from finial.flown.peaks import peak


def kicked(*felt_g: float):
    """A quiet log of a second at 20 rows a second, with readings from half a second on."""
    quiet = example_sensed()
    felt = np.zeros((20, 3))
    felt[10 : 10 + len(felt_g), 1] = np.array(felt_g) * STANDARD_GRAVITY_M_S2
    rows = {"heights_m": np.zeros(20), "saturated": np.zeros(20, dtype=bool)}
    return replace(
        quiet, times_s=0.05 * np.arange(20), felt_m_s2=felt, turning_rad_s=np.full((20, 3), np.nan), **rows
    )


@pytest.mark.parametrize(
    ("felt_g", "at_least"),
    [
        ((20.0,), True),
        ((20.0, 9.0), True),
        ((20.0, 11.0), False),
        ((11.0, -20.0), False),
        ((9.0, 20.0, 11.0), False),
        ((9.0, 20.0, 9.0), True),
    ],
)
def test_a_kick_of_one_row_was_at_least_so_hard(felt_g: tuple[float, ...], at_least: bool) -> None:
    """A neighbour above half of it, on either side, shows that it was followed."""
    found = peak(kicked(*felt_g), 0.0, 1.0)
    assert (found.felt_g, found.at_least) == (pytest.approx(20.0), at_least)
    assert found.time_s == pytest.approx(0.5 + 0.05 * int(np.argmax(np.abs(felt_g))))


def test_a_sensor_at_its_end_felt_at_least_so_much() -> None:
    steady = kicked(*[16.0] * 5)
    assert peak(steady, 0.0, 1.0).at_least is False
    assert peak(replace(steady, saturated=np.ones(20, dtype=bool)), 0.0, 1.0).at_least is True


def test_between_rows_nothing_is_felt() -> None:
    assert peak(kicked(20.0), 0.51, 0.54) is None
    silent = replace(kicked(20.0), felt_m_s2=np.full((20, 3), np.nan))
    assert peak(silent, 0.0, 1.0) is None
