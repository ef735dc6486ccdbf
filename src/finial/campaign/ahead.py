"""Ranges handed to workers a few ahead, and taken back as they are done."""

from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait

from finial.campaign.chunks import Range
from finial.flight.many import ManyFlights


def flown_ahead(
    pool: Executor, fly: Callable[[Range], ManyFlights], ranges: list[Range], most: int
) -> Iterator[ManyFlights]:
    """Keep at most so many ranges with the workers: what waits to be written stays small."""
    waiting: set[Future[ManyFlights]] = set()
    for span in ranges:
        waiting.add(pool.submit(fly, span))
        if len(waiting) >= most:
            done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            yield from (future.result() for future in done)
    while waiting:
        done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        yield from (future.result() for future in done)
