"""Odds too small to count, against plain counting and odds that the sheet itself gives."""

import math
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from scipy.stats import binomtest, norm

from finial.campaign import rare
from finial.campaign.asked import Asked
from finial.campaign.campaign import fly_range, planned
from finial.campaign.rare import RareOdds, joined, rare_odds
from finial.campaign.spot import Crowd, Spot
from finial.campaign.subset import RareShare, subset_share
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, ODDS, Draw, Spread, canopy_slot, either_way, whole_mass
from finial.flight.trace import EventKind
from finial.flight.uncertain import Drawn, Uncertain
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
        for one in rare_odds(
            campaign,
            Spot(ceiling_agl_m=ceiling, field_radius_m=radius),
            threads=2,
            only=(Asked.OVER_CEILING, Asked.INSIDE_RADIUS),
        )
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

    bench = Path(__file__).parents[2] / "bench"
    monkeypatch.syspath_prepend(str(bench))
    spec = spec_from_file_location("bench_gpu", bench / "gpu.py")
    gpu = module_from_spec(spec)
    spec.loader.exec_module(gpu)
    campaign = planned("rare", *gpu.spread_and_inputs(), flights=1, seed=1)
    (found,) = rare_odds(
        campaign, Spot(ceiling_agl_m=302.0172982412887), threads=2, only=(Asked.OVER_CEILING,)
    )
    theirs = binomtest(142, 14_825_000).proportion_ci(0.95, method="exact")
    assert found.low <= theirs.high
    assert theirs.low <= found.high
    assert found.flights <= 20_000
    assert found.high < 10.0 * found.low


def test_canopies_that_stay_in_come_down_bare_as_often_as_the_sheet_says(counted):
    """People everywhere: reached without an open canopy whenever the main stays in, 1 in 20."""
    campaign, _ = counted
    everywhere = Spot(crowd=Crowd(near_m=0.0, deep_m=1e5))
    people = (Asked.AS_FAR_AS_CROWD, Asked.STRIKES_BARE)
    found = {one.asked: one for one in rare_odds(campaign, everywhere, threads=2, only=people)}
    assert found[Asked.AS_FAR_AS_CROWD].share == pytest.approx(1.0)
    bare = found[Asked.STRIKES_BARE]
    assert bare.share == pytest.approx(0.05, abs=1e-9)
    # Of the flights whose canopies work none came down bare, which bounds theirs and cannot rule them out.
    assert 0.05 <= bare.high < 0.06


def _with_canopies(*draws):
    """The invented vehicle, nothing of it uncertain but its canopies."""
    inputs = example_inputs()
    spread = Spread(draws=draws, masses=whole_mass(inputs), wind_speed_m_s=4.0)
    return planned("canopies", inputs, spread, flights=1, seed=2)


def _stays_in(canopy, name, odds):
    number = Uncertain(kind=Drawn.STAYS_IN, of=name)
    return Draw(number=number, slot=canopy_slot(0, canopy, "stays_in"), shape=ODDS, base=0.0, above=odds)


def _late(shape, above_s):
    """Lateness of the main, from 0.2 s on."""
    number, slot = Uncertain(kind=Drawn.CANOPY_LATE, of="main"), canopy_slot(0, 1, "delay_s")
    return Draw(number=number, slot=slot, shape=shape, base=0.2, above=above_s)


@pytest.fixture
def few(monkeypatch):
    """A fifth of the flights: wider bounds, quicker tests."""
    monkeypatch.setattr(rare, "subset_share", partial(subset_share, per_level=200))


@pytest.mark.usefixtures("few")
def test_both_canopies_stay_in_once_in_a_hundred_thousand_flights():
    """Odds of the sheet that stand by themselves: 0.004 times 0.0025 is 1e-5, to the width of its bounds."""
    campaign = _with_canopies(
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, base=1.0),
        _late(EVEN, 0.2),
        _stays_in(0, "drogue", 0.004),
        _stays_in(1, "main", 0.0025),
    )
    main, none = rare_odds(campaign, Spot(), threads=2)
    assert (main.asked, none.asked) == (Asked.OPEN_CANOPY, Asked.BALLISTIC)
    assert main.share == pytest.approx(0.0025, rel=1e-12)
    assert none.share == pytest.approx(1e-5, rel=1e-12)
    # 200 of 200 by Clopper and Pearson, two-sided: 0.025^(1/200). No flight whose main works came near.
    assert (main.low, none.low) == pytest.approx((0.0025 * 0.025**0.005, 1e-5 * 0.025**0.005))
    assert main.share <= main.high < 0.00251
    assert none.share <= none.high < 1.1e-5
    assert max(main.flights, none.flights) <= rare.MOST_FLIGHTS


@pytest.mark.usefixtures("few")
def test_a_main_that_is_too_late_by_itself_as_often_as_the_tail_of_its_lateness():
    """Only its lateness differs, by a bell: it fails beyond one moment, 3.5 deviations away, 2.3e-4."""
    campaign = _with_canopies(_late(BELL, 2.0 * (_latest_delay_s() - 0.2) / 3.5))
    main, none = rare_odds(campaign, Spot(), threads=2)
    assert main.low < norm.sf(3.5) < main.high < 20.0 * main.low
    assert main.share == pytest.approx(norm.sf(3.5), rel=0.5)
    # The drogue is out for all that: no flight is ballistic, and fewer than are told apart.
    assert (none.share, none.low) == (None, 0.0)
    assert none.high < 1e-4


def _latest_delay_s():
    """The delay after which the main no longer stands open at the ground, found by halving."""
    inputs, low, high = example_inputs(), 0.2, 30.0
    drogue, main = inputs.canopies
    while high - low > 1e-4:
        middle = 0.5 * (low + high)
        flown = fly(replace(inputs, canopies=(drogue, replace(main, delay_s=middle))), tolerance=1e-7)
        low, high = (middle, high) if flown.event(EventKind.OPEN, "main") else (low, middle)
    return low


def test_failures_that_leave_no_canopy_stand_apart():
    """Two canopies of which the second is the larger; each stays in, the second a bundle too."""
    bundle = Draw(
        number=Uncertain(kind=Drawn.STAYS_BUNDLED, of="main"),
        slot=canopy_slot(0, 1, "stays_bundle"),
        shape=ODDS,
        base=0.0,
        above=0.3,
    )
    campaign = _with_canopies(_stays_in(0, "drogue", 0.1), _stays_in(1, "main", 0.2), bundle)
    strata = {asked: tuple(rare._strata(campaign, asked)) for asked in (Asked.OPEN_CANOPY, Asked.BALLISTIC)}
    odds = {asked: [one.odds for one in own] for asked, own in strata.items()}
    # 0.9 0.8 0.7 that nothing fails; 0.1 0.8 0.7 the drogue alone; 1 - 0.8 0.7 the main in either way.
    assert odds[Asked.OPEN_CANOPY] == pytest.approx([0.504, 0.056, 0.44])
    # 0.1 0.2 that both stay in.
    assert odds[Asked.BALLISTIC] == pytest.approx([0.504, 0.476, 0.02])
    assert [len(one.patterns) for one in strata[Asked.BALLISTIC]] == [1, 5, 2]


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
