"""How long do a thousand designs take, each judged whole and flown a thousand times?

Run ``python bench/designs.py`` (``--small`` for CI; ``--designs`` asks for another number). Everything that a
search may vary of the lighthouse is drawn at random (ballast, span and place of the fins, walls, rods, motor,
canopy, charge, rail), as a search by ``finial size search --odds 95%`` begins, and each design is judged as
there. Beside the time stands what it judged: designs that go, and the bound of the odds of their worst
against that of ten times as many flights. The baseline is the verdict without any flights. Prints one JSON
record in processor time, and what 1,000 designs are on two cores: a design is flown, on what the next one
leaves of them, while the next one is looked at.
"""

import json
import os
import platform
import shutil
import statistics
import sys
import tempfile
import time
from itertools import pairwise
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
from finial.findings.design_judge import judge_design, of_motor
from finial.flight.many import make_many_ready
from finial.sizing.motors import motors_named
from finial.sizing.variables import changing

SHEET = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
VARIED = (
    "ballast:steel ballast:0.8 kg:2.5 kg",
    "span:fins:0.8:1.2",
    "station:fins:860 mm:900 mm",
    "rail::2 m:4 m",
    "walls:upper tower, middle tower, lower tower and plinth:0.8:1.3",
    "walls:dome, lantern and gallery:0.8:1.3",
    "preload:M8:300 N:900 N",
    "motor:motors",
    "canopy:main:3.5 m:4.5 m",
    "charge:lantern bay:0.8:1.4",
)
WEAKER = 0.9
"""A second motor to choose, invented: this share of the thrust of the sheet's own."""
DESIGNS, DESIGNS_WHEN_SMALL = 60, 4
FLIGHTS = 1000
MANY, CORES = 1000, 2
GOAL_S = 600.0
BOUND_GOAL = 0.02
"""Bounds of a thousand flights may lie so much lower than those of ten thousand; chosen."""


def with_two_motors(folder):
    """Copy the example beside a weaker motor, and return its sheet."""
    sheet = shutil.copytree(SHEET.parent, Path(folder) / "light") / SHEET.name
    own = sheet.parent / "motors" / "demo-k500.toml"
    told = [line for line in own.read_text().splitlines() if not line.startswith("claimed")]
    own.with_name("weaker.toml").write_text("\n".join(told).replace("demo-k500", "weaker"))
    rows = [line.split(",") for line in own.with_suffix(".csv").read_text().splitlines() if "#" not in line]
    curve = [f"{time_s}, {WEAKER * float(thrust)}" for time_s, thrust in rows]
    own.with_name("weaker.csv").write_text("\n".join(["# Invented. Time [s], thrust [N].", *curve]) + "\n")
    return sheet


def designs(count, sheet):
    """Give the vehicle, its motors, and changes of the sheet, drawn at random between the ends."""
    vehicle, variables = load_vehicle(sheet, lambda note: None), variables_of(VARIED, sheet.parent)
    motors = motors_named(variables, sheet.parent)
    low, high = np.array([one.ends for one in variables]).T
    shares = np.random.default_rng(1).random((count, len(variables)))
    written = changing(vehicle, variables)
    for point in low + shares * (high - low):
        yield vehicle, motors, written([float(value) for value in point])


def spent(work):
    """Give what was done, and its processor time [s]."""
    begin = time.process_time()
    answer = work()
    return answer, time.process_time() - begin


def on_two_cores(looks, flown):
    """Give the time that designs take, each flown while the next one is looked at [s].

    A look takes one core, and flights take both, or what a look leaves of them.
    """
    first = looks[0] + flown[-1] / CORES
    return first + sum(
        max(look, (look + flights) / CORES)
        for flights, (_, look) in zip(flown, pairwise(looks), strict=False)
    )


def measure(count, sheet):
    """Fill the record."""
    make_many_ready()
    asked, cases, bounds = list(designs(count + 1, sheet)), [], []
    vehicle, motors, changes = asked[0]
    judge_design(vehicle, changes, motors)
    verdicts, spans, flown = [], [], []
    for vehicle, motors, changes in asked[1:]:
        verdict, seconds = spent(lambda: judge_design(vehicle, changes, motors))  # noqa: B023 - done at once
        verdicts.append(verdict)
        spans.append(seconds)
        fitted = of_motor(vehicle, changes, motors)
        case, seconds = spent(lambda: flight_case(changed(fitted, changes)))  # noqa: B023 - done at once
        cases.append(seconds)
        low, seconds = spent(lambda: least_odds(case, OddsWanted(share=0.95, flights=FLIGHTS)))  # noqa: B023
        flown.append(seconds)
        bounds.append((low, case))
    worst, case = min(bounds, key=lambda pair: pair[0])
    whole = [sum(three) for three in zip(spans, cases, flown, strict=True)]
    looks = [sum(two) for two in zip(spans, cases, strict=True)]
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
        "1000_on_two_cores_s": MANY * on_two_cores(looks, flown) / count,
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
    with tempfile.TemporaryDirectory() as folder:
        count = given.designs or (DESIGNS_WHEN_SMALL if given.small else DESIGNS)
        record = measure(count, with_two_motors(folder))
    print(json.dumps(record, indent=1))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
