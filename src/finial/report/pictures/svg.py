"""Write SVG by hand: elements, text and whole pictures, in millimetres.

Every picture is ``width`` x ``height`` millimetres with an equal view box, so one unit in
the file is one millimetre on paper and a mark can be measured back.
"""

import math
from collections.abc import Iterable
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from finial.core.errors import OutsideRange
from finial.report.visible import visible

FONT_MM: Final = 2.9
"""Height of picture text [mm]: about 8 point."""

INK: Final = "#1a1a1a"
GREY: Final = "#8a8a8a"
PALE: Final = "#e9e9e6"
BLUE: Final = "#0b5c94"
RUST: Final = "#b8480a"
"""Blue and rust differ in lightness as well as in hue, so that they part in grey print too."""

# Typst brings Libertinus; a browser without it falls back on its own sans serif.
_FONTS: Final = "'Libertinus Serif', sans-serif"


def number(value: float) -> str:
    """Write a coordinate to a micrometre, without trailing zeros.

    Raises
    ------
    OutsideRange
        If the value is not finite: a picture never hides a broken number.
    """
    if not math.isfinite(value):
        raise OutsideRange(f"a picture was given the coordinate {value}: expected a finite number")
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(tag: str, *children: str, **attributes: str | float | None) -> str:
    """One element; underscores in attribute names become hyphens, ``None`` leaves one out."""
    written = "".join(
        f" {name.strip('_').replace('_', '-')}={_attribute(value)}"
        for name, value in attributes.items()
        if value is not None
    )
    inside = "".join(children)
    return f"<{tag}{written}>{inside}</{tag}>" if inside else f"<{tag}{written}/>"


def line(start: tuple[float, float], end: tuple[float, float], **attributes: str | float | None) -> str:
    """Draw a straight line, dark and thin unless told otherwise."""
    style = {"stroke": INK, "stroke_width": 0.25} | attributes
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **style)


def polyline(points: Iterable[tuple[float, float]], **attributes: str | float | None) -> str:
    """Draw an open line through points."""
    style = {"fill": "none", "stroke": INK, "stroke_width": 0.35, "stroke_linejoin": "round"} | attributes
    return element("polyline", points=_points(points), **style)


def polygon(points: Iterable[tuple[float, float]], **attributes: str | float | None) -> str:
    """Draw a closed outline."""
    style = {"fill": "none", "stroke": INK, "stroke_width": 0.25, "stroke_linejoin": "round"} | attributes
    return element("polygon", points=_points(points), **style)


def words(text: str, at: tuple[float, float], **attributes: str | float | None) -> str:
    """Write text with its baseline at a point; ``text_anchor`` says which end is there."""
    style = {"fill": INK, "font_size": FONT_MM} | attributes
    return element("text", escape(visible(text)), x=at[0], y=at[1], **style)


def clipped(text: str, letters: int) -> str:
    """Cut words from a sheet to what a picture has room for.

    Examples
    --------
    >>> clipped("a very long name", 8)
    'a very …'
    """
    return text if len(text) <= letters else text[: letters - 1] + "…"


def hatch(name: str, colour: str, *, slant_deg: float, spacing_mm: float = 1.4) -> str:
    """Define a hatching; fill with ``url(#name)``. Two slants tell two bands apart without colour."""
    stroke = line((0, 0), (0, spacing_mm), stroke=colour, stroke_width=0.7)
    return element(
        "pattern",
        stroke,
        id=name,
        width=spacing_mm,
        height=spacing_mm,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({number(slant_deg)})",
    )


def picture(name: str, size_mm: tuple[float, float], *body: str, title: str, says: str) -> str:
    """Assemble a whole SVG document with a title and a description for those who cannot see it.

    ``name`` starts every id inside, so that several pictures can share one page.
    """
    width, height = size_mm
    opening = (
        element("title", escape(visible(title)), id=f"{name}-title"),
        element("desc", escape(visible(says)), id=f"{name}-desc"),
        element("rect", x=0, y=0, width=width, height=height, fill="#ffffff"),
    )
    return element(
        "svg",
        *opening,
        *body,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width)}mm",
        height=f"{number(height)}mm",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        font_family=_FONTS,
    )


def _attribute(value: str | float) -> str:
    return quoteattr(value if isinstance(value, str) else number(value))


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
