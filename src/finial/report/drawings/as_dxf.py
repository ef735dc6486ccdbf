"""A drawing as DXF, in millimetres, for whoever cuts by laser or mill; needs the ``dxf`` extra."""

import io
from importlib.util import find_spec
from typing import Any

from finial.core.errors import MissingData
from finial.report.drawings.shapes import Circle, Drawing, Ink, Label
from finial.report.visible import visible

_COLOURS = {Ink.CUT: 7, Ink.FOLD: 8, Ink.HOLE: 1, Ink.MARK: 9}
"""Colour numbers of the layers: black or white, dark grey, red, light grey."""
_WORDS = "words"
_LETTERS_MM = 3.5


def can_write_dxf() -> bool:
    """Whether the library for DXF is installed."""
    return find_spec("ezdxf") is not None


def dxf(drawing: Drawing) -> bytes:
    """Write a drawing as DXF R2010, each ink on a layer of its own.

    Raises
    ------
    MissingData
        If the library for DXF is not installed.
    """
    if not can_write_dxf():
        raise MissingData("DXF needs a library that is not installed: pip install 'finial[dxf]'")
    import ezdxf
    from ezdxf import units

    document: Any = ezdxf.new("R2010", setup=False)  # pyright: ignore[reportPrivateImportUsage]
    document.units = units.MM
    for ink in Ink:
        document.layers.add(ink.value, color=_COLOURS[ink])
    document.layers.add(_WORDS, color=9)
    space = document.modelspace()
    for shape in drawing.shapes:
        if isinstance(shape, Label):
            _words(space, shape.text, shape.at)
        elif isinstance(shape, Circle):
            space.add_circle(shape.middle, shape.diameter / 2, dxfattribs={"layer": shape.ink.value})
        else:
            space.add_lwpolyline(shape.points, close=shape.closed, dxfattribs={"layer": shape.ink.value})
    left, low, _, _ = drawing.bounds
    for row, text in enumerate(drawing.said, start=1):
        _words(space, text, (left, low - 2 * _LETTERS_MM * row))
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def _words(space: Any, text: str, at: tuple[float, float]) -> None:
    space.add_text(visible(text), height=_LETTERS_MM, dxfattribs={"layer": _WORDS}).set_placement(at)
