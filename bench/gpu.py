"""How fast are many flights on a graphics card, and do they land where the processor's do?

Run ``python bench/gpu.py`` on a machine with a CUDA card and numba-cuda (``--small``: 1000 flights
only). Needs NumPy, SciPy, numba, numba-cuda and pyarrow, and Finial's ``src`` on the path; set
``FINIAL_CACHE_DIR`` where the user's cache folder cannot be used. ``--soak`` kills a campaign of a million
flights twenty times instead, and ``--cuts`` tells what launches of several sizes, several at once, make of
it; both take ``--flights``, and without a card the soak flies on threads. ``--sheet`` flies what a build
sheet describes instead, which needs all of Finial. Prints one JSON record: the card's rate alone, that of
one card, two and so on together, and that of a campaign kept in files, which is then flown once more,
stopped in the middle, gone on with in other pieces, and compared bit by bit. Without a card it says so and
measures nothing.
"""

import argparse
import json
import os
import platform
import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numba
import numpy as np
from goals import judged, not_run, options, rate, steady

from finial.campaign.campaign import planned
from finial.campaign.cards import CHUNK, Cards, on_cards
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.core.cards import ready_card
from finial.core.errors import MissingData
from finial.flight.example import example_inputs
from finial.flight.gpu.cards import fly_on_gpu
from finial.flight.kernel import spread_layout as slots
from finial.flight.many import RESULTS, fly_many, make_many_ready
from finial.flight.packing.many import packed_many
from finial.flight.spread import BELL, Draw, Spread, canopy_slot, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain

SIZES = (10_000, 100_000, 1_000_000)
TOGETHER = 4
"""Times the largest number, for several cards together."""
COMPARED = 4000
CARD_GOALS = {10_000: 120_000.0, 1_000_000: 250_000.0}
"""Flights a second of one H200; told of any other card."""
TWO_CARDS_GOAL = 1.9
APOGEE_GOAL_M, LANDING_GOAL_M = 0.5, 0.05
"""Both take steps to 1e-4; their landing points may part as far as that error allows."""


class Stopped(Exception):
    """Stands for a kill between two files."""


def spread_and_inputs():
    """Flights of the invented vehicle: thrust, wind, direction, drag, crooked fins, gusts every 10 m."""
    draws = (
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, base=1.0, shape=BELL),
        either_way(Uncertain(kind=Drawn.WIND), slots.WIND_SPEED, 2.0, base=4.0, shape=BELL),
        either_way(Uncertain(kind=Drawn.WIND_DIRECTION), slots.WIND_TURN, 0.5, shape=BELL),
        either_way(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, 0.2, base=1.0),
        either_way(Uncertain(kind=Drawn.FINS_TWISTED), slots.ROLL_MOMENT, 0.01, shape=BELL),
        Draw(
            number=Uncertain(kind=Drawn.STAYS_IN, of="main"),
            slot=canopy_slot(0, 1, "stays_in"),
            shape="odds",
            base=0.0,
            above=0.01,
        ),
    )
    inputs = example_inputs()
    return inputs, Spread(
        draws=draws,
        masses=whole_mass(inputs),
        wind_speed_m_s=4.0,
        gust_heights_m=np.arange(0.0, 350.0, 10.0),
    )


def campaign():
    """Pack them."""
    return packed_many(*spread_and_inputs(), seed=1)


def compared(flights):
    """Largest and typical distance between the card's results and the processor's."""
    ours, cards = (
        fly_many(flights, 0, COMPARED, threads=os.cpu_count() or 1),
        fly_on_gpu(flights, 0, COMPARED),
    )
    record = {
        "flights": COMPARED,
        "other_endings": int(np.count_nonzero(ours.results[:, 0] != cards.results[:, 0])),
    }
    for name in ("apogee_m", "landing_east_m", "landing_north_m", "rail_exit_speed_m_s", "max_alpha_rad"):
        apart = np.abs(ours.column(name) - cards.column(name))
        record[name] = {"largest": float(np.nanmax(apart)), "median": float(np.nanmedian(apart))}
    finest = np.abs(ours.drawn - cards.drawn).max()
    return {**record, "drawn_apart": float(finest), "results": list(RESULTS)}


