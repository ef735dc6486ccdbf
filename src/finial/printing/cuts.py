"""Where to cut a part to the bed: few cuts, away from loads, at ledges, nowhere that is barred."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange

GRID_M = 1e-3
"""Places for a cut are tried this far apart, and at every ledge [m]."""
LEAST_PIECE_M = 15e-3
"""A piece shorter than this is a sliver: no cut makes one where another will do [m]; chosen."""
_LEDGE_BONUS = 0.5
"""What a ledge is worth that hides the seam, over the hardest loaded place of the part [-]; chosen."""
_AMID = 1.0
"""What a seam costs where a motor's tube goes through it, over the hardest loaded place [-]; chosen."""
_EVEN = 0.2
"""What pieces of very different length cost, over the hardest loaded place of the part [-]; chosen."""
_SAME_M = 1e-6


class Why(StrEnum):
    """Why no cut may go through a stretch."""

    FIN_ROOT = "fin root"
    TUBE_END = "tube end"
    BAY_JOINT = "bay joint"
    PLATE = "plate"
    BUTTON = "button"
    ROD_END = "rod end"
    MOTOR_TUBE = "motor tube"


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A stretch of stations that no cut goes through."""

    why: Why
    name: str
    fore_m: float
    aft_m: float

    def holds(self, station_m: float) -> bool:
        """Whether a station lies within it.

        Parameters
        ----------
        station_m : float
            Station [m].

        Returns
        -------
        within : bool
            False at its very ends.

        Notes
        -----
        Exact.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> Barred(why=Why.PLATE, name="floor", fore_m=0.1, aft_m=0.2).holds(0.15)
        True
        """
        return self.fore_m < station_m < self.aft_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """How hard the body is loaded along it: 0 nothing to 1 the hardest place, at rising stations [m]."""

    stations_m: NDArray[np.float64]
    shares: NDArray[np.float64]

    def at(self, stations_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Demand at some stations.

        Parameters
        ----------
        stations_m : ndarray, shape (n,)
            Stations [m].

        Returns
        -------
        shares : ndarray, shape (n,)
            Load over that of the hardest place [-]; none where no loads are known.

        Notes
        -----
        Straight between the stations it is known at.

        References
        ----------
        .. [1] Linear interpolation.

        Examples
        --------
        >>> Demand(stations_m=np.array([0.0, 1.0]), shares=np.array([0.0, 1.0])).at(np.array([0.25])).tolist()
        [0.25]
        """
        if not len(self.stations_m):
            return np.zeros_like(stations_m)
        return np.interp(stations_m, self.stations_m, self.shares)


