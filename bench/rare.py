"""Are odds too small to count the ones that plain counting finds, and how many flights do they take?

Run ``python bench/rare.py`` (``--small`` for CI). With a CUDA card a hundred million flights are counted on
it, and the levels of what is feared are set so that one flight in 100,000 comes there; without one, and
in a small run, the processor counts few, at one in 200. Half of the counted flights set the levels, the
other half checks them. Prints one JSON record.
"""

import json
import math
import os
import platform
import sys
import time

import numpy as np
from goals import judged, options, steady
from gpu import spread_and_inputs
from scipy.stats import binomtest

from finial.campaign.campaign import planned
from finial.campaign.cards import on_cards
from finial.campaign.rare import MOST_FLIGHTS, rare_odds
from finial.campaign.run import Threads
from finial.campaign.spot import Spot
from finial.core.errors import MissingData
from finial.flight.many import make_many_ready

ON_CARD, ON_PROCESSOR, SMALL = 100_000_000, 40_000, 8_000
AT_ONCE = 250_000
SEEDS = (1, 2, 3)


def counted(count):
    """Apogees and distances of landings of plain flights, by flight number, and what flew them."""
    inputs, spread = spread_and_inputs()
    campaign = planned("counted", inputs, spread, flights=count, seed=77)
    campaign, workers = flyers(campaign)
    ranges = [(low, min(low + AT_ONCE, count)) for low in range(0, count, AT_ONCE)]
    apogees, drifts = np.empty(count), np.empty(count)
    for part in workers.flown(campaign, ranges):
        span = slice(part.first, part.first + len(part.results))
        apogees[span] = part.column("apogee_m")
        drifts[span] = np.hypot(part.column("landing_east_m"), part.column("landing_north_m"))
    return apogees, drifts, campaign.rounding


def flyers(campaign):
    """Every card where there is one, else threads."""
    try:
        return on_cards(campaign)
    except MissingData:
        return campaign, Threads(os.cpu_count() or 1)


def has_card():
    """Whether a card can count."""
    from finial.flight.gpu.cards import ready_card

    try:
        ready_card()
    except MissingData:
        return False
    return True


def level_and_count(values, share):
    """Level that a share of the first half passes, and how many of the second half do."""
    first, second = values[::2], values[1::2]
    level = float(np.quantile(first[np.isfinite(first)], 1.0 - share))
    return level, int(np.sum(second > level)), len(second)


def compared(found, count, flights):
    """How the simulated odds lie to the counted ones."""
    theirs = binomtest(count, flights).proportion_ci(0.95, method="exact")
    share = found.share or 0.0
    return {
        "asked": str(found.asked),
        "counted": count / flights,
        "counted_bounds": [theirs.low, theirs.high],
        "found": share,
        "bounds": [found.low, found.high],
        "flights": found.flights,
        "bounds_meet": bool(found.low <= theirs.high and theirs.low <= found.high),
        "log_ratio": math.log(share / (count / flights)) if share and count else math.nan,
    }


def measure(count, share, seeds):
    """Fill the record."""
    make_many_ready()
    begin = time.perf_counter()
    apogees, drifts, on = counted(count)
    span = time.perf_counter() - begin
    ceiling, over, half = level_and_count(apogees, share)
    radius, outside, _ = level_and_count(drifts, share)
    inputs, spread = spread_and_inputs()
    spot = Spot(ceiling_agl_m=ceiling, field_radius_m=radius)
    rows, begin_led = [], time.process_time()
    for seed in seeds:
        campaign = planned("rare", inputs, spread, flights=1, seed=seed)
        far, high = rare_odds(campaign, spot, threads=os.cpu_count() or 1)
        rows += [compared(far, outside, half), compared(high, over, half)]
    return {
        "question": "odds too small to count, against plain counting",
        "machine": platform.processor() or platform.machine(),
        "counted_flights": count,
        "counted_on": on,
        "counted_a_second": count / span,
        "led_processor_s": time.process_time() - begin_led,
        "levels": {"ceiling_m": ceiling, "field_radius_m": radius},
        "rows": rows,
    }


def goals(record):
    """Bounds that meet those of counting, one miss in twenty allowed, from at most 20,000 flights."""
    rows = record["rows"]
    missed = sum(not row["bounds_meet"] for row in rows)
    return [
        steady("answers whose bounds miss those of counting", missed, "at most", max(len(rows) // 20, 0)),
        steady("flights of one answer, most", max(row["flights"] for row in rows), "at most", MOST_FLIGHTS),
    ]


def main():
    given = options(__doc__).parse_args()
    if given.small:
        record = measure(SMALL, 5e-3, SEEDS[:1])
    elif has_card():
        record = measure(ON_CARD, 1e-5, SEEDS)
    else:
        record = measure(ON_PROCESSOR, 5e-3, SEEDS)
    print(json.dumps(record, indent=2))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
