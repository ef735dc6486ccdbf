"""What a run of the tunnel is asked, and what it answers."""

from dataclasses import dataclass, field
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from finial.core.content import LATER
from finial.core.errors import OutsideRange
from finial.tunnel.flow import AirSeen

Eddies = Literal["smagorinsky", "vreman"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TunnelShape:
    """Triangles in the tunnel: stations along the first axis, tip at 0, the mesh's own axes across."""

    points_m: NDArray[np.float64]
    """Corners (station aft of the tip, across a, across b) [m], shape (n, 3)."""
    triangles: NDArray[np.int64]
    """Corners of each triangle, counter-clockwise seen from outside, shape (m, 3)."""

    @property
    def length_m(self) -> float:
        """Reach along the axis [m]."""
        return float(np.ptp(self.points_m[:, 0]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stream:
    """Wind on the shape: it blows along the axis towards the tail, turned by the angle of attack."""

    angle_rad: float
    """Angle of attack, 0 to pi."""
    roll_rad: float = 0.0
    """Direction that the wind across blows towards, from a to b."""
    reynolds: float = 1e6
    """Of the flight, on the width; the lattice runs at its own, lower one, which the answer tells."""

    @property
    def towards(self) -> tuple[float, float, float]:
        """Unit vector that the wind blows along, in the shape's axes [-]."""
        across = np.sin(self.angle_rad)
        turned = np.cos(self.roll_rad), np.sin(self.roll_rad)
        return float(np.cos(self.angle_rad)), float(across * turned[0]), float(across * turned[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How finely and how long; widths are a judgement from trials with cubes, prisms and towers."""

    cells: float = 16.0
    """Cells of the finest grid to a width."""
    grids: int = 3
    """Nested grids; each next one out has cells twice as wide."""
    side_widths: float = 4.5
    """From the shape to the walls of the tunnel."""
    settle_widths: float = 22.0
    """Travel that is thrown away."""
    travel_widths: float = 24.0
    """Travel that is averaged."""
    speed: float = 0.1
    """Of the wind, in cells of a grid per step of that grid; the sound goes at 0.577."""
    eddies: Eddies = field(default="smagorinsky", metadata=LATER)
    """Whose model tells the friction of eddies smaller than a cell."""
    conserving: bool = field(default=False, metadata=LATER)
    """Air and momentum pass between nested grids without loss; not the usual way until cards measured it."""

    @property
    def steps_a_width(self) -> float:
        """Steps of the widest grid while the wind travels a width [steps]."""
        return self.cells / 2.0 ** (self.grids - 1) / self.speed

    def __post_init__(self) -> None:
        """Refuse what no run would end well with."""
        if not 4.0 <= self.cells <= 200.0:
            raise OutsideRange(f"{self.cells:g} cells to a width: 4 to 200 are accepted")
        if not 1 <= self.grids <= 4:
            raise OutsideRange(f"{self.grids} nested grids: 1 to 4 are accepted")
        if not 0.0 < self.speed <= 0.2:
            raise OutsideRange(f"a speed of {self.speed:g} cells a step: up to 0.2 is accepted")
        if self.eddies not in get_args(Eddies):
            raise OutsideRange(f"eddies of {self.eddies!r}: {' or '.join(get_args(Eddies))} is accepted")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blown:
    """Loads of one run, over dynamic pressure and the reference area; means with their standard errors.

    Columns of six: force along the axis aft, across a, across b; moment about the tip over the width,
    about the axis, about a, about b (right-handed in the order station, a, b).
    """

    pressure: NDArray[np.float64]
    """Part of the loads that presses square to the surface, shape (6,)."""
    total: NDArray[np.float64]
    """The same with the lattice's own friction, far too large on slender shapes, shape (6,)."""
    pressure_error: NDArray[np.float64]
    """Standard error of the mean, by batches, shape (6,)."""
    total_error: NDArray[np.float64]
    """Standard error of the mean, by batches, shape (6,)."""
    blockage: float
    """Frontal area shown to the wind over the tunnel's section [-]; loads are not corrected for it."""
    reynolds: float
    """That the lattice ran at, on the width."""
    cells: float
    """Of the finest grid to a width."""
    wet_cells: int
    """Cells of all grids."""
    updates: float
    """Cell updates of the whole run."""
    restarts: int
    """Times that the run diverged and began again, slower."""
    history: NDArray[np.float64]
    """Pressure loads through the averaged time, shape (samples, 6)."""
    history_widths: NDArray[np.float64]
    """Travel at each sample since the start, in widths, shape (samples,)."""
    stations_m: NDArray[np.float64]
    """Edges of the slices that the loads along the body are told for [m], shape (s + 1,)."""
    along: NDArray[np.float64]
    """Mean pressure loads of each slice: aft, across a, across b, shape (s, 3)."""
    places_m: NDArray[np.float64]
    """Places on the surface [m], shape (p, 3)."""
    pressures: NDArray[np.float64]
    """Mean pressure coefficient there [-], shape (p,)."""
    flow: AirSeen | None = None
    """Air on planes through the axis, for pictures."""
