"""Odds of a design counted on a card: by numba's simulator here, and on threads where a card has no room."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from finial.campaign import as_meant as counting
from finial.campaign.as_meant import OddsWanted, least_odds
from finial.campaign.campaign import fly_range
from finial.campaign.spot import Spot
from finial.core.errors import OutsideRange
from finial.core.statistics import failure_probability_interval
from finial.flight.many import joined

from .conftest import small_campaign

HERE = Path(__file__).parent
FLIGHTS = 6
SPOT = Spot(field_radius_m=25.0)
_SCRIPT = """
import sys

sys.path.insert(0, {here!r})
from conftest import small_campaign
from finial.campaign import as_meant as counting
from finial.campaign.spot import Spot

counting.planned_for = lambda case, wanted: small_campaign(flights=wanted.flights)
counting.spot_of = lambda case: Spot(field_radius_m={radius})
counting.fly_range = None
print(counting.least_odds(None, counting.OddsWanted(share=0.5, flights={flights}, cards=True)))
"""


@pytest.fixture
def small(monkeypatch):
    monkeypatch.setattr(counting, "planned_for", lambda _case, wanted: small_campaign(flights=wanted.flights))
    monkeypatch.setattr(counting, "spot_of", lambda _case: SPOT)


def test_a_simulated_card_counts_as_processors_do(small):
    script = _SCRIPT.format(here=str(HERE), radius=SPOT.field_radius_m, flights=FLIGHTS)
    path = os.pathsep.join(filter(None, sys.path))
    environment = {**os.environ, "NUMBA_ENABLE_CUDASIM": "1", "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": path}
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", script],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )
    assert done.returncode == 0, done.stderr
    ours = least_odds(None, OddsWanted(share=0.5, flights=FLIGHTS))
    assert 0.0 < ours < failure_probability_interval(FLIGHTS, FLIGHTS)[0]  # some come down elsewhere
    assert float(done.stdout) == ours


def test_what_has_no_room_on_a_card_is_flown_on_threads(small, monkeypatch):
    def too_large(_campaign):
        raise OutsideRange("too many numbers in one flight")

    monkeypatch.setattr(counting, "on_cards", too_large)
    on_threads, asked = (OddsWanted(share=0.5, flights=40, cards=cards) for cards in (False, True))
    assert least_odds(None, asked) == least_odds(None, on_threads)


def test_all_flights_of_a_card_are_counted_and_no_others(small, monkeypatch):
    class Card:
        def flown(self, campaign, ranges):
            assert ranges == [(0, 40)]
            yield fly_range(campaign, 0, 15)
            yield fly_range(campaign, 15, 40)

    monkeypatch.setattr(counting, "on_cards", lambda campaign: (campaign, Card()))
    flown = joined([fly_range(small_campaign(flights=40), 0, 40)])
    meant = int(np.count_nonzero(counting.as_meant(flown, SPOT)))
    low, _ = failure_probability_interval(meant, 40)
    assert least_odds(None, OddsWanted(share=0.5, flights=40, cards=True)) == low
