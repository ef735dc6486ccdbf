"""A tower from the side, true to scale, with the heights of its parts."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from finial.assemble.start.tower import DrawnPart
from finial.report.pictures.axes import plain, round_bar
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.svg import GREY, INK, element, line, number, picture, words
from finial.report.shown import Shown
from finial.shape.side_lines import side_lines

_NAME: Final = "tower-side"
_WIDE_MM, _HIGH_MM = 62.0, 120.0
"""Room for the tower on paper."""
_EDGE_MM: Final = 6.0
_TOLD_MM: Final = 26.0
"""Room for the heights at its right."""
_FOOT_MM: Final = 9.0


def tower_side(name: str, parts: Sequence[DrawnPart], *, us_units: bool) -> str:
    """Draw every part where it stands, seen along the mesh axis y."""
    vertices, faces = _together(parts)
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    wide, tall = float(high[0] - low[0]), float(high[2] - low[2])
    scale = min(_WIDE_MM / wide, _HIGH_MM / tall)
    size = (2 * _EDGE_MM + wide * scale + _TOLD_MM, 2 * _EDGE_MM + tall * scale + _FOOT_MM)
    left, foot = _EDGE_MM, _EDGE_MM + tall * scale

    def place(x: float, z: float) -> tuple[float, float]:
        return left + (x - float(low[0])) * scale, foot - (z - float(low[2])) * scale

    told = Shown(us_units=us_units)
    heights = sorted({round(one.heights_m[1], 6) for one in parts} | {0.0})
    marks = [_height(place(float(high[0]), at)[1], left + wide * scale, told.length(at)) for at in heights]
    drawn = _lines(np.array([[place(*end) for end in one] for one in side_lines(vertices, faces).tolist()]))
    bar = _bar(scale, (left, foot + _FOOT_MM), wide * scale, us_units)
    return picture(
        _NAME, size, *marks, drawn, bar, title=f"{name} from the side", says=tower_says(parts, told)
    )


def tower_says(parts: Sequence[DrawnPart], shown: Shown) -> str:
    """Say what the picture shows."""
    top = max(one.heights_m[1] for one in parts)
    wide = max(one.sides_m[0] for one in parts)
    each = "; ".join(f"{one.name} from {' to '.join(map(shown.length, one.heights_m))}" for one in parts)
    return f"{shown.length(top)} high and {shown.length(wide)} wide, seen along the mesh axis y: {each}."


def _together(parts: Sequence[DrawnPart]) -> tuple[np.ndarray, np.ndarray]:
    starts = np.cumsum([0, *(len(one.sound.vertices_mm) for one in parts)])
    vertices_m = 1e-3 * np.vstack([one.sound.vertices_mm for one in parts])
    faces = np.vstack([one.sound.faces + start for one, start in zip(parts, starts[:-1], strict=True)])
    return vertices_m, faces


def _lines(ends: np.ndarray) -> str:
    strokes = "".join(
        f"M{number(x)} {number(y)}L{number(to_x)} {number(to_y)}" for (x, y), (to_x, to_y) in ends.tolist()
    )
    return element("path", d=strokes, fill="none", stroke=INK, stroke_width=0.3, stroke_linecap="round")


def _height(y: float, right: float, told: str) -> str:
    return element(
        "g",
        line((right + 1.5, y), (right + 5.0, y), stroke=GREY),
        words(told, (right + 6.0, y + 1.0)),
    )


def _bar(scale: float, at: tuple[float, float], room: float, us_units: bool) -> str:
    unit = chosen(SHORT, us_units)
    length = round_bar(max(room, 12.0) / scale * unit.per_si)
    long = length / unit.per_si * scale
    told = words(f"{plain(length)} {unit.name}", (at[0] + long + 2.0, at[1] + 1.0))
    return line(at, (at[0] + long, at[1]), stroke_width=0.7, id=f"{_NAME}-bar") + told
