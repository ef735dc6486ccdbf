"""Flights on the workers of a dask scheduler, on this machine or on others."""

import asyncio
import re
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import contextmanager
from itertools import islice
from threading import Thread
from typing import Any

from finial.campaign.campaign import Campaign, code_hash, fly_range
from finial.campaign.chunks import Range
from finial.campaign.extra import needed
from finial.core.errors import CampaignError
from finial.core.visible import visible
from finial.flight.many import ManyFlights

_ADDRESS = re.compile(r"(?:(?:tcp|tls)://)?(?:\[[0-9A-Fa-f:.]{2,45}\]|[A-Za-z0-9._-]{1,253}):([0-9]{1,5})")
_MOST_PORT = 65535
ANSWER_S = 10.0
"""How long to wait for a scheduler to answer [s]."""
_LATE_S = 5.0
"""What the library takes beyond the time it is given [s]."""
_STRANGER = "something else listens there"
_SHOWN = 100
"""Longest piece of an address that is said again, in characters."""
_AHEAD = 3
_TRIES = 20
"""Ranges that may get lost on the way before the cluster is given up."""


class Cluster:
    """Workers of a scheduler at ``tcp://host:port``; a range whose worker dies is flown by another."""

    def __init__(self, address: str, *, answer_s: float = ANSWER_S) -> None:
        self.address, self.answer_s = address, answer_s

    def flown(self, campaign: Campaign, ranges: list[Range]) -> Iterator[ManyFlights]:
        """Fly ranges on the workers, a few ahead for each.

        Raises
        ------
        CampaignError
            If the scheduler does not answer, has no workers, one of them runs another version of
            the program, or a range fails on worker after worker.
        """
        distributed = needed("distributed")
        client = _connected(distributed, self.address, self.answer_s)
        try:
            yield from _flown_by(client, distributed, campaign, ranges)
        finally:
            client.close()


class Helpers:
    """Workers of a scheduler for anything: one function, one large thing they share, many small ones."""

    def __init__(self, address: str, function: Callable[..., Any], shared: Any) -> None:
        """Connect, and send what is shared once.

        Raises
        ------
        CampaignError
            If the scheduler does not answer, has no workers or one of another version.
        """
        self._distributed = needed("distributed")
        self._client = _connected(self._distributed, address, ANSWER_S)
        self._function, self._shared = function, self._client.scatter(shared, broadcast=True)

    def answers(self, items: Iterable[Any]) -> Iterator[Any]:
        """Yield the function of what is shared and each item, in their order, each as soon as it is there.

        Raises
        ------
        CampaignError
            If workers die on the same item again and again, or the scheduler goes away.
        """
        futures = [
            self._client.submit(
                _as_here, code_hash(), self._function, self._shared, item, pure=False, retries=3
            )
            for item in items
        ]
        with _losses_told(self._distributed):
            for future in futures:
                yield future.result()

    def close(self) -> None:
        """Let the workers go."""
        self._client.close()


def _as_here(code: str, function: Callable[..., Any], *given: Any) -> Any:
    """Do it where the program is the one that asked: workers that join later were never looked at.

    Raises
    ------
    CampaignError
        On a worker of another version.
    """
    if code != code_hash():
        raise CampaignError("a worker that joined runs another version of the program: install this one")
    return function(*given)


@contextmanager
def _losses_told(distributed: Any) -> Generator[None, None, None]:
    try:
        yield
    except (distributed.KilledWorker, distributed.CancelledError, OSError) as error:
        why = str(error).partition("\n")[0].rstrip(".")
        raise CampaignError(
            f"the cluster lost its workers or its scheduler ({why}). What was kept stays: "
            "run the same command again"
        ) from error


def require_address(address: str) -> None:
    """Refuse what no scheduler can listen at: asking there would wait without end, or fail without a word.

    Raises
    ------
    CampaignError
        Naming what was given and what is accepted.

    Examples
    --------
    >>> require_address("tcp://127.0.0.1:8786")
    """
    found = _ADDRESS.fullmatch(address)
    if found is None or not 1 <= int(found[1]) <= _MOST_PORT:
        raise CampaignError(
            f"'{visible(address, _SHOWN)}' is no address of a scheduler: give tcp://HOST:PORT, "
            f"with a port from 1 to {_MOST_PORT}"
        )


def _connected(distributed: Any, address: str, answer_s: float) -> Any:
    require_address(address)
    client = _answered(distributed, address, answer_s)
    try:
        _refuse_strangers(client, address)
    except CampaignError:
        client.close()
        raise
    return client


def _answered(distributed: Any, address: str, answer_s: float) -> Any:
    """Ask beside this thread: something else that listens there may never answer, or answer anything."""
    found: list[Any] = []

    def ask() -> None:
        try:
            # A client that fails half-way is never let go of: only what greets as a scheduler gets one.
            asyncio.run(_greeted(distributed, address, answer_s))
            found.append(distributed.Client(address, timeout=answer_s, set_as_default=False))
        except MemoryError:
            found.append(TimeoutError(_STRANGER))  # it asked for room for what never was a greeting
        except (OSError, ValueError, TypeError, TimeoutError) as error:
            found.append(error)

    asking = Thread(target=ask, daemon=True)
    asking.start()
    asking.join(answer_s + _LATE_S)
    client = found[0] if found else TimeoutError(_STRANGER)
    if isinstance(client, Exception):
        raise CampaignError(
            f"no scheduler answers at {address} within {answer_s:g} s ({visible(str(client))}). "
            "Nothing was lost: start one with `dask scheduler`, or leave --cluster out"
        ) from client
    return client


async def _greeted(distributed: Any, address: str, answer_s: float) -> None:
    words = distributed.Security().get_connection_args("client")
    wire = await distributed.comm.connect(address, timeout=answer_s, **words)
    wire.abort()


def _refuse_strangers(client: Any, address: str) -> None:
    """Every worker must run this very program: another one's flights would not be the same."""
    found = client.run(code_hash)
    if not found:
        raise CampaignError(
            f"the scheduler at {address} has no workers: start some with `dask worker {address}`"
        )
    others = sorted(worker for worker, code in found.items() if code != code_hash())
    if others:
        raise CampaignError(f"another version of the program runs on {', '.join(others)}: install this one")


def _flown_by(
    client: Any, distributed: Any, campaign: Campaign, ranges: list[Range]
) -> Iterator[ManyFlights]:
    shared = client.scatter(campaign, broadcast=True, hash=False)
    todo, sent = iter(ranges), dict[Any, tuple[Range, Any]]()
    ahead, again = max(_AHEAD * len(client.scheduler_info()["workers"]), 1), _TRIES

    def send(span: Range) -> Any:
        if client.status == "closed":
            raise ConnectionError("the scheduler is gone")
        # Flights are the same wherever they are flown, so a range may be tried again.
        future = client.submit(_as_here, code_hash(), fly_range, shared, *span, pure=False, retries=3)
        sent[future.key] = span, shared
        return future

    waiting = distributed.as_completed([send(span) for span in islice(todo, ahead)], loop=client.loop)
    with _losses_told(distributed):
        for future in waiting:
            span, lent = sent.pop(future.key)
            try:
                flights = future.result()
            except distributed.CancelledError:
                # A worker that dies can take along a result that was just done, or what all flights share.
                if lent is shared:
                    again -= 1
                    if again < 0:
                        raise
                    shared = client.scatter(campaign, broadcast=True, hash=False)
                waiting.add(send(span))
                continue
            future.release()
            for more in islice(todo, 1):
                waiting.add(send(more))
            yield flights
