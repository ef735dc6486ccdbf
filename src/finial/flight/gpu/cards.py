"""Many flights on a graphics card, from the same sources as on the processor.

The kernel's functions are compiled once more, for the card; nothing is written twice. A thread
flies one flight from beginning to end, its numbers in its own memory.
"""

import hashlib
import math
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from threading import Lock
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.core.cards import ready_card
from finial.core.errors import OutsideRange
from finial.flight.gpu.room import MOST_DRAWS, MOST_POOL, MOST_SLOTS, THREADS
from finial.flight.kernel.spread_layout import DRAWN_HERE, N_RESULTS, N_SLOTS
from finial.flight.many import ManyFlights
from finial.flight.packing.many import ManyPacked

AT_ONCE = 1_048_576
"""Flights of one launch."""
_LAUNCHES = Lock()
"""Numba loads the kernel onto a card at its first launch there, and breaks if two threads do so at once."""


def fly_on_gpu(
    flights: ManyPacked,
    first: int,
    count: int,
    *,
    shares: NDArray[np.float64] | None = None,
    card: int = 0,
) -> ManyFlights:
    """Fly a range of flights of a campaign on a graphics card.

    Parameters
    ----------
    flights : ManyPacked
        The campaign.
    first, count : int
        Range of flight numbers.
    shares : ndarray, shape (count, d), optional
        Design points, for a campaign that does not draw them itself.
    card : int
        Which card, counted from 0.

    Returns
    -------
    flights : ManyFlights
        As from :func:`finial.flight.many.fly_many`.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    OutsideRange
        If the range is empty or one flight's numbers do not fit.

    Notes
    -----
    A card rounds sines, roots and powers otherwise than a processor does, and a flight's steps make
    more of it: landing points agree within a decimetre or so, as they do among processors when gravity
    changes in its last place, not to the last bit. Never mix both in one campaign's folder.

    References
    ----------
    .. [1] As :func:`finial.flight.many.fly_many`.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.packing.many import packed_many
    >>> from finial.flight.spread import Spread, whole_mass
    >>> nominal = example_inputs()
    >>> spread = Spread(draws=(), masses=whole_mass(nominal), wind_speed_m_s=4.0)
    >>> fly_on_gpu(packed_many(nominal, spread, seed=1), 0, 0)
    Traceback (most recent call last):
    finial.core.errors.OutsideRange: flights 0 to -1: nothing to fly
    """
    if first < 0 or count < 1:
        raise OutsideRange(f"flights {first} to {first + count - 1}: nothing to fly")
    refuse_too_large(flights)
    cuda = ready_card()
    given = _given(flights, count, shares)
    results, drawn = np.empty((count, N_RESULTS)), np.empty((count, max(flights.draws, 1)))
    with cuda.gpus[card]:
        _fly(cuda, flights, first, given, results, drawn)
    return ManyFlights(first=first, results=results, drawn=drawn[:, : flights.draws])


def _fly(
    cuda: Any,
    flights: ManyPacked,
    first: int,
    given: NDArray[np.float64],
    results: NDArray[np.float64],
    drawn: NDArray[np.float64],
) -> None:
    # A stream of one's own: another thread's flights fill the card while these run out.
    stream = cuda.stream()
    fixed = [
        cuda.to_device(array, stream=stream)
        for array in (flights.marks, flights.plan, flights.ints, flights.pool, flights.table)
    ]
    # What the compiler of cards returns carries no types.
    from finial.flight.gpu.kernel import fly_one_each  # pyright: ignore[reportUnknownVariableType]

    kernel = cast("Any", fly_one_each)
    count = len(results)
    for low in range(0, count, AT_ONCE):
        high = min(low + AT_ONCE, count)
        part = cuda.to_device(given[low:high] if given.size else given, stream=stream)
        out, values = (
            cuda.device_array((high - low, columns), stream=stream) for columns in (N_RESULTS, drawn.shape[1])
        )
        with _LAUNCHES:
            kernel[math.ceil((high - low) / THREADS), THREADS, stream](first + low, *fixed, part, out, values)
        out.copy_to_host(results[low:high], stream=stream)
        values.copy_to_host(drawn[low:high], stream=stream)
    stream.synchronize()


def card_faults() -> tuple[type[Exception], ...]:
    """Errors that a card's driver raises: it fell off the bus, its memory is full, its kernel was killed."""
    from numba.cuda.cudadrv.driver import CudaAPIError

    return (CudaAPIError,)


def card_count() -> int:
    """How many cards there are.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    return len(ready_card().gpus)


def free_bytes(card: int) -> int:
    """Memory of a card that nobody holds [bytes].

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    cuda = ready_card()
    with cuda.gpus[card]:
        return int(cuda.current_context().get_memory_info().free)


def rounding() -> str:
    """Say what rounds a flight's numbers on the cards of this machine: model, compiler, kernel.

    Flights are the same to the last bit wherever this is the same.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    OutsideRange
        If the cards of this machine are not of one model.
    """
    cuda = ready_card()
    models = sorted({_model(cuda, card) for card in range(len(cuda.gpus))})
    if len(models) > 1:
        raise OutsideRange(
            f"cards of {len(models)} models ({', '.join(models)}) round differently: leave one in"
        )
    return f"{models[0]}, {_compiler()}, kernel {_kernel_hash()}"


def _model(cuda: Any, card: int) -> str:
    device = cuda.gpus[card]
    name = getattr(device, "name", "simulated card")
    major, minor = device.compute_capability
    return f"{name.decode() if isinstance(name, bytes) else name} {major}.{minor}"


def _compiler() -> str:
    try:
        return f"numba-cuda {version('numba-cuda')}"
    except PackageNotFoundError:
        return f"numba {version('numba')}"


def _kernel_hash() -> str:
    here = Path(__file__).parent
    return hashlib.sha256((here / "kernel.py").read_bytes() + (here / "room.py").read_bytes()).hexdigest()[:8]


def refuse_too_large(flights: ManyPacked) -> None:
    """Refuse flights that do not fit into the memory that the card's kernel was compiled for.

    Raises
    ------
    OutsideRange
        Says what is too many.
    """
    sizes = (
        ("numbers", flights.pool.size, MOST_POOL),
        ("slots", int(flights.marks[N_SLOTS]), MOST_SLOTS),
        ("uncertain numbers", flights.draws, MOST_DRAWS),
    )
    for what, size, most in sizes:
        if size > most:
            raise OutsideRange(f"{size} {what} in one flight: the card has room for {most}")


def _given(flights: ManyPacked, count: int, shares: NDArray[np.float64] | None) -> NDArray[np.float64]:
    draws_itself = flights.marks[DRAWN_HERE] == 1
    if draws_itself and shares is None:
        return np.empty((0, max(flights.draws, 1)))
    if shares is None or draws_itself or shares.shape != (count, flights.draws):
        raise OutsideRange("shares go with a campaign that does not draw them, one row for each flight")
    return np.ascontiguousarray(shares, dtype=float)
