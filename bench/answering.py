"""How much memory does answering a campaign take for each flight more?

Run ``python bench/answering.py`` (``--small`` for CI). Flights are made up, 21 results and six numbers each,
and kept as a campaign keeps them; then each folder is answered in a process of its own, as by ``finial
campaign``, and the most memory that the process ever had is read (Linux). Beside it stands how many
quantiles, means and counts are not those of NumPy from the same numbers in memory. The baseline is every
result of every flight held at once. Prints one JSON record.
"""

import json
import platform
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from goals import judged, options, ratio, steady
from gpu import spread_and_inputs

from finial.campaign.answers import JUDGED, campaign_answer
from finial.campaign.campaign import planned
from finial.campaign.chunks import keep
from finial.campaign.flown import read_flown
from finial.campaign.spot import Crowd, Spot
from finial.campaign.store import opened
from finial.flight.kernel.layout import LANDED
from finial.flight.many import RESULTS, ManyFlights
from finial.report.campaign_files import campaign_files

FLIGHTS, FLIGHTS_WHEN_SMALL = (1_000_000, 4_000_000), (600_000, 1_800_000)
OF_A_FILE = 100_000
ALL_AT_ONCE = 8 * len(RESULTS)
GOAL, GOAL_WHEN_SMALL = 8.0, 84.0
"""Bytes for each flight more: one result of it; half of all where few fill what is held anyway; chosen."""
SPOT = Spot(
    ceiling_agl_m=500.0,
    field_radius_m=150.0,
    crowd=Crowd(near_m=120.0, deep_m=20.0, bearing_rad=0.5, across_m=60.0),
)


def made_up(first: int, count: int) -> ManyFlights:
    """Give flights of normal numbers; one in a hundred never landed."""
    generator = np.random.default_rng(first)
    results = 100.0 * generator.normal(size=(count, len(RESULTS)))
    results[:, RESULTS.index("ended")] = np.where(generator.random(count) < 0.01, LANDED + 1, LANDED)
    results[:, RESULTS.index("loss")] = 0.0
    return ManyFlights(first=first, results=results, drawn=generator.random((count, 6)))


def campaign_of(flights: Any) -> Any:
    """Plan the campaign that the folder says it is of."""
    inputs, spread = spread_and_inputs()
    return planned("made up", inputs, spread, flights=flights, seed=3)


def fill(folder: Any, flights: Any) -> None:
    """Keep made up flights as a campaign."""
    folder.mkdir()
    opened(folder, campaign_of(flights))
    for first in range(0, flights, OF_A_FILE):
        keep(folder, made_up(first, min(OF_A_FILE, flights - first)))


def answer(folder: Any) -> None:
    """Answer as the command does; print what is wrong of it, and the most memory that was taken [B]."""
    flown = read_flown(folder)
    found = campaign_answer(flown, SPOT)
    campaign_files("made up", flown, found, SPOT, None, us_units=False)
    print(json.dumps({"bytes": most_memory(), "wrong": wrong(flown, found)}))


def most_memory() -> int:
    """Read the most memory that this process had since it began [B]; getrusage tells its parent's too."""
    (told,) = re.findall(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
    return 1024 * int(told)


def wrong(flown: Any, found: Any) -> Any:
    """Count quantiles, means and odds that are not NumPy's own."""
    count = 0
    for scatter in found.scatters:
        if scatter.key in RESULTS and JUDGED[scatter.key] and not scatter.key.startswith("max_"):
            column = flown.results[scatter.key]
            told = [one.value for one in scatter.quantiles]
            count += told != np.quantile(column, [one.share for one in scatter.quantiles]).tolist()
            count += not np.isclose(scatter.mean, column.mean(), rtol=1e-12)
    over = int((flown.results["apogee_m"] > SPOT.ceiling_agl_m).sum())
    return count + (over not in [one.count for one in found.odds])


def measured(folder: Any) -> Any:
    """Answer a folder in a process of its own."""
    done = subprocess.run(
        [sys.executable, __file__, "--answer", str(folder)], capture_output=True, check=True
    )
    return json.loads(done.stdout)


def main() -> Any:
    parser = options(__doc__)
    parser.add_argument("--answer", type=Path)
    given = parser.parse_args()
    if given.answer:
        answer(given.answer)
        return 0
    few, many = FLIGHTS_WHEN_SMALL if given.small else FLIGHTS
    with tempfile.TemporaryDirectory() as scratch:
        folders = [Path(scratch) / name for name in ("few", "many")]
        for folder, flights in zip(folders, (few, many), strict=True):
            fill(folder, flights)
        less, more = map(measured, folders)
    each = (more["bytes"] - less["bytes"]) / (many - few)
    record: dict[str, Any] = {
        "question": "memory of answering a campaign",
        "machine": platform.processor() or platform.machine(),
        "flights": [few, many],
        "most_mib": [less["bytes"] / 2**20, more["bytes"] / 2**20],
        "bytes_a_flight": each,
        "all_results_at_once": ALL_AT_ONCE,
        "wrong": less["wrong"] + more["wrong"],
    }
    print(json.dumps(record, indent=1))
    goals = [
        steady("answers that are not NumPy's", record["wrong"], "exactly", 0),
        ratio("memory of answering, for each flight more [B]", each, "at most", GOAL, GOAL_WHEN_SMALL),
    ]
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
