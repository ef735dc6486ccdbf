"""How long does a log of a million rows take, from its bytes to what happened?

A rehearsed flight of an invented tower, recorded at five kilohertz: eight columns. Timed are the reading
of the text, and the whole way to the smoothed climb and its events, in seconds of the one core that they
take: what others do on the machine does not count. Beside the times stands what is right: the apogee found
against that of the flight it was made of.

Run ``python bench/logs.py`` (some minutes) or ``python bench/logs.py --small`` (a tenth of the rows).
"""

import json
import platform
import statistics
import sys
import tempfile
import time
from importlib.metadata import version
from pathlib import Path

from goals import Goal, absolute_time, judged, options, steady

from finial.files.flight_log.mapping import LogMapping, read_mapping
from finial.files.flight_log.read import FlightLog, read_log
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.trace import EventKind
from finial.flown.happening import Seen
from finial.logbook.prediction import day_of
from finial.logbook.reading import reading
from finial.logbook.rehearsal import MAPPING, Sensors, rehearsed
from finial.logbook.story import story

ROWS = 1_000_000
WHOLE_S, APOGEE_S = 5.0, 0.1
"""From the bytes to what happened, on one core."""
RUNS = 5


def main(arguments: list[str]) -> int:
    asked = options(__doc__).parse_args(arguments)
    rows = ROWS // 10 if asked.small else ROWS
    with tempfile.TemporaryDirectory() as folder:
        record = measured(Path(folder), rows)
    machine = {"python": platform.python_version(), "processor": platform.machine()}
    versions = {name: version(name) for name in ("numpy", "numba")}
    print(json.dumps({"machine": {**machine, **versions}, **record}, indent=1))
    return judged(goals(record), asked)


def measured(folder: Path, rows: int) -> dict[str, float]:
    """Write a log of so many rows, read it several times, and tell it once."""
    inputs = example_inputs()
    trace, day = fly(inputs), day_of(inputs)
    lasts = float(trace.times_s[-1]) + 15.0
    made = rehearsed(trace, day, Sensors(step_s=lasts / rows), 1)
    (folder / "a.csv").write_text(made.csv(), encoding="utf-8")
    (folder / "a.toml").write_text(MAPPING, encoding="utf-8")
    mapping = read_mapping(folder / "a.toml")
    seconds, columns = timed(folder / "a.csv", mapping)
    story(reading(columns, day), tilt_rad=inputs.rail.tilt_rad)
    start = time.process_time()
    found = story(reading(columns, day), tilt_rad=inputs.rail.tilt_rad)
    told_s = time.process_time() - start
    lift_off, apogee = (trace.event(kind) for kind in (EventKind.LIFT_OFF, EventKind.APOGEE))
    seen = found.when(Seen.APOGEE)
    off = (
        float("nan")
        if seen is None or apogee is None or lift_off is None
        else (abs(seen.time.value - (apogee.time_s - lift_off.time_s)))
    )
    return {
        "rows": len(columns.lines),
        "read_s": statistics.median(seconds),
        "read_spread_s": max(seconds) - min(seconds),
        "told_s": told_s,
        "apogee_off_s": off,
    }


def timed(path: Path, mapping: LogMapping) -> tuple[list[float], FlightLog]:
    columns, seconds = read_log(path, mapping), []
    for _ in range(RUNS):
        start = time.process_time()
        columns = read_log(path, mapping)
        seconds.append(time.process_time() - start)
    return seconds, columns


def goals(record: dict[str, float]) -> list[Goal]:
    return [
        steady("apogee of the log off the flight's", record["apogee_off_s"], "at most", APOGEE_S, " s"),
        absolute_time(
            f"reading {record['rows']:,.0f} rows and telling what happened in them",
            record["read_s"] + record["told_s"],
            WHOLE_S,
            " s",
        ),
    ]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
