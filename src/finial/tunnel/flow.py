"""Air on planes through the axis, as a run saw it: means, and some moments."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlaneFlow:
    """Mean air on a plane through the axis; rows rise across, columns run aft."""

    up_rad: float
    """Roll angle that its rows rise towards."""
    low_m: tuple[float, float]
    """First column's station and first row's place across [m]."""
    step_m: float
    """From one column, or row, to the next [m]."""
    air: NDArray[np.bool_]
    """False inside the shape, shape (rows, columns)."""
    speed: NDArray[np.float64]
    """Mean speed over the wind's [-], 0 inside the shape, shape (rows, columns)."""
    pressure: NDArray[np.float64]
    """Mean pressure coefficient [-], 0 inside the shape, shape (rows, columns)."""
    outline_m: tuple[NDArray[np.float64], ...]
    """Where the plane cuts the shape (station, across) [m], each of shape (n, 2)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AirSeen:
    """What pictures of the air are drawn from."""

    planes: tuple[PlaneFlow, PlaneFlow]
    """That which the wind lies in, and the one square to it."""
    moments: NDArray[np.float64]
    """Velocity in the first plane over the wind's speed (aft, across) [-], shape (k, 2, rows, columns)."""
    apart_widths: float
    """Travel of the wind from one moment to the next [widths]."""
