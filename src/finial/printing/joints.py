# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""What holds the two sides of a cut together: glue, dowels, a lip, or rods that clamp."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.printing.frames import Plane, Region, extruded, region_at
from finial.shape.united import Body

_BESIDE_M = 20e-6
"""A section is taken this far beside the plane of a cut [m]."""
_APART_DIAMETERS = 3.0
"""Dowels stand at least this many of their diameters apart [-]; common practice for wood."""
_GRID = 72
_ROUND = 48
END_PLAY_M = 0.5e-3
"""A dowel's hole is so much deeper than the dowel, for glue and chips [m]; chosen."""


class JointKind(StrEnum):
    """What holds two pieces together."""

    GLUE = "glue"
    DOWELS = "dowels"
    LIP = "lip"
    RODS = "rods"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dowels:
    """Round pins across a joint.

    Raises
    ------
    OutsideRange
        If a size is not above zero, or there are none.
    """

    count: int
    diameter_m: float
    depth_m: float
    """How far each reaches into either piece [m]."""

    def __post_init__(self) -> None:
        """Refuse pins that are none."""
        if self.count < 1 or not (self.diameter_m > 0.0 and self.depth_m > 0.0):
            raise OutsideRange(f"dowels need a count, a diameter and a depth above zero: got {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedJoint:
    """A joint as it is printed."""

    plane: Plane
    kind: JointKind
    glue_area_m2: float
    """Where the two sides touch, the holes of its dowels left out [m^2]."""
    places_m: tuple[tuple[float, float], ...] = ()
    """Middles of its dowels, in the frame of its plane [m]."""
    dowels: Dowels | None = None
    lip_m: float = 0.0
    """How far a lip stands out of the fore side [m]."""
    room_for: int = 0
    """Dowels that there was room for; fewer than wanted where walls are thin."""


def contact(flat: Body) -> Region:
    """Region in which both sides of a cut touch.

    Parameters
    ----------
    flat : manifold3d.Manifold
        The part in the frame of the cut [m].

    Returns
    -------
    region : shapely geometry
        In the frame of the cut [m].

    Notes
    -----
    Sections 20 um either side of the plane: at a ledge the smaller of the two.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> import manifold3d
    >>> round(contact(manifold3d.Manifold.cube((2.0, 3.0, 1.0), True)).area, 9)
    6.0
    """
    import shapely

    return shapely.intersection(region_at(flat, -_BESIDE_M), region_at(flat, _BESIDE_M))


def dowel_places(flat: Body, dowels: Dowels, wall_m: float) -> tuple[tuple[float, float], ...]:
    r"""Middles of dowels, as far from one another as the plastic round the cut lets them.

    .. math::  p_{k+1} = \arg\max_{p \in R} \min_{i \le k} |p - p_i|, \qquad
               R = \left( S_{-d} \cap S_0 \cap S_{d} \right) \ominus (r + w)

    Parameters
    ----------
    flat : manifold3d.Manifold
        The part in the frame of the cut [m].
    dowels : Dowels
        How many, how thick, how deep [m].
    wall_m : float
        Plastic that must stand round each, :math:`w` [m].

    Returns
    -------
    places_m : tuple of (float, float)
        In the frame of the cut [m]; fewer than wanted, or none, where there is no room.

    Raises
    ------
    OutsideRange
        If the wall is negative.

    Notes
    -----
    Between the sections a depth either side of the cut and halfway the part is taken to change evenly.
    Places are tried on a grid of a seventieth of the section; dowels stand three diameters apart at least.

    References
    ----------
    .. [1] Farthest-first choice: T. Gonzalez, Theoretical Computer Science 38 (1985); from memory.

    Examples
    --------
    >>> import manifold3d
    >>> post = manifold3d.Manifold.cube((0.1, 0.1, 0.1), True)
    >>> pins = Dowels(count=4, diameter_m=0.006, depth_m=0.012)
    >>> [len(dowel_places(post, pins, wall)) for wall in (0.002, 0.05)]
    [4, 0]
    """
    import shapely

    if not wall_m >= 0.0:
        raise OutsideRange(f"wall_m = {wall_m}: a wall is zero or more")
    deep = dowels.depth_m + END_PLAY_M
    room: Any = contact(flat)
    for height in (-deep, -deep / 2, deep / 2, deep):
        room = shapely.intersection(room, region_at(flat, height))
    room = shapely.buffer(room, -(dowels.diameter_m / 2 + wall_m))
    if shapely.is_empty(room):
        return ()
    return _far_apart(_points_in(room), dowels.count, _APART_DIAMETERS * dowels.diameter_m)


def _points_in(room: Region) -> NDArray[np.float64]:
    """Points of a grid within a region; where it is thinner than the grid, points of it all the same."""
    import shapely

    left, low, right, high = room.bounds
    step = max(right - left, high - low) / _GRID
    x, y = np.meshgrid(np.arange(left, right + step, step), np.arange(low, high + step, step))
    points = np.column_stack([x.ravel(), y.ravel()])
    inside = points[shapely.intersects_xy(room, points[:, 0], points[:, 1])]
    edge = [
        np.asarray(line.coords)
        for line in shapely.get_parts(shapely.segmentize(shapely.boundary(room), max(step, 1e-6)))
    ]
    return np.concatenate([inside, *edge])


def _far_apart(points: NDArray[np.float64], count: int, least_m: float) -> tuple[tuple[float, float], ...]:
    first = int(np.linalg.norm(points - points.mean(axis=0), axis=1).argmax())
    chosen = [first]
    nearest = np.linalg.norm(points - points[first], axis=1)
    while len(chosen) < count:
        far = int(nearest.argmax())
        if nearest[far] < least_m:
            break
        chosen.append(far)
        nearest = np.minimum(nearest, np.linalg.norm(points - points[far], axis=1))
    return tuple((float(points[n, 0]), float(points[n, 1])) for n in chosen)


def dowel_holes(joint: PrintedJoint, clearance_m: float) -> list[Body]:
    """Cylinders to take out of both sides of a joint.

    Parameters
    ----------
    joint : PrintedJoint
        The joint, its dowels laid out.
    clearance_m : float
        What a hole is wider than its dowel, on the diameter [m].

    Returns
    -------
    holes : list of manifold3d.Manifold
        In body axes [m]; none without dowels.

    Notes
    -----
    Prisms of 48 sides that touch the circle from outside: no hole is narrower than it should be.

    References
    ----------
    .. [1] Regular polygon round a circle: any handbook of mensuration.

    Examples
    --------
    >>> from finial.printing.frames import across_body
    >>> glued = PrintedJoint(plane=across_body(0.1), kind=JointKind.GLUE, glue_area_m2=1e-3)
    >>> dowel_holes(glued, 0.0)
    []
    """
    import manifold3d

    if joint.dowels is None:
        return []
    deep = joint.dowels.depth_m + END_PLAY_M
    radius = (joint.dowels.diameter_m + clearance_m) / 2 / math.cos(math.pi / _ROUND)
    pin = manifold3d.Manifold.cylinder(2 * deep, radius, radius, _ROUND, True)
    return [joint.plane.back(pin.translate((x, y, 0.0))) for x, y in joint.places_m]


def lip_region(flat: Body, lip_m: float, wall_m: float) -> Region | None:
    """Region of a lip that stands out of the fore side into the aft one.

    Parameters
    ----------
    flat : manifold3d.Manifold
        The part in the frame of the cut [m].
    lip_m : float
        How far it stands out [m].
    wall_m : float
        How far it keeps from every edge, and how thick it is at least [m].

    Returns
    -------
    region : shapely geometry or None
        In the frame of the cut [m]; ``None`` where no lip finds room.

    Notes
    -----
    Between the sections at its root, half way and at its end the part is taken to change evenly.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> import manifold3d
    >>> post = manifold3d.Manifold.cube((0.1, 0.1, 0.1), True)
    >>> round(lip_region(post, 0.005, 0.01).area, 6), lip_region(post, 0.005, 0.05)
    (0.0064, None)
    """
    import shapely

    room: Any = contact(flat)
    for height in (-lip_m / 2, -lip_m):
        room = shapely.intersection(room, region_at(flat, height))
    lip: Any = shapely.buffer(room, -wall_m, join_style="mitre")
    thick = shapely.buffer(lip, -wall_m / 2, join_style="mitre")
    if shapely.is_empty(thick):
        return None
    kept = [one for one in shapely.get_parts(lip) if shapely.intersects(one, thick)]
    return shapely.union_all(kept)


def lip_bodies(joint_plane: Plane, region: Region, lip_m: float, clearance_m: float) -> tuple[Body, Body]:
    """Lip to add to the fore side, and the room for it to take out of the aft side.

    Parameters
    ----------
    joint_plane : Plane
        The cut.
    region : shapely geometry
        Of the lip, in the frame of the cut [m].
    lip_m : float
        How far it stands out [m].
    clearance_m : float
        Play across, both sides together [m].

    Returns
    -------
    bodies : tuple of manifold3d.Manifold
        Lip and groove in body axes [m].

    Notes
    -----
    The groove is half a millimetre deeper than the lip is long.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> import shapely
    >>> from finial.printing.frames import across_body
    >>> square = shapely.box(0.0, 0.0, 0.01, 0.01)
    >>> lip, groove = lip_bodies(across_body(0.1), square, 0.005, 0.0)
    >>> round(1e9 * lip.volume()), round(1e9 * groove.volume())
    (520, 550)
    """
    import shapely

    wider = shapely.buffer(region, clearance_m / 2, join_style="mitre")
    # A hair into the fore side, so that both are one body.
    tongue = extruded(region, -lip_m, 0.2e-3)
    groove = extruded(wider, -lip_m - END_PLAY_M, 0.0)
    return joint_plane.back(tongue), joint_plane.back(groove)
