"""Drag of a section in cross wind, for any outline and any roll angle."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.sections.curves import curve_points, on_curve
from finial.aero.sections.panels import tidy, turning
from finial.core.errors import OutsideRange

CIRCLE_DRAG = 1.20
CRITICAL_SHARE = 0.17
"""Least drag of a smooth circle over its subcritical drag: 0.20 over 1.20 at a Reynolds number
of 4.5e5 (NASA TN D-6996, 1973, figure 2, read from a second-hand copy)."""
_TABLE = "crossflow.csv"
_WINDOW = 0.05
"""Turning within this share of the section's width counts as one corner."""
_FLAT_FROM, _FLAT_FULL = 0.20, 0.45
"""A side counts as flat from the first to the second share of the width."""
_LEE_POWER = 1.6
"""Wind left in the lee of a row of a given solidity; drawn through EN 1991-1-4 (from memory)."""
_MOST_ASIDE = 2.0
"""Side force over drag at most: beyond 63 degrees from its normal a plate is a wing, not a wall."""
_ACTS_AS = (0.5, 4.0)
"""Reynolds numbers that the flow may act as, over its own: gusts and printed layers trip it
early, a calm tunnel late (judgement)."""
_CRITICAL_REYNOLDS = 2e5
_SUBCRITICAL_ERROR, _CRITICAL_ERROR = 0.25, 0.40
"""Beyond the critical Reynolds number sources differ: 0.50 and 0.70 at 3.5e6 on circles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionEdge:
    """How an outline meets the wind: what does not depend on roll.

    ``sharpness`` 1 for right-angled corners, 0 for a smooth curve; ``flatness`` the share
    of the outline that lies in long straight sides.
    """

    sharpness: float
    flatness: float


def section_edge(loop: NDArray[np.float64]) -> SectionEdge:
    r"""Sharpness and flatness of an outline.

    .. math::
        s = \frac{\sum \theta_i^+ \sin^2 \bar\theta_i}{\sum \theta_i^+}, \qquad
        f = \frac{1}{P} \sum l_i \operatorname{clip}\left( \frac{l_i / d - 0.20}{0.25}, 0, 1 \right)

    with the turn :math:`\theta_i` at each corner, :math:`\bar\theta_i` that of all within a twentieth of the
    width :math:`d` together, up to a right angle, so that a facetted circle stays smooth.

    Parameters
    ----------
    loop : ndarray, shape (n, 2)
        Corners of the outline [m], counter-clockwise.

    Returns
    -------
    edge : SectionEdge
        Sharpness and flatness, both from 0 to 1 [-].

    Notes
    -----
    Right angles count in full and 45 degrees half. The width is that of a circle of the same area.
    ``MeshError`` as ``tidy``, for an outline of fewer than three points.

    References
    ----------
    .. [1] No published method: a fit that makes the drag width run through the shapes named there.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, regular_polygon
    >>> section_edge(regular_polygon(4, 1.0)).sharpness
    1.0
    >>> section_edge(ellipse(1.0, 1.0)).sharpness < 0.05
    True
    """
    width = float(np.sqrt(4 * abs(_shoelace(loop)) / np.pi)) or float(np.ptp(loop, axis=0).max())
    loop = tidy(loop, 1e-3 * width)
    turn = turning(loop)
    length = np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1)
    position = np.concatenate([[0.0], np.cumsum(length)[:-1]])
    gap = np.abs(position[:, None] - position)
    near = np.minimum(gap, length.sum() - gap) <= _WINDOW * width / 2
    gathered = np.clip(near @ turn, 0.0, np.pi / 2)
    outward = np.maximum(turn, 0.0)
    sharp = float(np.sum(outward * np.sin(gathered) ** 2) / max(outward.sum(), 1e-12))
    ramp = np.clip((length / width - _FLAT_FROM) / (_FLAT_FULL - _FLAT_FROM), 0.0, 1.0)
    return SectionEdge(sharpness=sharp, flatness=float(np.sum(ramp * length) / length.sum()))


def _shoelace(loop: NDArray[np.float64]) -> float:
    y, z = loop.T
    return float(0.5 * np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))


def drag_width_parts(loops: Sequence[NDArray[np.float64]], rolls_rad: ArrayLike) -> NDArray[np.float64]:
    r"""Sharp and smooth share of the drag width, and the side force of the sharp one.

    .. math::  \frac{c_{side}}{c_{sharp}} = \frac{F \cdot e_\perp}{F \cdot e}, \qquad
               F = -\int_{front} (n \cdot e)^2 \, n \, ds

    Parameters
    ----------
    loops : sequence of ndarray, each shape (n, 2)
        Outer outlines of the section [m].
    rolls_rad : array_like, shape (r,)
        Direction the cross wind blows towards, from y towards z [rad].

    Returns
    -------
    parts_m : ndarray, shape (3, r)
        Sharp and smooth drag width, and side-force width towards 90 degrees on in roll [m].

    Raises
    ------
    OutsideRange
        If there is no outline or a coordinate is not finite.

    Notes
    -----
    The smooth share is what a thin turbulent boundary layer can take away. Flats that stand
    oblique push along their normals, the one that faces the wind most: its sign is that of
    sharp squares and plates. A square that turns from face-on gains 2.0 per radian where EN
    1991-1-4 has 3.3; corners rounded by a fifth of the width can turn the sign round.

    References
    ----------
    .. [1] EN 1991-1-4, table E.7: factor of galloping 1.2 for a square, which is the slope less
       its drag of 2.1 (from memory, not re-read).

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> drag_width_parts([regular_polygon(4, 1.0, np.pi / 4)], [0.0]).round(3).tolist()
    [[2.0], [0.0], [0.0]]
    """
    if not loops or not all(np.isfinite(loop).all() for loop in loops):
        raise OutsideRange("a section needs outlines with finite coordinates")
    rolls = np.atleast_1d(np.asarray(rolls_rad, dtype=float))
    parts = np.sum([_one_outline(loop, rolls) for loop in loops], axis=0)
    return parts if len(loops) < 2 else parts * lee_factor(loops, rolls)


def lee_factor(loops: Sequence[NDArray[np.float64]], rolls_rad: ArrayLike) -> NDArray[np.float64]:
    r"""Drag of several outlines over the sum of theirs: those in the lee of others feel less wind.

    .. math::  f = \frac{U + (W - U) (1 - \varphi)^{1.6}}{W}, \qquad \varphi = U / D

    Parameters
    ----------
    loops : sequence of ndarray, each shape (n, 2)
        Outlines side by side and behind one another [m].
    rolls_rad : array_like, shape (r,)
        Direction the cross wind blows towards [rad].

    Returns
    -------
    factor : ndarray, shape (r,)
        1 where none stands behind another [-].

    Notes
    -----
    :math:`W` is the sum of all widths across the wind, :math:`U` what they cover of it together,
    :math:`D` the whole extent; :math:`\varphi` the solidity of the front row. Two rows of a lattice of
    solidity 0.1, 0.3, 0.5 have 1.84, 1.59, 1.31 of one row's drag. Legs in one row are taken one by
    one: closer than a width they drag more, up to 1.3 times.

    References
    ----------
    .. [1] EN 1991-1-4, figures 7.33 and 7.34: force factors of plane and spatial lattices (from memory).

    Examples
    --------
    Two posts behind one another, seen along and across.

    >>> from finial.aero.sections.outlines import regular_polygon
    >>> post = regular_polygon(4, 0.1, np.pi / 4)
    >>> lee_factor([post, post + [1.0, 0.0]], [0.0, np.pi / 2]).round(2).tolist()
    [0.5, 1.0]
    """
    rolls = np.atleast_1d(np.asarray(rolls_rad, dtype=float))
    across = np.column_stack([-np.sin(rolls), np.cos(rolls)])
    low, high = (
        np.array([extreme(loop @ across.T, axis=0) for loop in loops]) for extreme in (np.min, np.max)
    )
    order = np.argsort(low, axis=0)
    low, high = np.take_along_axis(low, order, axis=0), np.take_along_axis(high, order, axis=0)
    reached = np.maximum.accumulate(high, axis=0)
    before = np.vstack([low[:1], np.maximum(reached[:-1], low[1:])])
    covered = np.maximum(high - before, 0.0).sum(axis=0)
    every = np.maximum((high - low).sum(axis=0), 1e-300)
    solid = covered / np.maximum(high.max(axis=0) - low.min(axis=0), 1e-300)
    return (covered + (every - covered) * np.maximum(1.0 - solid, 0.0) ** _LEE_POWER) / every


def _one_outline(loop: NDArray[np.float64], rolls: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sharp and smooth part of one outline's drag width, and its side force's, shape (3, r)."""
    edge = section_edge(loop)
    wind = np.column_stack([np.cos(rolls), np.sin(rolls)])
    across = np.column_stack([-np.sin(rolls), np.cos(rolls)])
    depth, width = np.ptp(loop @ wind.T, axis=0), np.ptp(loop @ across.T, axis=0)
    side = np.roll(loop, -1, axis=0) - loop
    length = np.maximum(np.linalg.norm(side, axis=1), 1e-300)
    normal = np.column_stack([side[:, 1], -side[:, 0]]) / length[:, None]
    facing = np.maximum(-(normal @ wind.T), 0.0)
    shown = np.maximum(np.sum(facing * length[:, None], axis=0), 1e-300)
    pushed = -np.einsum("nr,nk->rk", facing**2 * length[:, None], normal)
    aside = np.sum(pushed * across, axis=1) / np.maximum(np.sum(pushed * wind, axis=1), 1e-300)
    aside = np.clip(aside, -_MOST_ASIDE, _MOST_ASIDE)
    blunt = np.sum(facing**3 * length[:, None], axis=0) / shown
    ratio = depth / np.maximum(width, 1e-300)
    sharp = (1.1 + 0.9 * blunt) * on_curve(_TABLE, "sharp_depth", ratio)
    smooth = CIRCLE_DRAG - 0.4 * edge.flatness * (1 - edge.sharpness)
    smooth = smooth * on_curve(_TABLE, "smooth_depth", ratio)
    sharp, smooth = edge.sharpness * sharp, (1 - edge.sharpness) * smooth
    # A corner's own panel shows both sides of a square alike to rounding only.
    return width * np.stack([sharp, smooth, sharp * np.where(np.abs(aside) > 1e-9, aside, 0.0)])


