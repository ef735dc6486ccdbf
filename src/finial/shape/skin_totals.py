"""Volume and wetted area of a stack of sections."""

import itertools
import math
from collections.abc import Sequence
from typing import Any

from finial.shape.planar import unlike
from finial.shape.skin import Section

_STEP_M = 0.5e-3
"""Sections nearer than this may be the two sides of a step [m]."""


def volume_m3(sections: Sequence[Section]) -> float:
    r"""Volume inside the outer outlines by frusta.

    .. math::  V = \sum \tfrac{h}{3} \left( A_1 + A_2 + \sqrt{A_1 A_2} \right)

    Parameters
    ----------
    sections : sequence of Section
        Sections from tip to base, with areas :math:`A` [m^2] a distance :math:`h` [m] apart.

    Returns
    -------
    volume_m3 : float
        Volume [m^3].

    Notes
    -----
    Exact for prisms, cones and pyramids; within 0.1 % for domes cut as finely as ``slice_skin`` cuts.

    References
    ----------
    .. [1] Volume of a frustum: any handbook of mensuration.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> cone = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.0, height_m=0.3)])])
    >>> round(1e3 * volume_m3(cone.sections), 4)
    1.0
    """
    return math.fsum(
        (aft.station_m - fore.station_m)
        / 3.0
        * (fore.area_m2 + aft.area_m2 + math.sqrt(fore.area_m2 * aft.area_m2))
        for fore, aft in itertools.pairwise(sections)
    )


def wetted_area_m2(shapes: Sequence[Any], sections: Sequence[Section]) -> float:
    r"""Outer area: flat tip, sides, and both faces of steps; not the base.

    .. math::  S = A_0 + \sum \bar P \sqrt{h^2 + (\Delta A / \bar P)^2}, \quad \bar P = (P_1 + P_2) / 2

    The area gained over a space, spread over the mean perimeter, is how far the wall
    leans out. A step counts what one side does not share with the other.

    Parameters
    ----------
    shapes : sequence of shapely geometry
        Outlines of the sections.
    sections : sequence of Section
        The sections: perimeters :math:`P` [m] and areas :math:`A` [m^2].

    Returns
    -------
    area_m2 : float
        Area [m^2].

    Notes
    -----
    Exact for prisms, cones and regular pyramids. A section that slides sideways without changing its
    area leans without being seen to.

    References
    ----------
    .. [1] Lateral area of a frustum, mean perimeter times slant height: any handbook of mensuration.

    Examples
    --------
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.thin_parts import polygons_of
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = slice_skin([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])])
    >>> round(wetted_area_m2([polygons_of(one) for one in post.sections], post.sections), 4)
    0.41
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
        change = float(unlike(shapes[0], shapes[1]).area)
    return perimeter * math.hypot(height, change / max(perimeter, 1e-12))
