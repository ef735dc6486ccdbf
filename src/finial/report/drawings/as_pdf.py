"""A drawing as PDF in tiles of A4 or letter paper, with a bar to measure and crosses to join them by."""

import math
from collections.abc import Callable, Iterator

from finial.report.drawings.as_svg import CHECK_MM, CHECK_US_MM, COLOURS, check_words
from finial.report.drawings.shapes import Circle, Drawing, DrawnOutline, Ink, Label, Point
from finial.report.pdf import PAPERS
from finial.report.pictures.svg import number
from finial.report.visible import visible

SIZES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""ISO 216, and ANSI/ASME Y14.1 for letter."""
_MARGIN_MM = 12.0
"""No printer reaches the edge [mm]; common practice."""
_FOOT_MM = 26.0
OVERLAP_MM = 10.0
"""Sheets overlap by so much, to glue them by [mm]."""
SCALES = (1, 2, 5, 10)
"""Reductions of ISO 5455; 1:20 and beyond show nothing of such vehicles."""
FEW_SHEETS = 2
"""Sheets that a drawing to look at may take; chosen."""
_THIN_MM = 0.18
_LONGEST_MM = 400


def pdf(drawing: Drawing, paper: str, *, us_units: bool) -> bytes:
    """Return the drawing at 100 % over as many sheets as it takes."""
    import typst

    said = typst.compile(_source(drawing, paper, us_units).encode(), format="pdf")
    assert isinstance(said, bytes)
    return said


def tiles(drawing: Drawing, paper: str) -> tuple[tuple[int, int, Point], ...]:
    """Row, column and lower left corner of every sheet [mm], from the top left on."""
    left, low, right, high = drawing.bounds
    wide, tall = room(paper)
    columns = max(1, math.ceil((right - left - OVERLAP_MM) / (wide - OVERLAP_MM) - 1e-9))
    rows = max(1, math.ceil((high - low - OVERLAP_MM) / (tall - OVERLAP_MM) - 1e-9))
    return tuple(
        (
            row,
            column,
            (left + column * (wide - OVERLAP_MM), high - tall - row * (tall - OVERLAP_MM)),
        )
        for row in range(rows)
        for column in range(columns)
    )


def fitting(draw: Callable[[int], Drawing], paper: str) -> Drawing:
    """Return a drawing of the whole as large as at most two sheets hold it, or the smallest that is made."""
    return next(
        (one for one in map(draw, SCALES[:-1]) if len(tiles(one, paper)) <= FEW_SHEETS), draw(SCALES[-1])
    )


def room(paper: str) -> Point:
    """Width and height of the drawing's part of one sheet [mm]."""
    wide, tall = SIZES_MM[paper]
    return wide - 2 * _MARGIN_MM, tall - 2 * _MARGIN_MM - _FOOT_MM


def _source(drawing: Drawing, paper: str, us_units: bool) -> str:
    every = tiles(drawing, paper)
    pages = [_page(drawing, paper, tile, us_units, (n, len(every))) for n, tile in enumerate(every, start=1)]
    head = (
        f'#set document(title: "{_quoted(drawing.said[0])}")\n'
        f'#set page(paper: "{PAPERS[paper]}", margin: 0mm)\n#set text(size: 8pt)\n'
    )
    return head + "\n#pagebreak()\n".join(pages)


