"""A shape drawn as a stack of tiers, without CAD."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.shape.mesh import Mesh

_ROUND_SIDES = 96
_DOME_RINGS = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """One storey: a regular outline, straight or tapered, or a dome.

    Raises
    ------
    OutsideRange
        If a size is not a number above zero (``across_top_m`` may be 0: a point),
        ``sides`` is 1 or 2, or a dome is given a size at the top.
    """

    sides: int
    """Number of flat sides; 0 for a circle. A flat looks along body y."""
    across_m: float
    """Distance across flats at the bottom [m]; the diameter of a circle."""
    across_top_m: float
    """The same at the top [m]."""
    height_m: float
    is_dome: bool = False
    """Half an ellipsoid as high as the tier; ``across_top_m`` is then not used."""

    def __post_init__(self) -> None:
        """Refuse sizes that make no body."""
        sizes = (self.across_m, self.height_m)
        if not all(math.isfinite(size) and size > 0.0 for size in sizes):
            raise OutsideRange(f"a tier needs a width and a height above zero: got {sizes} m")
        if not (math.isfinite(self.across_top_m) and self.across_top_m >= 0.0):
            raise OutsideRange(f"a tier cannot be {self.across_top_m} m across at its top")
        if self.sides in (1, 2) or self.sides < 0:
            raise OutsideRange(f"a tier cannot have {self.sides} sides: 0 for a circle, or 3 and more")


def tiers_mesh(tiers: Sequence[Tier], *, tip_station_m: float = 0.0) -> Mesh:
    r"""Stack tiers, the first one lowest, and return their bodies in body axes.

    Parameters
    ----------
    tiers : sequence of Tier
        From the bottom up.
    tip_station_m : float
        Station the top of the stack stands at [m].

    Returns
    -------
    mesh : Mesh
        One closed body a tier [m].

    Raises
    ------
    OutsideRange
        If there are no tiers.

    Notes
    -----
    Flat sides are exact. Round tiers are drawn with 96 flat sides of the same area as the circle, domes
    with 24 rings that keep the volume of each ring within 0.1 %. Tiers touch and are not joined.

    References
    ----------
    .. [1] Regular polygon of the circle's area, circumradius
       :math:`r \sqrt{2 \pi / (n \sin(2 \pi / n))}`: any handbook of mensuration.

    Examples
    --------
    >>> cone = tiers_mesh([Tier(sides=0, across_m=0.1, across_top_m=0.0, height_m=0.3)])
    >>> cone.vertices_m[:, 0].min().round(6), cone.vertices_m[:, 0].max().round(6)
    (np.float64(-0.3), np.float64(0.0))
    """
    if not tiers:
        raise OutsideRange("a part drawn from tiers needs at least one tier")
    height = math.fsum(tier.height_m for tier in tiers)
    bottom = -tip_station_m - height
    vertices: list[NDArray[np.float64]] = []
    faces: list[NDArray[np.int64]] = []
    count = 0
    for tier in tiers:
        body, drawn = _tier_body(tier, bottom)
        vertices.append(body)
        faces.append(drawn + count)
        count += len(body)
        bottom += tier.height_m
    # The top is placed exactly: a sum of heights is not, and the tip is station 0.
    corners = np.concatenate(vertices)
    corners[:, 0] -= corners[:, 0].max() + tip_station_m
    return Mesh(vertices_m=corners, faces=np.concatenate(faces))


def _tier_body(tier: Tier, bottom_m: float) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Build the closed body of one tier: rings from the bottom up, and a middle point at each end.

    A pointed tier has no ring at its top: its last ring runs straight to the point.
    """
    heights, across = _profile(tier)
    top = heights[-1]
    if across[-1] <= 0.0:
        heights, across = heights[:-1], across[:-1]
    unit = unit_ring(tier.sides)
    size = len(unit)
    rings = [
        np.column_stack([np.full(size, bottom_m + height), unit * wide / 2])
        for height, wide in zip(heights, across, strict=True)
    ]
    ends = [[bottom_m, 0.0, 0.0], [bottom_m + top, 0.0, 0.0]]
    vertices = np.concatenate([*rings, ends])
    return vertices, _ring_faces(len(rings), size)


