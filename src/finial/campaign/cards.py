"""Flights on the graphics cards of this machine: two threads feed each card, files are written meanwhile."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from queue import SimpleQueue
from threading import local

from finial.campaign.ahead import flown_ahead
from finial.campaign.campaign import Campaign, shares_of
from finial.campaign.chunks import Range
from finial.core.errors import CampaignError
from finial.flight.many import ManyFlights

CHUNK = 100_000
"""Flights of one file: half a second of a large card, and some 50 MB before they are packed."""
_AT_ONCE = 2
"""Ranges that a card flies at once: the last flights of one leave room that the next one's fill."""
_AHEAD = 2
"""Ranges under way or waiting for each flown at once, so that no card stands idle while a file is written."""


class Cards:
    """Graphics cards of this machine, each flying two ranges at once."""

    def __init__(self, count: int) -> None:
        self.count = count

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly ranges as cards come free.

        Raises
        ------
        CampaignError
            If a card fails; what was kept stays.
        """
        numbers: SimpleQueue[int] = SimpleQueue()
        places = _AT_ONCE * self.count
        for place in range(places):
            numbers.put(place % self.count)
        own = local()

        def begin() -> None:
            own.card = numbers.get()

        def fly(span: Range) -> ManyFlights:
            return _on_card(campaign, span, own.card)

        pool = ThreadPoolExecutor(places, initializer=begin)
        try:
            yield from flown_ahead(pool, fly, ranges, _AHEAD * places)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def on_cards(campaign: Campaign) -> tuple[Campaign, Cards]:
    """Return the campaign as cards round it, and the cards.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    OutsideRange
        If its flights are too large for a card, or the cards are of several models.
    """
    from finial.flight.gpu.cards import card_count, refuse_too_large, rounding

    refuse_too_large(campaign.packed)
    return replace(campaign, rounding=rounding()), Cards(card_count())


def card_count() -> int:
    """How many cards there are.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    from finial.flight.gpu import cards

    return cards.card_count()


def free_bytes(card: int) -> int:
    """Memory of a card that nobody holds.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    from finial.flight.gpu import cards

    return cards.free_bytes(card)


def card_faults() -> tuple[type[Exception], ...]:
    """Errors that a card's driver raises."""
    from finial.flight.gpu import cards

    return cards.card_faults()


def _on_card(campaign: Campaign, span: Range, card: int) -> ManyFlights:
    from finial.flight.gpu.cards import card_faults, fly_on_gpu

    first, end = span
    try:
        return fly_on_gpu(
            campaign.packed, first, end - first, shares=shares_of(campaign, first, end), card=card
        )
    except card_faults() as error:
        raise CampaignError(
            f"card {card} failed ({str(error).splitlines()[0]}). What was kept stays: run it again"
        ) from error
