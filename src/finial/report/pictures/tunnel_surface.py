"""Mean pressure on the surface, seen from the side, tip to the left."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.report.pictures.axes import PAGE_MM, Scale
from finial.report.pictures.shades import BANDS, shades_key
from finial.report.pictures.svg import GREY, element, picture, polygon
from finial.report.pressure_words import BAND_WORDS, PRESSURE_EDGES
from finial.tunnel_study.store import KeptRun

_NAME: Final = "tunnel-pressure"
_EDGE_MM, _TALLEST_MM, _TOP_MM = 6.0, 70.0, 8.0
_MOST_ACROSS = 220
"""Squares along the body: a picture is no larger for a finer run."""


def tunnel_surface(kept: KeptRun, outline: list[tuple[float, float]]) -> str:
    """Draw the pressure coefficient on the near side as squares, the outline of the skin round them.

    The eye is on the side of negative body z: up is roll 0, as in the side view.
    """
    squares, cell_m = _squares(kept)
    stations = kept.places_m[:, 0]
    reach = max(float(np.abs(kept.places_m[:, 1]).max()), 1e-9)
    length = max(float(stations.max()), max(station for station, _ in outline))
    per_m = min((PAGE_MM - 2 * _EDGE_MM) / length, _TALLEST_MM / (2 * reach))
    start = (PAGE_MM - per_m * length) / 2
    along = Scale(low=0.0, high=length, start_mm=start, end_mm=start + per_m * length)
    axis_mm = _TOP_MM + reach * per_m
    drawn = [
        element(
            "rect",
            x=along.at(station - cell_m / 2),
            y=axis_mm - (up + cell_m / 2) * per_m,
            width=cell_m * per_m,
            height=cell_m * per_m,
            fill=_colour(pressure),
        )
        for station, up, pressure in squares
    ]
    skin = polygon([(along.at(x), axis_mm - up * per_m) for x, up in outline], stroke=GREY, stroke_width=0.3)
    told, foot = shades_key(BAND_WORDS, axis_mm + reach * per_m + 8.0)
    low, high = float(kept.pressures.min()), float(kept.pressures.max())
    says = f"Mean pressure coefficients run from {low:.2f} to {high:.2f}."
    return picture(
        _NAME,
        (PAGE_MM, foot),
        element("g", *drawn, shape_rendering="crispEdges"),
        skin,
        told,
        title="Mean pressure on the surface in the tunnel",
        says=says,
    )


def _squares(kept: KeptRun) -> tuple[list[tuple[float, float, float]], float]:
    """Place and pressure of each square: the mean of the points nearest to the eye."""
    places, pressures = kept.places_m, kept.pressures
    cell = max(kept.told.width_m / kept.told.cells, float(np.ptp(places[:, 0])) / _MOST_ACROSS)
    column = np.floor(places[:, 0] / cell).astype(np.int64)
    row = np.floor(places[:, 1] / cell).astype(np.int64)
    wide = int(np.ptp(row)) + 1
    square = column * wide + (row - row.min())
    nearest = _least_in(square, places[:, 2])
    near = places[:, 2] <= nearest + cell
    found, where = np.unique(square[near], return_inverse=True)
    means = np.bincount(where, pressures[near]) / np.bincount(where)
    return [
        ((one // wide + 0.5) * cell, (one % wide + float(row.min()) + 0.5) * cell, float(mean))
        for one, mean in zip(found.tolist(), means.tolist(), strict=True)
    ], cell


def _least_in(groups: NDArray[np.int64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Least value of each one's own group."""
    _, where = np.unique(groups, return_inverse=True)
    least = np.full(int(where.max()) + 1, np.inf)
    np.minimum.at(least, where, values)
    return least[where]


def _colour(pressure: float) -> str:
    return BANDS[sum(pressure >= edge for edge in PRESSURE_EDGES)]