def finite_length_factor(length_over_width: ArrayLike) -> NDArray[np.float64]:
    """Crossflow drag of a body of finite length over that of an endless one.

    Parameters
    ----------
    length_over_width : array_like, shape (...)
        Length over width across the flow [-].

    Returns
    -------
    factor : ndarray, shape (...)
        Linear in the logarithm of length over width between tabled points [-].

    Raises
    ------
    OutsideRange
        If a ratio is not positive.

    Notes
    -----
    Measured on cylinders across the flow from 1 to 40, within 5 %, at subcritical Reynolds numbers; below 1
    the value at 1, from 1000 on 1. Both ends free: a base that stands on something loses less.

    References
    ----------
    .. [1] Aeronautical Engineer's Data Book, p. 95, cylinders across the flow (seen), over 1.20.

    Examples
    --------
    >>> finite_length_factor(10.0).item()
    0.683
    """
    ratio = np.asarray(length_over_width, dtype=float)
    if not np.all(ratio > 0):
        raise OutsideRange("length over width must be positive")
    x, value = curve_points(_TABLE, "finite_length")
    return np.interp(np.log(ratio), np.log(x), value)


def crossflow_mach_factor(crossflow_mach: ArrayLike) -> NDArray[np.float64]:
    """Crossflow drag over its incompressible value, from the Mach number across the body.

    Parameters
    ----------
    crossflow_mach : array_like, shape (...)
        Mach number times the sine of the angle of attack [-].

    Returns
    -------
    factor : ndarray, shape (...)
        Linear between tabled points from 0 to 3 [-].

    Notes
    -----
    Charted for circular sections, within 15 %; used for other sections for want of better.

    References
    ----------
    .. [1] L. H. Jorgensen, NASA TR R-474, 1977, chart for circular sections (from memory, not re-read).

    Examples
    --------
    >>> crossflow_mach_factor([0.2, 0.8]).tolist()
    [1.0, 1.333]
    """
    return on_curve(_TABLE, "crossflow_mach", crossflow_mach)


