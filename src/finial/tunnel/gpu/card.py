# pyright: basic
# What the compiler of cards returns carries no types.
"""The air of a run in the memory of a graphics card."""

import math
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.cards import ready_card
from finial.core.errors import OutsideRange
from finial.tunnel.collision import MOMENTS
from finial.tunnel.kernel_text import KERNELS, card_text
from finial.tunnel.machine import Machine
from finial.tunnel.setup import Setup, start

_THREADS = 128
"""Threads of a block: a row of the grid is worked on in pieces of as many."""
_ADDERS = 2048
"""Threads that add the loads up."""
_ROWS = 4096
"""Samples that a card keeps before they are fetched."""
_ADD = """
def add(values, weights, columns, out, row, count):
    i = cuda.grid(1)
    for k in range(columns):
        total = 0.0
        for place in range(i, count, cuda.gridsize(1)):
            total += values[place] * weights[place * columns + k]
        cuda.atomic.add(out, (row, k), total)


def mean(values, sums, low, high):
    i = cuda.grid(1)
    if i < high:
        sums[i] += values[i]
"""


@cache
def _kernels() -> dict[str, Any]:
    cuda = ready_card()
    module: dict[str, Any] = {}
    exec(compile(card_text() + _ADD, "tunnel_card_kernels.py", "exec"), module)
    return {name: cuda.jit(module[name], fastmath=True) for name in (*KERNELS, "add", "mean")}


class Card(Machine):
    """Machine of one graphics card; nothing is waited for before the samples are fetched."""

    def __init__(self, setup: Setup, number: int) -> None:
        """Put the air, the walls and the bridges into the card's memory."""
        self._cuda = ready_card()
        self._cuda.select_device(number)
        _refuse_too_large(self._cuda, setup)
        self._setup, self._kernels = setup, _kernels()
        self.levels = len(setup.nested.boxes)
        put = self._cuda.to_device
        self._air = [tuple(put(each) for each in start(setup, level)) for level in range(self.levels)]
        self._times = [tuple(put(each) for each in level) for level in setup.relaxation]
        self._out = put(setup.leaving), put(setup.leaving_from)
        self._bridges = [
            tuple(
                put(array) for array in (one.told, one.rim, one.sources, one.shares, one.band, one.children)
            )
            for one in setup.bridges
        ]
        self._kept = [
            [put(np.zeros(len(MOMENTS) * len(one.told), dtype=np.float32)) for _ in range(2)]
            for one in setup.bridges
        ]
        walls = setup.walls
        links = walls.directions, walls.opposites, walls.steps, walls.shares, walls.glides, walls.portions
        self._owners = put(walls.owners), put(walls.starts)
        self._walls = put(walls.cells), tuple(put(each) for each in links)
        self._bounced, self._exchange = (put(np.zeros(len(walls.cells), np.float32)) for _ in range(2))
        self._weights = put(walls.weights.ravel())
        self.forget()

    def carry_out(self) -> None:
        """As :class:`Machine` says."""
        cells, sources = self._out
        self._each("carry_out", len(self._setup.leaving), self._air[0][0], self._cells(0), cells, sources)

    def sample(self, level: int, *, after: bool) -> None:
        """As :class:`Machine` says."""
        told = self._bridges[level][0]
        self._each(
            "sample", told.size, self._air[level][0], self._cells(level), told, self._kept[level][after]
        )

    def fill(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        _, rim, sources, shares, _, _ = self._bridges[level - 1]
        ratio = np.float32(self._setup.stress_ratios[level - 1])
        kept = self._kept[level - 1]
        air = self._air[level][0], self._cells(level)
        self._each("fill", rim.size, *air, rim, sources, shares, *kept, np.float32(late), ratio)

    def restrict(self, level: int) -> None:
        """As :class:`Machine` says."""
        *_, band, children = self._bridges[level]
        ratio = np.float32(1.0 / self._setup.stress_ratios[level])
        wide, fine = self._air[level][0], self._air[level + 1][0]
        cells = self._cells(level), self._cells(level + 1)
        self._each("restrict", band.size, wide, cells[0], band, fine, cells[1], children, ratio)

    def bounce(self) -> None:
        """As :class:`Machine` says."""
        cells, links = self._walls
        air, walls = (self._air[-1][0], self._cells(self.levels - 1)), self._setup.walls
        self._each("bounce", len(walls.owners), *air, *self._owners, *links, self._bounced, self._exchange)
        self._each("scatter", len(walls.cells), *air, cells, links[1], links[2], self._bounced)

    def step(self, level: int) -> None:
        """As :class:`Machine` says."""
        nx, ny, nz = self._setup.nested.boxes[level].counts
        air, after = self._air[level]
        blocks = math.ceil(nx / _THREADS), ny - 2, nz - 2
        self._kernels["step"][blocks, (_THREADS, 1, 1)](air, after, *self._times[level], nx, ny, nz)
        self._air[level] = after, air

    def record(self) -> None:
        """As :class:`Machine` says."""
        if self._row == _ROWS:
            self._fetch()
        links = self._exchange.size
        add = self._kernels["add"][_ADDERS // _THREADS, _THREADS]
        add(self._exchange, self._weights, 12, self._rows, self._row, links)
        self._each("mean", links, self._exchange, self._sums)
        self._row += 1

    def recorded(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        self._fetch()
        return np.concatenate([np.zeros((0, 12)), *self._fetched])

    def link_means(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        return self._sums.copy_to_host() / max(len(self.recorded()), 1)

    def forget(self) -> None:
        """As :class:`Machine` says."""
        self._fetched: list[NDArray[np.float64]] = []
        self._sums = self._cuda.to_device(np.zeros(self._exchange.size))
        self._clear()

    def _clear(self) -> None:
        self._rows, self._row = self._cuda.to_device(np.zeros((_ROWS, 12))), 0

    def _fetch(self) -> None:
        if self._row:
            self._fetched.append(self._rows.copy_to_host()[: self._row])
            self._clear()

    def _cells(self, level: int) -> int:
        return self._setup.nested.boxes[level].cells

    def _each(self, name: str, count: int, *arguments: Any) -> None:
        if count:
            self._kernels[name][math.ceil(count / _THREADS), _THREADS](*arguments, 0, count)


def _refuse_too_large(cuda: Any, setup: Setup) -> None:
    """Refuse before anything is put there what the card has no room for."""
    needed = setup.bytes_needed
    free = getattr(cuda.current_context(), "get_memory_info", lambda: (needed, needed))()[0]
    if needed > free:
        raise OutsideRange(
            f"{setup.nested.cells:,} cells need {needed / 1e9:.1f} GB of the card's memory, and"
            f" {free / 1e9:.1f} GB are free: fewer cells to a width"
        )
