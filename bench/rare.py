"""Are odds too small to count the ones that plain counting finds, and how many flights do they take?

Run ``python bench/rare.py`` (``--small`` for CI). With CUDA cards a hundred million flights are counted on
them, and the levels of what is feared are set so that one flight in 100,000 comes there; without one, and
in a small run, the processor counts few, at one in 200. Half of the counted flights set the levels, the
other half checks them. ``--flights``, ``--share`` and ``--answers`` ask for other numbers of each, and
``--seconds`` ends the counting after that time with what is there. Prints one JSON record.
"""

import json
import math
import os
import platform
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context

import numpy as np
from goals import judged, options, steady
from gpu import spread_and_inputs
from scipy.stats import binomtest

from finial.campaign.asked import Asked
from finial.campaign.campaign import planned
from finial.campaign.cards import PIECE, on_cards
from finial.campaign.rare import MOST_FLIGHTS, rare_odds
from finial.campaign.run import Threads
from finial.campaign.spot import CROWD_DEEP_M, REACH_M, Crowd, Spot
from finial.core.errors import MissingData
from finial.flight.many import make_many_ready

ON_CARD, ON_PROCESSOR, SMALL = (100_000_000, 1e-5), (40_000, 5e-3), (8_000, 5e-3)
"""Flights, and the share of them that is feared."""
ANSWERS = 5
PROCESSES = min(os.cpu_count() or 1, 20)
"""Single flights come back to Python one by one: threads would wait for one another."""
KEPT = ("apogee_m", "landing_east_m", "landing_north_m", "under_canopy")
ACROSS_M = 30.0
FEWEST = 20
"""Counted flights at least that set a level, or it says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What plain flights came to, flight by flight: apogee, landing point, open canopy."""

    rows: np.ndarray
    on: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Feared:
    """A place, what is feared there, and how many of the flights that did not set its level came to it."""

    spot: Spot
    asked: Asked
    count: int


def counted(count, seconds):
    """Fly plain flights on every card, or on threads; as many as the time allows."""
    campaign, workers, piece = flyers(planned("counted", *spread_and_inputs(), flights=count, seed=77))
    rows, flown = np.empty((count, len(KEPT))), np.zeros(count, dtype=bool)
    begin = time.perf_counter()
    parts = workers.flown(campaign, [(low, min(low + piece, count)) for low in range(0, count, piece)])
    for number, part in enumerate(parts):
        span = slice(part.first, part.first + len(part.results))
        for at, name in enumerate(KEPT):
            rows[span, at] = part.column(name)
        flown[span] = True
        passed = time.perf_counter() - begin
        if number % 200 == 0:
            told(f"{int(flown.sum())} flights counted in {passed:.1f} s")
        if passed > seconds:
            break
    parts.close()
    seconds = time.perf_counter() - begin
    return Counted(rows=rows if flown.all() else rows[flown], on=campaign.rounding, seconds=seconds)


def flyers(campaign):
    """Every card where there is one, else threads; and how many flights they take at a time."""
    try:
        return *on_cards(campaign), PIECE
    except MissingData:
        return campaign, Threads(os.cpu_count() or 1), 10_000


def has_card():
    """Whether a card can count."""
    from finial.core.cards import ready_card

    try:
        ready_card()
    except MissingData:
        return False
    return True


def feared(rows, share):
    """Places where so many of the first half come to what is feared, with the second half's count."""
    first, second = rows[::2], rows[1::2]
    yield over_ceiling(first, second, share)
    yield outside(first, second, share)
    yield from among_people(first, second, share, bare=False)
    yield from among_people(first, second, share, bare=True)


def over_ceiling(first, second, share):
    """A ceiling that so few go over."""
    level = high_quantile(first[:, 0], share)
    return Feared(
        spot=Spot(ceiling_agl_m=level), asked=Asked.OVER_CEILING, count=int(np.sum(second[:, 0] > level))
    )


def outside(first, second, share):
    """A field that so few land outside."""
    level = high_quantile(np.hypot(first[:, 1], first[:, 2]), share)
    return Feared(
        spot=Spot(field_radius_m=level),
        asked=Asked.INSIDE_RADIUS,
        count=int(np.sum(np.hypot(second[:, 1], second[:, 2]) > level)),
    )


