"""Look at the air of a run on planes through the axis while it blows."""

import math
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.cut import cuts
from finial.shape.mesh import Mesh
from finial.shape.outline import outline
from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel.machine import Machine, moments_of
from finial.tunnel.records import Stream, TunnelShape
from finial.tunnel.setup import Setup

MOST_NODES = (160, 80)
"""Along and across: what a screen shows, and small to keep."""
MOMENTS_KEPT = 24
_LOOKS_A_WIDTH = 6.0
_LOOKS_A_MOMENT = 3
_AHEAD, _BESIDE, _BEHIND = 1.0, 1.2, 3.0
"""Room round the shape that is seen, in widths; a judgement."""
_LAUNCHED = 8
"""Steps that a card launches as one."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Probe:
    """Nodes that lie in one grid, each between eight of its cells."""

    level: int
    nodes: NDArray[np.int64]
    cells: NDArray[np.int64]
    at: NDArray[np.int64]
    """Which of the cells, shape (n, 8)."""
    shares: NDArray[np.float64]
    """Of each of them; all 0 inside the shape, shape (n, 8)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Raster:
    """Nodes of one plane."""

    up_rad: float
    low_m: tuple[float, float]
    step_m: float
    counts: tuple[int, int]
    """Rows and columns."""
    outline_m: tuple[NDArray[np.float64], ...]

    @property
    def points_m(self) -> NDArray[np.float64]:
        """Places of its nodes, row by row, shape (n, 3)."""
        across, stations = (
            low + self.step_m * np.arange(count)
            for low, count in zip(self.low_m[::-1], self.counts, strict=True)
        )
        up, along = (each.ravel() for each in np.meshgrid(across, stations, indexing="ij"))
        turned = math.cos(self.up_rad), math.sin(self.up_rad)
        return np.column_stack([along, *(part * up for part in turned)]).astype(np.float64)


class Watch:
    """Adds up what the air does on two planes, and keeps the last moments."""

    def __init__(self, setup: Setup, shape: TunnelShape, stream: Stream, *, width_m: float, steps: float):
        r"""Lay two planes through the axis, one with the wind in it, one square to it.

        .. math::
            \bar u = \frac1K \sum_k \frac{|m_k|}{(1 + \rho_k) U}, \qquad
            \bar C_p = \frac1K \sum_k \frac{2 \rho_k}{3 U^2}

        with :math:`\rho_k` the density above that of rest over it, :math:`m_k` the momentum and :math:`U` the
        wind, at each look :math:`k`.

        Parameters
        ----------
        setup : Setup
        shape : TunnelShape
        stream : Stream
        width_m : float
            [m].
        steps : float
            Of the widest grid while the wind travels a width [-].

        Notes
        -----
        Six looks a width. Between cells all is linear; cells inside the shape are left out. Nodes are as
        far apart as the finest cells, or farther where there would be more than 160 by 80 of them.

        References
        ----------
        .. [1] Definition of the mean; the pressure of a lattice is a third of its density.
        """
        self._speed = setup.speed
        turns = (stream.roll_rad, stream.roll_rad + math.pi / 2.0)
        self._rasters = [_raster(setup, shape, stream, turn, width_m) for turn in turns]
        self._probes = [tuple(_probes(setup, one.points_m)) for one in self._rasters]
        self._sums = [np.zeros((2, math.prod(one.counts))) for one in self._rasters]
        self._moments: deque[NDArray[np.float32]] = deque(maxlen=MOMENTS_KEPT * _LOOKS_A_MOMENT)
        self._looks = 0
        every = max(int(steps / _LOOKS_A_WIDTH), 1)
        self.every = every - every % _LAUNCHED if every > _LAUNCHED else every
        """Steps of the widest grid from look to look."""
        self._apart_widths = _LOOKS_A_MOMENT * self.every / steps

    def look(self, machine: Machine) -> None:
        """Look at the air once.

        Parameters
        ----------
        machine : Machine
            Between two steps of its widest grid.
        """
        for number, (raster, probes) in enumerate(zip(self._rasters, self._probes, strict=True)):
            density, velocity = _read(machine, probes, math.prod(raster.counts))
            self._sums[number] += (np.linalg.norm(velocity, axis=0), density)
            if number == 0:
                up = np.array([0.0, math.cos(raster.up_rad), math.sin(raster.up_rad)])
                self._moments.append(np.array([velocity[0], up @ velocity], dtype=np.float32))
        self._looks += 1

    def flow(self) -> AirSeen | None:
        """Tell what was seen.

        Returns
        -------
        flow : AirSeen or None
            None where nobody looked.
        """
        if not self._looks:
            return None
        first, second = (self._plane(number) for number in range(2))
        moments = np.array([*self._moments][::-_LOOKS_A_MOMENT][::-1], dtype=float) / self._speed
        return AirSeen(
            planes=(first, second),
            moments=moments.reshape(len(moments), 2, *self._rasters[0].counts),
            apart_widths=self._apart_widths,
        )

    def _plane(self, number: int) -> PlaneFlow:
        raster = self._rasters[number]
        speed, density = (each.reshape(raster.counts) / self._looks for each in self._sums[number])
        air = np.zeros(math.prod(raster.counts), dtype=bool)
        for probe in self._probes[number]:
            air[probe.nodes] = probe.shares.any(axis=1)
        return PlaneFlow(
            up_rad=raster.up_rad % (2.0 * math.pi),
            low_m=raster.low_m,
            step_m=raster.step_m,
            air=air.reshape(raster.counts),
            speed=speed / self._speed,
            pressure=2.0 * density / (3.0 * self._speed**2),
            outline_m=raster.outline_m,
        )


