"""Seven shades from dark to light, for what runs from little to much: lightness alone tells the order."""

from collections.abc import Sequence
from typing import Final

from finial.report.pictures.axes import PAGE_MM
from finial.report.pictures.svg import INK, element, words

BANDS: Final = ("#101748", "#213a71", "#3e5987", "#6e758c", "#a59473", "#e1b656", "#ffe696")
"""As ``--cp-0`` to ``--cp-6`` of the page in its light colours."""
_EDGE_MM, _PIECE_MM, _ROW_MM = 6.0, 52.0, 5.0


def shades_key(told: Sequence[str], top_mm: float) -> tuple[str, float]:
    """Draw the shades with their words, some on a row; and where the picture then ends [mm]."""
    a_row = int((PAGE_MM - 2 * _EDGE_MM) // _PIECE_MM)
    parts: list[str] = []
    for order, (text, shade) in enumerate(zip(told, BANDS, strict=True)):
        left, top = _EDGE_MM + order % a_row * _PIECE_MM, top_mm + order // a_row * _ROW_MM
        parts.append(
            element(
                "rect", x=left, y=top - 2.4, width=5.0, height=3.0, fill=shade, stroke=INK, stroke_width=0.2
            )
        )
        parts.append(words(text, (left + 6.2, top)))
    return element("g", *parts), top_mm + (len(told) - 1) // a_row * _ROW_MM + 4.0