def _profile(tier: Tier) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if tier.is_dome:
        heights, widths = unit_dome()
        return tier.height_m * heights, tier.across_m * widths
    return np.array([0.0, tier.height_m]), np.array([tier.across_m, tier.across_top_m])


def unit_dome() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Heights and widths of the rings of half an ellipsoid, over its own.

    .. math::  h = \sin\varphi, \qquad w = \cos\varphi

    Returns
    -------
    heights, widths : ndarray, shape (25,)
        From the foot up; the last is the point [-].

    Notes
    -----
    Exact at its rings, 3.75 degrees of :math:`\varphi` apart; straight between them.

    References
    ----------
    .. [1] The ellipse by its eccentric anomaly: any handbook of mensuration.

    Examples
    --------
    >>> heights, widths = unit_dome()
    >>> float(heights[8].round(6)), float(widths[8].round(6)), float(widths[-1])
    (0.5, 0.866025, 0.0)
    """
    angles = np.linspace(0.0, math.pi / 2, _DOME_RINGS + 1)
    widths = np.cos(angles)
    widths[-1] = 0.0
    return np.sin(angles), widths


def unit_ring(sides: int) -> NDArray[np.float64]:
    r"""Corners of a regular outline 1 m from axis to flat, a flat looking along the first axis.

    .. math::  R = 1 / \cos(\pi / n), \qquad R = \sqrt{2 \pi / (n \sin(2 \pi / n))}, \; n = 96

    Parameters
    ----------
    sides : int
        Number of sides; 0 for a circle, drawn with 96 [-].

    Returns
    -------
    corners : ndarray, shape (n, 2)
        Counter-clockwise [m].

    Notes
    -----
    Exact for flat sides; a circle has the area of the circle, and so mass and reference area.

    References
    ----------
    .. [1] Regular polygons: any handbook of mensuration.

    Examples
    --------
    >>> unit_ring(4).round(6).tolist()[0]
    [1.0, 1.0]
    """
    if sides:
        corner = 1.0 / math.cos(math.pi / sides)
    else:
        # A polygon of the circle's own area, so that mass and reference area come out right.
        sides = _ROUND_SIDES
        corner = math.sqrt(2 * math.pi / (sides * math.sin(2 * math.pi / sides)))
    angles = (np.arange(sides) + 0.5) * 2 * math.pi / sides
    return corner * np.column_stack([np.cos(angles), np.sin(angles)])


def _ring_faces(rings: int, size: int) -> NDArray[np.int64]:
    here = np.arange(size)
    after = np.roll(here, -1)
    faces = [side_faces(ring * size, size) for ring in range(rings - 1)]
    bottom, top = rings * size, rings * size + 1
    last = (rings - 1) * size
    faces.append(np.column_stack([np.full(size, bottom), after, here]))
    faces.append(np.column_stack([np.full(size, top), last + here, last + after]))
    return np.concatenate(faces)


def side_faces(low: int, size: int) -> NDArray[np.int64]:
    """Faces between two rings of as many corners each, one after the other.

    Parameters
    ----------
    low : int
        Number of the first corner of the lower ring.
    size : int
        Corners of a ring.

    Returns
    -------
    faces : ndarray, shape (2 size, 3)
        Seen from outside where the rings go round counter-clockwise.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> side_faces(0, 3)[[0, 3]].tolist()
    [[0, 1, 4], [0, 4, 3]]
    """
    here = low + np.arange(size)
    after = low + np.roll(np.arange(size), -1)
    return np.concatenate(
        [
            np.column_stack([here, after, after + size]),
            np.column_stack([here, after + size, here + size]),
        ]
    )
