"""Map of the margin over angle of attack and roll angle."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.results import AirResult
from finial.assemble.stability.results import StabilityPoint
from finial.report.pictures.axes import Frame, Scale, framed, plain
from finial.report.pictures.svg import GREY, INK, element, picture, words

_NAME: Final = "margin-map"
_SIZE_MM: Final = (130.0, 91.0)
_STEPS: Final = (0.0, 0.5, 1.0, 2.0)
"""Margins in widths between which a shade runs [-]."""
_SHADES: Final = ("#7a2f05", "#d98a5b", "#e9e2d0", "#a9c6dd", "#3f7fb0")
"""From below zero to above two widths; the lowest is the darkest in grey print too."""
_LETTERS: Final = ("unstable", "0 to 0.5", "0.5 to 1", "1 to 2", "above 2")


def margin_map(air: AirResult, point: StabilityPoint) -> str:
    """Shade each angle and roll by the margin's bad end in widths.

    Bad end: the pressure band's forward end against the balance point's aft end.
    """
    margin = (air.pressure_forward_m - point.balance.high) / point.width_m
    degrees, rolls = np.degrees(air.angles_rad), np.degrees(air.rolls_rad)
    frame = Frame(
        name=_NAME,
        x=Scale(low=0.0, high=360.0, start_mm=16.0, end_mm=120.0),
        y=Scale(low=0.0, high=float(degrees[-1]), start_mm=62.0, end_mm=9.0),
        x_label="roll angle the wind blows to, degrees",
        y_label=f"angle of attack, degrees; balance point as at {point.moment}",
    )
    worst = np.unravel_index(int(margin.argmin()), margin.shape)
    says = (
        f"The smallest margin is {plain(round(float(margin.min()), 2))} widths, at "
        f"{degrees[worst[0]]:.1f} degrees angle of attack and roll {rolls[worst[1]]:.0f} degrees."
    )
    body = (*_cells(frame, margin, degrees, rolls), framed(frame, x_ticks=6), _key())
    return picture(_NAME, _SIZE_MM, *body, title="Margin over angle of attack and roll", says=says)


def _cells(
    frame: Frame, margin: NDArray[np.float64], degrees: NDArray[np.float64], rolls: NDArray[np.float64]
) -> list[str]:
    across, along = _edges(rolls, 0.0, 360.0), _edges(degrees, 0.0, float(degrees[-1]))
    cells: list[str] = []
    for row, column in np.ndindex(margin.shape):
        left, right = frame.x.at(float(across[column])), frame.x.at(float(across[column + 1]))
        foot, top = frame.y.at(float(along[row])), frame.y.at(float(along[row + 1]))
        shade = _SHADES[int(np.searchsorted(_STEPS, margin[row, column], side="right"))]
        cells.append(
            element("rect", x=left, y=top, width=right - left, height=foot - top, fill=shade, stroke="none")
        )
    return cells


def _edges(values: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Edges of cells half way between the values."""
    return np.concatenate([[low], (values[1:] + values[:-1]) / 2, [high]])


def _key() -> str:
    marks: list[str] = []
    for order, (shade, text) in enumerate(zip(_SHADES, _LETTERS, strict=True)):
        x = 16.0 + 22.0 * order
        marks.append(
            element("rect", x=x, y=77.0, width=4.0, height=4.0, fill=shade, stroke=GREY, stroke_width=0.15)
        )
        marks.append(words(text, (x + 5.0, 80.2), font_size=2.6))
    marks.append(words("margin at its bad end, widths", (16.0, 86.0), fill=INK))
    return element("g", *marks)
