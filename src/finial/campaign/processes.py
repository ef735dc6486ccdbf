"""Flights on other processes of this machine."""

import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from threading import Thread

from finial.campaign.ahead import flown_ahead
from finial.campaign.campaign import Campaign, fly_range
from finial.campaign.chunks import Range
from finial.core.errors import CampaignError
from finial.flight.many import ManyFlights, make_many_ready

_AHEAD = 2
"""Ranges waiting for each process, so that none stands idle."""
_TRIES = 5

_campaign: Campaign | None = None


class Processes:
    """Processes of this machine; one that dies is replaced and its range flown again."""

    def __init__(self, count: int) -> None:
        self.count = count

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly ranges as processes come free.

        Raises
        ------
        CampaignError
            If processes keep dying.
        """
        make_many_ready()
        left = set(ranges)
        for _ in range(_TRIES):
            try:
                for flights in self._once(campaign, sorted(left)):
                    left.discard((flights.first, flights.first + len(flights.results)))
                    yield flights
                return
            except BrokenProcessPool:
                continue
        raise CampaignError(
            f"worker processes died {_TRIES} times (out of memory?). What was kept stays: "
            "run the same command again with fewer processes"
        )

    def _once(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        # A fresh interpreter each: forking a process that has threads is not sound.
        pool = ProcessPoolExecutor(
            self.count, mp_context=get_context("spawn"), initializer=_begin, initargs=(campaign,)
        )
        try:
            yield from flown_ahead(pool, _fly, ranges, _AHEAD * self.count)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _begin(campaign: Campaign) -> None:
    global _campaign
    _campaign = campaign
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """End when the parent is gone: one that is killed tells its workers nothing, and they would wait on."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _fly(span: Range) -> ManyFlights:
    assert _campaign is not None
    return fly_range(_campaign, *span)
