"""Area and moments of a printed wall ring of any outline."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.shape.planar import hull_of
from finial.structure.bounds import need_between


@dataclass(frozen=True, slots=True, kw_only=True)
class WallArea:
    """What a cut through printed walls offers to stiffness, infill included.

    Moments are about the body axis. ``rim_m`` has shape (n, 2): the outermost points (y, z).
    """

    wall_m: float
    """Wall thickness [m]; for a solid section the radius of the largest circle inside, roughly."""
    area_m2: float
    first_m3: NDArray[np.float64]
    """First moments of area (y, z) [m^3], shape (2,)."""
    second_m4: NDArray[np.float64]
    """Second moments of area [m^4], shape (2, 2): yy, yz; yz, zz."""
    rim_m: NDArray[np.float64]
    flat_width_m: float
    """Longest straight run of the outline [m]."""
    round_radius_m: float
    """Radius of a circle as long as the longest outline [m]."""


def polygon_moments(loop: NDArray[np.float64]) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    r"""Area, first and second moments of a polygon about the origin.

    .. math::
        A = \tfrac12 \sum c_i, \quad \int y = \tfrac16 \sum c_i (y_i + y_{i+1}), \quad
        \int y^2 = \tfrac1{12} \sum c_i (y_i^2 + y_i y_{i+1} + y_{i+1}^2), \qquad
        c_i = y_i z_{i+1} - y_{i+1} z_i

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners (y, z) in order [m]; clockwise loops count negative.

    Returns
    -------
    area_m2 : float
        Area [m^2].
    first_m3 : ndarray, shape (2,)
        First moments [m^3].
    second_m4 : ndarray, shape (2, 2)
        Second moments [m^4].

    Raises
    ------
    OutsideRange
        If there are fewer than three corners or one is not finite.

    Notes
    -----
    Range: exact for any polygon that does not cross itself.

    References
    ----------
    .. [1] Green's theorem on a polygon, such as Steger, On the calculation of arbitrary moments of polygons,
       1996; from memory.

    Examples
    --------
    >>> area, first, second = polygon_moments(np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]))
    >>> area, first.tolist(), second.round(4).tolist()
    (2.0, [2.0, 1.0], [[2.6667, 1.0], [1.0, 0.6667]])
    """
    here = np.asarray(loop, dtype=float)
    if here.ndim != 2 or here.shape[0] < 3 or here.shape[1] != 2 or not np.isfinite(here).all():
        raise OutsideRange(f"an outline needs three or more finite corners (y, z): got shape {here.shape}")
    there = np.roll(here, -1, axis=0)
    cross = here[:, 0] * there[:, 1] - there[:, 0] * here[:, 1]
    second = np.einsum("i,ia,ib->ab", cross, here, here) + np.einsum("i,ia,ib->ab", cross, there, there)
    mixed = np.einsum("i,ia,ib->ab", cross, here, there)
    second = (second + (mixed + mixed.T) / 2) / 12
    return float(cross.sum() / 2), (cross[:, None] * (here + there)).sum(axis=0) / 6, second


def wall_area(loops: Sequence[NDArray[np.float64]], wall_m: float | None, infill: float = 0.0) -> WallArea:
    r"""Wall ring inside each outline, plus what its infill carries.

    .. math::  A = A_{wall} + \phi^2 A_{inside}

    and the same for the moments.

    Parameters
    ----------
    loops : sequence of ndarray, shape (n, 2)
        Outer outlines (y, z) [m].
    wall_m : float or None
        Wall thickness [m]; ``None`` for a solid section.
    infill : float
        Share of the inside that is filled, 0 to 1 [-].

    Returns
    -------
    area : WallArea
        Areas [m^2] and moments.

    Raises
    ------
    OutsideRange
        If there is no outline, the wall is not above zero, or the infill lies outside 0 to 1.

    Notes
    -----
    Range: walls parallel to the axis; a sloping wall is cut wider than this, so the answer is low. Infill
    stiffness by the square law of open foams: a straight grid along the axis carries more.

    References
    ----------
    .. [1] Gibson and Ashby, Cellular Solids, chapter 5 (modulus as density squared); from memory.

    Examples
    --------
    >>> box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> round(wall_area([box], 0.003).area_m2 * 1e6, 3)
    1164.0
    """
    need_between(0.0, 1.0, infill=infill)
    if not loops:
        raise OutsideRange("no outline was given: a wall needs at least one")
    if wall_m is not None:
        require_positive(wall_m=wall_m)
    parts = [_ring(np.asarray(loop, dtype=float), wall_m, infill**2) for loop in loops]
    longest = max(loops, key=_length)
    return WallArea(
        wall_m=wall_m if wall_m is not None else 2 * parts[0][0] / _length(longest),
        area_m2=float(sum(part[0] for part in parts)),
        first_m3=np.sum([part[1] for part in parts], axis=0),
        second_m4=np.sum([part[2] for part in parts], axis=0),
        rim_m=_rim(loops),
        flat_width_m=max(_flat_width(loop, wall_m) for loop in loops),
        round_radius_m=_length(longest) / (2 * np.pi),
    )


def hollow_area(
    loops: Sequence[NDArray[np.float64]], mesh_wall_m: float, wall_m: float, infill: float = 0.0
) -> WallArea:
    r"""Wall of a mesh that is hollow itself: solid where it is thin, else two skins with infill between.

    .. math::
        A = A_h - (1 - \phi^2) A_{core}, \qquad t = \sqrt{t_b^3 / t_a}, \quad
        t_b^3 = h^3 - (1 - \phi^2) (h - 2 w)^3

    with :math:`h` the mesh's own wall, :math:`w` the printed one and :math:`t_a` the area over its length.

    Parameters
    ----------
    loops : sequence of ndarray, shape (n, 2)
        Outer outlines (y, z) [m].
    mesh_wall_m, wall_m : float
        Thickness of the mesh's wall and of the printer's [m].
    infill : float
        Share between the printed walls that is filled, 0 to 1 [-].

    Returns
    -------
    area : WallArea
        Areas and moments; ``wall_m`` is the thickness of a solid wall of the same area that wrinkles at the
        same force.

    Raises
    ------
    OutsideRange
        As :func:`wall_area`.

    Notes
    -----
    Range: walls of one thickness all round, as far as the mean of the mesh says.

    References
    ----------
    .. [1] Sandwich with equal faces, plain integration; infill as :func:`wall_area`.

    Examples
    --------
    >>> box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    >>> [round(hollow_area([box], skin, 0.002).area_m2 * 1e6) for skin in (0.003, 0.01)]
    [1164, 1440]
    """
    require_positive(mesh_wall_m=mesh_wall_m, wall_m=wall_m)
    whole = wall_area(loops, mesh_wall_m)
    if mesh_wall_m <= 2 * wall_m:
        return whole
    outer, inner = wall_area(loops, wall_m), wall_area(loops, mesh_wall_m - wall_m)
    share = 1 - infill**2
    area = whole.area_m2 - share * (inner.area_m2 - outer.area_m2)
    stiff = mesh_wall_m**3 - share * (mesh_wall_m - 2 * wall_m) ** 3
    return replace(
        whole,
        wall_m=math.sqrt(stiff * whole.area_m2 / mesh_wall_m / area),
        area_m2=area,
        first_m3=whole.first_m3 - share * (inner.first_m3 - outer.first_m3),
        second_m4=whole.second_m4 - share * (inner.second_m4 - outer.second_m4),
    )


def _ring(
    loop: NDArray[np.float64], wall_m: float | None, inside_share: float
) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    area, first, second = polygon_moments(loop)
    if area < 0:
        area, first, second = -area, -first, -second
    if wall_m is None or inside_share == 1.0:
        return area, first, second
    for inner in _insets(loop, wall_m):
        parts = polygon_moments(inner)
        sign = np.copysign(1.0 - inside_share, parts[0])
        area, first, second = area - sign * parts[0], first - sign * parts[1], second - sign * parts[2]
    return area, first, second


def _insets(loop: NDArray[np.float64], wall_m: float) -> list[NDArray[np.float64]]:
    """Outlines one wall further in; none where the walls meet."""
    import shapely

    inside = shapely.Polygon(loop).buffer(0).buffer(-wall_m, join_style="mitre")
    parts = shapely.get_parts(inside)
    rings = shapely.get_exterior_ring(parts)  # pyright: ignore[reportUnknownMemberType] - keywords
    return [shapely.get_coordinates(ring)[:-1] for ring in rings if ring is not None and not ring.is_empty]


def _rim(loops: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    import shapely

    return shapely.get_coordinates(hull_of(loops))[:-1]


def _length(loop: NDArray[np.float64]) -> float:
    return float(np.linalg.norm(loop - np.roll(loop, -1, axis=0), axis=1).sum())


def _flat_width(loop: NDArray[np.float64], wall_m: float | None) -> float:
    """Longest run that stays within a tenth of the wall of a straight line."""
    from shapely import LineString

    # Start at the point furthest out, which is a corner, so that no flat is split by the start.
    start = int(np.argmax(np.linalg.norm(loop - loop.mean(axis=0), axis=1)))
    ring = np.roll(loop, -start, axis=0)
    slack = (wall_m or _length(loop) / 100) / 10
    corners = np.array(LineString(np.vstack([ring, ring[:1]])).simplify(slack).coords)
    return float(np.linalg.norm(np.diff(corners, axis=0), axis=1).max())
