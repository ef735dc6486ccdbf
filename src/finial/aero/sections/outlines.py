"""Exact outlines and skins made of them, for examples, checks and closed-form comparisons."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.shape.skin import Loop, Section, Skin


def regular_polygon(sides: int, across_flats_m: float, first_corner_rad: float = 0.0) -> Loop:
    r"""Corners of a regular polygon round the axis.

    Parameters
    ----------
    sides : int
        Number of sides.
    across_flats_m : float
        Twice the distance of a side from the middle [m].
    first_corner_rad : float
        Roll angle of the first corner [rad].

    Returns
    -------
    loop : ndarray, shape (sides, 2)
        Corners counter-clockwise [m].

    Raises
    ------
    OutsideRange
        With fewer than three sides.

    Notes
    -----
    Exact. With an odd number of sides the true extent is larger than ``across_flats_m``.

    References
    ----------
    .. [1] Circumradius :math:`a / (2 \cos(\pi / n))`: any handbook of mensuration.

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
    r"""Polygon with the same area as an ellipse.

    Parameters
    ----------
    half_y_m, half_z_m : float
        Half axes along y and z [m].
    corners : int
        Number of points.

    Returns
    -------
    loop : ndarray, shape (corners, 2)
        Points counter-clockwise, a hair outside the ellipse [m].

    Notes
    -----
    Area exact; with 180 points the corners stand 1e-4 of the size outside.

    References
    ----------
    .. [1] Area of an inscribed polygon, :math:`\tfrac{n}{2} a b \sin(2 \pi / n)`: any handbook of
       mensuration.

    Examples
    --------
    >>> round(outline_area(ellipse(1.0, 2.0)) / np.pi, 12)
    2.0
    """
    angles = 2 * np.pi * np.arange(corners) / corners
    keep_area = np.sqrt(2 * np.pi / corners / np.sin(2 * np.pi / corners))
    return keep_area * np.column_stack([half_y_m * np.cos(angles), half_z_m * np.sin(angles)])


def squared_radii(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Integral of the squared distance from the axis along each straight piece.

    .. math::  \int r^2 \, ds = \tfrac{l}{3} \left( |a|^2 + a \cdot b + |b|^2 \right)

    Parameters
    ----------
    starts, ends : ndarray, shape (n, 2)
        Ends of the pieces, :math:`a` and :math:`b` [m].

    Returns
    -------
    integrals_m3 : ndarray, shape (n,)
        One a piece [m^3].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Integral of a quadratic along a line: any text on calculus.

    Examples
    --------
    >>> squared_radii(np.array([[0.0, 0.0]]), np.array([[3.0, 0.0]])).tolist()
    [9.0]
    """
    length = np.linalg.norm(ends - starts, axis=1)
    return length * np.sum(starts**2 + starts * ends + ends**2, axis=1) / 3


def outline_area(loop: Loop) -> float:
    r"""Area enclosed by a loop.

    .. math::  A = \tfrac{1}{2} \sum (y_i z_{i+1} - y_{i+1} z_i)

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners in order [m].

    Returns
    -------
    area_m2 : float
        Positive counter-clockwise [m^2].

    Notes
    -----
    Exact for outlines that do not cross themselves.

    References
    ----------
    .. [1] Gauss's area formula: any handbook of mensuration.

    Examples
    --------
    >>> round(outline_area(regular_polygon(4, 2.0)), 12)
    4.0
    """
    y, z = loop.T
    return float(0.5 * np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))


def outline_centroid(loop: Loop) -> NDArray[np.float64]:
    r"""Area centroid of a loop.

    .. math::  c = c_0 + \frac{\sum (p_i + p_{i+1}) \, (p_i \times p_{i+1})}{3 \sum p_i \times p_{i+1}}

    with the corners :math:`p` counted from their mean :math:`c_0`.

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners in order [m].

    Returns
    -------
    centroid_m : ndarray, shape (2,)
        Place [m]; the mean of the corners where there is no area.

    Notes
    -----
    Exact for outlines that do not cross themselves.

    References
    ----------
    .. [1] Centroid of a polygon: any handbook of mensuration.

    Examples
    --------
    >>> outline_centroid(np.array([[0.0, 0.0], [3.0, 0.0], [0.0, 3.0]])).tolist()
    [1.0, 1.0]
    """
    origin = loop.mean(axis=0)
    y, z = (loop - origin).T
    cross = y * np.roll(z, -1) - np.roll(y, -1) * z
    if abs(cross.sum()) < 1e-300:
        return origin
    first = np.array([np.sum((y + np.roll(y, -1)) * cross), np.sum((z + np.roll(z, -1)) * cross)])
    return origin + first / (3 * cross.sum())


def section_of(station_m: float, loops: Sequence[Loop]) -> Section:
    """Record of one plane cut through the given outer outlines.

    Parameters
    ----------
    station_m : float
        Where the cut lies [m].
    loops : sequence of ndarray, each shape (n, 2)
        Outer outlines, counter-clockwise [m].

    Returns
    -------
    section : Section
        With area [m^2], perimeter [m] and centroid [m].

    Notes
    -----
    Exact for outlines that do not overlap.

    References
    ----------
    .. [1] Definition of a section.

    Examples
    --------
    >>> one = section_of(0.3, [regular_polygon(4, 2.0)])
    >>> round(one.area_m2, 9), round(one.perimeter_m, 9)
    (4.0, 8.0)
    """
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
    r"""Skin of a stack of sections.

    .. math::
        V = \sum \tfrac{h}{3} \left( A_1 + A_2 + \sqrt{A_1 A_2} \right), \qquad
        S = A_0 + \sum \bar P \sqrt{h^2 + (\Delta \sqrt{A / \pi})^2}

    Parameters
    ----------
    sections : sequence of Section
        From tip to base.

    Returns
    -------
    skin : Skin
        With volume [m^3] and wetted area [m^2].

    Notes
    -----
    Exact for cones and pyramids in volume and for round bodies in area; on other outlines the slant is that
    of a round body of the same areas, a few per mille off for usual slopes.

    References
    ----------
    .. [1] Frusta: any handbook of mensuration.

    Examples
    --------
    >>> post = skin_of([section_of(x, [regular_polygon(4, 1.0)]) for x in (0.0, 2.0)])
    >>> round(post.volume_m3, 9), round(post.wetted_area_m2, 9)
    (2.0, 9.0)
    """
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
    """Skin through corners of a profile, straight between them.

    Parameters
    ----------
    outline : callable
        Draws a section [m] of so much across [m].
    profile : sequence of tuple of float
        Station and extent across at each corner [m]; two corners at one station make a step.
    per_tier : int
        Sections a stretch.

    Returns
    -------
    skin : Skin
        The stack.

    Notes
    -----
    Nothing is drawn smaller than 1e-6 of the largest extent, so that a point is a section too.

    References
    ----------
    .. [1] Linear interpolation; definition.

    Examples
    --------
    >>> cone = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)])
    >>> round(cone.volume_m3 / (np.pi * 0.1**2 / 4 * 0.3 / 3), 6)
    1.0
    """
    pairs: list[tuple[float, float]] = []
    for (start, across), (end, across_end) in pairwise(profile):
        count = per_tier if end > start else 1
        share = np.arange(count) / count
        pairs += list(zip(start + share * (end - start), across + share * (across_end - across), strict=True))
    pairs.append(profile[-1])
    smallest = 1e-6 * max(across for _, across in profile)
    return skin_of([section_of(float(x), [outline(max(float(d), smallest))]) for x, d in pairs])