def smooth_reynolds_factor(reynolds_across: ArrayLike) -> NDArray[np.float64]:
    r"""Crossflow drag of a smooth outline over its subcritical drag, from the Reynolds number across it [-].

    .. math::  Re = \frac{V \sin\alpha \, d}{\nu}

    Parameters
    ----------
    reynolds_across : array_like, shape (...)
        On the speed across the body and its width [-].

    Returns
    -------
    factor : ndarray, shape (...)
        1 to 1e5, 0.17 at 4.5e5, 0.54 from 1e7 on [-].

    Raises
    ------
    OutsideRange
        If a Reynolds number is negative or not a number.

    Notes
    -----
    Measured on smooth circles; 25 % below 2e5 and 40 % beyond, where printed layers and
    gusts also move the fall to a half to a quarter of its Reynolds number. Sharp-edged
    outlines keep their drag.

    References
    ----------
    .. [1] L. H. Jorgensen, NASA TN D-6996, 1973, figure 2 (read from a second-hand copy).

    Examples
    --------
    >>> smooth_reynolds_factor([5e4, 4.5e5]).tolist()
    [1.0, 0.17]
    """
    reynolds = np.asarray(reynolds_across, dtype=float)
    if not np.all((reynolds >= 0) & np.isfinite(reynolds)):
        raise OutsideRange(f"the Reynolds number across a body must be 0 or more: got {reynolds_across}")
    x, value = curve_points(_TABLE, "smooth_reynolds")
    return np.interp(np.log(np.maximum(reynolds, 1.0)), np.log(x), value)


