# pyright: basic
# What the compiler of cards returns carries no types.
"""The air of a run in the memory of a graphics card."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numba.core import config
from numpy.typing import NDArray

from finial.core.cards import ready_card
from finial.core.errors import OutsideRange
from finial.tunnel.collision import MOMENTS
from finial.tunnel.debts import FINE_SHARE, SIGNED, Passing
from finial.tunnel.gpu.replay import Queue
from finial.tunnel.kernel_text import KERNELS, card_text
from finial.tunnel.machine import Machine, advance, moments_of
from finial.tunnel.setup import Setup, first_speeds, start

_THREADS = 128
"""Threads of a block that works on a list."""
_ROW_THREADS = 128, 256
"""Threads of a block that steps a row of no more cells than the first, and a longer one."""
_REGISTERS = 96
"""Of a thread that steps a cell: left to itself the compiler takes 64, and waits longer for memory."""
_ADDERS = 512
"""Blocks that add the loads up."""
_ROWS = 4096
"""Samples that a card keeps before they are fetched."""
_AT_ONCE = 8
"""Steps that are launched as one: an even number, after which each grid's air lies where it lay."""
_ADD = f"""
def add(values, places, weights, sums, out, row, count):
    kept = cuda.shared.array(({_THREADS}, 12), D)
    parts = cuda.shared.array((8, 12), D)
    thread, here = cuda.threadIdx.x, row[0]
    {" = ".join(f"t{k}" for k in range(12))} = D(0.0)
    for i in range(cuda.grid(1), count, cuda.gridsize(1)):
        value = D(values[places[i]])
        sums[i] += value
{"".join(f"        t{k} += value * D(weights[{k} * count + i]){chr(10)}" for k in range(12))}
{"".join(f"    kept[thread, {k}] = t{k}{chr(10)}" for k in range(12))}
    cuda.syncthreads()
    column, part = thread // 8, thread % 8
    if thread < 96:
        total = D(0.0)
        for other in range(part, {_THREADS}, 8):
            total += kept[other, column]
        parts[part, column] = total
    cuda.syncthreads()
    if thread < 12:
        total = D(0.0)
        for other in range(8):
            total += parts[other, thread]
        cuda.atomic.add(out, (here, thread), total)
    if thread == 0 and cuda.atomic.add(row, 1, 1) == cuda.gridDim.x - 1:
        row[1] = 0
        row[0] = here + 1
"""


@cache
def _kernels() -> dict[str, Any]:
    cuda = ready_card()
    module: dict[str, Any] = {}
    exec(compile(card_text() + _ADD, "tunnel_card_kernels.py", "exec"), module)
    # The make-believe card has no registers.
    limit = {} if getattr(config, "ENABLE_CUDASIM", False) else {"max_registers": _REGISTERS}
    steps = {name: limit for name in ("step", "step_eddies")}
    return {name: cuda.jit(module[name], fastmath=True, **steps.get(name, {})) for name in (*KERNELS, "add")}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Bridge:
    """A bridge in the card's memory, with room for what is told over it."""

    told: Any
    rim: tuple[Any, ...]
    band: tuple[Any, ...]
    children: Any
    means: Any


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Debts:
    """Debts in the card's memory, with the count so far."""

    fine: tuple[Any, ...]
    wide: tuple[Any, ...]
    owners: tuple[Any, ...]
    usual: Any
    counted: Any


