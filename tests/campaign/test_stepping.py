"""Steps as coarse as the scatter allows, against fine steps on flights that were not tried."""

from dataclasses import replace

import numpy as np
import pytest

from finial.campaign import stepping
from finial.campaign.campaign import fly_range, planned
from finial.campaign.run import Threads, run_campaign
from finial.campaign.stepping import COARSER, WORTH_IT, as_coarse_as_may_be, worst_error
from finial.flight.example import example_inputs
from finial.flight.many import RESULTS
from finial.flight.spread import Spread, whole_mass

FIRST, OTHERS = (0, 200), (1000, 1300)
"""Flights that the steps are chosen by, and others."""


@pytest.fixture
def many(campaign):
    return campaign(flights=WORTH_IT)


def _errors(campaign, span):
    exact = fly_range(stepping.stepping(campaign, 1e-9), *span)
    return exact, {one: fly_range(stepping.stepping(campaign, one), *span) for one in (*COARSER, 1e-4)}


def test_errors_of_other_flights_are_lost_in_their_scatter(many):
    """By the first 200; held against flights 1000 to 1299 of the same campaign, stepped at 1e-9."""
    chosen = as_coarse_as_may_be(many)
    exact, flown = _errors(many, OTHERS)
    found = flown[chosen.tolerance]
    assert chosen.tolerance in COARSER
    for name in set(RESULTS) - {"steps"}:
        error = np.sqrt(np.nanmean((found.column(name) - exact.column(name)) ** 2))
        assert error <= 0.15 * np.nanstd(exact.column(name)), name
    assert found.column("steps").mean() < 0.95 * flown[1e-4].column("steps").mean()


def test_the_coarsest_that_holds_is_taken(many, monkeypatch):
    exact = fly_range(stepping.stepping(many, 1e-7), *FIRST)
    flown = {one: fly_range(stepping.stepping(many, one), *FIRST) for one in COARSER}
    errors = {one: worst_error(found, exact) for one, found in flown.items()}
    assert errors[1e-3] > errors[3e-4] > 0.0
    for most, tolerance, worst in (
        (errors[1e-3], 1e-3, errors[1e-3]),
        (errors[3e-4], 3e-4, errors[3e-4]),
        (0.9 * errors[3e-4], 1e-4, None),
    ):
        monkeypatch.setattr(stepping, "_MOST", most)
        found = as_coarse_as_may_be(many)
        assert (found.tolerance, found.worst) == (tolerance, worst)
        assert (
            found.campaign.packed.pool.tobytes() == stepping.stepping(many, tolerance).packed.pool.tobytes()
        )


def test_what_does_not_scatter_is_flown_as_usual():
    inputs = example_inputs()
    still = Spread(draws=(), masses=whole_mass(inputs), wind_speed_m_s=4.0)
    assert as_coarse_as_may_be(planned("still", inputs, still, flights=WORTH_IT, seed=1)).tolerance == 1e-4


def test_few_flights_are_not_worth_trying(campaign, monkeypatch):
    monkeypatch.setattr(stepping, "fly_range", None)
    few = campaign(flights=WORTH_IT - 1)
    assert as_coarse_as_may_be(few).campaign is few


def test_a_flight_that_ends_otherwise_is_no_small_error(many):
    exact = fly_range(many, *FIRST)
    assert worst_error(exact, exact) == 0.0
    for name, value in (("under_canopy", 9.0), ("landing_speed_m_s", np.nan)):
        other = replace(exact, results=exact.results.copy())
        other.results[5, RESULTS.index(name)] = value
        assert worst_error(other, exact) == np.inf


def test_an_error_is_told_as_a_share_of_the_scatter(many):
    exact = fly_range(many, *FIRST)
    at = RESULTS.index("apogee_m")
    other = replace(exact, results=exact.results.copy())
    other.results[:, at] += np.where(np.arange(200) % 2, 0.3, -0.3) * exact.results[:, at].std()
    assert worst_error(other, exact) == pytest.approx(0.3)


def test_a_folder_goes_on_with_its_own_steps(campaign, tmp_path):
    coarse = stepping.stepping(campaign(flights=20), 1e-3)
    run_campaign(campaign(flights=10), tmp_path / "a", Threads(1))
    grown = run_campaign(coarse, tmp_path / "a", Threads(1)).campaign
    assert grown.packed.pool.tobytes() == campaign(flights=20).packed.pool.tobytes()
    alone = run_campaign(coarse, tmp_path / "b", Threads(1)).campaign
    assert alone.packed.pool.tobytes() == coarse.packed.pool.tobytes()
