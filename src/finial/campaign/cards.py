"""Flights on the graphics cards of this machine: some threads feed each card, files are written meanwhile."""

import math
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import pairwise
from queue import SimpleQueue
from threading import local

from finial.campaign.ahead import flown_ahead
from finial.campaign.campaign import Campaign, shares_of
from finial.campaign.chunks import Range
from finial.core.cards import card_count, card_faults
from finial.core.errors import CampaignError
from finial.flight.many import ManyFlights, joined

CHUNK = 100_000
"""Flights of one file: a fifth of a second of a large card, and some 20 MB before they are packed."""
PIECE = 25_000
"""Flights of one launch: fewer than a large card flies at once. Cards that fly small pieces end together."""
LANES = 2
"""Launches that a card has at once: the last flights of one leave room that the next one's fill.

Of four sizes and two to four lanes the fastest on one H200 and on two, by a twentieth or more.
"""
_AHEAD = 2
"""Pieces under way or waiting for each lane, so that no card stands idle while a file is written."""


class Cards:
    """Graphics cards of this machine, each with some launches at once."""

    def __init__(self, count: int, *, lanes: int = LANES, piece: int = PIECE) -> None:
        self.count, self._lanes, self._piece = count, lanes, piece

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly ranges as cards come free, cut into pieces that any card may take.

        Raises
        ------
        CampaignError
            If a card fails; what was kept stays.
        """
        numbers: SimpleQueue[int] = SimpleQueue()
        places = self._lanes * self.count
        for place in range(places):
            numbers.put(place % self.count)
        own = local()

        def begin() -> None:
            own.card = numbers.get()

        def fly(span: Range) -> ManyFlights:
            return _on_card(campaign, span, own, self._piece)

        pool = ThreadPoolExecutor(places, initializer=begin)
        pieces = [piece for span in ranges for piece in _cut(span, self._piece)]
        try:
            yield from _whole(flown_ahead(pool, fly, pieces, _AHEAD * places), ranges, self._piece)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _cut(span: Range, most: int) -> list[Range]:
    """Cut a range into as few pieces as may be, all alike."""
    first, end = span
    count = math.ceil((end - first) / most)
    edges = [first + (end - first) * at // count for at in range(count + 1)]
    return list(pairwise(edges))


def _whole(parts: Iterator[ManyFlights], ranges: list[Range], most: int) -> Iterator[ManyFlights]:
    """Give each range once all its pieces are flown, in whatever order they came."""
    home = {low: span for span in ranges for low, _ in _cut(span, most)}
    waiting: dict[Range, list[ManyFlights]] = {}
    for part in parts:
        span = home[part.first]
        pieces = waiting.setdefault(span, [])
        pieces.append(part)
        if len(pieces) == len(_cut(span, most)):
            yield joined(waiting.pop(span))


def on_cards(campaign: Campaign) -> tuple[Campaign, Cards]:
    """Return the campaign as cards round it, and the cards.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    OutsideRange
        If its flights are too large for a card, or the cards are of several models.
    """
    from finial.flight.gpu.cards import refuse_too_large, rounding

    refuse_too_large(campaign.packed)
    return replace(campaign, rounding=rounding()), Cards(card_count())


def _on_card(campaign: Campaign, span: Range, own: local, most: int) -> ManyFlights:
    """Fly a piece on this thread's lane; its first piece opens the lane."""
    from finial.flight.gpu.cards import Lane

    first, end = span
    try:
        if not hasattr(own, "lane"):
            own.lane = Lane(campaign.packed, card=own.card, most=most)
        return own.lane.fly(first, end - first, shares=shares_of(campaign, first, end))
    except card_faults() as error:
        raise CampaignError(
            f"card {own.card} failed ({str(error).splitlines()[0]}). What was kept stays: run it again"
        ) from error
