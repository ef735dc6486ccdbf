"""A fin's outline cut into strips across its span."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Trapezoid:
    """Piece of a fin between two distances outward; edges straight, given at both ends.

    ``fore_m`` and ``aft_m`` are (at the inner end, at the outer end), along the axis.
    """

    inner_m: float
    outer_m: float
    fore_m: tuple[float, float]
    aft_m: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinPlan:
    """The straight-tapered fin of the same root chord, span and area."""

    root_chord_m: float
    tip_chord_m: float
    span_m: float

    @property
    def area_m2(self) -> float:
        """Area of one fin [m^2]."""
        return (self.root_chord_m + self.tip_chord_m) / 2 * self.span_m


def trapezoids(outline_m: NDArray[np.float64]) -> tuple[Trapezoid, ...]:
    """Cut an outline at the distance outward of each of its corners.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order: along the axis, outward from the root [m].

    Returns
    -------
    pieces : tuple of Trapezoid
        Inner pieces first; a notch gives two side by side.

    Raises
    ------
    OutsideRange
        If there are fewer than three corners, one is not finite or inside the root, or no area is left.

    Notes
    -----
    Range: any outline that does not cross itself, root at outward 0.

    References
    ----------
    .. [1] Trapezoidal decomposition of a polygon, plain geometry.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 0.2], [0.2, 0.2], [0.2, 0.0]])
    >>> trapezoids(square)[0].aft_m
    (0.2, 0.2)
    """
    corners = np.asarray(outline_m, dtype=float)
    if corners.ndim != 2 or corners.shape[0] < 3 or corners.shape[1] != 2 or not np.isfinite(corners).all():
        raise OutsideRange(f"a fin needs three or more finite corners: got shape {corners.shape}")
    if corners[:, 1].min() < 0.0:
        raise OutsideRange(
            f"a corner lies {corners[:, 1].min()} m outward: the root is 0, the rest is above it"
        )
    heights = np.unique(corners[:, 1])
    pieces = [piece for inner, outer in pairwise(heights) for piece in _band(corners, inner, outer)]
    if not pieces:
        raise OutsideRange("the fin's outline has no area")
    return tuple(pieces)


def _band(corners: NDArray[np.float64], inner: float, outer: float) -> list[Trapezoid]:
    edges: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if min(y0, y1) <= inner and max(y0, y1) >= outer:
            slope = (x1 - x0) / (y1 - y0)
            edges.append((float(x0 + slope * (inner - y0)), float(x0 + slope * (outer - y0))))
    edges.sort(key=sum)
    return [
        Trapezoid(inner_m=float(inner), outer_m=float(outer), fore_m=fore, aft_m=aft)
        for fore, aft in zip(edges[::2], edges[1::2], strict=True)
    ]


def chords(outline_m: NDArray[np.float64], outward_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Chord of a fin at distances outward from the root.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order: along the axis, outward from the root [m].
    outward_m : ndarray, shape (...)
        Distances outward [m].

    Returns
    -------
    chords_m : ndarray, shape (...)
        Length of fin along the axis there [m], both sides of a notch together; zero beyond the tip.

    Raises
    ------
    OutsideRange
        As :func:`trapezoids`.

    Notes
    -----
    Exact for straight edges. At a corner's own distance the piece outward of it counts, at the tip the one
    inward.

    References
    ----------
    .. [1] Linear interpolation along the edges; plain geometry.

    Examples
    --------
    >>> triangle = np.array([[0.0, 0.0], [0.2, 0.1], [0.2, 0.0]])
    >>> chords(triangle, np.array([0.0, 0.05, 0.2])).tolist()
    [0.2, 0.1, 0.0]
    """
    outward = np.asarray(outward_m, dtype=float)
    total = np.zeros_like(outward)
    pieces = trapezoids(outline_m)
    tip = pieces[-1].outer_m
    for piece in pieces:
        inside = (outward >= piece.inner_m) & (
            (outward < piece.outer_m) | ((outward == tip) & (piece.outer_m == tip))
        )
        share = (outward - piece.inner_m) / (piece.outer_m - piece.inner_m)
        ends = (piece.aft_m[0] - piece.fore_m[0], piece.aft_m[1] - piece.fore_m[1])
        total += np.where(inside, ends[0] + share * (ends[1] - ends[0]), 0.0)
    return total


def fin_plan(outline_m: NDArray[np.float64]) -> FinPlan:
    r"""Straight-tapered stand-in for any outline: same root chord, span and area.

    .. math::  c_t = \max(2 S / b - c_r, \; 0)

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order: along the axis, outward from the root [m].

    Returns
    -------
    plan : FinPlan
        Chords :math:`c_r, c_t` and span :math:`b` [m].

    Raises
    ------
    OutsideRange
        As :func:`trapezoids`, or if the outline does not stand on its root.

    Notes
    -----
    A fin with less area than a triangle gets a pointed tip, and then more area than it has.

    References
    ----------
    .. [1] Area of a trapezium; common practice for closed formulas that know no other fin.

    Examples
    --------
    >>> fin_plan(np.array([[0.0, 0.0], [0.1, 0.1], [0.2, 0.1], [0.2, 0.0]])).tip_chord_m
    0.1
    """
    pieces = trapezoids(outline_m)
    span = pieces[-1].outer_m
    root = sum(p.aft_m[0] - p.fore_m[0] for p in pieces if p.inner_m == 0.0)
    if not root > 0.0:
        raise OutsideRange("the fin does not stand on its root: two corners need an outward distance of 0")
    area = sum(
        (p.outer_m - p.inner_m) * (p.aft_m[0] - p.fore_m[0] + p.aft_m[1] - p.fore_m[1]) / 2 for p in pieces
    )
    return FinPlan(root_chord_m=root, tip_chord_m=max(round(2 * area / span - root, 15), 0.0), span_m=span)
