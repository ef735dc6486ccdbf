# pyright: basic, reportArgumentType=false, reportAttributeAccessIssue=false
# Rows of SciPy and of records that are written as JSON have no types.
"""Are odds too small to count the ones that plain counting finds, and how many flights do they take?

Run ``python bench/rare.py`` (``--small`` for CI). With CUDA cards a hundred million flights are counted on
them, and the levels of what is feared are set so that one flight in 100,000 comes there; without one, and
in a small run, the processor counts few, at one in 200. Half of the counted flights set the levels, the
other half checks them. What canopies come to needs no level: lateness and odds of failing are chosen so
that it happens about as seldom, by all three ways: a main that stays in, a drogue that stays in before a
late main, and a main that is late enough by itself. ``--flights``, ``--share`` and ``--answers`` ask for
other numbers of each, and ``--seconds`` ends the counting after that time with what is there. Prints one
JSON record.
"""

import json
import math
import os
import platform
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context

import numpy as np
from goals import judged, options, steady
from gpu import spread_and_inputs
from scipy.stats import binomtest, norm

from finial.campaign.asked import HOPED, Asked
from finial.campaign.campaign import planned
from finial.campaign.cards import PIECE, on_cards
from finial.campaign.flown import some_flights
from finial.campaign.happened import happened
from finial.campaign.rare import MOST_FLIGHTS, rare_odds
from finial.campaign.run import Threads
from finial.campaign.spot import CROWD_DEEP_M, REACH_M, Crowd, Spot
from finial.core.errors import MissingData
from finial.flight.fly import make_ready
from finial.flight.many import make_many_ready
from finial.flight.spread import BELL, ODDS, Draw, canopy_slot, either_way
from finial.flight.uncertain import Drawn, Uncertain

ON_CARD, ON_PROCESSOR, SMALL = (100_000_000, 1e-5), (40_000, 5e-3), (8_000, 5e-3)
"""Flights, and the share of them that is feared."""
ANSWERS = 5
PROCESSES = min(os.cpu_count() or 1, 20)
"""Single flights come back to Python one by one: threads would wait for one another."""
KEPT = ("apogee_m", "landing_east_m", "landing_north_m", "under_canopy")
ACROSS_M = 30.0
FEWEST = 20
"""Counted flights at least that set a level, or it says nothing."""
CANOPIES = (Asked.OPEN_CANOPY, Asked.BALLISTIC)
DROGUE, MAIN = 0, 1
FALL_S = 6.1
"""About how long a vehicle under its drogue takes from the main's height to the ground."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What plain flights came to, flight by flight: apogee, landing point, open canopy."""

    rows: np.ndarray
    endings: dict
    """How many came down as canopies leave it, by question."""
    on: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Feared:
    """A place, what is feared there, and how many of the flights that did not set its level came to it."""

    spot: Spot
    asked: Asked
    count: int
    flights: int


def vehicle(share):
    """Return the invented vehicle, its canopies failing and late about as seldom as is asked."""
    inputs, spread = spread_and_inputs()
    late = 2.0 * FALL_S / norm.isf(share)
    canopies = (
        either_way(
            Uncertain(kind=Drawn.CANOPY_DRAG, of="drogue"),
            canopy_slot(0, DROGUE, "drag_factor"), 0.4, base=1.0, shape=BELL,
        ),
        Draw(
            number=Uncertain(kind=Drawn.CANOPY_LATE, of="main"), slot=canopy_slot(0, MAIN, "delay_s"),
            shape=BELL, base=0.2, below=0.2, above=late,
        ),
        stays_in("drogue", DROGUE, 40.0 * share),
        stays_in("main", MAIN, 0.3 * share),
    )  # fmt: skip
    others = tuple(draw for draw in spread.draws if draw.shape != ODDS)
    return inputs, replace(spread, draws=(*others, *canopies))


def stays_in(name, canopy, odds):
    """Odds of a canopy that stays in."""
    slot = canopy_slot(0, canopy, "stays_in")
    number = Uncertain(kind=Drawn.STAYS_IN, of=name)
    return Draw(number=number, slot=slot, shape=ODDS, base=0.0, above=odds)


