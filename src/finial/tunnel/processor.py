# pyright: basic
# Kernels come compiled from text and carry no types.
"""The air of a run on the cores of a processor."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.cores import usable_cores
from finial.tunnel.collision import MOMENTS
from finial.tunnel.debts import FINE_SHARE, SIGNED, Passing
from finial.tunnel.kernel_text import BUFFER
from finial.tunnel.machine import Machine, moments_of
from finial.tunnel.setup import Setup, first_speeds, start
from finial.tunnel.written import processor_kernels

_SMALL = 20_000
"""Places below which one core does a list faster alone."""


class Processor(Machine):
    """Machine of as many threads as there are cores; kernels hold no lock."""

    def __init__(self, setup: Setup, threads: int | None = None) -> None:
        self._setup = setup
        self._kernels = processor_kernels()
        self._threads = threads or usable_cores()
        self._pool = ThreadPoolExecutor(self._threads, thread_name_prefix="tunnel")
        self._buffers = [np.zeros(BUFFER, dtype=np.float32) for _ in range(self._threads)]
        self.levels, self.conserving = len(setup.nested.boxes), bool(setup.debts)
        self._air = [start(setup, level) for level in range(self.levels)]
        self._eddies = [
            (np.zeros(self._cells(level), dtype=np.float32), first_speeds(setup, level))
            for level in range(len(setup.shut))
        ]
        self._kept = [tuple(moments_of(each.told) for _ in range(2)) for each in setup.bridges]
        self._means = [moments_of(each.children) for each in setup.bridges]
        self._debts = [each.usual.copy() for each in setup.debts]
        links = len(setup.walls.cells)
        self._bounced, self._exchange = (np.zeros(links, dtype=np.float32) for _ in range(2))
        self._outside = np.flatnonzero(setup.walls.outside)
        self._weights = np.ascontiguousarray(setup.walls.weights[self._outside].T)
        self._sum = np.zeros(len(self._outside))
        self._rows: list[NDArray[np.float64]] = []
        for level in range(self.levels - 1):
            self.sample(level)

    def carry_out(self) -> None:
        """As :class:`Machine` says."""
        setup = self._setup
        self._each(
            "carry_out",
            setup.leaving,
            *(self._air[0][0], self._cells(0)),
            *(setup.leaving, setup.leaving_from, setup.leaving_needs),
        )

    def sample(self, level: int) -> None:
        """As :class:`Machine` says."""
        before, after = self._kept[level]
        self._sampled(level, self._setup.bridges[level].told, before)
        self._kept[level] = after, before

    def fill(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        across, (before, after) = self._setup.bridges[level - 1], self._kept[level - 1]
        told = before if late == 0.0 else np.asarray(before + late * (after - before), dtype=np.float32)
        mixed = across.rim, across.rim_needs, across.sources, across.shares
        self._filled(level, mixed, told, self._setup.stress_ratios[level - 1])

    def restrict(self, level: int) -> None:
        """As :class:`Machine` says."""
        across, means = self._setup.bridges[level], self._means[level]
        self._sampled(level + 1, across.children, means)
        mixed = across.band, across.band_needs, across.eighths_from, across.eighths
        self._filled(level, mixed, means, 1.0 / self._setup.stress_ratios[level])

    def count_passed(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        between, debts = self._setup.debts[level - 1], self._debts[level - 1]
        self._passed(level, between.fine, FINE_SHARE, debts if late else between.usual, debts)

    def settle(self, level: int) -> None:
        """As :class:`Machine` says."""
        between, debts = self._setup.debts[level], self._debts[level]
        self._passed(level, between.wide, -1.0, debts, debts)
        beside = between.owners, between.beside_starts, between.beside, between.share
        count = len(between.owners)
        self._each("settle", between.owners, self._air[level][0], self._cells(level), *beside, count, debts)

    def _passed(
        self,
        level: int,
        passing: Passing,
        share: float,
        so_far: NDArray[np.float32],
        debts: NDArray[np.float32],
    ) -> None:
        """Count by the air as it was before the last step: that is still there."""
        air = self._air[level][1]
        lists = passing.starts, passing.places, passing.ways, SIGNED
        count = len(passing.starts) - 1
        kernel, more = self._kernels["passed"], (np.float32(share), count, so_far, debts)
        spread = self._shared if len(passing.places) >= _SMALL else self._alone
        spread(lambda _, low, high: kernel(air, *lists, *more, low, high), 0, count)

    def _sampled(self, level: int, places: NDArray[np.int64], out: NDArray[np.float32]) -> None:
        self._chunks("sample", places, self._air[level][0], self._cells(level), places, len(places), out)

    def _filled(
        self,
        level: int,
        mixed: tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int32], NDArray[np.float32]],
        told: NDArray[np.float32],
        ratio: float,
    ) -> None:
        air = self._air[level][0], self._cells(level)
        self._chunks("fill", mixed[0], *air, *mixed, len(told) // len(MOMENTS), told, np.float32(ratio))

    def bounce(self) -> None:
        """As :class:`Machine` says."""
        walls, air, cells = self._setup.walls, self._air[-1][0], self._cells(self.levels - 1)
        links = walls.directions, walls.opposites, walls.steps, walls.shares, walls.glides, walls.portions
        taken = self._bounced, self._exchange
        self._each("bounce", walls.owners, air, cells, walls.owners, walls.starts, *links, *taken)
        self._each(
            "scatter", walls.cells, air, cells, walls.cells, walls.opposites, walls.steps, self._bounced
        )

    def step(self, level: int) -> None:
        """As :class:`Machine` says."""
        air, after = self._air[level]
        nx, ny, nz = self._setup.nested.boxes[level].counts
        more = self._thickened(level) if self._setup.shut else ()
        kernel = self._kernels["step_eddies" if more else "step"]
        times, hidden = self._setup.relaxation[level], self._setup.hidden[level]

        def part(number: int, low: int, high: int) -> None:
            kernel(air, after, self._buffers[number], *more, *times, nx, ny, nz, hidden, low, high)

        self._shared(part, 1, nz - 1)
        self._air[level] = after, air

    def _thickened(self, level: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
        """Find the friction of eddies from the last step's velocities; give both."""
        nx, ny, nz = self._setup.nested.boxes[level].counts
        kernel, shut = self._kernels["eddies"], self._setup.shut[level]
        eddies, speeds = self._eddies[level]
        self._shared(lambda _, low, high: kernel(speeds, shut, eddies, nx, ny, nz, low, high), 1, nz - 1)
        return eddies, speeds

    def record(self) -> None:
        """As :class:`Machine` says."""
        taken = self._exchange[self._outside].astype(np.float64)
        self._sum += taken
        self._rows.append(self._weights @ taken)

    def recorded(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        return np.array(self._rows).reshape(-1, 12)

    def link_means(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        means = np.zeros(len(self._exchange))
        means[self._outside] = self._sum / max(len(self._rows), 1)
        return means

    def forget(self) -> None:
        """As :class:`Machine` says."""
        self._sum[:] = 0.0
        self._rows.clear()

    def look(self, level: int, places: NDArray[np.int64], moments: NDArray[np.float32]) -> None:
        """As :class:`Machine` says."""
        self._sampled(level, places, moments)

    def _cells(self, level: int) -> int:
        return self._setup.nested.boxes[level].cells

    def _each(self, name: str, places: NDArray[np.int64], *arguments: Any) -> None:
        kernel = self._kernels[name]
        self._spread(len(places), lambda _, low, high: kernel(*arguments, low, high))

    def _chunks(self, name: str, places: NDArray[np.int64], *arguments: Any) -> None:
        """Run over a list of places, with a buffer for each thread."""
        kernel, buffers = self._kernels[name], self._buffers
        self._spread(len(places), lambda number, low, high: kernel(*arguments, buffers[number], low, high))

    def _spread(self, count: int, part: Callable[[int, int, int], None]) -> None:
        (self._alone if count < _SMALL else self._shared)(part, 0, count)

    @staticmethod
    def _alone(part: Callable[[int, int, int], None], low: int, high: int) -> None:
        part(0, low, high)

    def _shared(self, part: Callable[[int, int, int], None], low: int, high: int) -> None:
        edges = np.linspace(low, high, self._threads + 1).astype(int).tolist()
        jobs = [self._pool.submit(part, k, edges[k], edges[k + 1]) for k in range(self._threads)]
        for job in jobs:
            job.result()
