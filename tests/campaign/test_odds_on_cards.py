"""Odds of a design counted on a card: by numba's simulator here, and on threads where a card has no room."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import numpy as np
import pytest

from finial.campaign import as_meant as counting
from finial.campaign.as_meant import OddsWanted, least_odds
from finial.campaign.campaign import Campaign, fly_range
from finial.campaign.spot import Spot
from finial.core.errors import OutsideRange
from finial.core.statistics import failure_probability_interval
from finial.flight.many import joined

from . import conftest

HERE = Path(__file__).parent
FLIGHTS = 6
NO_CASE: Any = None
"""What stands for it is asked for a small campaign here."""
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


def small_campaign(**how: Any) -> Campaign:
    made: Any = conftest
    return made.small_campaign(**how)


@pytest.fixture
def small(monkeypatch: Any) -> None:
    def planned_for(_case: Any, wanted: OddsWanted) -> Campaign:
        return small_campaign(flights=wanted.flights)

    monkeypatch.setattr(counting, "planned_for", planned_for)
    monkeypatch.setattr(counting, "spot_of", Mock(return_value=SPOT))


def test_a_simulated_card_counts_as_processors_do(small: Any) -> None:
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
    ours = least_odds(NO_CASE, OddsWanted(share=0.5, flights=FLIGHTS))
    assert 0.0 < ours < failure_probability_interval(FLIGHTS, FLIGHTS)[0]  # some come down elsewhere
    assert float(done.stdout) == ours


def test_what_has_no_room_on_a_card_is_flown_on_threads(small: Any, monkeypatch: Any) -> None:
    def too_large(_campaign: Any) -> None:
        raise OutsideRange("too many numbers in one flight")

    monkeypatch.setattr(counting, "on_cards", too_large)
    on_threads, asked = (OddsWanted(share=0.5, flights=40, cards=cards) for cards in (False, True))
    assert least_odds(NO_CASE, asked) == least_odds(NO_CASE, on_threads)


def test_all_flights_of_a_card_are_counted_and_no_others(small: Any, monkeypatch: Any) -> Any:
    class Card:
        def flown(self, campaign: Any, ranges: Any) -> Any:
            assert ranges == [(0, 40)]
            yield fly_range(campaign, 0, 15)
            yield fly_range(campaign, 15, 40)

    def on_cards(campaign: Campaign) -> tuple[Campaign, Card]:
        return campaign, Card()

    monkeypatch.setattr(counting, "on_cards", on_cards)
    flown = joined([fly_range(small_campaign(flights=40), 0, 40)])
    meant = int(np.count_nonzero(counting.as_meant(flown, SPOT)))
    low, _ = failure_probability_interval(meant, 40)
    assert least_odds(NO_CASE, OddsWanted(share=0.5, flights=40, cards=True)) == low
