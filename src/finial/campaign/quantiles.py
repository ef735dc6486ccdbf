"""Quantiles of what was flown, with bounds that need no shape of the scatter."""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.campaign.ranked import PASSES, RankedNumbers
from finial.core.doors import require_fraction
from finial.core.errors import OutsideRange
from finial.core.statistics import failure_probability_interval

CONFIDENCE = 0.95
_FAR = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantile:
    """Value that a share of all flights stays below; bounds are missing where flights are too few."""

    share: float
    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """How often something happened."""

    asked: str
    """What was asked: a key, put in words by the report."""
    count: int
    flights: int
    low: float | None
    """Bounds of the share; missing for designs that are not plain random, where none hold."""
    high: float | None

    @property
    def share(self) -> float:
        """Share of the flights [-]."""
        return self.count / self.flights


def quantile(values: ArrayLike, share: float, confidence: float = CONFIDENCE) -> Quantile:
    r"""Quantile with a distribution-free interval from two order statistics.

    .. math::  \Pr(x_{(r)} \le q_p \le x_{(s)}) \ge C, \quad
               r = B^{-1}(\tfrac{1-C}{2}; n, p), \quad s = B^{-1}(\tfrac{1+C}{2}; n, p) + 1

    Parameters
    ----------
    values : array_like, shape (n,)
        What was flown; numbers that are not finite are left out.
    share : float
        Share that lies below, :math:`p` [-].
    confidence : float
        :math:`C` [-].

    Returns
    -------
    quantile : Quantile
        Low or high is missing where no order statistic reaches that far.

    Raises
    ------
    OutsideRange
        If there are no finite values, or share or confidence is no fraction.

    Notes
    -----
    Holds for plain random flights whatever the shape of the scatter; too wide rather than too narrow.

    References
    ----------
    .. [1] Conover, Practical Nonparametric Statistics, 3rd edition, section 3.2; from memory, not re-read.

    Examples
    --------
    >>> found = quantile(range(1, 101), 0.5)
    >>> found.value, found.low, found.high
    (50.5, 40.0, 61.0)
    """
    require_fraction(share=share, confidence=confidence)
    finite = np.asarray(values, dtype=float)[np.isfinite(values)]
    if finite.size == 0:
        raise OutsideRange("no finite values to take a quantile of")
    finite.sort()
    ranks = ranks_asked(finite.size, share, confidence)
    return quantile_of_ranks({rank: float(finite[rank]) for rank in ranks}, finite.size, share, confidence)


def quantile_of_pieces(pieces: Callable[[], Iterable[NDArray[np.float64]]], share: float) -> Quantile:
    """Quantile of finite numbers that come piece by piece, four times over; as :func:`quantile`.

    Examples
    --------
    >>> halves = np.arange(1.0, 101.0).reshape(2, 50)
    >>> quantile_of_pieces(lambda: halves, 0.5) == quantile(range(1, 101), 0.5)
    True
    """
    ranked, count = RankedNumbers(), 0
    for number in range(PASSES):
        for piece in pieces():
            ranked.add(piece)
        count = count if number else ranked.count
        ranked.passed(() if number else ranks_asked(count, share))
    return quantile_of_ranks(ranked.values, count, share)


def ranks_asked(count: int, share: float, confidence: float = CONFIDENCE) -> tuple[int, ...]:
    """Ranks of the values that a quantile and its bounds are made of, counted from 0.

    Examples
    --------
    >>> ranks_asked(100, 0.5)
    (39, 49, 50, 60)
    """
    first, last = _ranks(count, share, confidence)
    low = math.floor(share * (count - 1))
    asked = {first - 1, low, min(low + 1, count - 1), last - 1}
    return tuple(sorted(rank for rank in asked if 0 <= rank < count))


def quantile_of_ranks(
    values: Mapping[int, float], count: int, share: float, confidence: float = CONFIDENCE
) -> Quantile:
    """Quantile of ``count`` numbers of which the values of :func:`ranks_asked` are known, as ``quantile``.

    Examples
    --------
    >>> quantile_of_ranks({39: 40.0, 49: 50.0, 50: 51.0, 60: 61.0}, 100, 0.5) == quantile(range(1, 101), 0.5)
    True
    """
    first, last = _ranks(count, share, confidence)
    at = share * (count - 1)
    low = math.floor(at)
    pair = [values[low], values[min(low + 1, count - 1)]]
    return Quantile(
        share=share,
        value=float(np.quantile(pair, at - low)),
        low=values[first - 1] if first >= 1 else None,
        high=values[last - 1] if last <= count else None,
    )


def _ranks(count: int, share: float, confidence: float) -> tuple[int, int]:
    """Ranks of the two values that the quantile lies between, counted from 1; 0 or one too many: none."""
    from scipy.special import bdtr  # the binomial distribution, without the weight of scipy.stats

    # Farther than fourteen standard deviations off, the binomial distribution is 0 or 1 to the last bit.
    around = _FAR * math.sqrt(count * share * (1.0 - share)) + _FAR**2
    start = max(math.floor(count * share - around), 0)
    below = bdtr(np.arange(start, min(math.ceil(count * share + around), count) + 1), count, share)
    first, last = (start + int(np.searchsorted(below, (1.0 + s * confidence) / 2.0)) for s in (-1.0, 1.0))
    return first, last + 1


def odds(asked: str, count: int, flights: int, *, plain: bool) -> Odds:
    """Odds with Clopper-Pearson bounds, which hold for plain random flights only."""
    low, high = failure_probability_interval(count, flights, CONFIDENCE) if plain else (None, None)
    return Odds(asked=asked, count=count, flights=flights, low=low, high=high)
