"""How long do a thousand designs take, each judged whole and flown a thousand times?

Run ``python bench/designs.py`` (``--small`` for CI; ``--designs`` asks for another number). Ballast, span and
place of the fins and the rail of the lighthouse are drawn at random, as a search by ``finial size search
--odds 95%`` begins, and each design is judged as there, one after the other. Beside the time stands what it
judged: designs that go, and the bound of the odds of their worst against that of ten times as many flights.
The baseline is the verdict without any flights. Prints one JSON record in processor time, and what 1,000
designs are on two cores.
"""

import json
import os
import platform
import statistics
import sys
import time
from pathlib import Path

# As the command line does: a second thread of the library that solves waits and counts as work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from goals import absolute_time, judged, options, steady

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.loading import load_vehicle
from finial.campaign.as_meant import OddsWanted, least_odds
from finial.cli.vary_option import variables_of
from finial.findings.design_judge import judge_design
from finial.flight.many import make_many_ready
from finial.sizing.variables import changes_of

SHEET = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
VARIED = (
    "ballast:steel ballast:0.8 kg:2.5 kg",
    "span:fins:0.8:1.2",
    "station:fins:860 mm:900 mm",
    "rail::2 m:4 m",
)
DESIGNS, DESIGNS_WHEN_SMALL = 60, 4
FLIGHTS = 1000
MANY, CORES = 1000, 2
GOAL_S = 600.0
BOUND_GOAL = 0.02
"""Bounds of a thousand flights may lie so much lower than those of ten thousand; chosen."""


def designs(count):
    """Give changes of the sheet, drawn at random between the ends."""
    vehicle, variables = load_vehicle(SHEET, lambda note: None), variables_of(VARIED)
    low, high = np.array([(one.low, one.high) for one in variables]).T
    shares = np.random.default_rng(1).random((count, len(variables)))
    for point in low + shares * (high - low):
        yield vehicle, changes_of(vehicle.sheet, variables, [float(value) for value in point])


def spent(work):
    """Give what was done, and its processor time [s]."""
    begin = time.process_time()
    answer = work()
    return answer, time.process_time() - begin


def measure(count):
    """Fill the record."""
    make_many_ready()
    asked, cases, bounds = list(designs(count + 1)), [], []
    judge_design(*asked[0])
    verdicts, spans, flown = [], [], []
    for vehicle, changes in asked[1:]:
        verdict, seconds = spent(lambda: judge_design(vehicle, changes))  # noqa: B023 - done at once
        verdicts.append(verdict)
        spans.append(seconds)
        case, seconds = spent(lambda: flight_case(changed(vehicle, changes)))  # noqa: B023 - done at once
        cases.append(seconds)
        low, seconds = spent(lambda: least_odds(case, OddsWanted(share=0.95, flights=FLIGHTS)))  # noqa: B023
        flown.append(seconds)
        bounds.append((low, case))
    worst, case = min(bounds, key=lambda pair: pair[0])
    whole = [sum(three) for three in zip(spans, cases, flown, strict=True)]
    return {
        "question": "designs judged whole and flown many times each",
        "machine": platform.processor() or platform.machine(),
        "designs": count,
        "flights_of_each": FLIGHTS,
        "go": sum(one.is_go for one in verdicts),
        "verdict_alone_s": statistics.median(spans),
        "case_s": statistics.median(cases),
        "flights_s": statistics.median(flown),
        "design_s": statistics.median(whole),
        "spread_s": max(whole) - min(whole),
        "over_verdict_alone": statistics.median(whole) / statistics.median(spans),
        "1000_on_one_core_s": MANY * sum(whole) / count,
        # A search judges one design after the other, and flies each on all cores.
        "1000_on_two_cores_s": MANY * (sum(whole) - sum(flown) * (1.0 - 1.0 / CORES)) / count,
        "worst_bound": worst,
        "worst_bound_of_ten_times": least_odds(case, OddsWanted(share=0.95, flights=10 * FLIGHTS)),
    }


def goals(record):
    """Time of a thousand designs, every one flown; and the bound."""
    apart = record["worst_bound_of_ten_times"] - record["worst_bound"]
    return [
        steady("bound of the worst, below that of ten times the flights", apart, "at most", BOUND_GOAL),
        absolute_time("1,000 designs, all flown, on two cores", record["1000_on_two_cores_s"], GOAL_S, " s"),
    ]


def main():
    parser = options(__doc__)
    parser.add_argument("--designs", type=int)
    given = parser.parse_args()
    record = measure(given.designs or (DESIGNS_WHEN_SMALL if given.small else DESIGNS))
    print(json.dumps(record, indent=1))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
