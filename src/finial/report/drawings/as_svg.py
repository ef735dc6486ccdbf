"""A drawing as SVG: one unit of the file is one millimetre on paper, with a bar to measure the print by."""

from collections.abc import Callable

from finial.report.drawings.shapes import Circle, Drawing, DrawnOutline, Ink, Label, Point, Shape
from finial.report.pictures.svg import (
    GREY,
    INK,
    RUST,
    element,
    line,
    number,
    picture,
    polygon,
    polyline,
    words,
)

EDGE_MM = 12.0
TEXT_MM = 5.0
CHECK_MM, CHECK_US_MM = 100.0, 4 * 25.4
"""Length of the bar that a print is measured by [mm]: 100 mm, or 4 in for builders who measure in inches."""
_THIN = 0.18
_LEAST_WIDTH_MM = 130.0
COLOURS = {Ink.CUT: INK, Ink.FOLD: INK, Ink.HOLE: RUST, Ink.MARK: GREY}


def check_words(us_units: bool, scale: int = 1) -> str:
    """Say how long the bar is on paper, and what it measures there."""
    unit, long = ("in", 4) if us_units else ("mm", 100)
    if scale == 1:
        return f"Print at 100 %. This bar is {long} {unit} long: measure it before you cut."
    return (
        f"Drawn 1:{scale}. Print at 100 %: this bar is {long} {unit} long on paper, and stands for "
        f"{scale * long} {unit}."
    )


def svg(drawing: Drawing, *, us_units: bool) -> str:
    """Put a drawing on paper of its own size: beneath it a bar to measure, and what it is."""
    left, low, right, high = drawing.bounds
    bar = CHECK_US_MM if us_units else CHECK_MM

    def placed(point: Point) -> Point:
        return EDGE_MM + point[0] - left, EDGE_MM + high - point[1]

    foot = EDGE_MM + (high - low) + 2 * TEXT_MM
    rows = [check_words(us_units, drawing.scale), *drawing.said]
    texts = [words(row, (EDGE_MM, foot + (n + 1) * TEXT_MM)) for n, row in enumerate(rows)]
    width = max(right - left + 2 * EDGE_MM, _LEAST_WIDTH_MM)
    height = foot + (len(rows) + 1) * TEXT_MM + EDGE_MM / 2
    return picture(
        drawing.name,
        (float(number(width)), float(number(height))),
        *(_shape(shape, placed) for shape in drawing.shapes),
        *_bar((EDGE_MM, foot), bar),
        *texts,
        title=drawing.said[0],
        says=" ".join(rows),
    )


def _shape(shape: Shape, placed: Callable[[Point], Point]) -> str:
    if isinstance(shape, Label):
        return words(shape.text, placed(shape.at), text_anchor=shape.anchor)
    if isinstance(shape, Circle):
        x, y = placed(shape.middle)
        return element(
            "circle",
            cx=x,
            cy=y,
            r=shape.diameter / 2,
            fill="none",
            stroke=COLOURS[shape.ink],
            stroke_width=_THIN,
        )
    return _outline(shape, placed)


def _outline(shape: DrawnOutline, placed: Callable[[Point], Point]) -> str:
    points = [placed(point) for point in shape.points]
    dashes = "3 1.5" if shape.ink is Ink.FOLD else None
    style: dict[str, str | float | None] = {
        "stroke": COLOURS[shape.ink],
        "stroke_width": _THIN,
        "stroke_dasharray": dashes,
    }
    if shape.closed:
        return polygon(points, **style)
    return line(points[0], points[1], **style) if len(points) == 2 else polyline(points, **style)


def _bar(at: Point, long_mm: float) -> list[str]:
    x, y = at
    ends = [line((x + step, y - 2.0), (x + step, y + 2.0)) for step in (0.0, long_mm)]
    return [line((x, y), (x + long_mm, y), id="check-length"), *ends]