NO_DEMAND = Demand(stations_m=np.zeros(0), shares=np.zeros(0))
"""Where the loads are not known yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCut:
    """A part that stands along its axis, and what its cuts must mind."""

    span_m: tuple[float, float]
    """Stations it reaches from and to [m]."""
    longest_m: float
    """Longest piece that the printer takes along the axis [m]."""
    barred: tuple[Barred, ...] = ()
    amid: tuple[Barred, ...] = ()
    """Stretches that a cut goes through only where it must: there the tube has to bridge it."""
    ledges_m: tuple[float, ...] = ()
    """Stations of steps in its outline, where a seam is hardly seen [m]."""
    demand: Demand = NO_DEMAND

    @property
    def least_m(self) -> float:
        """Shortest piece that a cut may leave [m]: no sliver, but a short part is cut all the same."""
        return min(LEAST_PIECE_M, (self.span_m[1] - self.span_m[0]) / 4)


def best_cuts(part: ToCut) -> tuple[float, ...] | None:
    r"""Stations of the cuts that cost least, as few as the bed allows.

    .. math::  \min \sum_i \left( d(s_i) - \tfrac12 \, [s_i \in ledges] + [s_i \in tubes] \right)
               + \tfrac15 \sum_j \left( \frac{l_j}{l_{max}} - 1 \right)^2, \quad l_j \le l_{max}

    Parameters
    ----------
    part : ToCut
        The part: its span, the longest piece, what is barred, motor tubes, ledges and demand [m, -].

    Returns
    -------
    stations_m : tuple of float or None
        Rising [m]; empty where the part fits whole, ``None`` where no cut that is allowed makes it fit.

    Raises
    ------
    OutsideRange
        If the longest piece is no length, or the part has none.

    Notes
    -----
    The fewest cuts that are possible, and of those the cheapest, found over places a millimetre apart and
    every ledge by dynamic programming: no other choice of the same places costs less. The weights are
    choices of this project.

    References
    ----------
    .. [1] R. Bellman, Dynamic Programming, 1957: the principle of optimality; from memory.

    Examples
    --------
    >>> best_cuts(ToCut(span_m=(0.0, 0.5), longest_m=0.3, ledges_m=(0.24,)))
    (0.24,)
    >>> best_cuts(ToCut(span_m=(0.0, 0.25), longest_m=0.3))
    ()
    """
    fore, aft = part.span_m
    require_positive(longest_m=part.longest_m, length_m=aft - fore)
    if aft - fore <= part.longest_m + _SAME_M:
        return ()
    places = _places(part)
    if not len(places):
        return None
    return _cheapest(part, places, _costs(part, places))


def _places(part: ToCut) -> NDArray[np.float64]:
    fore, aft = part.span_m
    grid = np.arange(math.ceil(fore / GRID_M), math.floor(aft / GRID_M) + 1) * GRID_M
    every = np.unique(np.round(np.concatenate([grid, np.array(part.ledges_m)]), 9))
    every = every[(every >= fore + part.least_m) & (every <= aft - part.least_m)]
    allowed = [not any(bar.holds(station) for bar in part.barred) for station in every.tolist()]
    return np.asarray(every[np.array(allowed, dtype=bool)], dtype=np.float64)


def _costs(part: ToCut, places: NDArray[np.float64]) -> NDArray[np.float64]:
    ledges = np.array(part.ledges_m)
    at_ledge = (
        np.abs(places[:, None] - ledges).min(axis=1) < _SAME_M if len(ledges) else np.zeros(len(places), bool)
    )
    amid = np.array([any(tube.holds(place) for tube in part.amid) for place in places.tolist()], dtype=bool)
    return np.asarray(part.demand.at(places) - _LEDGE_BONUS * at_ledge + _AMID * amid, dtype=np.float64)


def _cheapest(
    part: ToCut, places: NDArray[np.float64], costs: NDArray[np.float64]
) -> tuple[float, ...] | None:
    """Fewest pieces first: a piece weighs more than all that its cuts can save."""
    fore, aft = part.span_m
    stops = np.concatenate([[fore], places, [aft]])
    worth = np.concatenate([[0.0], costs, [0.0]])
    per_piece = 10.0 * (1.0 + float(np.abs(costs).max()) + _EVEN)
    best = np.full(len(stops), np.inf)
    before = np.full(len(stops), -1)
    best[0] = 0.0
    for number in range(1, len(stops)):
        lengths = stops[number] - stops[:number]
        reach = (lengths <= part.longest_m + _SAME_M) & (lengths >= part.least_m)
        if not reach.any():
            continue
        total = best[:number] + per_piece + _EVEN * (lengths / part.longest_m - 1.0) ** 2
        total = np.where(reach, total, np.inf)
        before[number] = int(total.argmin())
        best[number] = total[before[number]] + worth[number]
    if not math.isfinite(best[-1]):
        return None
    found: list[float] = []
    at = int(before[-1])
    while at > 0:
        found.append(float(stops[at]))
        at = int(before[at])
    return tuple(reversed(found))


def barred_through(stations_m: Sequence[float], barred: Sequence[Barred]) -> tuple[tuple[float, Barred], ...]:
    """Cuts that go through what they should not.

    Parameters
    ----------
    stations_m : sequence of float
        Where somebody cut [m].
    barred : sequence of Barred
        Where no cut should go.

    Returns
    -------
    through : tuple of (float, Barred)
        Each such cut with what it goes through [m].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> root = Barred(why=Why.FIN_ROOT, name="fins", fore_m=0.9, aft_m=1.1)
    >>> [(station, bar.name) for station, bar in barred_through([0.5, 1.0], [root])]
    [(1.0, 'fins')]
    """
    return tuple((station, bar) for station in stations_m for bar in barred if bar.holds(station))


def longest_gap(part: ToCut) -> tuple[Barred, ...]:
    """Name what stands in the way where no allowed cut makes a part fit.

    Parameters
    ----------
    part : ToCut
        The part.

    Returns
    -------
    blocking : tuple of Barred
        Stretches longer than the bed, or that overlap into one, longest first.

    Raises
    ------
    OutsideRange
        If nothing is barred: then a cut is always possible.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> root = Barred(why=Why.FIN_ROOT, name="fins", fore_m=0.1, aft_m=0.4)
    >>> longest_gap(ToCut(span_m=(0.0, 0.5), longest_m=0.2, barred=(root,)))[0].name
    'fins'
    """
    within = [bar for bar in part.barred if bar.aft_m > part.span_m[0] and bar.fore_m < part.span_m[1]]
    if not within:
        raise OutsideRange("nothing is barred: a cut is possible everywhere")
    return tuple(sorted(within, key=lambda bar: bar.fore_m - bar.aft_m))
