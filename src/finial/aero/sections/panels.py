"""Straight panels round an outline, small where the outline turns."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError

SHARP_TURN_RAD = 0.25
"""A turn larger than this is a corner that a panel may not cut across."""
_GRADING = 0.72
_FLOOR = 2e-4
"""Panel density near a corner goes as (distance / perimeter + floor) ** -grading."""
_PER_EDGE = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """Straight vortex panels of all outlines of one section.

    ``starts`` and ``ends`` shape (n, 2) [m]; ``body`` shape (n,): which connected body each
    panel belongs to; a plate that stands on a loop belongs to that loop's body.
    """

    starts: NDArray[np.float64]
    ends: NDArray[np.float64]
    body: NDArray[np.int64]
    closed: NDArray[np.bool_]
    """Panels of closed outlines; the others stand on plates, shape (n,)."""
    area_m2: float
    """Area inside the closed outlines as panelled [m^2]."""


def turning(loop: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Angle the outline turns by at each corner.

    .. math::  \theta = \operatorname{atan2}(a \times b, a \cdot b)

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners in order [m].

    Returns
    -------
    turn_rad : ndarray, shape (n,)
        Left turns positive, from -pi to pi [rad].

    Notes
    -----
    Exact; they add up to one turn for an outline that does not cross itself.

    References
    ----------
    .. [1] Angle between two vectors.

    Examples
    --------
    >>> (turning(np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])) / np.pi).tolist()
    [0.5, 0.5, 0.5, 0.5]
    """
    ahead = np.roll(loop, -1, axis=0) - loop
    behind = np.roll(ahead, 1, axis=0)
    cross = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    return np.arctan2(cross, np.sum(ahead * behind, axis=1))


def tidy(loop: NDArray[np.float64], tolerance_m: float) -> NDArray[np.float64]:
    """Drop points that do not change the outline by more than a tolerance.

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners in order [m].
    tolerance_m : float
        How far a dropped point may lie off the outline [m].

    Returns
    -------
    loop : ndarray, shape (m, 2)
        What is left, in the same sense [m]; outlines of eight corners or fewer stay as they are.

    Raises
    ------
    MeshError
        If fewer than three distinct points are left.

    Notes
    -----
    Begins at the sharpest corner, so that the cut of the closed line never rounds a corner.

    References
    ----------
    .. [1] D. H. Douglas and T. K. Peucker, The Canadian Cartographer 10 (1973) 112, as the geometry library
       has it; from memory, not re-read.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse
    >>> len(tidy(ellipse(1.0, 1.0, 1000), 1e-2)) < 50
    True
    """
    gap = np.linalg.norm(loop - np.roll(loop, 1, axis=0), axis=1)
    loop = loop[gap > tolerance_m * 1e-3]
    if len(loop) < 3:
        raise MeshError(f"an outline needs three distinct points: got {len(loop)}")
    if len(loop) <= 8:
        return loop
    # Start at a sharp point, so that the cut of the closed line never rounds a corner.
    loop = np.roll(loop, -int(np.argmax(np.abs(turning(loop)))), axis=0)
    from shapely import LineString

    closed = np.asarray(LineString(np.vstack([loop, loop[:1]])).simplify(tolerance_m).coords)[:-1]
    return closed if len(closed) >= 3 else loop


