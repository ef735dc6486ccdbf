"""Values of given ranks among numbers that come piece by piece: exact, and in memory that does not grow."""

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

_BITS = 16
"""Bits of a number that each pass tells apart."""
PASSES = 64 // _BITS
"""Passes that every number is needed in."""
_LOW = np.uint64(2**_BITS - 1)
_SIGN = np.uint64(2**63)


class RankedNumbers:
    """Which numbers have the wanted ranks: sixteen bits more of each in every pass over all of them.

    Numbers are ordered as their bits are, those below zero turned round; a pass counts what follows on the
    bits that are known of each wanted one.

    Examples
    --------
    >>> pieces = [np.array([3.0, -1.0]), np.array([2.0, 0.5, 10.0])]
    >>> ranked = RankedNumbers()
    >>> for ranks in [(0, 2, 4), *[()] * 3]:
    ...     for piece in pieces:
    ...         ranked.add(piece)
    ...     ranked.passed(ranks)
    >>> ranked.values
    {0: -1.0, 2: 2.0, 4: 10.0}
    """

    def __init__(self) -> None:
        self._shift = 64 - _BITS
        self._counts = {0: _none()}
        self._wanted: dict[int, tuple[int, int]] = {}
        """Of each rank: the bits that are known, and its rank among the numbers that begin so."""

    @property
    def count(self) -> int:
        """How many numbers came in the first pass."""
        return int(self._counts[0].sum(dtype=np.int64))

    def add(self, values: NDArray[np.float64]) -> None:
        """Count a piece; no number of it may be other than finite."""
        keys = _keys(values)
        bins = ((keys >> np.uint64(self._shift)) & _LOW).astype(np.int64)
        first = self._shift == 64 - _BITS
        known = None if first else keys >> np.uint64(self._shift + _BITS)
        for bits, counts in self._counts.items():
            here = bins if known is None else bins[known == np.uint64(bits)]
            counts += np.bincount(here, minlength=2**_BITS).astype(np.uint32)

    def passed(self, ranks: Iterable[int] = ()) -> None:
        """End a pass; the first one is told the ranks, counted from 0."""
        wanted = self._wanted or {rank: (0, rank) for rank in ranks}
        self._wanted = {rank: self._narrowed(*known) for rank, known in wanted.items()}
        self._counts = {bits: _none() for bits, _ in self._wanted.values()}
        self._shift -= _BITS

    def _narrowed(self, bits: int, rank: int) -> tuple[int, int]:
        below = np.cumsum(self._counts[bits], dtype=np.int64)
        place = int(np.searchsorted(below, rank, side="right"))
        before = int(below[place - 1]) if place else 0
        return (bits << _BITS) | place, rank - before

    @property
    def values(self) -> Mapping[int, float]:
        """Number of each rank, after the last pass."""
        return {rank: _number(bits) for rank, (bits, _) in self._wanted.items()}


def _none() -> NDArray[np.uint32]:
    return np.zeros(2**_BITS, dtype=np.uint32)


def _keys(values: NDArray[np.float64]) -> NDArray[np.uint64]:
    bits = (values + 0.0).view(np.uint64)  # so that there is one zero
    return np.where(bits & _SIGN, ~bits, bits | _SIGN)


def _number(key: int) -> float:
    bits = key ^ int(_SIGN) if key & int(_SIGN) else ~key & (2**64 - 1)
    return float(np.array([bits], dtype=np.uint64).view(np.float64)[0])
