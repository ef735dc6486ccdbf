"""Many flights on a graphics card, from the same sources as on the processor.

The kernel's functions are compiled once more, for the card; nothing is written twice. A thread
flies one flight from beginning to end, its numbers in its own memory.
"""

import hashlib
import math
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.cards import ready_card
from finial.core.errors import OutsideRange
from finial.flight.gpu.room import MOST_DRAWS, MOST_POOL, MOST_SLOTS, THREADS
from finial.flight.kernel.spread_layout import DRAWN_HERE, N_RESULTS, N_SLOTS
from finial.flight.many import ManyFlights, joined
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
    _given(flights, count, shares)
    lane = Lane(flights, card=card, most=min(count, AT_ONCE))
    cuts = [(low, min(low + AT_ONCE, count)) for low in range(0, count, AT_ONCE)]
    return joined(
        [
            lane.fly(first + low, high - low, shares=None if shares is None else shares[low:high])
            for low, high in cuts
        ]
    )


class Lane:
    """A stream of flights through one card, for one thread at a time.

    It keeps its memory on the card from one range to the next: to take or to give back memory there waits
    until nothing flies on that card.
    """

    def __init__(self, flights: ManyPacked, *, card: int, most: int) -> None:
        """Take what ``most`` flights at once need.

        Raises
        ------
        MissingData
            If numba-cuda is not installed or there is no card.
        """
        self._cuda, self._flights, self._card = ready_card(), flights, card
        columns = max(flights.draws, 1)
        with self._cuda.gpus[card]:
            self._stream = self._cuda.stream()
            self._fixed = [
                self._cuda.to_device(array, stream=self._stream)
                for array in (flights.marks, flights.plan, flights.ints, flights.pool, flights.table)
            ]
            self._there = [self._cuda.device_array((most, width)) for width in (N_RESULTS, columns)]
            # The card writes to memory that stays where it is while the processor does other things.
            self._here = [self._cuda.pinned_array((most, width)) for width in (N_RESULTS, columns)]
            self._none = self._cuda.to_device(np.empty((0, columns)), stream=self._stream)

    def fly(self, first: int, count: int, *, shares: NDArray[np.float64] | None = None) -> ManyFlights:
        """Fly a range, as :func:`fly_on_gpu` does.

        Raises
        ------
        OutsideRange
            If there are more flights than room was taken for, or the shares do not fit.
        """
        if not 1 <= count <= len(self._here[0]):
            raise OutsideRange(f"{count} flights at once: there is room for 1 to {len(self._here[0])}")
        given = _given(self._flights, count, shares)
        # What the compiler of cards returns carries no types.
        from finial.flight.gpu.kernel import fly_one_each  # pyright: ignore[reportUnknownVariableType]

        draws = self._flights.draws
        blocks = math.ceil(count / THREADS)
        with self._cuda.gpus[self._card]:
            rows = self._cuda.to_device(given, stream=self._stream) if given.size else self._none
            there = [array[:count] for array in self._there]
            with _LAUNCHES:
                fly_one_each[blocks, THREADS, self._stream](first, *self._fixed, rows, *there)
            here = [array[:count] for array in self._here]
            for one, other in zip(there, here, strict=True):
                one.copy_to_host(other, stream=self._stream)
            self._stream.synchronize()
        return ManyFlights(first=first, results=here[0].copy(), drawn=here[1][:, :draws].copy())


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