def _edge_samples(length: NDArray[np.float64]) -> NDArray[np.float64]:
    """Distances along each edge, close-packed at both ends, shape (edges, samples)."""
    half = 0.5 * np.linspace(0.0, 1.0, _PER_EDGE // 2 + 1) ** 4
    share = np.concatenate([half, 1 - half[-2::-1]])
    return length[:, None] * share


def _density_integral(distance: NDArray[np.float64], perimeter: float) -> NDArray[np.float64]:
    power = 1 - _GRADING
    return ((distance / perimeter + _FLOOR) ** power - _FLOOR**power) / power


def _cumulative(
    loop: NDArray[np.float64], weight: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Arc length and panel count along a closed outline, and the count at each corner."""
    edge = np.roll(loop, -1, axis=0) - loop
    length = np.linalg.norm(edge, axis=1)
    perimeter = float(length.sum())
    along = _edge_samples(length)
    whole = _density_integral(length, perimeter)[:, None]
    next_weight = np.roll(weight, -1)[:, None]
    count = (
        along / perimeter
        + weight[:, None] * _density_integral(along, perimeter)
        + next_weight * (whole - _density_integral(length[:, None] - along, perimeter))
    )
    at_corner = np.concatenate([[0.0], np.cumsum(count[:, -1])])
    start = np.concatenate([[0.0], np.cumsum(length)[:-1]])
    arc = np.concatenate([(start[:, None] + along)[:, :-1].ravel(), [perimeter]])
    counted = np.concatenate([(at_corner[:-1, None] + count)[:, :-1].ravel(), at_corner[-1:]])
    return arc, counted, at_corner


def panel_loop(loop: NDArray[np.float64], count: int, fixed: Sequence[int] = ()) -> NDArray[np.float64]:
    r"""Panel corners round a closed outline, close together where it turns.

    .. math::  \frac{dn}{ds} = \frac{1}{P} + \sum_{ends} w \left( \frac{s}{P} + 2 \cdot 10^{-4}
    \right)^{-0.72}, \qquad w = 0.45 \, |\theta| / \pi

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners in order [m].
    count : int
        Panels wanted, about.
    fixed : sequence of int
        Numbers of further corners that no panel may cut across.

    Returns
    -------
    corners_m : ndarray, shape (m, 2)
        Ends of the panels [m].

    Notes
    -----
    Turns above 0.25 rad are panel ends, the sharpest ``count / 2`` of them.

    References
    ----------
    .. [1] No published method: graded for the singular sheet at a corner; see ``added_mass_tensor`` for what
       it gives.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> corners = panel_loop(regular_polygon(4, 1.0, np.pi / 4), 40)
    >>> len(corners), bool(np.abs(corners).max() < 0.5 + 1e-9)
    (40, True)
    """
    turn = np.abs(turning(loop))
    weight = 0.45 * turn / np.pi
    weight[list(fixed)] += 0.25
    arc, counted, at_corner = _cumulative(loop, weight)
    # The longest edges decide where panels must end; many small turns need no fixed ends.
    sharp = np.argsort(-turn)[: count // 2]
    ends = sorted({int(i) for i in sharp if turn[i] > SHARP_TURN_RAD} | set(fixed)) or [0]
    total = at_corner[-1]
    marks = [*(at_corner[i] for i in ends), at_corner[ends[0]] + total]
    pieces = [
        low + (high - low) * np.arange(n) / n
        for low, high in pairwise(marks)
        for n in [max(2, round(count * (high - low) / total))]
    ]
    where = np.interp(np.mod(np.concatenate(pieces), total), counted, arc)
    closed = np.vstack([loop, loop[:1]])
    corner_arc = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    return np.column_stack([np.interp(where, corner_arc, closed[:, k]) for k in (0, 1)])


def panel_plate(plate: NDArray[np.float64], count: int, *, root_grading: float) -> NDArray[np.float64]:
    r"""Panel corners along an open plate, close together at both ends.

    .. math::  s = L \, \frac{t^g}{t^g + (1 - t)^3}

    Parameters
    ----------
    plate : ndarray, shape (n, 2)
        Points of the plate, root first [m].
    count : int
        Panels.
    root_grading : float
        Power :math:`g` by which panels shrink towards the root: 2 on a body, 3 at a free edge [-].

    Returns
    -------
    corners_m : ndarray, shape (count + 1, 2)
        Ends of the panels [m].

    Notes
    -----
    Panels shrink as the cube of their number towards the tip, whose sheet is infinite.

    References
    ----------
    .. [1] No published method: graded for the root singularity at a free edge.

    Examples
    --------
    >>> panel_plate(np.array([[0.0, 0.0], [1.0, 0.0]]), 2, root_grading=3.0)[:, 0].tolist()
    [0.0, 0.5, 1.0]
    """
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(plate, axis=0), axis=1))])
    share = np.arange(count + 1) / count
    where = length[-1] * share**root_grading / (share**root_grading + (1 - share) ** 3)
    columns: list[NDArray[np.float64]] = [np.interp(where, length, plate[:, k]) for k in (0, 1)]
    return np.column_stack(columns)
