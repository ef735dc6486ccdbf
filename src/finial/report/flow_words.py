"""Air on planes through the axis in words and numbers, of one run of the tunnel."""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.report.document import Table
from finial.report.pressure_words import FEW_CELLS, wind_words
from finial.report.shown import Shown
from finial.tunnel.flow import PlaneFlow
from finial.tunnel_study.flows import KeptFlow

SPEED_EDGES: Final = (0.15, 0.35, 0.55, 0.75, 0.92, 1.08)
"""Speeds over the wind's at which a shade ends and the next begins."""
SPEED_WORDS: Final = (
    "below 0.15: nearly still",
    "0.15 to 0.35",
    "0.35 to 0.55",
    "0.55 to 0.75",
    "0.75 to 0.92",
    "0.92 to 1.08: as the wind",
    "above 1.08: faster",
)
AIR_EDGES: Final = (-0.6, -0.3, -0.1, 0.1, 0.3, 0.6)
"""Pressure coefficients of the air at which a shade ends and the next begins."""
AIR_WORDS: Final = (
    "below -0.6: sucks hardest",
    "-0.6 to -0.3",
    "-0.3 to -0.1",
    "-0.1 to 0.1: as the wind",
    "0.1 to 0.3",
    "0.3 to 0.6",
    "above 0.6: presses hardest",
)
WAKE: Final = 0.5
"""Air behind the tail that is slower than this share of the wind is told as its wake; a choice."""
NO_FILM: Final = "This copy holds the means. The film of moments is on the page that it was sent from."
_SLICES = 20


def plane_words(kept: KeptFlow, number: int) -> str:
    """Say which plane it is.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> planes = (SimpleNamespace(up_rad=0.0), SimpleNamespace(up_rad=math.pi / 2))
    >>> kept = SimpleNamespace(flow=SimpleNamespace(planes=planes), told=SimpleNamespace(angle_rad=0.1))
    >>> plane_words(kept, 0)
    'the plane that the wind lies in, roll 0 deg up'
    >>> plane_words(kept, 1)
    'the plane square to it, roll 90 deg up'
    """
    up = f"roll {round(math.degrees(kept.flow.planes[number].up_rad), 1):g} deg up"
    if number:
        return f"the plane square to it, {up}"
    return (
        f"the plane that the wind lies in, {up}" if kept.told.angle_rad else f"a plane through the axis, {up}"
    )


def flow_sentence(kept: KeptFlow, shown: Shown) -> str:
    """Say where the air stands, how far the wake reaches, and how finely it was blown."""
    told = kept.told
    coarse = " That is coarse: read the pattern, not the numbers." if told.cells < FEW_CELLS else ""
    plane = kept.flow.planes[0]
    return (
        f"Wind {wind_words(kept)}. {wake_words(plane, shown)} {_hardest(plane, shown)}"
        f" Means of {told.travel_widths:.3g} widths of travel, blown with {told.cells:.3g} cells to a"
        f" width.{coarse}"
    )


def wake_words(plane: PlaneFlow, shown: Shown) -> str:
    """Say how far behind the tail the air is slower than half the wind."""
    reach_m, ends = wake_m(plane)
    if reach_m is None:
        return "Behind the tail no air is slower than half the wind in the mean."
    least = "at least " if ends else ""
    return (
        f"Behind the tail air is slower than half the wind in the mean, as far as {least}"
        f"{shown.length(reach_m)} aft of it."
    )


def wake_m(plane: PlaneFlow) -> tuple[float | None, bool]:
    """How far aft of the tail slow air reaches [m], if any does, and whether it reaches out of sight."""
    stations = _stations(plane)
    tail = max((float(loop[:, 0].max()) for loop in plane.outline_m), default=0.0)
    slow = ((plane.speed < WAKE) & plane.air).any(axis=0) & (stations > tail)
    if not slow.any():
        return None, False
    last = int(np.flatnonzero(slow)[-1])
    return float(stations[last]) - tail, last == len(stations) - 1


def _hardest(plane: PlaneFlow, shown: Shown) -> str:
    pressure = np.where(plane.air, plane.pressure, -np.inf)
    column = int(pressure.max(axis=0).argmax())
    station = float(_stations(plane)[column])
    where = f"{shown.length(abs(station))} {'ahead' if station < 0.0 else 'aft'} of the tip"
    return f"It presses hardest {where} (Cp {float(pressure.max()):.2f})."


def flow_table(kept: KeptFlow, number: int, shown: Shown) -> Table:
    """Set speeds and pressures side by side, slice by slice along the wind's way."""
    return Table(
        title=f"Air in {plane_words(kept, number)}, wind {wind_words(kept)}",
        columns=(
            "from, aft of the tip", "to", "least speed", "mean speed", "largest speed",
            "least Cp", "mean Cp", "largest Cp",
        ),
        rows=tuple(_rows(kept.flow.planes[number], shown)),
        numbers=tuple(range(8)),
    )  # fmt: skip


def moments_table(kept: KeptFlow, shown: Shown) -> Table:
    """Set the moments of the film under one another, slice by slice along the wind's way."""
    return Table(
        title=f"Moments in {plane_words(kept, 0)}, wind {wind_words(kept)}",
        columns=(
            "travel, widths", "from, aft of the tip", "to", "least speed", "mean speed", "largest speed",
            "mean speed aft", "mean speed across",
        ),
        rows=tuple(_moment_rows(kept, shown)),
        numbers=tuple(range(8)),
    )  # fmt: skip


def _moment_rows(kept: KeptFlow, shown: Shown) -> Iterator[tuple[str, ...]]:
    plane = kept.flow.planes[0]
    for moment, (aft, across) in enumerate(kept.flow.moments):
        speed = np.hypot(aft, across)
        for ends, here in _slices(plane, shown):
            told = (
                speed[here].min(),
                speed[here].mean(),
                speed[here].max(),
                aft[here].mean(),
                across[here].mean(),
            )
            travel = f"{moment * kept.flow.apart_widths:.2f}"
            yield (travel, *ends, *(f"{float(each):.2f}" for each in told))


def _rows(plane: PlaneFlow, shown: Shown) -> Iterator[tuple[str, ...]]:
    for ends, here in _slices(plane, shown):
        yield (
            *ends,
            *(
                f"{float(told):.2f}"
                for values in (plane.speed[here], plane.pressure[here])
                for told in (values.min(), values.mean(), values.max())
            ),
        )


def _slices(plane: PlaneFlow, shown: Shown) -> Iterator[tuple[tuple[str, str], NDArray[np.bool_]]]:
    """Tell where each slice with air in it begins and ends, and its nodes."""
    stations = _stations(plane)
    edges = np.linspace(float(stations[0]), float(stations[-1]), _SLICES + 1)
    slot = np.clip(np.searchsorted(edges, stations, side="right") - 1, 0, _SLICES - 1)
    for number, (start, end) in enumerate(pairwise(edges.tolist())):
        here = plane.air & (slot == number)
        if here.any():
            yield (shown.length(start), shown.length(end)), here


def _stations(plane: PlaneFlow) -> NDArray[np.float64]:
    return np.asarray(plane.low_m[0] + plane.step_m * np.arange(plane.air.shape[1]), dtype=np.float64)
