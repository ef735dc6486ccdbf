"""Numbers beside a picture that lead to its things, and never stand on one another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from finial.report.pictures.svg import INK, element, line, words

_RADIUS_MM = 1.9
_APART_MM = 4.6
_EDGE_MM = 3.0
_TEXT_MM = 2.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Balloon:
    """A number and the place it points to [mm on paper]."""

    text: str
    target: tuple[float, float]
    slide: tuple[float, float]
    """How far left and right the place may move along the thing, so that the leader stands upright."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedBalloon:
    """A number, what it points to, and where it stands."""

    balloon: Balloon
    at: tuple[float, float]


def placed_balloons(
    every: Sequence[Balloon], top_mm: float, foot_mm: float, width_mm: float
) -> tuple[PlacedBalloon, ...]:
    """Set numbers in a row above and one below the picture, each as near as may be to its target.

    Those that point higher stand above; where a row is full the rest go to the other one, then outward.
    """
    most = int((width_mm - 2 * _EDGE_MM) / _APART_MM)
    by_height = sorted(every, key=lambda one: one.target[1])
    half = (len(by_height) + 1) // 2
    middle = (top_mm + foot_mm) / 2
    above = [one for one in by_height[:half] if one.target[1] <= middle or len(every) > most]
    below = [one for one in by_height if one not in above]
    if abs(len(above) - len(below)) > 2:
        above, below = by_height[:half], by_height[half:]
    placed: list[PlacedBalloon] = []
    for row, base, outward in ((above, top_mm, -1.0), (below, foot_mm, 1.0)):
        ordered = sorted(row, key=lambda one: one.target[0])
        for start in range(0, len(ordered), most):
            y = base + outward * (_RADIUS_MM + 2 * _RADIUS_MM * 1.1 * (start // most))
            line_up = ordered[start : start + most]
            places = spread([one.target[0] for one in line_up], _EDGE_MM, width_mm - _EDGE_MM)
            placed += [_upright(one, x, y) for one, x in zip(line_up, places, strict=True)]
    return tuple(placed)


def _upright(one: Balloon, x_mm: float, y_mm: float) -> PlacedBalloon:
    left, right = one.slide
    target = (min(max(x_mm, left), right), one.target[1])
    return PlacedBalloon(balloon=replace(one, target=target), at=(x_mm, y_mm))


def spread(wanted_mm: Sequence[float], low_mm: float, high_mm: float) -> list[float]:
    """Places nearest to rising wanted ones that keep their distance and stay between two ends [mm].

    Examples
    --------
    >>> [round(place, 1) for place in spread([10.0, 10.0, 30.0], 0.0, 100.0)]
    [7.7, 12.3, 30.0]
    """
    groups: list[
        tuple[list[float], float]
    ] = []  # wanted places, each less its rank's distance, and their mean
    for rank, place in enumerate(wanted_mm):
        shifted = place - rank * _APART_MM
        groups.append(([shifted], shifted))
        while len(groups) > 1 and groups[-1][1] < groups[-2][1]:
            merged = groups[-2][0] + groups[-1][0]
            groups[-2:] = [(merged, sum(merged) / len(merged))]
    last = high_mm - (len(wanted_mm) - 1) * _APART_MM
    flat = [min(max(mean, low_mm), last) for members, mean in groups for _ in members]
    return [place + rank * _APART_MM for rank, place in enumerate(flat)]


def balloons(name: str, placed: Sequence[PlacedBalloon]) -> str:
    """Draw leaders, dots and numbered rings."""
    drawn: list[str] = []
    for one in placed:
        drawn.append(line(one.at, one.balloon.target, stroke=INK, stroke_width=0.15))
        x, y = one.balloon.target
        drawn.append(element("circle", cx=x, cy=y, r=0.45, fill=INK))
    for one in placed:
        x, y = one.at
        drawn.append(
            element("circle", cx=x, cy=y, r=_RADIUS_MM, fill="#ffffff", stroke=INK, stroke_width=0.2)
        )
        drawn.append(words(one.balloon.text, (x, y + 0.8), font_size=_TEXT_MM, text_anchor="middle"))
    return element("g", *drawn, id=f"{name}-balloons")
