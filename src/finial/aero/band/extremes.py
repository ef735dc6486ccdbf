"""Least and greatest place of the sum of doubtful forces, and of its moment where the force is small."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.band.worst import LEAST_FORCE
from finial.core.kept_parts import kept

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
    together = tuple(parts)
    return _ends(together, origin_that_counts(together, about_m))


@kept(32)
def _ends(parts: tuple[DoubtfulForce, ...], about_m: float) -> Ends:
    all_ = _stacked(parts)
    force = (all_.central * all_.force).sum(axis=0)
    moment = (all_.central * all_.moment).sum(axis=0) - about_m * force
    central = _place(force, moment) + about_m
    least, greatest = (
        _extreme(chain.force, chain.moment - about_m * chain.force, chain.sign) + about_m
        for chain in _chains(parts)
    )
    return central, np.fmin(least, central), np.fmax(greatest, central)


def origin_that_counts(parts: Sequence[DoubtfulForce], about_m: float) -> float:
    """Station that moments are about; 0 where no force is so small that it mattered.

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-] and their first moments [m].
    about_m : float
        As in ``place_ends`` [m].

    Returns
    -------
    about_m : float
        The same for every balance point where the place is the centre of pressure throughout [m].

    Notes
    -----
    As ``place_ends``.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> sure = DoubtfulForce(name="sure", force=2 * one, moment=one, low=0.2, central=1.0, high=1.0)
    >>> origin_that_counts([sure], 3.0), origin_that_counts([sure, sure], 3.0)
    (3.0, 0.0)
    """
    return about_m if least_force(parts).min() < LEAST_FORCE else 0.0


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
    return _least_force(tuple(parts))


@kept(16)
def _least_force(parts: tuple[DoubtfulForce, ...]) -> NDArray[np.float64]:
    all_ = _stacked(parts)
    return np.minimum(all_.low * all_.force, all_.high * all_.force).sum(axis=0)


def central_force(parts: Sequence[DoubtfulForce]) -> NDArray[np.float64]:
    """Sum of the forces with each factor at its central guess.

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-].

    Returns
    -------
    force : ndarray, shape (angle, roll)
        [-].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> odd = DoubtfulForce(name="odd", force=one, moment=one, low=0.0, central=0.5, high=1.0)
    >>> central_force([odd]).item()
    0.5
    """
    all_ = _stacked(tuple(parts))
    return (all_.central * all_.force).sum(axis=0)


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
    all_ = _stacked(tuple(parts))
    turned = all_.moment - about_m * all_.force
    low, high = all_.low * turned, all_.high * turned
    return (
        (all_.central * turned).sum(axis=0),
        np.minimum(low, high).sum(axis=0),
        np.maximum(low, high).sum(axis=0),
    )


def place_shifts(
    parts: Sequence[DoubtfulForce], about_m: float
) -> list[tuple[DoubtfulForce, NDArray[np.float64]]]:
    """Return how far each doubtful part moves the place of the sum by itself, to both ends of its factor.

    Parameters
    ----------
    parts : sequence of DoubtfulForce
        Forces over sin(alpha) on the reference area [-] and their first moments [m].
    about_m : float
        As in ``place_ends`` [m].

    Returns
    -------
    shifts : list of pairs
        Each part whose factor has width, and the moves [m], shape (2, angle, roll).

    Notes
    -----
    As ``place_ends``; all other factors at their central guess.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> odd = DoubtfulForce(name="odd", force=one, moment=4 * one, low=0.0, central=1.0, high=1.0)
    >>> sure = DoubtfulForce(name="sure", force=one, moment=2 * one, low=1.0, central=1.0, high=1.0)
    >>> [(part.name, moved.ravel().tolist()) for part, moved in place_shifts([odd, sure], 0.0)]
    [('odd', [-1.0, 0.0])]
    """
    all_ = _stacked(tuple(parts))
    turned = all_.moment - about_m * all_.force
    force, moment = (all_.central * all_.force).sum(axis=0), (all_.central * turned).sum(axis=0)
    wide = np.flatnonzero((all_.low != all_.high).any(axis=(1, 2)))
    more = np.stack([end[wide] - all_.central[wide] for end in (all_.low, all_.high)], axis=1)
    moved = _place(force + more * all_.force[wide, None], moment + more * turned[wide, None])
    moved = moved - _place(force, moment)
    return [(parts[index], each) for index, each in zip(wide.tolist(), moved, strict=True)]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stacked:
    """Numbers of all parts, each of shape (parts, angle, roll)."""

    force: NDArray[np.float64]
    moment: NDArray[np.float64]
    low: NDArray[np.float64]
    central: NDArray[np.float64]
    high: NDArray[np.float64]


@kept(16)
def _stacked(parts: tuple[DoubtfulForce, ...]) -> _Stacked:
    shape = np.broadcast_shapes(*(part.force.shape for part in parts))

    def filled(values: list[NDArray[np.float64] | float]) -> NDArray[np.float64]:
        stack = np.empty((len(parts), *shape))
        for number, value in enumerate(values):
            stack[number] = value
        return stack

    return _Stacked(
        force=filled([part.force for part in parts]),
        moment=filled([part.moment for part in parts]),
        low=filled([part.low for part in parts]),
        central=filled([part.central for part in parts]),
        high=filled([part.high for part in parts]),
    )


def _place(force: NDArray[np.float64], moment: NDArray[np.float64]) -> NDArray[np.float64]:
    return moment / np.maximum(force, LEAST_FORCE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Chain:
    """Corners of the polygon of force and moment about the tip, from least to greatest force."""

    force: NDArray[np.float64]
    moment: NDArray[np.float64]
    sign: float
    """1 for the chain below, where the place is least, and -1 for that above."""


@kept(16)
def _chains(parts: tuple[DoubtfulForce, ...]) -> tuple[_Chain, _Chain]:
    """Corners below and above; their order is the same whatever station moments are about."""
    all_ = _stacked(parts)
    wide = all_.high - all_.low
    force, moment = wide * all_.force, wide * all_.moment
    back = force < 0
    start = (
        (all_.low * all_.force + np.where(back, force, 0.0)).sum(axis=0),
        (all_.low * all_.moment + np.where(back, moment, 0.0)).sum(axis=0),
    )
    steps = np.abs(force), np.where(back, -moment, moment)
    # A part without force is a step straight up: first below it goes last, above it goes first.
    order = np.argsort(steps[1] / np.maximum(steps[0], 1e-12), axis=0)
    below, above = (
        _Chain(force=along[0], moment=along[1], sign=sign)
        for along, sign in ((_corners(start, steps, order), 1.0), (_corners(start, steps, order[::-1]), -1.0))
    )
    return below, above


_Pair = tuple[NDArray[np.float64], NDArray[np.float64]]


def _corners(start: _Pair, steps: _Pair, order: NDArray[np.intp]) -> _Pair:
    def along(first: NDArray[np.float64], step: NDArray[np.float64]) -> NDArray[np.float64]:
        in_order = np.take_along_axis(step, order, axis=0)
        return np.concatenate([first[None], first + np.cumsum(in_order, axis=0)])

    return along(start[0], steps[0]), along(start[1], steps[1])


def _extreme(force: NDArray[np.float64], moment: NDArray[np.float64], sign: float) -> NDArray[np.float64]:
    """Least (sign 1) or greatest (sign -1) place along a chain of corners."""
    best = (sign * _place(force, moment)).min(axis=0)
    if force[0].min() >= LEAST_FORCE:
        return sign * best
    rise = np.diff(force, axis=0)
    share = (LEAST_FORCE - force[:-1]) / np.where(rise > 1e-12, rise, 1.0)
    crosses = (share > 0) & (share < 1) & (rise > 1e-12)
    there = moment[:-1] + share * np.diff(moment, axis=0)
    crossing = np.where(crosses, sign * there / LEAST_FORCE, np.inf).min(axis=0)
    return sign * np.minimum(best, crossing)