def on_processor(flights, count, runs):
    """Flights a second on all threads of the processor."""
    threads = os.cpu_count() or 1
    fly_many(flights, 0, count, threads=threads)
    spans = []
    for _ in range(runs):
        begin = time.perf_counter()
        fly_many(flights, 0, count, threads=threads)
        spans.append(time.perf_counter() - begin)
    return {"threads": threads, "flights": count, "a_second": count / statistics.median(spans)}


def on_card(flights, count, runs):
    """Flights a second, with the way to the card and back."""
    spans = []
    for _ in range(runs):
        begin = time.perf_counter()
        fly_on_gpu(flights, 0, count)
        spans.append(time.perf_counter() - begin)
    return {
        "flights": count,
        "median_s": statistics.median(spans),
        "spread_s": max(spans) - min(spans),
        "a_second": count / statistics.median(spans),
    }


def on_cards_together(inputs, spread, count, chunk, runs):
    """Flights a second on one card, two, four and so on, results on the processor's side but in no file."""
    on_the_cards, cards = on_cards(planned("bench", inputs, spread, flights=count, seed=1))
    ranges = [(low, min(low + chunk, count)) for low in range(0, count, chunk)]
    rows = []
    for number in (2**power for power in range(cards.count.bit_length())):
        some, spans = Cards(number), []
        for _ in range(runs + 1):
            begin = time.perf_counter()
            flown = sum(len(part.results) for part in some.flown(on_the_cards, ranges))
            spans.append(time.perf_counter() - begin)
        # The first run loads the machine code onto each card.
        rows.append(
            {
                "cards": number,
                "flights": flown,
                "a_second": count / statistics.median(spans[1:]),
                "spread_s": max(spans[1:]) - min(spans[1:]),
            }
        )
    for row in rows:
        row["over_one_card"] = row["a_second"] / rows[0]["a_second"]
    return rows