def _raster(setup: Setup, shape: TunnelShape, stream: Stream, up_rad: float, width_m: float) -> _Raster:
    towards = np.array(stream.towards)
    up = np.array([0.0, math.cos(up_rad), math.sin(up_rad)])
    rise = float(towards @ up)
    seen = np.column_stack([shape.points_m[:, 0], shape.points_m @ up])
    low, high = seen.min(axis=0) / width_m, seen.max(axis=0) / width_m
    aft = float(towards[0])
    before = _AHEAD + (_BEHIND - _AHEAD) * max(-aft, 0.0), _BESIDE + _BEHIND * max(-rise, 0.0)
    after = _AHEAD + (_BEHIND - _AHEAD) * max(aft, 0.0), _BESIDE + _BEHIND * max(rise, 0.0)
    widest = setup.nested.boxes[0]
    ends = (
        np.array(widest.origin_m),
        np.array(widest.origin_m) + ((np.array(widest.counts) - 1) * widest.cell_m),
    )
    # The rim of the widest grid is told from outside: it is left out.
    room = widest.cell_m * 1.001
    within = [
        np.array([end[0], _least_reach(ends, up) * sign]) for end, sign in zip(ends, (-1, 1), strict=True)
    ]
    first = np.maximum((low - before) * width_m, within[0] + room)
    last = np.minimum((high + after) * width_m, within[1] - room)
    most = np.array(MOST_NODES) - 1
    step = max(setup.nested.boxes[-1].cell_m, float(np.max((last - first) / most)))
    columns, rows = (np.floor((last - first) / step + 1e-9).astype(int) + 1).tolist()
    return _Raster(
        up_rad=up_rad,
        low_m=(float(first[0]), float(first[1])),
        step_m=step,
        counts=(rows, columns),
        outline_m=_outline(shape, up),
    )


def _least_reach(ends: tuple[NDArray[np.float64], NDArray[np.float64]], up: NDArray[np.float64]) -> float:
    """How far from the axis a line across stays within the tunnel both ways."""
    reaches = np.minimum(np.abs(ends[0]), np.abs(ends[1]))[1:]
    return float(np.min(reaches / np.maximum(np.abs(up[1:]), 1e-9)))


def _outline(shape: TunnelShape, up: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Where the plane of the axis and a line across cuts the shape."""
    square = np.array([0.0, -up[2], up[1]])
    turned = np.column_stack([-(shape.points_m @ square), shape.points_m[:, 0], shape.points_m @ up])
    found = outline(0.0, cuts(Mesh(vertices_m=turned, faces=shape.triangles), np.zeros(1)))
    return tuple(found.section.loops)


def _probes(setup: Setup, points_m: NDArray[np.float64]) -> Iterator[_Probe]:
    """Find the cells round each node, of the finest grid that it lies in."""
    left = np.arange(len(points_m))
    for level, box in reversed([*enumerate(setup.nested.boxes)]):
        counts = np.array(box.counts)
        places = (points_m[left] - np.array(box.origin_m)) / box.cell_m
        # Nearer to the rim both this grid and, where it is told, the wider one hold but what a step pulls.
        inside = ((places >= 0.5) & (places <= counts - 1.5)).all(axis=1)
        nodes, places = left[inside], places[inside]
        if len(nodes):
            still = setup.still if level == len(setup.nested.boxes) - 1 else None
            yield _probe(level, nodes, places, counts, still)
        left = left[~inside]


def _probe(
    level: int,
    nodes: NDArray[np.int64],
    places: NDArray[np.float64],
    counts: NDArray[np.int64],
    still: NDArray[np.bool_] | None,
) -> _Probe:
    first = np.clip(np.floor(places).astype(np.int64), 1, counts - 3)
    past = np.clip(places - first, 0.0, 1.0)
    corner = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
    around = first[:, None, :] + corner
    shares = np.where(corner, past[:, None, :], 1.0 - past[:, None, :]).prod(axis=2)
    flat = (around[..., 2] * counts[1] + around[..., 1]) * counts[0] + around[..., 0]
    if still is not None:
        wet = np.where(still[flat], 0.0, shares)
        all_wet = wet.sum(axis=1, keepdims=True)
        # A node with more of the shape than of the air round it lies inside.
        shares = np.where(all_wet > 0.5, wet / np.maximum(all_wet, 0.5), 0.0)
    cells, at = np.unique(flat, return_inverse=True)
    return _Probe(level=level, nodes=nodes, cells=cells, at=at.reshape(flat.shape), shares=shares)


def _read(
    machine: Machine, probes: Sequence[_Probe], count: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Density above that of rest, shape (n,), and velocity [cells a step], shape (3, n), at all nodes."""
    found = np.zeros((4, count))
    for probe in probes:
        moments = moments_of(probe.cells)
        machine.look(probe.level, probe.cells, moments)
        told = moments.reshape(-1, len(probe.cells))[:4].astype(float)
        told[1:] /= 1.0 + told[0]
        found[:, probe.nodes] = np.einsum("kne,ne->kn", told[:, probe.at], probe.shares)
    return found[0], found[1:]
