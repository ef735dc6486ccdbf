"""What stands beside the body: handles, spouts, railings, posts."""

from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

import numpy as np

from finial.aero.sections.outlines import section_of
from finial.shape.skin import Section, Skin

_SMALL_SHARE = 0.25
"""An outline smaller than this share of the largest beside it is no body of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlying:
    """Parts that stand beside the body over one stretch of stations."""

    start_m: float
    end_m: float
    area_m2: float
    """What they show the air from ahead, without what lies behind the body [m^2]."""


def without_outlying(skin: Skin) -> tuple[Skin, tuple[Outlying, ...]]:
    """Part a skin into the body and what stands beside it.

    Parameters
    ----------
    skin : Skin
        Sections with all their outlines [m].

    Returns
    -------
    body : Skin
        The same sections without outlines smaller than a quarter of the largest beside them.
    outlying : tuple of Outlying
        One for each stretch of stations that has such outlines [m^2].

    Notes
    -----
    Legs of an arch or posts without a body between them are no parts of another: they stay. Where a
    handle joins the body its root counts as the body's.

    References
    ----------
    .. [1] No published method; the share is a judgement.

    Examples
    --------
    A tower with a rail of two posts beside it.

    >>> from finial.aero.sections.outlines import regular_polygon, skin_of
    >>> tower, post = regular_polygon(4, 0.1), regular_polygon(4, 0.01)
    >>> beside = [tower, post + [0.1, 0.0], post - [0.1, 0.0]]
    >>> skin = skin_of([section_of(x, beside if 0.1 < x < 0.3 else [tower]) for x in (0.0, 0.11, 0.29, 0.5)])
    >>> body, (rail,) = without_outlying(skin)
    >>> len(body.sections[1].loops), round(rail.area_m2, 6), rail.start_m
    (1, 0.0002, 0.11)
    """
    if all(len(section.loops) < 2 for section in skin.sections):
        return skin, ()
    parted = [_parted(section) for section in skin.sections]
    if not any(len(small) for _, small in parted):
        return skin, ()
    body = replace(skin, sections=tuple(section for section, _ in parted))
    return body, tuple(_outlying(skin, parted))


def _parted(section: Section) -> tuple[Section, list[Any]]:
    """Section of the outlines that are bodies, and the others as shapely polygons."""
    import shapely

    shapes = [shapely.Polygon(loop) for loop in section.loops]
    largest = max((shape.area for shape in shapes), default=0.0)
    small = [shape for shape in shapes if shape.area < _SMALL_SHARE * largest]
    if not small:
        return section, []
    kept = [
        loop
        for loop, shape in zip(section.loops, shapes, strict=True)
        if shape.area >= _SMALL_SHARE * largest
    ]
    return section_of(section.station_m, kept), small


def _outlying(skin: Skin, parted: list[tuple[Section, list[Any]]]) -> list[Outlying]:
    import shapely

    found: list[Outlying] = []
    ahead = shapely.Polygon()
    numbered = list(enumerate(parted))
    for has_parts, run in groupby(numbered, key=lambda one: bool(one[1][1])):
        members = list(run)
        if has_parts:
            shown = shapely.union_all([shape for _, (_, small) in members for shape in small])
            found.append(
                Outlying(
                    start_m=float(skin.stations_m[members[0][0]]),
                    end_m=float(skin.stations_m[members[-1][0]]),
                    area_m2=float(shown.difference(ahead).area),
                )
            )
        bodies = [shapely.Polygon(loop) for _, (section, _) in members for loop in section.loops]
        ahead = shapely.union_all([ahead, *(body if body.is_valid else body.buffer(0) for body in bodies)])
    return [part for part in found if part.area_m2 > 1e-6 * float(np.max(skin.areas_m2))]
