"""Mean pressure on the surface, seen from the side, tip to the left."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.report.pictures.axes import PAGE_MM, Scale, plain
from finial.report.pictures.svg import GREY, INK, element, number, picture, polygon, words
from finial.tunnel_study.store import KeptRun

_NAME: Final = "tunnel-pressure"
_EDGE_MM, _TALLEST_MM, _TOP_MM = 6.0, 70.0, 8.0
_MOST_ACROSS = 220
"""Squares along the body: a picture is no larger for a finer run."""
_STEPS: Final = (
    (-1.5, "#3b0f57"),
    (-1.0, "#5a3d8a"),
    (-0.6, "#6f78b8"),
    (-0.3, "#9fb3d9"),
    (-0.1, "#d3ddea"),
    (0.1, "#f2efe6"),
    (0.3, "#f0d7ab"),
    (0.6, "#e0a95f"),
    (1.0, "#b8480a"),
)
"""Lower end of each step of the pressure coefficient, dark at both ends; all below the first share it."""


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
    foot = axis_mm + reach * per_m + 8.0
    low, high = float(kept.pressures.min()), float(kept.pressures.max())
    says = f"Mean pressure coefficients run from {low:.2f} to {high:.2f}."
    return picture(
        _NAME,
        (PAGE_MM, foot + 8.0),
        element("g", *drawn, shape_rendering="crispEdges"),
        skin,
        _scale(foot),
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
    return next((colour for end, colour in reversed(_STEPS) if pressure >= end), _STEPS[0][1])


def _scale(top_mm: float) -> str:
    each = (PAGE_MM - 2 * _EDGE_MM) / len(_STEPS)
    parts: list[str] = []
    for order, (end, colour) in enumerate(_STEPS):
        left = _EDGE_MM + order * each
        parts.append(
            element(
                "rect", x=left, y=top_mm, width=each, height=3.0, fill=colour, stroke=GREY, stroke_width=0.2
            )
        )
        label = f"from {plain(end)}" if order else f"below {plain(_STEPS[1][0])}"
        parts.append(words(label, (left, top_mm + 6.2), fill=INK))
    return element("g", *parts, id=f"{_NAME}-scale", data_steps=number(len(_STEPS)))
