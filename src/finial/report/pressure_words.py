"""Mean pressure on the surface in words and numbers, of one run of the tunnel."""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.report.document import Table
from finial.report.shown import NOT_KNOWN, Shown
from finial.tunnel_study.flows import KeptFlow
from finial.tunnel_study.surfaces import KeptSurface

PRESSURE_EDGES: Final = (-1.0, -0.5, -0.2, 0.0, 0.2, 0.5)
"""Pressure coefficients at which a band of colour ends and the next begins."""
BAND_WORDS: Final = (
    "below -1: pulled hardest",
    "-1 to -0.5",
    "-0.5 to -0.2",
    "-0.2 to 0",
    "0 to 0.2",
    "0.2 to 0.5",
    "above 0.5: pressed hardest",
)
FEW_CELLS: Final = 16.0
"""Below what a study takes where nothing else is asked, a pattern is coarse."""
_SLICES = 20
_FACING = math.cos(math.radians(60.0))
"""A place faces the wind across, or lies in its lee, within 60 degrees; a choice for the table."""


def wind_words(surface: KeptSurface | KeptFlow) -> str:
    """Say which wind it is.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> wind_words(SimpleNamespace(told=SimpleNamespace(angle_rad=math.radians(10), roll_rad=0.0)))
    '10 deg off the axis, to roll 0 deg'
    """
    angle, roll = (math.degrees(rad) for rad in (surface.told.angle_rad, surface.told.roll_rad))
    return f"{angle:g} deg off the axis, to roll {roll:g} deg" if round(angle, 6) else "along the axis"


def pressure_sentence(surface: KeptSurface, shown: Shown) -> str:
    """Say where it is pressed and pulled hardest, how much is known, and how finely it was blown."""
    known = ~np.isnan(surface.pressures)
    if not known.any():
        return "Of this run no pressure on the surface is known."
    high, low = (
        int(pick(np.where(known, surface.pressures, other)))
        for pick, other in ((np.argmax, -np.inf), (np.argmin, np.inf))
    )
    share = float(1.0 - known.mean())
    gaps = f" Of {max(round(100 * share), 1)} % of the places it is not known." if share else ""
    return (
        f"Wind {wind_words(surface)}: it presses hardest {_place(surface, high, shown)} and pulls hardest"
        f" {_place(surface, low, shown)}.{gaps} {_fineness(surface)}"
    )


def _place(surface: KeptSurface, at: int, shown: Shown) -> str:
    station = shown.length(max(float(surface.places_m[at, 0]), 0.0))
    return f"{station} aft of the tip (Cp {surface.pressures[at]:.2f})"


def _fineness(surface: KeptSurface) -> str:
    told = surface.told
    grids = "on one grid alone" if told.grids == 1 else f"the finest of {told.grids} grids"
    coarse = " That is coarse: read the pattern, not the numbers." if told.cells < FEW_CELLS else ""
    return f"Blown with {told.cells:.3g} cells to a width, {grids}.{coarse}"


def pressure_table(surface: KeptSurface, length_m: float, shown: Shown) -> Table:
    """Set pressure coefficients side by side, slice by slice along the body."""
    across = surface.told.angle_rad > 0.0
    return Table(
        title=f"Pressure coefficient on the surface, wind {wind_words(surface)}",
        columns=(
            "from, aft of the tip", "to", "mean", "least", "largest",
            *(("mean facing the wind", "mean in its lee") if across else ()),
        ),
        rows=tuple(_rows(surface, length_m, shown, across=across)),
        numbers=tuple(range(7 if across else 5)),
    )  # fmt: skip


def _rows(surface: KeptSurface, length_m: float, shown: Shown, *, across: bool) -> Iterator[tuple[str, ...]]:
    edges = np.linspace(0.0, length_m, _SLICES + 1)
    stations = np.clip(surface.places_m[:, 0], 0.0, length_m * (1.0 - 1e-9))
    slot, facing = np.searchsorted(edges, stations, side="right") - 1, _facing(surface)
    for number, (start, end) in enumerate(pairwise(edges.tolist())):
        here = (slot == number) & ~np.isnan(surface.pressures)
        pressures = surface.pressures[here]
        sides = (pressures[facing[here] > _FACING], pressures[facing[here] < -_FACING]) if across else ()
        yield (
            shown.length(start),
            shown.length(end),
            _mean(pressures),
            _number(pressures.min(initial=np.inf)),
            _number(pressures.max(initial=-np.inf)),
            *(_mean(side) for side in sides),
        )


def _facing(surface: KeptSurface) -> NDArray[np.float64]:
    """Cosine between where a place lies off the axis and where the wind across comes from."""
    off = surface.places_m[:, 1:]
    towards = np.array([math.cos(surface.told.roll_rad), math.sin(surface.told.roll_rad)])
    return -(off @ towards) / np.maximum(np.hypot(*off.T), np.finfo(float).tiny)


def _mean(pressures: NDArray[np.float64]) -> str:
    return f"{pressures.mean():.2f}" if len(pressures) else NOT_KNOWN


def _number(value: float) -> str:
    return f"{value:.2f}" if math.isfinite(value) else NOT_KNOWN
