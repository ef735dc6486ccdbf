"""Outlines of the vehicle: from the side, and from the tip."""

import math
from itertools import pairwise

import numpy as np

from finial.report.pictures.svg import GREY, INK, element, line, polygon
from finial.shape.fin_set import FinSet
from finial.shape.skin import Section, Skin

_STEP_M = 1e-6
"""Two sections closer than this are the two sides of one sharp step."""


def side_outline(skin: Skin) -> list[tuple[float, float]]:
    """Outline seen at right angles to roll 0: (station, y) [m], down one side and up the other.

    Examples
    --------
    >>> from finial.shape.skin import Section, Skin
    >>> square = np.array([[1.0, -1.0], [2.0, -1.0], [2.0, 1.0], [1.0, 1.0]])
    >>> size = {"area_m2": 2.0, "perimeter_m": 6.0, "centroid_m": (1.5, 0.0)}
    >>> cuts = tuple(Section(station_m=station, loops=(square,), **size) for station in (0.0, 3.0))
    >>> side_outline(Skin(sections=cuts, length_m=3.0, volume_m3=6.0, wetted_area_m2=20.0))
    [(0.0, 2.0), (3.0, 2.0), (3.0, 1.0), (0.0, 1.0)]
    """
    extents = [(section.station_m, *_extent(section)) for section in skin.sections if section.loops]
    upper = [(station, high) for station, _, high in extents]
    lower = [(station, low) for station, low, _ in extents]
    return upper + lower[::-1]


def steps(skin: Skin) -> list[tuple[float, float, float]]:
    """Sharp steps seen from the side: (station, lowest y, highest y) of the edge [m]."""
    found: list[tuple[float, float, float]] = []
    for before, after in pairwise(skin.sections):
        if abs(after.station_m - before.station_m) < _STEP_M and before.loops and after.loops:
            ends = (*_extent(before), *_extent(after))
            found.append((before.station_m, min(ends), max(ends)))
    return found


def fin_outlines(fins: FinSet, up_rad: float = 0.0) -> list[tuple[bool, list[tuple[float, float]]]]:
    """Each fin from the side: whether it stands in front, and its (station, up) outline [m], rear ones first.

    The roll angle ``up_rad`` points up in the picture and the tip to the left. Where that is roll 0 (body y)
    the eye is on the side of negative body z, so a fin between 180 and 360 degrees stands in front.
    """
    seen: list[tuple[bool, list[tuple[float, float]]]] = []
    base = fins.offset_m[0] * math.cos(up_rad) + fins.offset_m[1] * math.sin(up_rad)
    for turn in fins.rolls_rad:
        roll = turn - up_rad
        outline = [
            (fins.station_m + along, base + (fins.root_radius_m + out) * math.cos(roll))
            for along, out in fins.outline_m.tolist()
        ]
        seen.append((math.sin(roll) < 0, outline))
    return sorted(seen, key=lambda fin: fin[0])


def end_view(skin: Skin, fins: tuple[FinSet, ...], *, centre: tuple[float, float], radius_mm: float) -> str:
    """Small view from the tip: largest section and fins, roll 0 up, roll angles counter-clockwise.

    Looking from the tip aft with body y up, body z points to the left.
    """
    section = max(skin.sections, key=lambda cut: cut.area_m2)
    reach = max([_radius(section), *(_fin_reach(fin) for fin in fins)])
    scale = radius_mm / reach

    def at(y: float, z: float) -> tuple[float, float]:
        return centre[0] - z * scale, centre[1] - y * scale

    plates = [
        line(
            at(*_polar(fin, fin.root_radius_m, roll)),
            at(*_polar(fin, _fin_tip(fin), roll)),
            stroke=GREY,
            stroke_width=0.6,
        )
        for fin in fins
        for roll in fin.rolls_rad
    ]
    outlines = [
        polygon([at(y, z) for y, z in loop.tolist()], stroke=INK, fill="#ffffff") for loop in section.loops
    ]
    return element("g", *plates, *outlines)


def _extent(section: Section) -> tuple[float, float]:
    across = np.concatenate([loop[:, 0] for loop in section.loops])
    return float(across.min()), float(across.max())


def _radius(section: Section) -> float:
    return max(float(np.linalg.norm(loop, axis=1).max()) for loop in section.loops)


def _fin_tip(fins: FinSet) -> float:
    """Distance of the tip from the line the fins stand out from."""
    return fins.root_radius_m + float(fins.outline_m[:, 1].max())


def _fin_reach(fins: FinSet) -> float:
    return math.hypot(*fins.offset_m) + _fin_tip(fins)


def _polar(fins: FinSet, radius: float, roll_rad: float) -> tuple[float, float]:
    y, z = fins.offset_m
    return y + radius * math.cos(roll_rad), z + radius * math.sin(roll_rad)