def counted(count, share, seconds):
    """Fly plain flights on every card, or on threads; as many as the time allows."""
    campaign, workers, piece = flyers(planned("counted", *vehicle(share), flights=count, seed=77))
    rows, flown = np.empty((count, len(KEPT))), np.zeros(count, dtype=bool)
    endings = dict.fromkeys(CANOPIES, 0)
    begin = time.perf_counter()
    parts = workers.flown(campaign, [(low, min(low + piece, count)) for low in range(0, count, piece)])
    for number, part in enumerate(parts):
        span = slice(part.first, part.first + len(part.results))
        for at, name in enumerate(KEPT):
            rows[span, at] = part.column(name)
        flown[span] = True
        ends = dict(happened(some_flights(part.results), Spot()))
        for asked in CANOPIES:
            endings[asked] += int(np.sum(~ends[asked] if asked in HOPED else ends[asked]))
        passed = time.perf_counter() - begin
        if number % 200 == 0:
            told(f"{int(flown.sum())} flights counted in {passed:.1f} s")
        if passed > seconds:
            break
    parts.close()
    seconds = time.perf_counter() - begin
    return Counted(
        rows=rows if flown.all() else rows[flown], endings=endings, on=campaign.rounding, seconds=seconds
    )


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


def feared(counts, share):
    """What canopies come to; places where so many of the first half come to it, with the second's count."""
    for asked, count in counts.endings.items():
        yield Feared(spot=Spot(), asked=asked, count=count, flights=len(counts.rows))
    first, second = counts.rows[::2], counts.rows[1::2]
    yield over_ceiling(first, second, share)
    yield outside(first, second, share)
    yield from among_people(first, second, share, bare=False)
    yield from among_people(first, second, share, bare=True)


def over_ceiling(first, second, share):
    """A ceiling that so few go over."""
    level = high_quantile(first[:, 0], share)
    return Feared(
        spot=Spot(ceiling_agl_m=level),
        asked=Asked.OVER_CEILING,
        count=int(np.sum(second[:, 0] > level)),
        flights=len(second),
    )


def outside(first, second, share):
    """A field that so few land outside."""
    level = high_quantile(np.hypot(first[:, 1], first[:, 2]), share)
    return Feared(
        spot=Spot(field_radius_m=level),
        asked=Asked.INSIDE_RADIUS,
        count=int(np.sum(np.hypot(second[:, 1], second[:, 2]) > level)),
        flights=len(second),
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
        flights=len(second),
    )


def high_quantile(values, share):
    """Level that a share of the values passes."""
    finite = values[np.isfinite(values)]
    at = max(int(finite.size - share * values.size) - 1, 0)
    return float(np.partition(finite, at)[at])


def compared(found, one):
    """How the simulated odds lie to the counted ones."""
    theirs = binomtest(one.count, one.flights).proportion_ci(0.95, method="exact")
    share = found.share or 0.0
    return {
        "asked": str(found.asked),
        "where": str(one.spot),
        "counted": one.count / one.flights,
        "counted_bounds": [theirs.low, theirs.high],
        "found": share,
        "bounds": [found.low, found.high],
        "flights": found.flights,
        "bounds_meet": bool(found.low <= theirs.high and theirs.low <= found.high),
        "log_ratio": math.log(share * one.flights / one.count) if share and one.count else math.nan,
    }


def answers(pool, places, share, number):
    """Ask for the odds of each place again and again, with other chance, on processes."""
    asked = [(seed, share, one) for seed in range(1, number + 1) for one in places]
    for (*_, one), found in zip(asked, pool.map(answered, *zip(*asked, strict=True)), strict=True):
        yield compared(found, one)


def answered(seed, share, one):
    """Ask once for the odds of one place."""
    campaign = planned("rare", *vehicle(share), flights=1, seed=seed)
    (found,) = rare_odds(campaign, one.spot, only=(one.asked,))
    return found


def ready():
    """Compile the processor's kernels; the seconds that took."""
    begin = time.perf_counter()
    make_ready()
    make_many_ready()
    return time.perf_counter() - begin


def measure(count, share, number, seconds):
    """Fill the record."""
    begin = time.perf_counter()
    # A process that was split off from one with a card open would hold a broken card.
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        compiled = pool.submit(ready)
        if not has_card():
            compiled.result()
        flights = counted(count, share, seconds)
        told(f"counted {len(flights.rows)} flights in {flights.seconds:.1f} s: {flights.endings}")
        places = list(feared(flights, share))
        told(f"the levels are set; the processor's kernels took {compiled.result():.1f} s")
        clock = time.perf_counter()
        rows = list(answers(pool, places, share, number))
        clock = time.perf_counter() - clock
    return {
        "question": "odds too small to count, against plain counting",
        "machine": platform.processor() or platform.machine(),
        "counted_flights": len(flights.rows),
        "counted_on": flights.on,
        "counted_a_second": len(flights.rows) / flights.seconds,
        "led_on_processes": PROCESSES,
        "led_clock_s": clock,
        "whole_s": time.perf_counter() - begin,
        "mean_over_counted": {
            str(one.asked): float(
                np.mean([row["found"] for row in rows if row["asked"] == str(one.asked)])
                * one.flights
                / one.count
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
