"""Air on a plane as paths in whole units, for pictures and the page: bands, the shape's outline, specks."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.report.flow_words import AIR_EDGES, SPEED_EDGES
from finial.report.pictures.iso_bands import STEP, filled, iso_bands, path
from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel.streaks import streaks


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPlane:
    """A plane's means; the first band is the ground, each path lies over those before it."""

    wide: int
    high: int
    outline: str
    speed: tuple[str, ...]
    pressure: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMoment:
    """One moment of the first plane."""

    speed: tuple[str, ...]
    specks: str
    """The ways of all of them so far."""


def drawn_plane(plane: PlaneFlow) -> DrawnPlane:
    """Draw the means of a plane."""
    rows, columns = plane.air.shape
    low = np.array(plane.low_m)
    outlines = [_units((loop - low) / plane.step_m, rows) for loop in plane.outline_m]
    return DrawnPlane(
        wide=STEP * (columns - 1),
        high=STEP * (rows - 1),
        outline="".join(path([*points, points[0]], closed=True) for points in outlines),
        speed=iso_bands(plane.speed, SPEED_EDGES),
        pressure=iso_bands(filled(plane.pressure, plane.air), AIR_EDGES),
    )


def drawn_moments(flow: AirSeen, width_m: float) -> tuple[DrawnMoment, ...]:
    """Draw every moment of a flow with the specks that it carries."""
    rows = flow.planes[0].air.shape[0]
    ways = streaks(flow, width_m)
    return tuple(
        DrawnMoment(
            speed=iso_bands(np.hypot(*velocity), SPEED_EDGES),
            specks="".join(path(_units(way, rows)) for way in specks),
        )
        for velocity, specks in zip(flow.moments, ways, strict=True)
    )


def _units(places: NDArray[np.float64], rows: int) -> Sequence[tuple[int, int]]:
    """Columns and rows in units, the last row on top."""
    x, y = np.rint(STEP * places[:, 0]).astype(int), np.rint(STEP * (rows - 1 - places[:, 1])).astype(int)
    return list(zip(x.tolist(), y.tolist(), strict=True))
