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
from finial.tunnel.kernel_text import CHUNK
from finial.tunnel.machine import Machine
from finial.tunnel.setup import Setup, start
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
        self._buffers = [np.empty(27 * CHUNK, dtype=np.float32) for _ in range(self._threads)]
        self.levels = len(setup.nested.boxes)
        self._air = [start(setup, level) for level in range(self.levels)]
        self._kept = [
            [np.zeros(len(MOMENTS) * len(each.told), dtype=np.float32) for _ in range(2)]
            for each in setup.bridges
        ]
        links = len(setup.walls.cells)
        self._bounced, self._exchange = (np.zeros(links, dtype=np.float32) for _ in range(2))
        self._sum = np.zeros(links)
        self._rows: list[NDArray[np.float64]] = []

    def carry_out(self) -> None:
        """As :class:`Machine` says."""
        setup = self._setup
        self._each(
            "carry_out", setup.leaving, self._air[0][0], self._cells(0), setup.leaving, setup.leaving_from
        )

    def sample(self, level: int, *, after: bool) -> None:
        """As :class:`Machine` says."""
        told = self._setup.bridges[level].told
        self._each("sample", told, self._air[level][0], self._cells(level), told, self._kept[level][after])

    def fill(self, level: int, late: float) -> None:
        """As :class:`Machine` says."""
        across, kept = self._setup.bridges[level - 1], self._kept[level - 1]
        ratio = np.float32(self._setup.stress_ratios[level - 1])
        air, cells = self._air[level][0], self._cells(level)
        self._each(
            "fill",
            across.rim,
            air,
            cells,
            across.rim,
            across.sources,
            across.shares,
            *kept,
            np.float32(late),
            ratio,
        )

    def restrict(self, level: int) -> None:
        """As :class:`Machine` says."""
        across = self._setup.bridges[level]
        ratio = np.float32(1.0 / self._setup.stress_ratios[level])
        fine, air = self._air[level + 1][0], self._air[level][0]
        self._each(
            "restrict",
            across.band,
            air,
            self._cells(level),
            across.band,
            fine,
            self._cells(level + 1),
            across.children,
            ratio,
        )

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
        kernel, times = self._kernels["step"], self._setup.relaxation[level]

        def part(number: int, low: int, high: int) -> None:
            kernel(air, after, self._buffers[number], *times, nx, ny, nz, low, high)

        self._shared(part, 1, nz - 1)
        self._air[level] = after, air

    def record(self) -> None:
        """As :class:`Machine` says."""
        walls = self._setup.walls
        self._sum += self._exchange
        self._rows.append(self._exchange @ walls.weights)

    def recorded(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        return np.array(self._rows).reshape(-1, 12)

    def link_means(self) -> NDArray[np.float64]:
        """As :class:`Machine` says."""
        return self._sum / max(len(self._rows), 1)

    def forget(self) -> None:
        """As :class:`Machine` says."""
        self._sum[:] = 0.0
        self._rows.clear()

    def _cells(self, level: int) -> int:
        return self._setup.nested.boxes[level].cells

    def _each(self, name: str, places: NDArray[np.int64], *arguments: Any) -> None:
        kernel = self._kernels[name]
        if len(places) < _SMALL:
            kernel(*arguments, 0, len(places))
            return
        self._shared(lambda _, low, high: kernel(*arguments, low, high), 0, len(places))

    def _shared(self, part: Callable[[int, int, int], None], low: int, high: int) -> None:
        edges = np.linspace(low, high, self._threads + 1).astype(int).tolist()
        jobs = [self._pool.submit(part, k, edges[k], edges[k + 1]) for k in range(self._threads)]
        for job in jobs:
            job.result()
