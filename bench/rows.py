"""How long do queries on a campaign's files take where they lie, and what would 1e9 flights ask?

Run ``python bench/rows.py`` (``--small`` for CI; ``--files`` and ``--flights`` ask for other numbers). Files
of invented results are written as a campaign writes its own, and DuckDB asks them four things in place: how
many lie beyond a distance, a quantile, both by an uncertain number, and one flight by its number. Beside
each answer stands that of NumPy from the same numbers in memory. Prints one JSON record, with what
1,000,000,000 flights would take at that rate.
"""

import json
import os
import platform
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from goals import absolute_time, judged, options, steady

from finial.campaign.chunks import keep
from finial.campaign.extra import needed
from finial.flight.many import RESULTS, ManyFlights

FULL, SMALL = (20, 100_000), (20, 1_000)
DRAWS = 6
MANY = 1_000_000_000
FAR_M = 1_000.0
GOAL_S = 120.0
"""Of one question over two columns of as many flights; chosen."""


def flights(first, count):
    """Results that scatter as landing points do, and nothing else of a flight."""
    generator = np.random.default_rng([1, first])
    results = generator.normal(0.0, 300.0, (count, len(RESULTS)))
    return ManyFlights(first=first, results=results, drawn=generator.random((count, DRAWS)))


def questions(files):
    """What is asked of the files, by name."""
    rows, far = f"read_parquet('{files}')", f"landing_east_m > {FAR_M}"
    return {
        "beyond": f"select count(*) from {rows} where {far}",
        "quantile": f"select quantile_disc(apogee_m, 0.95) from {rows}",
        "by a number": f"select count(*) from {rows} where {far} and draw_003 > 0.5",
        "one flight": f"select apogee_m from {rows} where flight = 777",
    }


def in_memory(parts):
    """Answer the same from the numbers themselves."""
    results = np.vstack([part.results for part in parts])
    east, apogee = (results[:, RESULTS.index(name)] for name in ("landing_east_m", "apogee_m"))
    number = np.concatenate([part.drawn[:, 3] for part in parts])
    return {
        "beyond": int(np.count_nonzero(east > FAR_M)),
        "quantile": float(np.sort(apogee)[int(np.ceil(0.95 * apogee.size)) - 1]),
        "by a number": int(np.count_nonzero((east > FAR_M) & (number > 0.5))),
        "one flight": float(apogee[777]),
    }


def asked(connection, question, runs):
    """Give the answer and the median of the seconds."""
    spans, answer = [], None
    for _ in range(runs):
        begin = time.perf_counter()
        (answer,) = connection.execute(question).fetchone()
        spans.append(time.perf_counter() - begin)
    return answer, statistics.median(spans)


def measure(files, count, runs):
    """Fill the record."""
    duckdb = needed("duckdb")
    with tempfile.TemporaryDirectory() as scratch, duckdb.connect() as connection:
        folder = Path(scratch)
        parts = [flights(first, count) for first in range(0, files * count, count)]
        begin = time.perf_counter()
        kept = [keep(folder, part) for part in parts]
        written_s = time.perf_counter() - begin
        exact, rows = in_memory(parts), {}
        for name, question in questions(folder / "flights-*.parquet").items():
            answer, seconds = asked(connection, question, runs)
            rows[name] = {
                "answer": answer,
                "off_by": abs(answer - exact[name]),
                "median_s": seconds,
                "of_1e9_s": seconds * MANY / (files * count),
            }
        return {
            "question": "a campaign's files queried in place",
            "machine": platform.processor() or platform.machine(),
            "cores": os.cpu_count(),
            "duckdb": duckdb.__version__,
            "files": files,
            "flights": files * count,
            "columns": 1 + len(RESULTS) + DRAWS,
            "bytes_a_flight": sum(path.stat().st_size for path in kept) / (files * count),
            "written_s": written_s,
            "asked": rows,
        }


def main():
    parser = options(__doc__)
    parser.add_argument("--files", type=int)
    parser.add_argument("--flights", type=int, help="in each file")
    given = parser.parse_args()
    files, count = SMALL if given.small else FULL
    record = measure(given.files or files, given.flights or count, 5)
    print(json.dumps(record, indent=1))
    goals = [
        steady(f"{name}: off by", row["off_by"], "exactly", 0.0) for name, row in record["asked"].items()
    ]
    beyond = record["asked"]["beyond"]["of_1e9_s"]
    return judged([*goals, absolute_time("1e9 flights asked for one column", beyond, GOAL_S, " s")], given)


if __name__ == "__main__":
    sys.exit(main())
