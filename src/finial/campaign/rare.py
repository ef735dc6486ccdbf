"""Odds too small to count: how likely a campaign's flights end as feared, with bounds, from few flights."""

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import Asked
from finial.campaign.campaign import Campaign
from finial.campaign.spot import Spot
from finial.campaign.subset import Judge, RareShare, subset_share
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import RESULTS, fly_many
from finial.flight.packing.many import ManyPacked

MOST_FLIGHTS: Final = 20_000
_FIRST_NUMBER: Final = 2**40
"""Gusts follow from a flight's number: these have none of the campaign's own."""
_APART_M: Final = 1e6
"""Farther than any landing: flights that miss one half of what is feared come after all that have it."""

Far = Callable[[NDArray[np.float64]], NDArray[np.float64]]
"""From rows of results to how far each is from what is feared; 0 or less is there."""


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
    """Flights in which some canopies fail, or none does: its odds are known, what follows is flown."""

    odds: float
    patterns: NDArray[np.bool_]
    """Which of the failures happen, (patterns, failures)."""
    ends: NDArray[np.float64]
    """Running sum of the patterns' odds within this stratum, the last one 1."""


def rare_odds(campaign: Campaign, spot: Spot, *, threads: int = 1) -> tuple[RareOdds, ...]:
    """Odds of everything feared that the place can tell, most feared first.

    Failures of canopies are drawn by their known odds in strata, all else by levels.
    """
    return tuple(_odds_of(campaign, asked, far, threads) for asked, far in _feared(spot))


def _odds_of(campaign: Campaign, asked: Asked, far: Far, threads: int) -> RareOdds:
    strata = tuple(_strata(campaign))
    with ThreadPoolExecutor(threads) as pool:
        found = [
            subset_share(
                _judge(campaign, stratum, far, pool), campaign.packed.draws + 1, seed=campaign.seed + at
            )
            for at, stratum in enumerate(strata)
        ]
    return joined(asked, [stratum.odds for stratum in strata], found)


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


def _strata(campaign: Campaign) -> Iterator[_Stratum]:
    odds = _failure_odds(campaign)
    every = list(product((False, True), repeat=len(odds)))
    patterns = np.array(every, dtype=bool).reshape(len(every), len(odds))
    weights = np.where(patterns, odds, 1.0 - odds).prod(axis=1)
    # The first pattern is that nothing fails.
    for which in (slice(0, 1), slice(1, len(every))):
        weight = float(np.sum(weights[which]))
        if weight > 0.0:
            yield _Stratum(odds=weight, patterns=patterns[which], ends=np.cumsum(weights[which]) / weight)


def _failure_draws(campaign: Campaign) -> NDArray[np.intp]:
    return np.flatnonzero(_rows(campaign.packed)[:, 1] == slots.ODDS)


def _rows(packed: ManyPacked) -> NDArray[np.float64]:
    at = int(packed.marks[slots.AT_DRAWS])
    return packed.plan[at : at + packed.draws * slots.DRAW_COLUMNS].reshape(-1, slots.DRAW_COLUMNS)


def _failure_odds(campaign: Campaign) -> NDArray[np.float64]:
    return _rows(campaign.packed)[_failure_draws(campaign), 4]


def _judge(campaign: Campaign, stratum: _Stratum, far: Far, pool: ThreadPoolExecutor) -> Judge:
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

        def fly(index: int) -> NDArray[np.float64]:
            number = _FIRST_NUMBER + int(numbers[index])
            return fly_many(packed, number, 1, shares=shares[index : index + 1, :-1]).results[0]

        return far(np.array(list(pool.map(fly, range(len(numbers))))))

    return judge


def _feared(spot: Spot) -> Iterator[tuple[Asked, Far]]:
    if spot.crowd is not None:
        crowd = spot.crowd
        placed = Asked.STRIKES_CROWD if crowd.is_placed else Asked.AS_FAR_AS_CROWD

        def to_crowd(rows: NDArray[np.float64]) -> NDArray[np.float64]:
            return _landed(rows, crowd.distance_m(_landings(rows)))

        yield placed, to_crowd
        yield Asked.STRIKES_BARE, lambda rows: _bare(rows, to_crowd(rows))
    if spot.field_m is not None or spot.field_radius_m is not None:
        outline = Asked.INSIDE_OUTLINE if spot.field_m is not None else Asked.INSIDE_RADIUS
        yield outline, lambda rows: _landed(rows, spot.inside_by_m(_landings(rows)))
    if spot.ceiling_agl_m is not None:
        ceiling = spot.ceiling_agl_m
        yield (
            Asked.OVER_CEILING,
            lambda rows: np.nan_to_num(ceiling - _column(rows, "apogee_m"), nan=_APART_M),
        )


def _column(rows: NDArray[np.float64], name: str) -> NDArray[np.float64]:
    return rows[:, RESULTS.index(name)]


def _landings(rows: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.column_stack([_column(rows, "landing_east_m"), _column(rows, "landing_north_m")])


def _landed(rows: NDArray[np.float64], distance_m: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(np.isfinite(_column(rows, "landing_east_m")), distance_m, _APART_M)


def _bare(rows: NDArray[np.float64], distance_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Under an open canopy it is not there, however near: but nearer all the same than one far away."""
    return np.where(_column(rows, "under_canopy") > 0.0, np.maximum(distance_m, 0.0) + _APART_M, distance_m)
