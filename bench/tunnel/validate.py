"""Blow at bodies whose loads are known: ``python -m bench.tunnel.validate --kept FILE [--cards 0 1 ...]``.

Each result is added to the file at once, as one line of JSON; a second call goes on where the first
stopped. Needs NumPy, SciPy, numba (and numba-cuda for cards), and ``src`` on the path. ``--plan`` shows the
cases with their cost and runs none; ``--small`` runs three coarse ones.
"""

import argparse
import json
import multiprocessing
import platform
import time
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
from bench.tunnel.bodies import body
from bench.tunnel.plan import Case, plan, smoke

from finial.tunnel.boxes import nested_boxes
from finial.tunnel.reading import in_wind, strongest_swing
from finial.tunnel.records import Blown, TunnelShape
from finial.tunnel.run import blow

RATE = 6e9
"""Updates a second that a card is taken to make, for the plan."""
CORE_RATE = 2e7
"""The same of a core."""


def main() -> None:
    asked = arguments()
    cases = chosen(asked)
    done = {line["key"] for line in kept_lines(asked.kept)} if asked.kept else set()
    cases = [case for case in cases if case.key not in done]
    if asked.plan:
        show(cases)
        return
    if not asked.kept:
        raise SystemExit("--kept FILE is needed to run: each result is added to it")
    began = time.monotonic()
    with asked.kept.open("a", encoding="utf-8") as kept:
        for line in results(cases, asked.cards, asked.seconds):
            kept.write(json.dumps(line) + "\n")
            kept.flush()
            print(f"{time.monotonic() - began:7.1f} s  {line['key']}: {told(line)}", flush=True)


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kept", type=Path, help="file that results are added to")
    parser.add_argument(
        "--cards",
        type=int,
        nargs="*",
        default=[],
        help="numbers of cards, each as often as runs shall share it",
    )
    parser.add_argument("--seconds", type=float, default=np.inf, help="begin no case after so long")
    parser.add_argument("--only", default="", help="cases whose key begins so")
    parser.add_argument("--cells", type=float, help="run every case at so many cells to a width")
    parser.add_argument("--most-cells", type=float, default=np.inf, help="leave out finer cases")
    parser.add_argument("--plan", action="store_true", help="show cases and cost, run none")
    parser.add_argument("--small", action="store_true", help="three coarse cases")
    return parser.parse_args()


def chosen(asked: argparse.Namespace) -> list[Case]:
    """Cases of the plan that are asked for, in its order."""
    cases = smoke() if asked.small else plan()
    if asked.cells:
        cases = list(dict.fromkeys(replace(case, cells=asked.cells) for case in cases))
    return [case for case in cases if case.key.startswith(asked.only) and case.cells <= asked.most_cells]


def kept_lines(path: Path) -> list[dict]:
    """Results so far; a line that a kill cut short is passed over."""
    if not path.is_file():
        return []
    whole = path.read_text(encoding="utf-8")
    if whole and not whole.endswith("\n"):
        whole = whole[: whole.rfind("\n") + 1]
        path.write_text(whole, encoding="utf-8")
    return [json.loads(line) for line in whole.splitlines()]


def show(cases: list[Case]) -> None:
    """Print each case with its cost, and the sum so far."""
    total = 0.0
    for case in cases:
        updates = case.updates()
        total += updates
        print(
            f"{updates / 1e9:8.1f} G  {updates / RATE:6.1f} s of a card, {total / RATE:6.0f} s so far,"
            f" {updates / CORE_RATE / 60:7.1f} min of a core  {case.key}"
        )


def results(cases: list[Case], cards: list[int], seconds: float) -> Iterator[dict]:
    """Run cases, one to a card at a time, or one after another without cards."""
    ends = time.monotonic() + seconds
    if not cards:
        for case in cases:
            if time.monotonic() < ends:
                yield result(case, None)
        return
    # A process for good to each place of the list: kernels are compiled once in each, and a card that is
    # named several times is kept busy while one of them lays its grids.
    kind = multiprocessing.get_context("spawn")
    pools = [ProcessPoolExecutor(1, mp_context=kind) for _ in cards]
    waiting = iter(cases)
    running: dict[Future[dict], tuple[int, Case]] = {}
    free = list(range(len(cards)))[::-1]
    while True:
        while free and time.monotonic() < ends and (case := next(waiting, None)) is not None:
            place = free.pop()
            running[pools[place].submit(result, case, cards[place])] = place, case
        if not running:
            break
        for future in wait(running, return_when=FIRST_COMPLETED).done:
            place, case = running.pop(future)
            free.append(place)
            error = future.exception()
            yield future.result() if error is None else {**asked_of(case), "failed": repr(error)}
    for pool in pools:
        pool.shutdown()


def asked_of(case: Case) -> dict:
    return {"key": case.key, **asdict(case)}


def result(case: Case, card: int | None) -> dict:
    """Run one case; return its line."""
    drawn = body(case.name, case.cells)
    began = time.monotonic()
    blown = blow(drawn.shape, case.stream, case.fineness, area_m2=drawn.area, width_m=1.0, card=card)
    taken = time.monotonic() - began
    return {
        **asked_of(case),
        **numbers(blown, case),
        "section": float(f"{section(case, drawn.shape):.6g}"),
        "seconds": round(taken, 2),
        "machine": "card" if card is not None else platform.machine(),
    }


def section(case: Case, shape: TunnelShape) -> float:
    """Area of the tunnel that the wind goes through, in widths squared."""
    box = nested_boxes(shape, case.stream, case.fineness, 1.0).boxes[0]
    return box.section_m2(case.stream)


def numbers(blown: Blown, case: Case) -> dict:
    """What a line keeps: loads with errors, their places along the body, what sheds and how strongly."""
    read = in_wind(blown, case.stream, 1.0)
    swings = [strongest_swing(blown.history[:, column], blown.history_widths) for column in (1, 2)]
    return {
        "pressure": rounded(blown.pressure),
        "total": rounded(blown.total),
        "pressure_error": rounded(blown.pressure_error),
        "total_error": rounded(blown.total_error),
        "place_error": None if read.place is None else float(f"{read.place.error:.4g}"),
        "blockage": float(f"{blown.blockage:.5g}"),
        "reynolds": float(f"{blown.reynolds:.4g}"),
        "cells_used": float(f"{blown.cells:.6g}"),
        "wet_cells": int(blown.wet_cells),
        "updates": float(f"{blown.updates:.5g}"),
        "restarts": int(blown.restarts),
        "stations": rounded(blown.stations_m),
        "along": [rounded(row) for row in blown.along],
        "swings": [
            None if each is None else rounded([each.strouhal, each.share, each.rms]) for each in swings
        ],
    }


def rounded(values) -> list[float]:
    return [float(f"{value:.5g}") for value in values]


def told(line: dict) -> str:
    if "failed" in line:
        return f"FAILED: {line['failed']}"
    aft, a, b = line["pressure"][:3]
    rate = line["updates"] / line["seconds"] / 1e6
    return (
        f"aft {aft:.3f} a {a:.3f} b {b:.3f} +- {line['pressure_error'][0]:.3f}"
        f" in {line['seconds']:.1f} s, {rate:.0f} M/s"
    )


if __name__ == "__main__":
    main()