def smooth_reynolds_range(reynolds_across: float) -> tuple[float, float]:
    """Low and high end of ``smooth_reynolds_factor``.

    The least and the largest factor of all Reynolds numbers from half to four times the flow's own, 25 %
    below and above, or 40 % where that end lies beyond 2e5.

    Parameters
    ----------
    reynolds_across : float
        On the speed across the body and its width [-].

    Returns
    -------
    low, high : float
        Factors [-].

    Raises
    ------
    OutsideRange
        If the Reynolds number is negative or not a number.

    Notes
    -----
    Half to four times is a judgement: gusts and printed layers trip the flow early, a calm tunnel late. So is
    40 %: beyond the critical Reynolds number sources differ by that much.

    References
    ----------
    .. [1] As ``smooth_reynolds_factor``; the spread is ours.

    Examples
    --------
    >>> [round(end, 2) for end in smooth_reynolds_range(1e4)]
    [0.75, 1.25]
    >>> [round(end, 2) for end in smooth_reynolds_range(1.2e5)]
    [0.1, 1.25]
    """
    early, late = (share * reynolds_across for share in _ACTS_AS)
    seen = smooth_reynolds_factor(np.geomspace(max(early, 1.0), max(late, 1.0), 65))
    low, high = (
        _SUBCRITICAL_ERROR if end <= _CRITICAL_REYNOLDS else _CRITICAL_ERROR for end in (late, early)
    )
    return float((1.0 - low) * seen.min()), float((1.0 + high) * seen.max())
