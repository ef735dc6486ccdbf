"""Fin roots on a real skin: where they float off it."""

import math
from dataclasses import dataclass

import numpy as np

from finial.core.errors import MeshError
from finial.shape.measures import radius_at, section_at
from finial.shape.skin import Section, Skin

PAST_BASE_M = 0.02
"""How far a root may reach past the base [m]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RootGap:
    """Widest space between a fin's root line and the skin, over its length and all fins of the set."""

    fins: str
    gap_m: float
    """Positive where the root floats off the skin, negative where it is sunk into it everywhere."""
    station_m: float
    roll_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RootLine:
    """The straight root of one set of fins."""

    name: str
    stations_m: tuple[float, float]
    root_m: float
    """Distance of the root from the line the fins stand out from [m]."""
    rolls_rad: tuple[float, ...]
    offset_m: tuple[float, float] = (0.0, 0.0)


def root_gap(skin: Skin, line: RootLine) -> RootGap:
    r"""How far a straight fin root floats off the skin.

    .. math::  g = \max_{s, \phi} \left( R_{root} - r(s, \phi) \right)

    Parameters
    ----------
    skin : Skin
        The outer outlines.
    line : RootLine
        Root from fore to aft, and the roll angles of the fins.

    Returns
    -------
    gap : RootGap
        Widest space [m] and where it is.

    Notes
    -----
    Between the sections of the skin the nearest one counts; stations are kept on the vehicle, so that no
    ``MeshError`` comes through. Beyond the base there is no skin: an end that reaches past it by up to
    20 mm counts as held by the rest, one that reaches further floats by the whole root distance. So does a
    root where a fin's own ray misses the skin.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> square = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> size = {"area_m2": 0.01, "perimeter_m": 0.4, "centroid_m": (0.0, 0.0)}
    >>> box = tuple(Section(station_m=s, loops=(square,), **size) for s in (0.0, 1.0))
    >>> skin = Skin(sections=box, length_m=1.0, volume_m3=0.01, wetted_area_m2=0.4)
    >>> root = RootLine(name="fins", stations_m=(0.7, 0.9), root_m=0.052, rolls_rad=(0.0,))
    >>> round(root_gap(skin, root).gap_m, 6)
    0.002
    """
    fore, aft = line.stations_m
    if aft > skin.length_m + PAST_BASE_M:
        return RootGap(fins=line.name, gap_m=line.root_m, station_m=aft, roll_rad=line.rolls_rad[0])
    best = (-math.inf, fore, 0.0)
    for station in np.linspace(fore, min(aft, skin.length_m), 33):
        section = section_at(skin, float(min(max(station, 0.0), skin.length_m)))
        for roll in line.rolls_rad:
            best = max(best, (line.root_m - _skin_along(section, line, roll), float(station), roll))
    return RootGap(fins=line.name, gap_m=best[0], station_m=best[1], roll_rad=best[2])


def _skin_along(section: Section, line: RootLine, roll_rad: float) -> float:
    """Distance from the line the fins stand out from to the skin [m]; 0 where the ray misses it."""
    try:
        return radius_at(section, roll_rad, line.offset_m)
    except MeshError:
        return 0.0