class Card(Machine):
    """Machine of one graphics card; nothing is waited for before the samples are fetched."""

    def __init__(self, setup: Setup, number: int) -> None:
        """Put the air, the walls and the bridges into the card's memory."""
        self._cuda = ready_card()
        self._cuda.select_device(number)
        _refuse_too_large(self._cuda, setup)
        self._setup, self._kernels, self._queue = setup, _kernels(), Queue(self._cuda)
        self._warm = False
        self._again: dict[int, Callable[[], object]] = {}
        self.levels, self.conserving = len(setup.nested.boxes), bool(setup.debts)

        def put(array: NDArray[Any]) -> Any:
            return self._cuda.to_device(array, stream=self._queue.stream)

        self._air = [tuple(put(each) for each in start(setup, level)) for level in range(self.levels)]
        self._times = [tuple(put(each) for each in level) for level in setup.relaxation]
        self._eddies = [
            (put(np.zeros(self._cells(level), np.float32)), put(first_speeds(setup, level)), put(shut))
            for level, shut in enumerate(setup.shut)
        ]
        self._out = put(setup.leaving), put(setup.leaving_from), put(setup.leaving_needs)
        self._bridges = [
            _Bridge(
                told=put(one.told),
                rim=tuple(put(each) for each in (one.rim, one.rim_needs, one.sources, one.shares)),
                band=tuple(put(each) for each in (one.band, one.band_needs, one.eighths_from, one.eighths)),
                children=put(one.children),
                means=put(moments_of(one.children)),
            )
            for one in setup.bridges
        ]
        self._kept = [tuple(put(moments_of(one.told)) for _ in range(2)) for one in setup.bridges]
        signed = put(SIGNED)

        def passing(one: Passing) -> tuple[Any, ...]:
            return put(one.starts), put(one.places), put(one.ways), signed

        self._debts = [
            _Debts(
                fine=passing(one.fine),
                wide=passing(one.wide),
                owners=(put(one.owners), put(one.beside_starts), put(one.beside), one.share),
                usual=put(one.usual),
                counted=put(one.usual),
            )
            for one in setup.debts
        ]
        walls = setup.walls
        owners = np.repeat(np.arange(len(walls.owners)), np.diff(walls.starts))
        cells, ways, opposites, steps, owners, starts = (
            put(each.astype(np.int32))
            for each in (walls.cells, walls.directions, walls.opposites, walls.steps, owners, walls.starts)
        )
        self._links = cells, ways, opposites, steps, put(walls.shares), put(walls.glides)
        self._belong = cells, owners, starts, opposites, steps, put(walls.portions)
        self._gone, self._back, self._exchange = (
            put(np.zeros(len(walls.cells), np.float32)) for _ in range(3)
        )
        outside = np.flatnonzero(walls.outside)
        self._outside = put(outside.astype(np.int32))
        self._weights = put(walls.weights[outside].T.ravel().astype(np.float32))
        self._sums, self._rows = put(np.zeros(len(outside))), put(np.zeros((_ROWS, 12)))
        self._at = put(np.zeros(2, np.int32))
        self.forget()
        for level in range(self.levels - 1):
            self.sample(level)

    def carry_out(self) -> None:
        """As :class:`Machine` says."""
        self._each("carry_out", len(self._setup.leaving), self._air[0][0], self._cells(0), *self._out)

    def sample(self, level: int) -> None:
        """As :class:`Machine` says."""
        before, after = self._kept[level]
        self._sampled(level, self._bridges[level].told, before)
        self._kept[level] = after, before

    def fill(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        rim, ratio = self._bridges[level - 1].rim, self._setup.stress_ratios[level - 1]
        self._filled(level, rim, self._kept[level - 1], late, ratio)

    def restrict(self, level: int) -> None:
        """As :class:`Machine` says."""
        across = self._bridges[level]
        self._sampled(level + 1, across.children, across.means)
        told = across.means, across.means
        self._filled(level, across.band, told, 0.0, 1.0 / self._setup.stress_ratios[level])

    def count_passed(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        debts = self._debts[level - 1]
        self._passed(level, debts.fine, FINE_SHARE, debts.counted if late else debts.usual, debts.counted)

    def settle(self, level: int) -> None:
        """As :class:`Machine` says."""
        debts = self._debts[level]
        self._passed(level, debts.wide, -1.0, debts.counted, debts.counted)
        air, count = (self._air[level][0], self._cells(level)), debts.owners[0].size
        self._each("settle", count, *air, *debts.owners, count, debts.counted)

    def _passed(self, level: int, passing: tuple[Any, ...], share: float, so_far: Any, debts: Any) -> None:
        """Count by the air as it was before the last step: that is still there."""
        air, count = self._air[level][1], passing[0].size - 1
        self._each("passed", count, air, *passing, np.float32(share), count, so_far, debts)

    def _sampled(self, level: int, places: Any, out: Any) -> None:
        air = self._air[level][0], self._cells(level)
        self._each("sample", places.size, *air, places, places.size, out)

    def _filled(
        self, level: int, mixed: tuple[Any, ...], told: tuple[Any, Any], late: float, ratio: float
    ) -> None:
        air = self._air[level][0], self._cells(level)
        told_n = told[0].size // len(MOMENTS)
        self._each("fill", mixed[0].size, *air, *mixed, told_n, *told, np.float32(late), np.float32(ratio))

    def bounce(self) -> None:
        """As :class:`Machine` says."""
        air, count = (self._air[-1][0], self._cells(self.levels - 1)), self._exchange.size
        told = self._gone, self._back
        self._each("bounce", count, *air, *self._links, *told)
        self._each("scatter", count, *air, *self._belong, *told, self._exchange)

    def step(self, level: int) -> None:
        """As :class:`Machine` says."""
        nx, ny, nz = self._setup.nested.boxes[level].counts
        air, after = self._air[level]
        threads = row_threads(nx)
        blocks, block = (math.ceil(nx / threads), ny - 2, nz - 2), (threads, 1, 1)
        counts, more = (nx, ny, nz), ()
        if self._eddies:
            eddies, speeds, shut = self._eddies[level]
            self._kernels["eddies"][blocks, block, self._queue.stream](speeds, shut, eddies, *counts)
            more = eddies, speeds
        kernel = self._kernels["step_eddies" if more else "step"][blocks, block, self._queue.stream]
        kernel(air, after, *more, *self._times[level], *counts, self._setup.hidden[level])
        self._air[level] = after, air

    def side_by_side(self, level: int, first: Callable[[], None], second: Callable[[], None]) -> None:
        """Do two things that touch nothing of one another at once.

        Parameters
        ----------
        level : int
            Whose step they belong to: those of one level never overlap.
        first, second : callable
            Launches, asked for in this order.
        """
        self._queue.side_by_side(level, first, second)

    def record(self) -> None:
        """As :class:`Machine` says."""
        if self._row == _ROWS:
            self._fetch()
        self._row += 1
        self._add()

    def recorded(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        self._fetch()
        return np.concatenate([np.zeros((0, 12)), *self._fetched])

    def link_means(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        means = np.zeros(self._exchange.size)
        means[self._setup.walls.outside] = self._from_card(self._sums) / max(len(self.recorded()), 1)
        return means

    def forget(self) -> None:
        """As :class:`Machine` says."""
        self._fetched: list[NDArray[np.float64]] = []
        self._sums.copy_to_device(np.zeros(self._sums.size), stream=self._queue.stream)
        self._clear()

    def look(self, level: int, places: NDArray[np.int64], moments: NDArray[np.float32]) -> None:
        """As :class:`Machine` says."""
        there, out = (self._cuda.to_device(each, stream=self._queue.stream) for each in (places, moments))
        self._sampled(level, there, out)
        moments[:] = self._from_card(out)

    def onward(self, steps: int) -> None:
        """As :class:`Machine` says."""
        # What was launched one by one before, and so is compiled, is launched together.
        left = steps
        while left and not (self._queue.repeats and self._warm and left >= _AT_ONCE):
            advance(self)
            self.record()
            self._warm, left = True, left - 1
        while left >= _AT_ONCE:
            if self._row + _AT_ONCE > _ROWS:
                self._fetch()
            self._many()()
            self._row, left = self._row + _AT_ONCE, left - _AT_ONCE
        if left:
            self.onward(left)

    def _many(self) -> Callable[[], object]:
        """So many steps, written down once for each of the two places where the widest grid's air may lie."""
        lies = id(self._air[0][0])
        if lies not in self._again:
            self._again[lies] = self._queue.written_down(self._steps)
        return self._again[lies]

    def _steps(self) -> None:
        for _ in range(_AT_ONCE):
            advance(self)
            self._add()

    def _add(self) -> None:
        count = self._outside.size
        blocks = min(_ADDERS, max(math.ceil(count / _THREADS), 1))
        add = self._kernels["add"][blocks, _THREADS, self._queue.stream]
        add(self._exchange, self._outside, self._weights, self._sums, self._rows, self._at, count)

    def _clear(self) -> None:
        self._rows.copy_to_device(np.zeros((_ROWS, 12)), stream=self._queue.stream)
        self._at.copy_to_device(np.zeros(2, np.int32), stream=self._queue.stream)
        self._row = 0

    def _fetch(self) -> None:
        if self._row:
            self._fetched.append(self._from_card(self._rows)[: self._row])
            self._clear()

    def _from_card(self, array: Any) -> NDArray[np.float64]:
        told = array.copy_to_host(stream=self._queue.stream)
        self._queue.stream.synchronize()
        return told

    def _cells(self, level: int) -> int:
        return self._setup.nested.boxes[level].cells

    def _each(self, name: str, count: int, *arguments: Any) -> None:
        if count:
            blocks = math.ceil(count / _THREADS)
            self._kernels[name][blocks, _THREADS, self._queue.stream](*arguments, 0, count)


def row_threads(cells: int) -> int:
    """Tell how many threads a block has that steps rows.

    Parameters
    ----------
    cells : int
        Of a row [-].

    Returns
    -------
    threads : int
        [-].

    Notes
    -----
    On one data-centre card 256 made a step of long rows 2 % quicker than 64 by 2 did.

    References
    ----------
    .. [1] Measured on one card.

    Examples
    --------
    >>> row_threads(80), row_threads(240)
    (128, 256)
    """
    short, long = _ROW_THREADS
    return short if cells <= short else long


def _refuse_too_large(cuda: Any, setup: Setup) -> None:
    """Refuse before anything is put there what the card has no room for."""
    needed = setup.bytes_needed
    free = getattr(cuda.current_context(), "get_memory_info", lambda: (needed, needed))()[0]
    if needed > free:
        raise OutsideRange(
            f"{setup.nested.cells:,} cells need {needed / 1e9:.1f} GB of the card's memory, and"
            f" {free / 1e9:.1f} GB are free: fewer cells to a width"
        )
