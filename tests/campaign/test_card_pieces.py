"""What cards fly: pieces that any of them may take, put together again to the ranges that were asked for.

No card is needed: lanes are stood in for by a function that takes its time.
"""

import random
import threading
import time

import numpy as np
import pytest

from finial.campaign import cards
from finial.core.errors import CampaignError
from finial.flight.many import ManyFlights


def _numbered(first, end):
    numbers = np.arange(first, end, dtype=float)[:, None]
    return ManyFlights(first=first, results=numbers, drawn=-numbers)


@pytest.fixture
def lanes(monkeypatch):
    """Fly every piece in a while by chance, and tell what was flown on which card by which thread."""
    told, chance = [], random.Random(3)

    def fly(_campaign, span, own, most):
        time.sleep(chance.uniform(0.0, 0.01))
        told.append((span, own.card, threading.get_ident(), most))
        return _numbered(*span)

    monkeypatch.setattr(cards, "_on_card", fly)
    return told


def test_every_range_comes_whole_and_once_in_whatever_order_its_pieces_are_done(lanes):
    ranges = [(0, 50), (50, 53), (70, 171)]
    found = list(cards.Cards(2, lanes=3, piece=10).flown(None, ranges))
    whole = {(one.first, one.first + len(one.results)): one for one in found}
    assert sorted(whole) == ranges
    assert len(found) == len(ranges)
    for (first, end), one in whole.items():
        assert one.results[:, 0].tolist() == list(range(first, end))
        assert (one.drawn == -one.results).all()


def test_pieces_are_as_few_as_may_be_and_all_alike(lanes):
    list(cards.Cards(1, lanes=1, piece=10).flown(None, [(7, 38)]))
    assert sorted(span for span, *_ in lanes) == [(7, 14), (14, 22), (22, 30), (30, 38)]
    assert {most for *_, most in lanes} == {10}


def test_each_lane_keeps_to_one_card_and_every_card_has_its_lanes(lanes):
    list(cards.Cards(2, lanes=3, piece=2).flown(None, [(0, 200)]))
    on = {thread: card for _, card, thread, _ in lanes}
    assert len({(card, thread) for _, card, thread, _ in lanes}) == len(on)
    assert sorted(on.values()) == [0, 0, 0, 1, 1, 1]


def test_a_card_that_fails_ends_the_run_in_words(lanes, monkeypatch):
    flown = cards._on_card

    def fails(campaign, span, own, most):
        if span[0] >= 20:
            raise CampaignError("card 0 failed")
        return flown(campaign, span, own, most)

    monkeypatch.setattr(cards, "_on_card", fails)
    with pytest.raises(CampaignError, match="card 0 failed"):
        list(cards.Cards(1, lanes=1, piece=10).flown(None, [(0, 60)]))


def test_a_range_with_a_piece_missing_is_never_given():
    parts = [_numbered(0, 5), _numbered(10, 15)]
    assert [one.first for one in cards._whole(iter(parts), [(0, 10), (10, 15)], 5)] == [10]
