"""Errors of places and intervals of two grids, by hand."""

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.tunnel.reading import Mean, in_wind, of_two_grids, pressure_round, strongest_swing
from finial.tunnel.records import Blown, Stream

WIDTH_M = 0.2
BATCH_MEANS = np.array([1.0, -1.0, 1.0, -1.0, 1.0, -1.0, 1.0, -1.0])
"""Of eight batches: their standard error is the root of 8 over 8 x 7."""
ERROR = np.sqrt(8.0 / 56.0)


def blown(force: np.ndarray, moment: np.ndarray) -> Blown:
    """Force along a and moment about b through eight batches of two samples."""
    history = np.zeros((16, 6))
    history[:, 1], history[:, 5] = np.repeat(force, 2), np.repeat(moment, 2)
    none = np.zeros(6)
    return Blown(
        pressure=history.mean(axis=0), total=none, pressure_error=none, total_error=none, blockage=0.0,
        reynolds=1e4, cells=8.0, wet_cells=1, updates=1.0, restarts=0, history=history,
        history_widths=np.arange(16.0), stations_m=np.zeros(1), along=np.zeros((0, 3)),
        places_m=np.zeros((0, 3)), pressures=np.zeros(0),
    )  # fmt: skip


def test_force_and_moment_that_swing_together_leave_the_place_where_it_is() -> None:
    force = 2.0 + 0.1 * BATCH_MEANS
    found = in_wind(blown(force, 3.0 * force), Stream(angle_rad=0.1), WIDTH_M)
    assert found.place is not None
    assert found.place.value == pytest.approx(3.0 * WIDTH_M)
    assert found.place.error == pytest.approx(0.0, abs=1e-12)
    assert found.force.error == pytest.approx(0.1 * ERROR)


def test_a_moment_that_swings_by_itself_moves_the_place_by_its_arm() -> None:
    found = in_wind(blown(np.full(8, 2.0), 6.0 + 0.4 * BATCH_MEANS), Stream(angle_rad=0.1), WIDTH_M)
    assert found.place is not None
    assert found.place.error == pytest.approx(0.4 * ERROR * WIDTH_M / 2.0)


def test_a_run_that_still_drifts_is_no_surer_than_half_of_what_its_halves_differ_by() -> None:
    rising = np.linspace(1.9, 2.1, 8)
    found = in_wind(blown(rising, 3.0 * rising + np.linspace(-0.4, 0.4, 8)), Stream(angle_rad=0.1), WIDTH_M)
    halves = (np.diff([each.mean() for each in np.split(rising, 2)]) / 2).item()
    assert found.force.error == pytest.approx(halves)
    assert halves > np.std(rising, ddof=1) / np.sqrt(8.0)
    assert found.place is not None
    assert found.place.error == pytest.approx(4.0 * halves * WIDTH_M / 2.0)


def test_no_force_has_no_place() -> None:
    assert in_wind(blown(np.zeros(8), np.zeros(8)), Stream(angle_rad=0.0), WIDTH_M).place is None


def test_two_grids_are_no_surer_than_what_they_are_told_at_least() -> None:
    fine, coarse = Mean(value=2.0, error=0.01), Mean(value=2.05, error=0.5)
    assert of_two_grids(fine, coarse).half_width == pytest.approx(0.02 + 0.05)
    assert of_two_grids(fine, coarse, at_least=0.3).half_width == pytest.approx(0.3)
    with pytest.raises(OutsideRange):
        of_two_grids(Mean(value=1.0, error=-0.1), coarse)


def test_a_swing_needs_three_periods_and_something_that_swings() -> None:
    travel = np.arange(0.0, 10.0, 0.05)
    assert strongest_swing(np.sin(2 * np.pi * 0.2 * travel), travel) is None
    assert strongest_swing(np.ones(200), travel) is None
    assert strongest_swing(np.sin(travel[:10]), travel[:10]) is None
    found = strongest_swing(np.sin(2 * np.pi * 0.5 * travel), travel)
    assert found is not None
    assert found.share > 0.9
    noise = np.random.default_rng(1).standard_normal(200)
    loud = strongest_swing(noise, travel)
    assert loud is None or loud.share < 0.3


def test_pressure_round_a_slice_is_that_of_its_places_alone() -> None:
    """Places on an edge belong to the slice behind it; what has none is not made up."""
    stations = np.array([0.0, 1.0, 2.0, 3.0])
    places = np.array([[0.5, 1.0, 0.0], [1.0, 0.0, 1.0], [1.9, 0.0, -1.0], [0.0, 1.0, 1.0]])
    rows = pressure_round(stations, places, np.array([0.4, -0.6, -0.2, 1.0]))
    assert rows == (pytest.approx((0.7, 0.4, 1.0)), pytest.approx((-0.4, -0.6, -0.2)), None)