def kept_campaign(count, chunk):
    """Flights a second with files and all; and whether one stopped in the middle ends with the same bits."""
    inputs, spread = spread_and_inputs()
    plain = planned("bench", inputs, spread, flights=count, seed=1)
    on_the_cards, cards = on_cards(plain)
    with tempfile.TemporaryDirectory() as scratch:
        straight, stopped = Path(scratch) / "straight", Path(scratch) / "stopped"
        begin = time.perf_counter()
        run_campaign(on_the_cards, straight, cards, chunk=chunk)
        span = time.perf_counter() - begin
        kept = stop_in_the_middle(on_the_cards, cards, stopped, chunk)
        run_campaign(on_the_cards, stopped, cards, chunk=max(chunk // 3, 1))
        same = np.array_equal(rows_of(straight), rows_of(stopped), equal_nan=True)
        size = sum(path.stat().st_size for path in straight.iterdir())
    return {
        "flights": count,
        "cards": cards.count,
        "rounding": on_the_cards.rounding,
        "a_second": count / span,
        "bytes_a_flight": size / count,
        "kept_when_stopped": kept,
        "bitwise_equal": bool(same),
    }


def stop_in_the_middle(planned_campaign, cards, folder, chunk):
    """Fly until two files are kept."""
    files = []

    def told(count):
        files.append(count)
        if len(files) == 2:
            raise Stopped

    try:
        run_campaign(planned_campaign, folder, cards, chunk=chunk, told=told)
    except Stopped:
        pass
    return sum(files)


def rows_of(folder):
    """Every kept number, flight by flight."""
    import pyarrow.parquet as parquet

    tables = [parquet.read_table(path) for path in sorted(folder.glob("flights-*.parquet"))]
    return np.vstack([np.column_stack([column.to_numpy() for column in table.columns]) for table in tables])


def soak(count, kills, chunk):
    """Kill a campaign again and again at any moment, then compare it with one that was left alone."""
    chance, begin, lives = random.Random(1), time.perf_counter(), []
    with tempfile.TemporaryDirectory() as scratch:
        killed, alone = Path(scratch) / "killed", Path(scratch) / "alone"
        while len(lives) < kills:
            more = count / (1.6 * kills) * chance.uniform(0.2, 1.0)
            if not flown_and_killed(killed, count, chunk, more, chance.uniform(0.0, 0.03)):
                break
            lives.append(kept_flights(killed, count))
            print(f"killed {len(lives)} times, {lives[-1]} flights kept", file=sys.stderr, flush=True)
        left = sum(1 for path in killed.iterdir() if not path.name.startswith("flights-"))
        on = fly_to(killed, count, CHUNK)
        fly_to(alone, count, CHUNK)
        one, other = rows_of(killed), rows_of(alone)
    return {
        "question": "a campaign killed again and again, against one that was left alone",
        "flights": count,
        "flown_on": on,
        "kills": kills,
        "kept_after_each_kill": lives,
        "other_files_after_the_last_kill": left,
        "every_flight_once": bool(np.array_equal(one[:, 0], np.arange(count))),
        "bitwise_equal": bool(one.tobytes() == other.tobytes()),
        "whole_s": time.perf_counter() - begin,
    }


def flown_and_killed(folder, count, chunk, more, wait_s):
    """Fly in a process of its own, and kill it once so many more flights are kept; or say that it ended."""
    before = kept_flights(folder, count) if folder.exists() else 0
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    asked = [sys.executable, __file__, "--fly", str(folder), str(count), str(chunk)]
    with subprocess.Popen(asked, env=environment) as process:
        while process.poll() is None and (not folder.exists() or kept_flights(folder, count) < before + more):
            time.sleep(0.005)
        time.sleep(wait_s)
        ended = process.poll() is not None
        process.kill()
    return not ended


def fly_to(folder, count, chunk):
    """Fly the invented vehicle's campaign into a folder, on every card or else on threads; say on what."""
    campaign = planned("soak", *spread_and_inputs(), flights=count, seed=1)
    try:
        campaign, workers = on_cards(campaign)
    except MissingData:
        workers = Threads(os.cpu_count() or 1)
    run_campaign(campaign, folder, workers, chunk=chunk)
    return campaign.rounding


def soak_goals(record):
    """Every kill came while it still flew, and no number differs."""
    return [
        steady("kills before it was done", len(record["kept_after_each_kill"]), "exactly", record["kills"]),
        steady("every flight is there once", record["every_flight_once"], "exactly", 1),
        steady("killed and left alone are equal to the last bit", record["bitwise_equal"], "exactly", 1),
    ]


def cuts(count, runs):
    """Flights a second of one card and of two, for launches of several sizes and several at once."""
    on_the_cards, cards = on_cards(planned("bench", *spread_and_inputs(), flights=count, seed=1))
    ranges = [(low, min(low + CHUNK, count)) for low in range(0, count, CHUNK)]
    rows = []
    for piece in (25_000, 33_792, 50_000, 100_000):
        for lanes in (2, 3, 4):
            rates = {}
            for number in sorted({1, min(2, cards.count)}):
                some, spans = Cards(number, lanes=lanes, piece=piece), []
                for _ in range(runs + 1):
                    begin = time.perf_counter()
                    sum(len(part.results) for part in some.flown(on_the_cards, ranges))
                    spans.append(time.perf_counter() - begin)
                rates[number] = count / statistics.median(spans[1:])
            rows.append({"piece": piece, "lanes": lanes, "a_second": rates})
            print(rows[-1], file=sys.stderr, flush=True)
    return {"question": "launches of several sizes", "flights": count, "rows": rows}


def measure(sizes, runs):
    """Fill the record."""
    cuda = ready_card()
    make_many_ready()
    flights = campaign()
    begin = time.perf_counter()
    fly_on_gpu(flights, 0, 64)
    first_s = time.perf_counter() - begin
    card = cuda.get_current_device()
    processor = on_processor(flights, min(20_000, sizes[-1]), runs)
    rows, chunk = [on_card(flights, count, runs) for count in sizes], min(CHUNK, sizes[-1] // 4)
    return {
        "question": "many flights on a graphics card against all threads of the processor",
        "card": card.name.decode() if isinstance(card.name, bytes) else str(card.name),
        "machine": platform.processor() or platform.machine(),
        "numba": numba.__version__,
        "numpy": np.__version__,
        "first_flights_with_compiling_s": first_s,
        "compared": compared(flights),
        "processor": processor,
        "card_runs": rows,
        "card_over_processor": [row["a_second"] / processor["a_second"] for row in rows],
        "cards_together": on_cards_together(*spread_and_inputs(), TOGETHER * sizes[-1], chunk, runs - 1),
        "campaign": kept_campaign(sizes[-1], chunk),
    }


def of_sheet(sheet, count, runs):
    """Fill the record of a sheet's vehicle: card beside processor, and on one card, two and so on."""
    from finial.assemble.spread.case import flight_case
    from finial.findings.check import load

    found = flight_case(load(sheet))
    flights, begin = packed_many(found.inputs, found.spread, seed=1), time.perf_counter()
    fly_on_gpu(flights, 0, 64)
    return {
        "question": "many flights of a sheet's vehicle on graphics cards",
        "sheet": sheet.name,
        "uncertain_numbers": flights.draws,
        "first_flights_with_compiling_s": time.perf_counter() - begin,
        "compared": compared(flights),
        "processor": on_processor(flights, min(20_000, count), runs),
        "cards_together": on_cards_together(found.inputs, found.spread, count, min(CHUNK, count // 4), runs),
    }


def goals(record):
    """Card and processor land alike; how fast one H200 is, and what a second card adds."""
    apart = record["compared"]
    told = [
        ("flights that end otherwise on the card", apart["other_endings"], 0, ""),
        ("apogees of card and processor apart, largest", apart["apogee_m"]["largest"], APOGEE_GOAL_M, " m"),
        ("landings apart eastwards, middle", apart["landing_east_m"]["median"], LANDING_GOAL_M, " m"),
    ]
    same = record["campaign"]["bitwise_equal"]
    return [
        *(steady(what, got, "at most", limit, unit) for what, got, limit, unit in told),
        steady("stopped and gone on with, equal to the last bit", same, "exactly", 1),
        *speed_goals(record),
    ]


def speed_goals(record):
    """Rates of an H200; on another card they are goals of nobody."""
    if "H200" not in record["card"]:
        return []
    rates = {row["flights"]: row["a_second"] for row in record["card_runs"]}
    found = [
        rate(f"flights a second on one card, {count} flights", rates[count], goal)
        for count, goal in CARD_GOALS.items()
        if count in rates
    ]
    return [*found, *pair_goals(record)]


def pair_goals(record):
    """What a second card adds, where there is one."""
    pairs = [row["over_one_card"] for row in record["cards_together"] if row["cards"] == 2]
    return [rate("flights a second on two cards over one", got, TWO_CARDS_GOAL) for got in pairs]


def main():
    parser = options(__doc__)
    parser.add_argument("--soak", action="store_true", help="a million flights, killed twenty times")
    parser.add_argument("--cuts", action="store_true", help="launches of several sizes")
    parser.add_argument("--flights", type=int, default=1_000_000, help="of these")
    parser.add_argument("--sheet", type=Path, help="a build sheet, whose vehicle is flown")
    parser.add_argument("--fly", nargs=3, metavar=("FOLDER", "FLIGHTS", "CHUNK"), help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.fly:
        fly_to(Path(given.fly[0]), *map(int, given.fly[1:]))
        return 0
    if given.soak:
        record = soak(given.flights, 20, max(given.flights // 500, 1))
        print(json.dumps(record, indent=2))
        return judged(soak_goals(record), given)
    try:
        if given.cuts:
            print(json.dumps(cuts(given.flights, 3), indent=2))
            return 0
        if given.sheet:
            record = of_sheet(given.sheet, given.flights, 2)
            print(json.dumps(record, indent=2))
            return judged(pair_goals(record), given)
        record = measure((1000,), 2) if given.small else measure(SIZES, 3)
    except MissingData as error:
        print(json.dumps({"question": "many flights on a graphics card", "not_run": str(error)}))
        return not_run(str(error), given)
    print(json.dumps(record, indent=2))
    return judged(goals(record), given)


if __name__ == "__main__":
    sys.exit(main())
