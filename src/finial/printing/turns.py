"""How a piece lies on the bed: which side up, how far turned, what hangs over, what stands on the bed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.shape.mesh import Mesh, area_vectors

Bed = tuple[float, float, float]
"""Two sides and the height above it that the printer reaches [m]."""
STEEPEST_RAD = math.radians(45.0)
"""Faces that lean more than this from the upright, looking down, want support [rad]; common practice."""
_FIRST_LAYER_M = 0.3e-3
_LEAST_FOOT = 0.02
"""A piece whose foot is less of its footprint stands on a point: no support holds that well [-]; chosen."""
_TURN_STEP_DEG = 1
_SLACK_M = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A piece as it lies on the bed."""

    up: tuple[float, float, float]
    """Direction of body axes that points up from the bed [-]: the layers are stacked along it."""
    turned_rad: float
    """Turn about the upright that makes it fit [rad]."""
    size_m: tuple[float, float, float]
    """Sides on the bed and height [m]."""
    overhang_m2: float
    """Faces that want support [m^2]; short bridges among them."""
    first_layer_m2: float
    """What stands on the bed [m^2]."""
    foot_m2: float
    """Area of the hull of that [m^2]: a thin ring stands as wide as it is."""
    footprint_m2: float
    """Area of the rectangle that it covers on the bed [m^2]."""
    fits: bool

    @property
    def bother_m2(self) -> float:
        """What it wants supported, less what holds it to the bed [m^2]: the least of it is the best."""
        return self.overhang_m2 - min(self.first_layer_m2, self.footprint_m2)

    @property
    def on_a_point(self) -> bool:
        """Whether it stands on next to nothing."""
        return self.foot_m2 < _LEAST_FOOT * self.footprint_m2

    @property
    def matrix(self) -> NDArray[np.float64]:
        """Axes of the bed.

        Returns
        -------
        matrix : ndarray, shape (3, 3)
            Rows: the bed's axes in body axes [-]; the last points up.

        Notes
        -----
        Exact; right-handed.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> from finial.shape.tiers import Tier, tiers_mesh
        >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.3)])
        >>> lying(post, (1.0, 0.0, 0.0), (0.2, 0.2, 0.3)).matrix[2].tolist()
        [1.0, 0.0, 0.0]
        """
        return _bed_axes(self.up, self.turned_rad)


def _bed_axes(up: tuple[float, float, float], turned_rad: float) -> NDArray[np.float64]:
    along = np.array(up)
    aside = np.roll(np.abs(along), 1)
    first = np.cross(aside, along)
    second = np.cross(along, first)
    cos, sin = math.cos(turned_rad), math.sin(turned_rad)
    return np.stack([cos * first - sin * second, sin * first + cos * second, along])


def lying(mesh: Mesh, up: tuple[float, float, float], bed_m: Bed) -> Lying:
    r"""Lay a piece down one way, turned about the upright so that it fits if it can.

    .. math::  A_{over} = \sum_{n \cdot u < -\sin 45^\circ} A_f

    Parameters
    ----------
    mesh : Mesh
        The piece in body axes [m].
    up : tuple of float
        Axis of the body that points up [-]: one of the six directions along the axes.
    bed_m : tuple of float
        Two sides and the height [m].

    Returns
    -------
    lying : Lying
        Sizes [m], what hangs over and what stands on the bed [m^2].

    Raises
    ------
    OutsideRange
        If ``up`` is no direction along an axis.

    Notes
    -----
    Turned by whole degrees; the smallest turn that fits. A face looks down by more than 45 degrees or it
    does not: bridges, which print without support over some centimetres, are counted as overhang.

    References
    ----------
    .. [1] Support from 45 degrees on: common practice.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.3)])
    >>> one = lying(post, (1.0, 0.0, 0.0), (0.2, 0.2, 0.3))
    >>> one.fits, round(one.overhang_m2, 6), round(one.first_layer_m2, 6)
    (True, 0.0, 0.01)
    """
    if sorted(map(abs, up)) != [0.0, 0.0, 1.0]:
        raise OutsideRange(f"up = {up}: one of the six directions along the axes is needed")
    placed = mesh.vertices_m @ _bed_axes(up, 0.0).T
    turned, sides = _turned(placed[:, :2], bed_m)
    height = float(np.ptp(placed[:, 2]))
    overhang, first, foot = _underside(placed, mesh)
    fits = (
        height <= bed_m[2] + _SLACK_M and sides[0] <= bed_m[0] + _SLACK_M and sides[1] <= bed_m[1] + _SLACK_M
    )
    return Lying(
        up=up,
        turned_rad=turned,
        size_m=(*sides, height),
        overhang_m2=overhang,
        first_layer_m2=first,
        foot_m2=foot,
        footprint_m2=sides[0] * sides[1],
        fits=fits,
    )


