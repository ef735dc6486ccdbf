"""Scales with round ticks, and the frames that graphs are drawn in."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from finial.core.errors import OutsideRange
from finial.report.pictures.svg import FONT_MM, GREY, INK, PALE, element, line, number, words

THINNEST_MM: Final = 0.15
"""Points of a curve closer than this are not told apart on paper."""

PAGE_MM: Final = 170.0
"""Width of a picture as wide as a page."""
LEFT_MM: Final = 18.0
"""Where its graphs begin: to the left is room for numbers of six letters."""
_RIGHT_MM: Final = 166.0
_TOLD_APART: Final = 2e-5
_LONE_SHARE: Final = 0.01
"""What lies to either side of a value that stands alone, of the value itself [-]."""
_ROUND_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A straight scale: ``low`` is drawn at ``start_mm``, ``high`` at ``end_mm``.

    Examples
    --------
    >>> Scale(low=0.0, high=1.2, start_mm=10.0, end_mm=130.0).at(0.6)
    70.0
    """

    low: float
    high: float
    start_mm: float
    end_mm: float

    def __post_init__(self) -> None:
        """Refuse a scale without length."""
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.high > self.low):
            raise OutsideRange(f"a scale from {self.low} to {self.high} has no length")

    def at(self, value: float) -> float:
        """Where a value is drawn [mm]."""
        return self.start_mm + (value - self.low) / (self.high - self.low) * (self.end_mm - self.start_mm)

    def ticks(self, count: int = 5) -> tuple[float, ...]:
        """Round values inside the scale, about ``count`` of them."""
        return tuple(t for t in round_ticks(self.low, self.high, count) if self.low <= t <= self.high)


def over_page(low: float, high: float, *, left_mm: float = LEFT_MM) -> Scale:
    """Scale along the foot of a graph as wide as a page."""
    return Scale(low=low, high=high, start_mm=left_mm, end_mm=_RIGHT_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A graph's two scales and what they are called, unit included."""

    name: str
    """Starts the ids of the ticks."""
    x: Scale
    y: Scale
    x_label: str = ""
    y_label: str = ""


def round_ticks(low: float, high: float, count: int = 5) -> tuple[float, ...]:
    """Multiples of 1, 2, 2.5 or 5 times a power of ten that cover an interval.

    Examples
    --------
    >>> round_ticks(0.0, 1.2)
    (0.0, 0.25, 0.5, 0.75, 1.0, 1.25)
    """
    raw = (high - low) / max(count, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in _ROUND_STEPS if m * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(float(f"{index * step:.12g}") for index in range(first, last + 1))


def round_bar(longest: float) -> float:
    """Longest of 1, 2, 5 times a power of ten within a length.

    Examples
    --------
    >>> round_bar(36.0), round_bar(0.5)
    (20.0, 0.5)
    """
    power = 10.0 ** math.floor(math.log10(longest))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= longest * (1 + 1e-9))


def covering(values: ArrayLike, *, pad: float = 0.0, at_least: float = 1e-6) -> tuple[float, float]:
    """Round interval that covers the values, for a scale.

    Examples
    --------
    >>> covering([0.3, 1.1]), covering([9.12], pad=0.06)
    ((0.2, 1.2), (9.0, 9.25))
    """
    found = np.asarray(values, dtype=float)
    low, high = float(found.min()), float(found.max())
    # A tick has six digits: an interval that they cannot tell apart is widened until they can.
    largest = max(abs(low), abs(high))
    if high - low < _TOLD_APART * largest:
        at_least = max(at_least, _LONE_SHARE * largest)
    spare = max(at_least, (high - low) * pad)
    if high - low < at_least or pad:
        low, high = low - spare, high + spare
    ticks = round_ticks(low, high)
    return ticks[0], ticks[-1]


def framed(frame: Frame, *, x_ticks: int = 5, y_ticks: int = 4) -> str:
    """Draw the frame, its ticks with numbers, and the labels."""
    x, y = frame.x, frame.y
    box = element(
        "rect",
        x=x.start_mm,
        y=y.end_mm,
        width=x.end_mm - x.start_mm,
        height=y.start_mm - y.end_mm,
        fill="none",
        stroke=GREY,
        stroke_width=0.2,
    )
    across = [_x_tick(frame, value) for value in x.ticks(x_ticks)]
    along = [_y_tick(frame, value) for value in y.ticks(y_ticks)]
    middle = (x.start_mm + x.end_mm) / 2
    below = words(frame.x_label, (middle, y.start_mm + 2.6 * FONT_MM), text_anchor="middle", fill=INK)
    above = words(frame.y_label, (x.start_mm, y.end_mm - 1.4), fill=INK)
    labels = [text for text, wanted in ((below, frame.x_label), (above, frame.y_label)) if wanted]
    return element("g", *across, *along, box, *labels)


def bare(frame: Frame) -> Frame:
    """Return the same frame without a label under it, for all but the lowest of a stack."""
    return replace(frame, x_label="")


def traced(frame: Frame, xs: ArrayLike, ys: ArrayLike) -> list[tuple[float, float]]:
    """Points of a curve in millimetres, thinned to what the eye can see."""
    x, y = np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
    return thinned([(frame.x.at(a), frame.y.at(b)) for a, b in zip(x.tolist(), y.tolist(), strict=True)])


def thinned(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Leave out points that lie closer to the one before than paper can show; both ends stay."""
    kept = points[:1]
    for point in points[1:-1]:
        if math.dist(point, kept[-1]) >= THINNEST_MM:
            kept.append(point)
    return kept + points[-1:] if len(points) > 1 else kept


def _x_tick(frame: Frame, value: float) -> str:
    at, foot, head = frame.x.at(value), frame.y.start_mm, frame.y.end_mm
    grid = line((at, foot), (at, head), stroke=PALE, stroke_width=0.2)
    label = words(plain(value), (at, foot + 1.25 * FONT_MM), text_anchor="middle")
    return element("g", grid, label, id=f"{frame.name}-x-{plain(value)}", data_at=number(at))


def _y_tick(frame: Frame, value: float) -> str:
    at, left, right = frame.y.at(value), frame.x.start_mm, frame.x.end_mm
    grid = line((left, at), (right, at), stroke=PALE, stroke_width=0.2)
    label = words(plain(value), (left - 1.0, at + 0.35 * FONT_MM), text_anchor="end")
    return element("g", grid, label, id=f"{frame.name}-y-{plain(value)}", data_at=number(at))


def plain(value: float) -> str:
    """Write a tick's number without needless digits, with a true minus sign.

    Examples
    --------
    >>> plain(-0.25), plain(1200.0)
    ('−0.25', '1200')
    """
    text = f"{value:.6g}"
    return text.replace("-", "−")