def _page(
    drawing: Drawing, paper: str, tile: tuple[int, int, Point], us_units: bool, count: tuple[int, int]
) -> str:
    row, column, corner = tile
    wide, tall = room(paper)

    def placed(point: Point) -> Point:
        return point[0] - corner[0], corner[1] + tall - point[1]

    inside = "".join(_shapes(drawing, placed))
    sheet = f"Sheet {count[0]} of {count[1]}" + (
        f": row {row + 1}, column {column + 1}" if count[1] > 1 else ""
    )
    joins = f" Sheets overlap by {OVERLAP_MM:.0f} mm: lay the crosses on each other." if count[1] > 1 else ""
    rows = [f"{sheet}.{joins}", check_words(us_units, drawing.scale), *drawing.said]
    bar = CHECK_US_MM if us_units else CHECK_MM
    foot = _MARGIN_MM + tall + 4.0
    return "".join(
        (
            f"#place(dx: {_MARGIN_MM}mm, dy: {_MARGIN_MM}mm, box(width: {number(wide)}mm, "
            f"height: {number(tall)}mm, clip: true)[{inside}])\n",
            *_crosses(wide, tall),
            _line((_MARGIN_MM, foot), (_MARGIN_MM + bar, foot), "#1a1a1a", 0.25),
            *(
                _line((_MARGIN_MM + end, foot - 2), (_MARGIN_MM + end, foot + 2), "#1a1a1a", 0.25)
                for end in (0.0, bar)
            ),
            *(_text(text, (_MARGIN_MM, foot + 3.0 + 3.6 * at), "left + top") for at, text in enumerate(rows)),
        )
    )


def _crosses(wide: float, tall: float) -> Iterator[str]:
    """Mark the corners, amid the overlap of neighbouring sheets."""
    half = OVERLAP_MM / 2
    for x in (_MARGIN_MM + half, _MARGIN_MM + wide - half):
        for y in (_MARGIN_MM + half, _MARGIN_MM + tall - half):
            yield _line((x - 3, y), (x + 3, y), COLOURS[Ink.MARK], _THIN_MM)
            yield _line((x, y - 3), (x, y + 3), COLOURS[Ink.MARK], _THIN_MM)


def _shapes(drawing: Drawing, placed: Callable[[Point], Point]) -> Iterator[str]:
    for shape in drawing.shapes:
        if isinstance(shape, Label):
            anchors = {"start": "left", "middle": "center", "end": "right"}
            yield _text(shape.text, placed(shape.at), f"{anchors[shape.anchor]} + bottom")
        elif isinstance(shape, Circle):
            x, y = placed(shape.middle)
            radius = shape.diameter / 2
            yield (
                f"#place(dx: {number(x - radius)}mm, dy: {number(y - radius)}mm, circle(radius: "
                f'{number(radius)}mm, stroke: {_THIN_MM}mm + rgb("{COLOURS[shape.ink]}")))'
            )
        else:
            yield _outline(shape, placed)


def _outline(shape: DrawnOutline, placed: Callable[[Point], Point]) -> str:
    points = [placed(point) for point in shape.points]
    steps = "".join(f"curve.line(({number(x)}mm, {number(y)}mm)), " for x, y in points[1:])
    start = f"curve.move(({number(points[0][0])}mm, {number(points[0][1])}mm)), "
    close = 'curve.close(mode: "straight")' if shape.closed else ""
    dash = ', dash: "dashed"' if shape.ink is Ink.FOLD else ""
    stroke = f'(paint: rgb("{COLOURS[shape.ink]}"), thickness: {_THIN_MM}mm{dash})'
    return f"#place(curve(stroke: {stroke}, {start}{steps}{close}))"


def _line(start: Point, end: Point, colour: str, thick: float) -> str:
    first, second = (f"({number(x)}mm, {number(y)}mm)" for x, y in (start, end))
    return f'#place(line(start: {first}, end: {second}, stroke: {thick}mm + rgb("{colour}")))\n'


def _text(words: str, at: Point, align: str) -> str:
    """Write words on one line from a point, whatever room the page has there."""
    x, y = at
    across = align.partition(" ")[0]
    written = f'box(width: {_LONGEST_MM}mm, align({across}, text("{_quoted(words)}")))'
    return (
        f"#place(dx: {number(x)}mm, dy: {number(y)}mm, "
        f"box(width: 0mm, height: 0mm, place({align}, {written})))\n"
    )


def _quoted(words: str) -> str:
    return visible(words).replace("\\", "\\\\").replace('"', '\\"')
