"""Fly what is missing, keep it, and say how far it came; killed at any point, nothing is lost."""

from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Protocol

from finial.campaign.campaign import Campaign, fly_range
from finial.campaign.chunks import Range, covered, keep, set_damaged_aside
from finial.campaign.store import WRITTEN, Store, missing_ranges, opened
from finial.files.alone import sole_run
from finial.files.write import clear_unfinished
from finial.flight.many import ManyFlights

CHUNK = 1000
"""Flights of one file: one to two seconds of work."""
_WRITERS = 2
"""Files that are packed and written at once, beside the flights."""

Told = Callable[[int], None]
"""Receives how many more flights have been kept."""


class Workers(Protocol):
    """Where flights are flown: threads, processes or a cluster."""

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly every range, in any order, each exactly once."""
        ...


class Threads:
    """Threads of this process: the kernel runs beside Python, and is compiled once."""

    def __init__(self, count: int) -> None:
        self.count = count

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly range after range, each shared out among the threads."""
        for first, end in ranges:
            yield fly_range(campaign, first, end, self.count)


def silent(_count: int) -> None:
    """Pass over how far it came."""


def run_campaign(
    campaign: Campaign,
    folder: Path,
    workers: Workers,
    *,
    chunk: int = CHUNK,
    told: Told = silent,
) -> Store:
    """Fly every flight of a campaign that its folder does not hold yet.

    This process is the only one that writes, so a range flown twice counts once. Files that are not as
    they were written are set aside, and their flights flown again; what a kill left half-written is taken
    away.

    Parameters
    ----------
    campaign : Campaign
        What to fly.
    folder : Path
        Where flights are kept; made if it is not there.
    workers : Workers
        Where to fly.
    chunk : int
        Most flights in one file.
    told : callable
        Called with the number of flights kept, after every file.

    Raises
    ------
    CampaignError
        If the folder holds another campaign, another run writes to it, the disk is full, or the
        workers are lost.
    """
    with sole_run(folder):
        clear_unfinished(folder, WRITTEN)
        store = opened(folder, campaign)
        set_damaged_aside(folder)
        for count in _kept(folder, workers.flown(store.campaign, missing_ranges(store, chunk))):
            told(count)
    return store


def _kept(folder: Path, flown: Iterator[ManyFlights]) -> Iterator[int]:
    """Write files while the next flights are flown; say of each how many it holds, once it is there."""
    waiting: deque[tuple[Future[Path], int]] = deque()
    with ThreadPoolExecutor(_WRITERS) as pool:
        for flights in flown:
            waiting.append((pool.submit(keep, folder, flights), len(flights.results)))
            while waiting and (len(waiting) > _WRITERS or waiting[0][0].done()):
                yield _written(*waiting.popleft())
        while waiting:
            yield _written(*waiting.popleft())


def _written(file: Future[Path], count: int) -> int:
    file.result()
    return count


def kept_flights(folder: Path, flights: int) -> int:
    """How many of the campaign's flights its folder holds."""
    return sum(max(min(end, flights) - first, 0) for first, end in covered(folder))