def among_people(first, second, share, *, bare):
    """People downwind, so far that so few land among them, or do so without an open canopy.

    Nowhere where so many never land at one place.
    """
    those = first[first[:, 3] == 0.0] if bare else first
    if len(those) < FEWEST:
        return
    bearing = math.atan2(np.nanmean(those[:, 1]), np.nanmean(those[:, 2]))
    out = those[:, 1] * math.sin(bearing) + those[:, 2] * math.cos(bearing)
    aside = those[:, 1] * math.cos(bearing) - those[:, 2] * math.sin(bearing)
    out = np.sort(out[np.abs(aside) <= ACROSS_M / 2.0 + REACH_M])
    struck = np.searchsorted(out, out + CROWD_DEEP_M + 2.0 * REACH_M, side="right") - np.arange(out.size)
    far_enough = np.flatnonzero(struck >= max(share * len(first), FEWEST))
    if not far_enough.size:
        return
    near = float(out[far_enough[-1]]) + REACH_M
    crowd = Crowd(near_m=near, bearing_rad=bearing, across_m=ACROSS_M)
    hit = crowd.struck(second[:, 1:3])
    yield Feared(
        spot=Spot(crowd=crowd),
        asked=Asked.STRIKES_BARE if bare else Asked.STRIKES_CROWD,
        count=int(np.sum(hit & (second[:, 3] == 0.0) if bare else hit)),
    )


def high_quantile(values, share):
    """Level that a share of the values passes."""
    finite = values[np.isfinite(values)]
    at = max(int(finite.size - share * values.size) - 1, 0)
    return float(np.partition(finite, at)[at])


def compared(found, one, flights):
    """How the simulated odds lie to the counted ones."""
    theirs = binomtest(one.count, flights).proportion_ci(0.95, method="exact")
    share = found.share or 0.0
    return {
        "asked": str(found.asked),
        "where": str(one.spot),
        "counted": one.count / flights,
        "counted_bounds": [theirs.low, theirs.high],
        "found": share,
        "bounds": [found.low, found.high],
        "flights": found.flights,
        "bounds_meet": bool(found.low <= theirs.high and theirs.low <= found.high),
        "log_ratio": math.log(share * flights / one.count) if share and one.count else math.nan,
    }


def answers(places, flights, number):
    """Ask for the odds of each place again and again, with other chance, on processes."""
    asked = [(seed, one) for seed in range(1, number + 1) for one in places]
    # A process that was split off from one with a card open would hold a broken card.
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        for (_, one), found in zip(asked, pool.map(answered, *zip(*asked, strict=True)), strict=True):
            yield compared(found, one, flights)


def answered(seed, one):
    """Ask once for the odds of one place."""
    campaign = planned("rare", *spread_and_inputs(), flights=1, seed=seed)
    return next(each for each in rare_odds(campaign, one.spot) if each.asked is one.asked)


def measure(count, share, number, seconds):
    """Fill the record."""
    begin = time.perf_counter()
    make_many_ready()
    told(f"the processor's kernels are ready after {time.perf_counter() - begin:.1f} s")
    flights = counted(count, seconds)
    told(f"counted {len(flights.rows)} flights in {flights.seconds:.1f} s")
    places, half = list(feared(flights.rows, share)), len(flights.rows) // 2
    told("the levels are set")
    clock = time.perf_counter()
    rows = list(answers(places, half, number))
    return {
        "question": "odds too small to count, against plain counting",
        "machine": platform.processor() or platform.machine(),
        "counted_flights": len(flights.rows),
        "counted_on": flights.on,
        "counted_a_second": len(flights.rows) / flights.seconds,
        "led_on_processes": PROCESSES,
        "led_clock_s": time.perf_counter() - clock,
        "whole_s": time.perf_counter() - begin,
        "mean_over_counted": {
            str(one.asked): float(
                np.mean([row["found"] for row in rows if row["asked"] == str(one.asked)]) * half / one.count
            )
            for one in places
            if one.count
        },
        "rows": rows,
    }


def goals(record):
    """Bounds that meet those of counting, one miss in twenty allowed, from at most 20,000 flights."""
    rows = record["rows"]
    missed = sum(not row["bounds_meet"] for row in rows)
    return [
        steady("answers whose bounds miss those of counting", missed, "at most", len(rows) // 20),
        steady("flights of one answer, most", max(row["flights"] for row in rows), "at most", MOST_FLIGHTS),
    ]


def told(words):
    """Say how far it came where the record does not stand."""
    print(words, file=sys.stderr, flush=True)


def main():
    parser = options(__doc__)
    parser.add_argument("--flights", type=int, help="to count")
    parser.add_argument("--share", type=float, help="of them that is feared")
    parser.add_argument("--answers", type=int, default=ANSWERS, help="to each question")
    parser.add_argument("--seconds", type=float, default=math.inf, help="of counting, at most")
    given = parser.parse_args()
    count, share = SMALL if given.small else ON_CARD if has_card() else ON_PROCESSOR
    number = 1 if given.small else given.answers
    record = measure(given.flights or count, given.share or share, number, given.seconds)
    print(json.dumps(record, indent=2))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
