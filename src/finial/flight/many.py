"""Fly many times: a range of flight numbers to rows of results, on as many threads as wanted."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flight.fly import traced
from finial.flight.kernel.spread_layout import MOMENTS, N_RESULTS, N_SLOTS, RESULTS
from finial.flight.packing.many import ManyPacked
from finial.flight.packing.pack import Packed
from finial.flight.trace import Trace

__all__ = ["RESULTS", "ManyFlights", "fly_many", "joined", "make_many_ready", "trace_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyFlights:
    """Results and drawn values of flights ``first`` to ``first + n - 1``."""

    first: int
    results: NDArray[np.float64]
    """(n, 21), columns named by ``RESULTS``; not a number where the flight never came to it."""
    drawn: NDArray[np.float64]
    """(n, d), in the order of the spread's draws."""

    def column(self, name: str) -> NDArray[np.float64]:
        """One result of all flights.

        Parameters
        ----------
        name : str
            One of ``RESULTS``.

        Returns
        -------
        column : ndarray, shape (n,)
            In the unit that its name carries [any]; not a number where a flight never came to it.
        """
        return self.results[:, RESULTS.index(name)]


def fly_many(
    flights: ManyPacked,
    first: int,
    count: int,
    *,
    shares: NDArray[np.float64] | None = None,
    threads: int = 1,
) -> ManyFlights:
    """Fly a range of flights of a campaign.

    Flight ``i`` depends on the packed arrays (the seed among them), on ``i`` and on its own row
    of ``shares`` only: results are the same to the last bit however ranges and threads are cut.

    Parameters
    ----------
    flights : ManyPacked
        The campaign.
    first, count : int
        Range of flight numbers.
    shares : ndarray, shape (count, d), optional
        Design points between 0 and 1 [-]; only for a campaign that does not draw them itself.
    threads : int
        Threads to fly on.

    Returns
    -------
    flights : ManyFlights
        One row of results and one of drawn values for each flight.

    Raises
    ------
    OutsideRange
        If the range is empty or the shares do not fit.

    Notes
    -----
    The same to the last bit on machines of one type; otherwise as :func:`finial.flight.fly.fly` at
    a tolerance of 1e-4: landing points within 0.1 m of those at 1e-9.

    References
    ----------
    .. [1] Salmon, Moraes, Dror and Shaw, Parallel random numbers: as easy as 1, 2, 3, SC 2011.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.packing.many import packed_many
    >>> from finial.flight.spread import Spread, whole_mass
    >>> nominal = example_inputs()
    >>> spread = Spread(draws=(), masses=whole_mass(nominal), wind_speed_m_s=4.0)
    >>> round(float(fly_many(packed_many(nominal, spread, seed=1), 0, 2).column("apogee_m")[1]))
    243
    """
    if first < 0 or count < 1 or threads < 1:
        raise OutsideRange(f"flights {first} to {first + count - 1} on {threads} threads: nothing to fly")
    given = _checked(flights, count, shares)
    results, drawn = np.empty((count, N_RESULTS)), np.empty((count, flights.draws))
    edges = np.linspace(0, count, min(threads, count) + 1).astype(int)
    kernel = _kernel()

    def work(part: int) -> None:
        low, high = int(edges[part]), int(edges[part + 1])
        kernel(
            first + low,
            flights.marks,
            flights.plan,
            flights.ints,
            flights.pool,
            flights.table,
            given[low:high] if given.size else given,
            results[low:high],
            drawn[low:high],
        )

    if len(edges) == 2:
        work(0)
    else:
        with ThreadPoolExecutor(len(edges) - 1) as pool:
            list(pool.map(work, range(len(edges) - 1)))
    return ManyFlights(first=first, results=results, drawn=drawn)


