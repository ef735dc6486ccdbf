"""What does a campaign cost over the bare kernel, and does it survive being killed twenty times?

Run ``python bench/campaign.py`` (``--small`` for a quick look, ``--soak`` for 10,000 flights killed
twenty times at random and compared bit by bit). Prints one JSON record.
"""

import argparse
import json
import os
import platform
import random
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numba
import numpy as np
from goals import judged, options, ratio, steady

from finial.assemble.spread.case import flight_case
from finial.campaign.campaign import planned
from finial.campaign.flown import read_flown
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.findings.check import load
from finial.flight.kernel import layout
from finial.flight.kernel import spread_layout as slots
from finial.flight.kernel.draws import fill_slots
from finial.flight.kernel.run import run
from finial.flight.kernel.vary import vary
from finial.flight.many import fly_many, make_many_ready
from finial.flight.packing.many import packed_many
from finial.flight.packing.pack import Stepping

SHEET = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
RATIO_GOAL = 1.3
RATIO_WHEN_SMALL = 2.0
"""Few flights carry the cost of the files; other work on the machine disturbs what is short."""


def case():
    """Flights of the example, everything uncertain in its sheet drawn."""
    return flight_case(load(SHEET))


def bare_kernel(flights, count):
    """Seconds per flight of the kernel alone, on pools filled beforehand."""
    pools = []
    for flight in range(count):
        pool, own = flights.pool.copy(), np.empty(flights.marks[slots.N_SLOTS])
        fill_slots(flight, flights.marks, flights.plan, np.empty(flights.draws), own, np.empty(flights.draws))
        vary(flight, flights.marks, flights.plan, own, np.empty(slots.MOMENTS), flights.ints.copy(), pool)
        pools.append(pool)
    ints, work, rates = flights.ints.copy(), np.empty(layout.N_WORK), np.empty(layout.N_RATES)
    log, rows = np.empty((layout.LOG_ROWS, layout.LOG_COLUMNS)), np.empty((0, layout.ROW_COLUMNS))
    run(ints, pools[0], flights.table, work, rates, rows, log)
    begin = time.process_time()
    for pool in pools:
        run(ints, pool, flights.table, work, rates, rows, log)
    return (time.process_time() - begin) / count


def whole_campaign(found, count):
    """CPU seconds per flight of a campaign on one thread, files and all."""
    with tempfile.TemporaryDirectory() as folder:
        campaign = planned(found.name, found.inputs, found.spread, flights=count, seed=1)
        begin = time.process_time()
        run_campaign(campaign, Path(folder) / "c", Threads(1))
        return (time.process_time() - begin) / count


def by_threads(flights, count):
    """Flights a second on one and on two threads."""
    answer = {}
    for threads in (1, 2):
        begin = time.perf_counter()
        fly_many(flights, 0, count, threads=threads)
        answer[str(threads)] = count / (time.perf_counter() - begin)
    return answer


def by_tolerance(found, count):
    """Milliseconds per flight, and how far landing points move, for each tolerance against 1e-9."""
    tolerances = (1e-3, 1e-4, 1e-5, 1e-6)

    def flown(tolerance):
        stepping = Stepping(tolerance=tolerance, samples=2)
        flights = packed_many(found.inputs, found.spread, seed=1, stepping=stepping)
        begin = time.process_time()
        answer = fly_many(flights, 0, count)
        return answer, 1e3 * (time.process_time() - begin) / count

    exact, _ = flown(1e-9)
    rows = {}
    for tolerance in tolerances:
        answer, milliseconds = flown(tolerance)
        apart = np.hypot(
            answer.column("landing_east_m") - exact.column("landing_east_m"),
            answer.column("landing_north_m") - exact.column("landing_north_m"),
        )
        rows[f"{tolerance:g}"] = {
            "ms": milliseconds,
            "landing_error_m": {"median": float(np.median(apart)), "p99": float(np.quantile(apart, 0.99))},
        }
    return rows


