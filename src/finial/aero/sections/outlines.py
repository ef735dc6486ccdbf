"""Exact outlines and skins made of them, for examples, checks and closed-form comparisons."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.shape.skin import Loop, Section, Skin


def regular_polygon(sides: int, across_flats_m: float, first_corner_rad: float = 0.0) -> Loop:
    """Corners of a regular polygon round the axis, shape (sides, 2) [m].

    Raises
    ------
    OutsideRange
        With fewer than three sides.

    Examples
    --------
    >>> regular_polygon(4, 1.0, np.pi / 4).round(3).tolist()
    [[0.5, 0.5], [-0.5, 0.5], [-0.5, -0.5], [0.5, -0.5]]
    """
    if sides < 3:
        raise OutsideRange(f"a polygon has at least three sides: got {sides}")
    angles = first_corner_rad + 2 * np.pi * np.arange(sides) / sides
    radius = across_flats_m / 2 / np.cos(np.pi / sides)
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def ellipse(half_y_m: float, half_z_m: float, corners: int = 180) -> Loop:
    """Polygon of ``corners`` points with the same area as an ellipse, shape (corners, 2) [m]."""
    angles = 2 * np.pi * np.arange(corners) / corners
    keep_area = np.sqrt(2 * np.pi / corners / np.sin(2 * np.pi / corners))
    return keep_area * np.column_stack([half_y_m * np.cos(angles), half_z_m * np.sin(angles)])


def rounded_square(width_m: float, corner_radius_m: float, per_corner: int = 12) -> Loop:
    """Square with rounded corners, shape (4 per_corner, 2) [m]."""
    turn = np.linspace(0.0, np.pi / 2, per_corner)
    arc = corner_radius_m * np.column_stack([np.cos(turn), np.sin(turn)]) + width_m / 2 - corner_radius_m
    quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    return np.concatenate([arc @ np.linalg.matrix_power(quarter, k) for k in range(4)])


def dome_profile(across_m: float, points: int = 40) -> list[tuple[float, float]]:
    """Half a sphere, tip first, as (station, across) corners for ``tapered_skin`` [m].

    Examples
    --------
    >>> [round(corner, 6) for corner in dome_profile(2.0, 3)[-1]]
    [1.0, 2.0]
    """
    share = 1.0 - np.cos(np.linspace(0.0, np.pi / 2, points))
    across = across_m * np.sqrt(1.0 - (1.0 - share) ** 2)
    return list(zip((across_m / 2 * share).tolist(), across.tolist(), strict=True))


def squared_radii(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Integral of the squared distance from the axis along each straight piece [m^3], shape (n,).

    Examples
    --------
    >>> squared_radii(np.array([[0.0, 0.0]]), np.array([[3.0, 0.0]])).tolist()
    [9.0]
    """
    length = np.linalg.norm(ends - starts, axis=1)
    return length * np.sum(starts**2 + starts * ends + ends**2, axis=1) / 3


def outline_area(loop: Loop) -> float:
    """Area enclosed by a loop [m^2], positive counter-clockwise.

    Examples
    --------
    >>> round(outline_area(regular_polygon(4, 2.0)), 12)
    4.0
    """
    y, z = loop.T
    return float(0.5 * np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))


def outline_centroid(loop: Loop) -> NDArray[np.float64]:
    """Area centroid of a loop [m], shape (2,)."""
    origin = loop.mean(axis=0)
    y, z = (loop - origin).T
    cross = y * np.roll(z, -1) - np.roll(y, -1) * z
    if abs(cross.sum()) < 1e-300:
        return origin
    first = np.array([np.sum((y + np.roll(y, -1)) * cross), np.sum((z + np.roll(z, -1)) * cross)])
    return origin + first / (3 * cross.sum())


def section_of(station_m: float, loops: Sequence[Loop]) -> Section:
    """Record of one plane cut through the given outer outlines."""
    areas = [outline_area(loop) for loop in loops]
    area = sum(areas)
    middles = np.array([outline_centroid(loop) for loop in loops])
    centroid = np.average(middles, axis=0, weights=areas if area > 0 else None)
    perimeter = sum(float(np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum()) for loop in loops)
    return Section(
        station_m=station_m,
        loops=tuple(loops),
        area_m2=area,
        perimeter_m=perimeter,
        centroid_m=(float(centroid[0]), float(centroid[1])),
    )


def skin_of(sections: Sequence[Section]) -> Skin:
    """Skin of a stack of sections; volume and surface by frusta between neighbours."""
    stations = np.array([section.station_m for section in sections])
    areas = np.array([section.area_m2 for section in sections])
    edges = np.array([section.perimeter_m for section in sections])
    step = np.diff(stations)
    volume = np.sum(step * (areas[1:] + areas[:-1] + np.sqrt(areas[1:] * areas[:-1])) / 3)
    slant = np.hypot(step, np.diff(np.sqrt(areas / np.pi)))
    sides = np.sum(slant * (edges[1:] + edges[:-1]) / 2)
    return Skin(
        sections=tuple(sections),
        length_m=float(stations[-1]),
        volume_m3=float(volume),
        wetted_area_m2=float(sides + areas[0]),
    )


def tapered_skin(
    outline: Callable[[float], Loop], profile: Sequence[tuple[float, float]], per_tier: int = 24
) -> Skin:
    """Skin through (station, across) corners of a profile, straight between them.

    Two corners at one station make a step. ``outline(across_m)`` draws a section.

    Examples
    --------
    >>> cone = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)])
    >>> round(cone.volume_m3 / (np.pi * 0.1**2 / 4 * 0.3 / 3), 6)
    1.0
    """
    pairs = []
    for (start, across), (end, across_end) in pairwise(profile):
        count = per_tier if end > start else 1
        share = np.arange(count) / count
        pairs += list(zip(start + share * (end - start), across + share * (across_end - across), strict=True))
    pairs.append(profile[-1])
    smallest = 1e-6 * max(across for _, across in profile)
    return skin_of([section_of(float(x), [outline(max(float(d), smallest))]) for x, d in pairs])