def trace_of(
    flights: ManyPacked, number: int, canopies: tuple[str, ...], *, shares: NDArray[np.float64] | None = None
) -> Trace:
    """Fly one flight of a campaign again, and keep its whole time history.

    Parameters
    ----------
    flights : ManyPacked
        The campaign.
    number : int
        Flight number.
    canopies : tuple of str
        Names of the canopies, for the events.
    shares : ndarray, shape (1, d), optional
        Design point [-], for a campaign that does not draw them itself.

    Returns
    -------
    trace : Trace
        Ends where the flight's row of results says, to the last bit.

    Raises
    ------
    OutsideRange
        If the number is negative or the shares do not fit.

    Notes
    -----
    As :func:`fly_many`; the first call of a process compiles for some seconds.

    References
    ----------
    .. [1] As :func:`fly_many`.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.packing.many import packed_many
    >>> from finial.flight.spread import Spread, whole_mass
    >>> nominal = example_inputs()
    >>> spread = Spread(draws=(), masses=whole_mass(nominal), wind_speed_m_s=4.0)
    >>> trace_of(packed_many(nominal, spread, seed=1), 5, ("drogue", "main")).ended
    'ground'
    """
    if number < 0:
        raise OutsideRange(f"flight {number}: numbers count from 0")
    from finial.flight.kernel.draws import fill_slots
    from finial.flight.kernel.vary import vary

    given = _checked(flights, 1, shares)
    own = given[0].copy() if given.size else np.empty(max(flights.draws, 1))
    slots, drawn = np.empty(flights.marks[N_SLOTS]), np.empty(max(flights.draws, 1))
    ints, pool = flights.ints.copy(), flights.pool.copy()
    fill_slots(number, flights.marks, flights.plan, own, slots, drawn)
    vary(number, flights.marks, flights.plan, slots, np.empty(MOMENTS), ints, pool)
    return traced(Packed(ints=ints, pool=pool, table=flights.table), list(canopies))


def joined(parts: Sequence[ManyFlights]) -> ManyFlights:
    """Put ranges that follow one another together.

    Parameters
    ----------
    parts : sequence of ManyFlights
        In any order, one flight after the other without a gap.

    Returns
    -------
    flights : ManyFlights
        Of the whole range.

    Raises
    ------
    OutsideRange
        If a flight between them is missing, or there twice.

    Notes
    -----
    A rearrangement: nothing is computed.

    References
    ----------
    .. [1] Bookkeeping; no formula.

    Examples
    --------
    >>> results, drawn = np.zeros((2, 21)), np.zeros((2, 1))
    >>> low, high = (ManyFlights(first=at, results=results, drawn=drawn) for at in (4, 6))
    >>> whole = joined([high, low])
    >>> whole.first, len(whole.results)
    (4, 4)
    """
    ordered = sorted(parts, key=lambda part: part.first)
    for one, other in pairwise(ordered):
        if one.first + len(one.results) != other.first:
            raise OutsideRange(f"flight {one.first + len(one.results)} is missing, or there twice")
    return ManyFlights(
        first=ordered[0].first,
        results=np.concatenate([part.results for part in ordered]),
        drawn=np.concatenate([part.drawn for part in ordered]),
    )


def make_many_ready(on_compile: Callable[[], None] | None = None) -> bool:
    """Load the kernels, compiling them if this machine has not yet.

    Parameters
    ----------
    on_compile : callable, optional
        Called once before a compilation begins, so that the caller can say so.

    Returns
    -------
    compiled : bool
        True if they had to be compiled.
    """
    from finial.flight.kernel.compiled import MANY_SIGNATURE, SIGNATURE, is_compiled

    missing = not (is_compiled() and is_compiled("many.run_many"))
    if missing and on_compile is not None:
        on_compile()
    from finial.flight.kernel.run import run

    kernel: Any = run
    kernel.compile(SIGNATURE)
    _kernel().compile(MANY_SIGNATURE)
    return missing


def _kernel() -> Any:
    from finial.flight.kernel.many import run_many

    return run_many


def _checked(flights: ManyPacked, count: int, shares: NDArray[np.float64] | None) -> NDArray[np.float64]:
    from finial.flight.kernel.spread_layout import DRAWN_HERE

    draws_itself = flights.marks[DRAWN_HERE] == 1
    if shares is None:
        if not draws_itself:
            raise OutsideRange("this campaign does not draw its own shares: give them")
        return np.empty((0, max(flights.draws, 1)))
    if draws_itself or shares.shape != (count, flights.draws):
        raise OutsideRange(f"shares of shape {shares.shape} for {count} flights of {flights.draws} draws")
    if not np.all((shares > 0.0) & (shares < 1.0)):
        raise OutsideRange("shares must lie between 0 and 1, both ends left out")
    return np.ascontiguousarray(shares, dtype=float)
