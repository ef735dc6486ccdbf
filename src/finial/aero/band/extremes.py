"""Least and greatest place of the sum of doubtful forces, and of its moment where the force is small."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.load_parts import DoubtfulForce

LEAST_FORCE = 0.5
"""A force of less than this per unit of sin(alpha), on the largest section, has no centre worth the
name: a slender nose has 2. The moment over this much stands in its place."""

Ends = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]


def place_ends(parts: Sequence[DoubtfulForce], about_m: float) -> Ends:
    r"""Where the sum of the forces acts: central guess, least and greatest over all their factors.

    .. math::  x = x_0 + \frac{\sum_i k_i (M_i - x_0 N_i)}{\max(\sum_i k_i N_i, \, N_0)}, \qquad
               k_i^{low} \le k_i \le k_i^{high}

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-] and their first moments [m].
    about_m : float
        Station :math:`x_0` that the moment is about where the force is small: the balance point,
        or the middle of the body [m].

    Returns
    -------
    central_m, least_m, greatest_m : ndarray, shape (angle, roll)
        Stations [m].

    Notes
    -----
    With a force of :math:`N_0 = 0.5` or more it is the centre of pressure. Below, it is the moment
    about :math:`x_0` as a margin that a force of that size would have: its sign is that of the
    moment, and it stays finite where the force may vanish or turn round. Exact: all pairs of force
    and moment fill a polygon with two corners a part, and the place is extreme at a corner or where
    an edge crosses :math:`N_0`.

    References
    ----------
    .. [1] G. M. Ziegler, Lectures on Polytopes, 1995, chapter 7: zonotopes (from memory).

    Examples
    --------
    A force of 2 at 1 m, and one of 1 at 4 m that may be missing.

    >>> one = np.ones((1, 1))
    >>> sure = DoubtfulForce(name="sure", force=2 * one, moment=2 * one, low=1.0, central=1.0, high=1.0)
    >>> odd = DoubtfulForce(name="odd", force=one, moment=4 * one, low=0.0, central=1.0, high=1.0)
    >>> [end.item() for end in place_ends([sure, odd], 0.0)]
    [2.0, 1.0, 2.0]
    """
    central = place_with(parts, [part.central for part in parts], about_m)
    least, greatest = (_extreme(*chain) + about_m for chain in _chains(parts, about_m))
    return central, np.fmin(least, central), np.fmax(greatest, central)


def least_force(parts: Sequence[DoubtfulForce]) -> NDArray[np.float64]:
    """Least sum of the forces over all their factors.

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-].

    Returns
    -------
    force : ndarray, shape (angle, roll)
        [-]; negative where it may turn round.

    Notes
    -----
    Exact for factors that are free of one another.

    References
    ----------
    .. [1] Interval arithmetic, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> odd = DoubtfulForce(name="odd", force=one, moment=one, low=-0.5, central=1.0, high=1.0)
    >>> least_force([odd]).item()
    -0.5
    """
    return np.asarray(sum(np.minimum(part.low * part.force, part.high * part.force) for part in parts))


def moment_ends(parts: Sequence[DoubtfulForce], about_m: float) -> Ends:
    r"""Righting moment of the sum of the forces: central guess, least and greatest.

    .. math::  \sum_i k_i (M_i - x_0 N_i)

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-] and their first moments [m].
    about_m : float
        Station :math:`x_0` that the moment is about [m].

    Returns
    -------
    central_m, least_m, greatest_m : ndarray, shape (angle, roll)
        Positive where it turns the tip into the wind [m].

    Notes
    -----
    Exact for factors that are free of one another.

    References
    ----------
    .. [1] Interval arithmetic, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> odd = DoubtfulForce(name="odd", force=2 * one, moment=8 * one, low=0.5, central=1.0, high=1.5)
    >>> [end.item() for end in moment_ends([odd], 3.0)]
    [2.0, 1.0, 3.0]
    """
    turned = [(part, part.moment - about_m * part.force) for part in parts]
    ends = [(part.low * moment, part.central * moment, part.high * moment) for part, moment in turned]
    return (
        np.asarray(sum(central for _, central, _ in ends)),
        np.asarray(sum(np.minimum(low, high) for low, _, high in ends)),
        np.asarray(sum(np.maximum(low, high) for low, _, high in ends)),
    )


def place_with(
    parts: Sequence[DoubtfulForce], factors: Sequence[NDArray[np.float64] | float], about_m: float
) -> NDArray[np.float64]:
    """Where the sum of the forces acts for one choice of factors.

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-] and their first moments [m].
    factors : sequence of float or ndarray, shape (angle, roll)
        One for each part [-].
    about_m : float
        As in ``place_ends`` [m].

    Returns
    -------
    place_m : ndarray, shape (angle, roll)
        Stations [m].

    Notes
    -----
    As ``place_ends``.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> odd = DoubtfulForce(name="odd", force=one, moment=4 * one, low=0.0, central=1.0, high=1.0)
    >>> [place_with([odd], [factor], 2.0).item() for factor in (1.0, 0.25)]
    [4.0, 3.0]
    """
    force = sum(np.asarray(k) * part.force for part, k in zip(parts, factors, strict=True))
    moment = sum(
        np.asarray(k) * (part.moment - about_m * part.force) for part, k in zip(parts, factors, strict=True)
    )
    return _place(np.asarray(force), np.asarray(moment)) + about_m


def _place(force: NDArray[np.float64], moment: NDArray[np.float64]) -> NDArray[np.float64]:
    return moment / np.maximum(force, LEAST_FORCE)


Chain = tuple[NDArray[np.float64], NDArray[np.float64], float]


def _chains(parts: Sequence[DoubtfulForce], about_m: float) -> tuple[Chain, Chain]:
    """Corners of the polygon of force and moment, from least to greatest force, below and above."""
    shape = np.broadcast_shapes(*(part.force.shape for part in parts))
    force = np.array([np.broadcast_to(part.force, shape) for part in parts])
    moment = np.array([np.broadcast_to(part.moment, shape) for part in parts])
    low, high = (
        np.array([np.broadcast_to(end, shape) for end in ends])[:, None]
        for ends in ([part.low for part in parts], [part.high for part in parts])
    )
    pair = np.stack([force, moment - about_m * force], axis=1)
    step = (high - low) * pair
    back = step[:, :1] < 0
    start = (low * pair + np.where(back, step, 0.0)).sum(axis=0)
    step = np.where(back, -step, step)
    # A part without force is a step straight up: first below it goes last, above it goes first.
    slope = step[:, 1] / np.maximum(step[:, 0], 1e-12)
    order = np.argsort(slope, axis=0)
    return (*_corners(start, step, order), 1.0), (*_corners(start, step, order[::-1]), -1.0)


def _corners(
    start: NDArray[np.float64], step: NDArray[np.float64], order: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    sorted_ = np.take_along_axis(step, order[:, None], axis=0)
    along = np.concatenate([start[None], start + np.cumsum(sorted_, axis=0)])
    return along[:, 0], along[:, 1]


def _extreme(force: NDArray[np.float64], moment: NDArray[np.float64], sign: float) -> NDArray[np.float64]:
    """Least (sign 1) or greatest (sign -1) place along a chain of corners."""
    best = (sign * _place(force, moment)).min(axis=0)
    rise = np.diff(force, axis=0)
    share = (LEAST_FORCE - force[:-1]) / np.where(rise > 1e-12, rise, 1.0)
    crosses = (share > 0) & (share < 1) & (rise > 1e-12)
    there = moment[:-1] + share * np.diff(moment, axis=0)
    crossing = np.where(crosses, sign * there / LEAST_FORCE, np.inf).min(axis=0)
    return sign * np.minimum(best, crossing)