def measure(count, runs):
    """Fill the record."""
    make_many_ready()
    found = case()
    flights = packed_many(found.inputs, found.spread, seed=1)
    fly_many(flights, 0, 10)
    # The library that writes files takes a third of a second to load: that is not a flight's cost.
    whole_campaign(found, 10)
    pairs = [(bare_kernel(flights, count // 4), whole_campaign(found, count)) for _ in range(runs)]
    ratios = [whole / bare for bare, whole in pairs]
    return {
        "question": "a campaign's CPU time per flight over that of the bare kernel",
        "machine": platform.processor() or platform.machine(),
        "python": platform.python_version(),
        "numba": numba.__version__,
        "uncertain_numbers": flights.draws,
        "flights": count,
        "bare_kernel_ms": 1e3 * statistics.median(bare for bare, _ in pairs),
        "campaign_ms": 1e3 * statistics.median(whole for _, whole in pairs),
        "ratio": statistics.median(ratios),
        "ratio_spread": max(ratios) - min(ratios),
        "flights_a_second_by_threads": by_threads(flights, count),
        "by_tolerance": by_tolerance(found, count // 4),
    }


def soak(count, kills):
    """Kill a campaign again and again, then compare it with one that was left alone."""
    chance = random.Random(1)
    with tempfile.TemporaryDirectory() as scratch:
        killed, alone = Path(scratch) / "killed", Path(scratch) / "alone"
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
        done = 0
        while done < kills:
            arguments = [
                sys.executable,
                __file__,
                "--fly",
                str(killed),
                str(count),
                str(chance.choice((70, 200, 330))),
            ]
            process = subprocess.Popen(arguments, env=environment)
            before = kept_flights(killed, count) if killed.exists() else 0
            while process.poll() is None and (not killed.exists() or kept_flights(killed, count) <= before):
                time.sleep(0.02)
            time.sleep(chance.uniform(0.0, 0.15))
            if process.poll() is not None:
                break
            process.send_signal(signal.SIGKILL)
            process.wait()
            done += 1
        halfway = kept_flights(killed, count)
        fly_to(killed, count, 1000)
        fly_to(alone, count, 1000)
        one, other = read_flown(killed), read_flown(alone)
        same = all(
            np.array_equal(one.results[name], other.results[name], equal_nan=True) for name in one.results
        ) and np.array_equal(one.drawn, other.drawn)
    return {
        "flights": count,
        "kills": kills,
        "killed": done,
        "kept_after_the_last_kill": halfway,
        "bitwise_equal": same,
    }


def soak_goals(record):
    """Every kill came while it still flew, and no number differs."""
    return [
        steady("kills before it was done", record["killed"], "exactly", record["kills"]),
        steady("killed and left alone are equal to the last bit", record["bitwise_equal"], "exactly", 1),
    ]


def goals(record):
    """What a campaign costs over its kernel, in processor time of one run."""
    what = "campaign's time per flight over that of the bare kernel"
    return [ratio(what, record["ratio"], "at most", RATIO_GOAL, RATIO_WHEN_SMALL)]


def fly_to(folder, count, chunk):
    """Fly the example's campaign into a folder."""
    found = case()
    campaign = planned(found.name, found.inputs, found.spread, flights=count, seed=1)
    run_campaign(campaign, folder, Threads(1), chunk=chunk)


def main():
    parser = options(__doc__)
    parser.add_argument("--soak", action="store_true", help="10,000 flights, killed twenty times")
    parser.add_argument("--fly", nargs=3, metavar=("FOLDER", "FLIGHTS", "CHUNK"), help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.fly:
        folder, count, chunk = given.fly
        fly_to(Path(folder), int(count), int(chunk))
        return 0
    if given.soak:
        record = soak(10_000, 20)
        print(json.dumps(record, indent=2))
        return judged(soak_goals(record), given)
    record = measure(400, 1) if given.small else measure(4000, 5)
    print(json.dumps(record, indent=2))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
