"""The section of the whole true to scale: what is cut, and a dimension for each thing inside."""

import math
from collections.abc import Iterator

from finial.assemble.inside.lengthwise import CutThing, LengthwiseTemplate
from finial.report.drawings.shapes import (
    LETTER_MM,
    Drawing,
    DrawnOutline,
    Ink,
    Label,
    Rows,
    Shape,
    dimension,
    in_mm,
    line,
)
from finial.report.shown import Shown

_MM = 1e3
_ROW_MM = 8.0
_BETWEEN_MM = 6.0


def lengthwise_drawing(cut: LengthwiseTemplate, *, us_units: bool, scale: int = 1) -> Drawing:
    """Draw the section, tip to the left, stations of the parts above and what stands inside below."""
    shown, per_m = Shown(us_units=us_units), _MM / scale
    rings = (*cut.printed_m, *(ring for thing in cut.things for ring in thing.outlines_m))
    # A plane between two towers may cut nothing at all.
    low, high = (side((y for ring in rings for _, y in ring), default=0.0) * per_m for side in (min, max))
    shapes: list[Shape] = [DrawnOutline(points=in_mm(ring, scale)) for ring in cut.printed_m]
    shapes += [
        DrawnOutline(points=in_mm(ring, scale), ink=Ink.MARK)
        for thing in cut.things
        for ring in thing.outlines_m
    ]
    shapes += [line((-5.0, 0.0), (cut.length_m * per_m + 5.0, 0.0), Ink.FOLD)]
    shapes += _stations(cut, high, shown, per_m)
    shapes += dimension((0.0, low - 10.0), (cut.length_m * per_m, low - 10.0), shown.offset(cut.length_m))
    shapes += _inside(cut, low - 10.0 - _ROW_MM, shown, per_m)
    return Drawing(
        name="section",
        title="section",
        shapes=tuple(shapes),
        said=(
            f"{cut.name} cut along its axis at roll {math.degrees(cut.roll_rad):.0f} deg, tip to the left, "
            f"{shown.offset(cut.length_m)} long.",
            "Above: stations, aft of the tip, where parts begin and end. Below: what stands inside. Fins "
            "and what the plane misses are not drawn.",
        ),
        scale=scale,
    )


def _stations(cut: LengthwiseTemplate, high_mm: float, shown: Shown, per_m: float) -> Iterator[Shape]:
    rows = Rows()
    for station in sorted({round(end, 6) for _, *ends in cut.parts for end in ends}):
        x, said = station * per_m, shown.offset(station)
        top = high_mm + 6.0 + 5.0 * rows.row_of(x, said)
        yield line((x, high_mm + 1.0), (x, top - 1.0))
        yield Label(text=said, at=(x, top), anchor="middle")
    above, names = high_mm + 8.0 + 5.0 * rows.count, Rows()
    for name, fore, aft in cut.parts:
        x = (fore + aft) / 2 * per_m
        yield Label(text=name, at=(x, above + 5.0 * names.row_of(x, name)), anchor="middle")


def _inside(cut: LengthwiseTemplate, top_mm: float, shown: Shown, per_m: float) -> Iterator[Shape]:
    """Yield a dimension line for each thing, in as few rows as their words leave room for."""
    filled: list[float] = []
    for thing in cut.things:
        said = _words(thing, shown)
        fore, aft = (end * per_m for end in thing.span_m)
        wide = LETTER_MM * len(said)
        # Words that would run off the drawing end where the thing does.
        is_aft = fore + wide > cut.length_m * per_m
        start, end = (min(fore, aft - wide), aft) if is_aft else (fore, max(aft, fore + wide))
        row = next((k for k, reached in enumerate(filled) if reached < start), len(filled))
        filled[row : row + 1] = [end + _BETWEEN_MM]
        y = top_mm - _ROW_MM * (row + 1)
        yield from dimension((fore, y), (aft, y), "")
        yield Label(text=said, at=(aft if is_aft else fore, y + 1.5), anchor="end" if is_aft else "start")


def _words(thing: CutThing, shown: Shown) -> str:
    fore, aft = (shown.offset(end) for end in thing.span_m)
    wide = shown.offset(thing.across_m)
    sides = f"{wide} across" if thing.is_round else f"{wide} by {shown.offset(thing.depth_m)}"
    return f"{thing.name}: {fore} to {aft}, {sides}"
