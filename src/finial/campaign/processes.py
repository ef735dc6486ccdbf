"""Flights on other processes of this machine."""

import os
import signal
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from threading import Thread, current_thread, main_thread
from typing import Any, TypeVar

from finial.campaign.ahead import flown_ahead
from finial.campaign.campaign import Campaign, fly_range
from finial.campaign.chunks import Range
from finial.core.errors import CampaignError
from finial.flight.many import ManyFlights, make_many_ready

_AHEAD = 2
"""Ranges waiting for each process, so that none stands idle."""
_TRIES = 5
_Result = TypeVar("_Result")

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
        # A fresh interpreter for each: forking one that has threads is not sound.
        context = get_context("spawn")
        listening, held = context.Pipe(duplex=False)
        pool = _Pool(self.count, mp_context=context, initializer=_begin, initargs=(campaign, listening))
        try:
            # Closed, all processes end at once, in the middle of a range too.
            with held:
                yield from flown_ahead(pool, _fly, ranges, _AHEAD * self.count)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)
            listening.close()


class _Pool(ProcessPoolExecutor):
    """A pool whose processes hear no Ctrl-C from their first moment on: their parent hears it, and decides.

    It knows each that it started: an interrupt between the two would leave one behind.
    """

    def submit(self, fn: Callable[..., _Result], /, *args: Any, **named: Any) -> "Future[_Result]":
        """Ask for something while interrupts wait: a process that it starts holds them back too."""
        with _interrupts_held():
            return super().submit(fn, *args, **named)


@contextmanager
def _interrupts_held() -> Generator[None, None, None]:
    """Let Ctrl-C wait. Held back in this thread alone it would come by another, in the middle of a start."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        with _heard_later():
            yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _heard_later() -> Generator[None, None, None]:
    """Take note of Ctrl-C and raise it at the end; only the main thread ever hears it."""
    if current_thread() is not main_thread():
        yield
        return
    heard: list[int] = []
    handler = signal.signal(signal.SIGINT, lambda number, _frame: heard.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, handler)
        if heard:
            signal.raise_signal(signal.SIGINT)


def _begin(campaign: Campaign, listening: Connection) -> None:
    global _campaign
    _campaign = campaign
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, args=(listening,), daemon=True).start()


def _end_with_parent(listening: Connection) -> None:
    """End when the parent lets go or is killed: it could tell its workers nothing, and they would wait on."""
    with suppress(EOFError, OSError):
        listening.recv_bytes()
    os._exit(1)


def _fly(span: Range) -> ManyFlights:
    assert _campaign is not None
    return fly_range(_campaign, *span)