def _turned(flat: NDArray[np.float64], bed_m: Bed) -> tuple[float, tuple[float, float]]:
    """Smallest turn that fits, upright or askew; the one that sticks out least where none does."""
    corners = _hull(flat)
    angles = np.radians(np.arange(0, 180, _TURN_STEP_DEG))
    cos, sin = np.cos(angles), np.sin(angles)
    first = np.ptp(corners[:, :1] * cos - corners[:, 1:] * sin, axis=0)
    second = np.ptp(corners[:, :1] * sin + corners[:, 1:] * cos, axis=0)
    out = np.maximum(first - bed_m[0], second - bed_m[1])
    good = out <= _SLACK_M
    order = np.minimum(angles % (np.pi / 2), np.pi / 2 - angles % (np.pi / 2)) + 1e-6 * angles
    best = int(np.where(good, order, np.inf).argmin()) if good.any() else int(out.argmin())
    return float(angles[best]), (float(first[best]), float(second[best]))


def fits_flat(flat_m: NDArray[np.float64], bed_m: Bed) -> bool:
    """Whether an outline seen from above fits the bed, turned as it may be.

    Parameters
    ----------
    flat_m : ndarray, shape (n, 2)
        Points of the outline [m].
    bed_m : tuple of float
        Two sides and the height [m].

    Returns
    -------
    fits : bool
        True where some turn by whole degrees fits.

    Notes
    -----
    Exact for the hull of the points at whole degrees.

    References
    ----------
    .. [1] No source: a search.

    Examples
    --------
    >>> needle = np.array([[0.0, 0.0], [0.27, 0.0], [0.27, 0.005], [0.0, 0.005]])
    >>> fits_flat(needle, (0.2, 0.2, 0.3)), fits_flat(needle, (0.2, 0.15, 0.3))
    (True, False)
    """
    sides = _turned(flat_m, bed_m)[1]
    return sides[0] <= bed_m[0] + _SLACK_M and sides[1] <= bed_m[1] + _SLACK_M


def _hull(flat: NDArray[np.float64]) -> NDArray[np.float64]:
    import shapely

    hull = shapely.convex_hull(shapely.multipoints(flat))
    return np.asarray(shapely.get_coordinates(hull))


def _underside(placed: NDArray[np.float64], mesh: Mesh) -> tuple[float, float, float]:
    """Area that hangs over, area that stands on the bed, and area of that one's hull [m^2]."""
    import shapely

    corners = placed[mesh.faces]
    normals = area_vectors(corners)
    areas = np.linalg.norm(normals, axis=1)
    down = normals[:, 2] < -math.sin(STEEPEST_RAD) * areas - 1e-15
    on_bed = corners[:, :, 2].max(axis=1) < placed[:, 2].min() + _FIRST_LAYER_M
    foot: Any = shapely.convex_hull(shapely.multipoints(corners[down & on_bed][:, :, :2].reshape(-1, 2)))
    return float(areas[down & ~on_bed].sum()), float(areas[down & on_bed].sum()), float(foot.area)


ENDS = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0))
"""Standing along the vehicle's axis: tip up, tip down."""
SIDES = ((0.0, 1.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0))
"""Lying across it."""


def best_lying(mesh: Mesh, ups: Sequence[tuple[float, float, float]], bed_m: Bed) -> Lying:
    """Choose among ways to lay a piece: one that fits, on no point, least to support, most on the bed.

    Parameters
    ----------
    mesh : Mesh
        The piece in body axes [m].
    ups : sequence of tuple of float
        Ways that its layers may be stacked: directions of body axes that point up [-].
    bed_m : tuple of float
        Two sides and the height [m].

    Returns
    -------
    lying : Lying
        The best; where none fits, the one that sticks out least.

    Raises
    ------
    OutsideRange
        If there is nothing to choose from.

    Notes
    -----
    On a point stands what has a foot of less than 2 % of its footprint. A square centimetre on the bed
    counts as a square centimetre less to support. Both are choices of this project.

    References
    ----------
    .. [1] No source: a choice.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> cone = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.01, height_m=0.1)])
    >>> best_lying(cone, ENDS, (0.2, 0.2, 0.2)).up
    (1.0, 0.0, 0.0)
    """
    if not ups:
        raise OutsideRange("no way to lay the piece down was given")
    ways = [lying(mesh, up, bed_m) for up in ups]
    return min(ways, key=lambda one: (not one.fits, _sticks_out(one, bed_m), one.on_a_point, one.bother_m2))


def _sticks_out(one: Lying, bed_m: Bed) -> float:
    return 0.0 if one.fits else max(side - room for side, room in zip(one.size_m, bed_m, strict=True))
