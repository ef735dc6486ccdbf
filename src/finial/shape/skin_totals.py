"""Volume and wetted area of a stack of sections."""

import itertools
import math
from collections.abc import Sequence
from typing import Any

from finial.shape.skin import Section

_STEP_M = 0.5e-3
"""Sections nearer than this may be the two sides of a step [m]."""


def volume_m3(sections: Sequence[Section]) -> float:
    r"""Volume inside the outer outlines [m^3] by frusta.

    .. math::  V = \sum \tfrac{h}{3} \left( A_1 + A_2 + \sqrt{A_1 A_2} \right)

    Exact for prisms, cones and pyramids.
    """
    return math.fsum(
        (aft.station_m - fore.station_m)
        / 3.0
        * (fore.area_m2 + aft.area_m2 + math.sqrt(fore.area_m2 * aft.area_m2))
        for fore, aft in itertools.pairwise(sections)
    )


def wetted_area_m2(shapes: Sequence[Any], sections: Sequence[Section]) -> float:
    r"""Outer area [m^2]: flat tip, sides, and both faces of steps; not the base.

    .. math::  S = A_0 + \sum \bar P \sqrt{h^2 + (\Delta A / \bar P)^2}, \quad \bar P = (P_1 + P_2) / 2

    The area gained over a space, spread over the mean perimeter, is how far the wall
    leans out; exact for cones and regular pyramids. A step counts what one side does not
    share with the other, ``shapes`` being the outlines as shapely geometries.
    """
    sides = [
        _step_or_side(pair, between)
        for pair, between in zip(itertools.pairwise(shapes), itertools.pairwise(sections), strict=True)
    ]
    return sections[0].area_m2 + math.fsum(sides)


def _step_or_side(shapes: tuple[Any, Any], sections: tuple[Section, Section]) -> float:
    fore, aft = sections
    height = aft.station_m - fore.station_m
    perimeter = (fore.perimeter_m + aft.perimeter_m) / 2.0
    change = abs(aft.area_m2 - fore.area_m2)
    if height < _STEP_M:
        change = shapes[0].symmetric_difference(shapes[1]).area
    return perimeter * math.hypot(height, change / max(perimeter, 1e-12))
