"""Odds too small to count: how likely a campaign's flights end as feared, with bounds, from few flights."""

import math
from collections.abc import Collection, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import Asked
from finial.campaign.campaign import Campaign
from finial.campaign.flown import some_flights
from finial.campaign.spot import Spot
from finial.campaign.subset import Judge, RareShare, subset_share
from finial.campaign.towards import Feared, all_feared, largest_canopy
from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import fly_many
from finial.flight.packing.many import ManyPacked
from finial.flight.spread import canopy_slot

MOST_FLIGHTS: Final = 20_000
_FIRST_NUMBER: Final = 2**40
"""Gusts follow from a flight's number: these have none of the campaign's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RareOdds:
    """Odds of one thing that is feared, by simulation in levels."""

    asked: Asked
    """What one hopes for or fears, as among the counted odds."""
    share: float | None
    """Of flights that end as feared [-]; ``None`` where none came there, and only ``high`` is known."""
    low: float
    high: float
    flights: int
    """Flown for this answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stratum:
    """Flights in which some failures happen, or none does: its odds are known, what follows is flown."""

    odds: float
    patterns: NDArray[np.bool_]
    """Which of the failures happen, (patterns, failures)."""
    ends: NDArray[np.float64]
    """Running sum of the patterns' odds within this stratum, the last one 1."""


def rare_odds(
    campaign: Campaign, spot: Spot, *, threads: int = 1, only: Collection[Asked] = tuple(Asked)
) -> tuple[RareOdds, ...]:
    """Odds of everything feared that the place can tell, or of some of it, most feared first.

    Failures of canopies are drawn by their known odds in strata, all else by levels.
    """
    return tuple(_odds_of(campaign, one, threads) for one in all_feared(spot) if one.asked in only)


def _odds_of(campaign: Campaign, feared: Feared, threads: int) -> RareOdds:
    strata = tuple(_strata(campaign, feared.asked))
    with ThreadPoolExecutor(threads) as pool:
        found = [
            subset_share(
                _judge(campaign, stratum, feared, pool), campaign.packed.draws + 1, seed=campaign.seed + at
            )
            for at, stratum in enumerate(strata)
        ]
    return joined(feared.asked, [stratum.odds for stratum in strata], found)


def joined(asked: Asked, weights: list[float], found: list[RareShare]) -> RareOdds:
    """Add up strata: errors of those that were reached as independent, bounds of the others in full."""
    reached = [(weight, one) for weight, one in zip(weights, found, strict=True) if one.share]
    unreached = sum(weight * one.high for weight, one in zip(weights, found, strict=True) if not one.share)
    share = sum(weight * (one.share or 0.0) for weight, one in reached)
    below = math.hypot(*(weight * ((one.share or 0.0) - one.low) for weight, one in reached))
    above = math.hypot(*(weight * (one.high - (one.share or 0.0)) for weight, one in reached))
    return RareOdds(
        asked=asked,
        share=share if reached else None,
        low=max(share - below, 0.0),
        high=min(share + above + unreached, 1.0),
        flights=sum(one.points for one in found),
    )


def _strata(campaign: Campaign, asked: Asked) -> Iterator[_Stratum]:
    """Nothing fails; failures that bring what is feared by themselves; all other failures."""
    odds = _failure_odds(campaign)
    every = list(product((False, True), repeat=len(odds)))
    patterns = np.array(every, dtype=bool).reshape(len(every), len(odds))
    weights = np.where(patterns, odds, 1.0 - odds).prod(axis=1)
    fails = patterns.any(axis=1)
    brings = fails & _brings(campaign, asked, patterns)
    for which in (~fails, fails & ~brings, brings):
        weight = float(np.sum(weights[which]))
        if weight > 0.0:
            ends = np.cumsum(weights[which]) / weight
            yield _Stratum(odds=weight, patterns=patterns[which], ends=ends)


def _brings(campaign: Campaign, asked: Asked, patterns: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Say which failures leave no canopy open, or none out, (patterns,); they are flown all the same."""
    if asked not in (Asked.OPEN_CANOPY, Asked.BALLISTIC):
        return np.zeros(len(patterns), dtype=bool)
    packed, own = campaign.packed, _rows(campaign.packed)[_failure_draws(campaign), 0]

    def happens(canopy: int, *parts: str) -> NDArray[np.bool_]:
        theirs = [canopy_slot(int(packed.marks[slots.N_ROWS]), canopy, part) for part in parts]
        return np.asarray(patterns[:, np.isin(own, theirs)].any(axis=1))

    if asked is Asked.OPEN_CANOPY:
        return happens(largest_canopy(packed), "stays_in", "stays_bundle")
    canopies = range(int(packed.ints[layout.N_CANOPIES]))
    return np.asarray(np.all([happens(canopy, "stays_in") for canopy in canopies], axis=0))


def _failure_draws(campaign: Campaign) -> NDArray[np.intp]:
    return np.flatnonzero(_rows(campaign.packed)[:, 1] == slots.ODDS)


def _rows(packed: ManyPacked) -> NDArray[np.float64]:
    at = int(packed.marks[slots.AT_DRAWS])
    return packed.plan[at : at + packed.draws * slots.DRAW_COLUMNS].reshape(-1, slots.DRAW_COLUMNS)


def _failure_odds(campaign: Campaign) -> NDArray[np.float64]:
    return _rows(campaign.packed)[_failure_draws(campaign), 4]


def _judge(campaign: Campaign, stratum: _Stratum, feared: Feared, pool: ThreadPoolExecutor) -> Judge:
    from scipy.special import ndtr

    marks = campaign.packed.marks.copy()
    marks[slots.DRAWN_HERE] = 0
    packed, draws, odds = (
        replace(campaign.packed, marks=marks),
        _failure_draws(campaign),
        _failure_odds(campaign),
    )

    def judge(points: NDArray[np.float64], numbers: NDArray[np.int64]) -> NDArray[np.float64]:
        shares = np.asarray(np.clip(ndtr(points), 2.0**-53, 1.0 - 2.0**-53), dtype=np.float64)
        which = np.searchsorted(stratum.ends, shares[:, -1], side="right")
        fails = stratum.patterns[np.minimum(which, len(stratum.ends) - 1)]
        shares[:, draws] = np.where(fails, 0.5 * odds, 0.5 * (1.0 + odds))

        def fly(index: int) -> tuple[NDArray[np.float64], float]:
            number, own = _FIRST_NUMBER + int(numbers[index]), shares[index : index + 1, :-1]
            row = fly_many(packed, number, 1, shares=own).results[0]
            return row, feared.spare_s(packed, number, own)

        rows, spare_s = zip(*pool.map(fly, range(len(numbers))), strict=True)
        return feared.far(some_flights(np.array(rows)), np.array(spare_s))

    return judge
