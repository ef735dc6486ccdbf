"""A solver of numbers instead of air: the study's own work is tried without a heavy run."""

from collections.abc import Callable

import numpy as np

from finial.core.errors import OutsideRange
from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel.records import Blown, Fineness, Stream, TunnelShape

SLOPE, PLACE_M, AXIAL = 3.0, 0.7, 0.5
"""Of the made-up shape: force over sine, its place, axial force."""
GRID_ERROR = 0.8
"""Force of a grid falls short by this over its cells to a width."""


class MadeUp:
    """Answers by formula; may diverge at an angle, stop, and count what it was asked."""

    def __init__(self, *, diverges_at: float | None = None, stops_after: int | None = None) -> None:
        self.asked: list[tuple[float, float, float]] = []
        self._diverges_at, self._stops_after = diverges_at, stops_after

    def __call__(
        self,
        shape: TunnelShape,
        stream: Stream,
        fineness: Fineness,
        *,
        area_m2: float,
        width_m: float,
        card: int | None = None,
        watch: Callable[[float], None] | None = None,
    ) -> Blown:
        if self._stops_after is not None and len(self.asked) >= self._stops_after:
            raise KeyboardInterrupt
        self.asked.append((stream.angle_rad, stream.roll_rad, fineness.cells))
        if watch is not None:
            watch(0.5)
        if self._diverges_at is not None and abs(stream.angle_rad - self._diverges_at) < 1e-9:
            raise OutsideRange("the run diverged 3 times")
        return made_up(stream, fineness, width_m)


def made_up(stream: Stream, fineness: Fineness, width_m: float) -> Blown:
    force = SLOPE * np.sin(stream.angle_rad) * (1 - GRID_ERROR / fineness.cells)
    cosine, sine = np.cos(stream.roll_rad), np.sin(stream.roll_rad)
    moment = force * PLACE_M / width_m
    loads = np.array([AXIAL, force * cosine, force * sine, 0.0, -moment * sine, moment * cosine])
    widths = np.arange(1.0, 241.0) * 0.1
    swing = 0.02 * np.sin(2 * np.pi * 0.2 * widths)
    history = np.tile(loads, (len(widths), 1))
    history[:, 1] -= swing * sine
    history[:, 2] += swing * cosine
    none = np.full(6, 0.01)
    edges = np.linspace(0.0, 2 * PLACE_M, 41)
    along = np.zeros((40, 3))
    along[19:21, 1:] = np.array([cosine, sine]) * force / 2
    return Blown(
        pressure=loads, total=1.3 * loads, pressure_error=none, total_error=none, blockage=0.5,
        reynolds=8000.0, cells=fineness.cells, wet_cells=1000, updates=1e6, restarts=0,
        history=history, history_widths=widths, stations_m=edges, along=along,
        places_m=np.zeros((4, 3)), pressures=np.zeros(4),
        flow=made_up_flow(stream.angle_rad, stream.roll_rad, width_m),
    )  # fmt: skip


def made_up_flow(angle_rad: float, roll_rad: float, width_m: float) -> AirSeen:
    """A square post six widths long, with still air for a width behind it, pressed by 1 ahead."""
    step = width_m / 4.0
    stations = -width_m + step * np.arange(41)
    across = -2.0 * width_m + step * (np.arange(17) + 0.0)
    up, along = np.meshgrid(across, stations, indexing="ij")
    beside = np.abs(up) <= width_m / 2.0
    air = ~(beside & (along >= 0.0) & (along <= 6.0 * width_m))
    behind = beside & (along > 6.0 * width_m) & (along <= 7.0 * width_m)
    speed = np.where(air, np.where(behind, 0.1, 1.0), 0.0)
    pressure = np.where(beside & (along < 0.0) & (along > -0.3 * width_m), 1.0, np.where(behind, -0.4, 0.0))
    ends = np.array([[0.0, -0.5], [6.0, -0.5], [6.0, 0.5], [0.0, 0.5]]) * width_m
    first, second = (
        PlaneFlow(
            up_rad=(roll_rad + turn) % (2.0 * np.pi),
            low_m=(float(stations[0]), float(across[0])),
            step_m=step,
            air=air,
            speed=speed,
            pressure=pressure,
            outline_m=(ends,),
        )
        for turn in (0.0, np.pi / 2.0)
    )
    wind = np.array([np.cos(angle_rad) * speed, np.sin(angle_rad) * speed])
    return AirSeen(planes=(first, second), moments=np.array([wind] * 5), apart_widths=0.5)
