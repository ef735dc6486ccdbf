"""Shapes of a drawing in millimetres, y up, as they stand on paper."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum

Point = tuple[float, float]
_LETTERS = 3.0
"""Height of words [mm]."""
LETTER_MM = 1.7
"""Width of a letter of 3 mm, about [mm]: words of one row do not run into each other."""
_APART_MM = 2.0
_TICK_MM = 2.0


class Ink(StrEnum):
    """What a line is for; the layer it lies on in a file that has layers."""

    CUT = "cut"
    FOLD = "fold"
    """Drawn dashed: a tab, a slot behind."""
    HOLE = "hole"
    MARK = "mark"
    """To see by, not to cut: outlines, axes, lines of dimensions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnOutline:
    """A line through points, closed unless told otherwise."""

    points: tuple[Point, ...]
    ink: Ink = Ink.CUT
    closed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A hole."""

    middle: Point
    diameter: float
    ink: Ink = Ink.HOLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words with their baseline at a point."""

    text: str
    at: Point
    anchor: str = "start"
    """``start``, ``middle`` or ``end``: which end of the words is there."""


Shape = DrawnOutline | Circle | Label


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing and what is said beneath it."""

    name: str
    """Starts every id in the file."""
    title: str
    """Names its file."""
    shapes: tuple[Shape, ...]
    said: tuple[str, ...]
    scale: int = 1
    """It is drawn one in so many."""

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, low, right, high of everything; words count by about their width [mm]."""
        points = list(self._points())
        return (
            min(x for x, _ in points),
            min(y for _, y in points),
            max(x for x, _ in points),
            max(y for _, y in points),
        )

    def _points(self) -> Iterator[Point]:
        for shape in self.shapes:
            if isinstance(shape, DrawnOutline):
                yield from shape.points
            elif isinstance(shape, Circle):
                (x, y), radius = shape.middle, shape.diameter / 2
                yield from ((x - radius, y - radius), (x + radius, y + radius))
            else:
                wide = LETTER_MM * len(shape.text)
                start = shape.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
                yield from ((start, shape.at[1]), (start + wide, shape.at[1] + _LETTERS))


@dataclass(slots=True)
class Rows:
    """Rows of words that stand over their places, in as few as leave them readable."""

    _reached: list[float] = field(default_factory=lambda: [])

    @property
    def count(self) -> int:
        """How many there are by now."""
        return len(self._reached)

    def row_of(self, middle: float, words: str) -> int:
        """Row in which words have room over a place; places come from left to right."""
        half = LETTER_MM * len(words) / 2
        row = next((k for k, reached in enumerate(self._reached) if reached < middle - half), self.count)
        self._reached[row : row + 1] = [middle + half + _APART_MM]
        return row


def cross(at: Point, size: float, ink: Ink = Ink.MARK) -> tuple[DrawnOutline, DrawnOutline]:
    """Two short lines that meet in a point."""
    x, y = at
    return (
        DrawnOutline(points=((x - size, y), (x + size, y)), ink=ink, closed=False),
        DrawnOutline(points=((x, y - size), (x, y + size)), ink=ink, closed=False),
    )


def line(start: Point, end: Point, ink: Ink = Ink.MARK) -> DrawnOutline:
    """Draw a straight line."""
    return DrawnOutline(points=(start, end), ink=ink, closed=False)


def in_mm(points_m: Iterable[Point], scale: int = 1) -> tuple[Point, ...]:
    """Points of metres in millimetres, one in so many."""
    return tuple((1e3 * x / scale, 1e3 * y / scale) for x, y in points_m)


def dimension(start: tuple[float, float], end: tuple[float, float], text: str) -> list[Shape]:
    """Draw a line with ticks at both ends, and what it says beside it."""
    across = start[0] == end[0]
    ticks = [
        line((x - _TICK_MM, y), (x + _TICK_MM, y)) if across else line((x, y - _TICK_MM), (x, y + _TICK_MM))
        for x, y in (start, end)
    ]
    middle = (
        (start[0] + end[0]) / 2 + (2.0 if across else 0.0),
        (start[1] + end[1]) / 2 + (0.0 if across else 1.5),
    )
    label = [Label(text=text, at=middle, anchor="start" if across else "middle")] if text else []
    return [line(start, end), *ticks, *label]
