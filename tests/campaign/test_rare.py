"""Odds too small to count, against plain counting and odds that the sheet itself gives."""

import math

import numpy as np
import pytest
from scipy.stats import binomtest

from finial.campaign.asked import Asked
from finial.campaign.campaign import fly_range
from finial.campaign.rare import RareOdds, joined, rare_odds
from finial.campaign.spot import Crowd, Spot
from finial.campaign.subset import RareShare
from finial.report.campaign_text import rare_words

_COUNTED = 6000


@pytest.fixture(scope="module")
def counted():
    from pathlib import Path
    from runpy import run_path

    small = run_path(str(Path(__file__).with_name("conftest.py")))["small_campaign"]
    campaign = small(flights=_COUNTED)
    return campaign, fly_range(campaign, 0, _COUNTED, 2)


def _overlap(found, count):
    theirs = binomtest(count, _COUNTED).proportion_ci(0.95, method="exact")
    return found.low <= theirs.high and theirs.low <= found.high


def test_what_plain_counting_can_still_see(counted):
    campaign, flown = counted
    far = np.hypot(flown.column("landing_east_m"), flown.column("landing_north_m"))
    ceiling = float(np.quantile(flown.column("apogee_m"), 0.995))
    radius = float(np.quantile(far, 0.994))
    found = {
        one.asked: one
        for one in rare_odds(campaign, Spot(ceiling_agl_m=ceiling, field_radius_m=radius), threads=2)
    }
    over, outside = found[Asked.OVER_CEILING], found[Asked.INSIDE_RADIUS]
    assert _overlap(over, 30)
    assert _overlap(outside, 36)
    assert 0.002 < over.share < 0.012
    assert max(over.flights, outside.flights) <= 20_000


def test_one_flight_in_a_hundred_thousand_as_counted_on_a_card(monkeypatch):
    """Of 14,825,000 flights of the bench's vehicle that did not set this ceiling 142 went over it."""
    from importlib.util import module_from_spec, spec_from_file_location
    from pathlib import Path

    from finial.campaign.campaign import planned

    bench = Path(__file__).parents[2] / "bench"
    monkeypatch.syspath_prepend(str(bench))
    spec = spec_from_file_location("bench_gpu", bench / "gpu.py")
    gpu = module_from_spec(spec)
    spec.loader.exec_module(gpu)
    campaign = planned("rare", *gpu.spread_and_inputs(), flights=1, seed=1)
    (found,) = rare_odds(campaign, Spot(ceiling_agl_m=302.0172982412887), threads=2)
    theirs = binomtest(142, 14_825_000).proportion_ci(0.95, method="exact")
    assert found.low <= theirs.high
    assert theirs.low <= found.high
    assert found.flights <= 20_000
    assert found.high < 10.0 * found.low


def test_canopies_that_stay_in_come_down_bare_as_often_as_the_sheet_says(counted):
    """People everywhere: reached without an open canopy whenever the main stays in, 1 in 20."""
    campaign, _ = counted
    everywhere = Spot(crowd=Crowd(near_m=0.0, deep_m=1e5))
    found = {one.asked: one for one in rare_odds(campaign, everywhere, threads=2)}
    assert found[Asked.AS_FAR_AS_CROWD].share == pytest.approx(1.0)
    bare = found[Asked.STRIKES_BARE]
    assert bare.share == pytest.approx(0.05, abs=1e-9)
    # Of the flights whose canopies work none came down bare, which bounds theirs and cannot rule them out.
    assert 0.05 <= bare.high < 0.06


def test_strata_add_up_with_their_bounds():
    reached = RareShare(share=1e-3, low=5e-4, high=2e-3, deviation=0.4, points=900, levels=3)
    nothing = RareShare(share=None, low=0.0, high=1e-2, deviation=math.nan, points=1000, levels=1)
    found = joined(Asked.OVER_CEILING, [0.9, 0.1], [reached, nothing])
    assert (found.share, found.flights) == (pytest.approx(9e-4), 1900)
    assert (found.low, found.high) == (pytest.approx(4.5e-4), pytest.approx(9e-4 + 9e-4 + 1e-3))
    assert joined(Asked.OVER_CEILING, [1.0], [nothing]).share is None


def test_the_words_say_one_in_so_many_and_own_up():
    told = RareOdds(asked=Asked.OVER_CEILING, share=1.2e-5, low=6e-6, high=2.4e-5, flights=11_000)
    assert rare_words(told) == "1 in 83,000 (between 1 in 170,000 and 1 in 42,000; 11000 flights)"
    none = RareOdds(asked=Asked.OVER_CEILING, share=None, low=0.0, high=2e-4, flights=1000)
    assert rare_words(none) == "none came there: fewer than 1 in 5,000 (1000 flights)"
