# pyright: basic
# What the compiler of cards returns carries no types.
"""How many cell updates a second the tunnel makes, against copying the same memory; how well machines agree.

Run ``python bench/flow.py`` (a minute on two cores) or ``python bench/flow.py --small`` (seconds). Beside the
processor it takes the first graphics card, where there is one. An update reads and writes 27 numbers, so the
copy of as much memory in the same run is the most that any method could reach.
"""

import json
import platform
import sys
import time
from collections.abc import Callable

import numpy as np
from goals import Goal, judged, options, rate, ratio, steady
from tunnel.bodies import body

from finial.core.errors import MissingData
from finial.tunnel.boxes import NONE_HIDDEN
from finial.tunnel.kernel_text import BUFFER
from finial.tunnel.machine import advance
from finial.tunnel.processor import Processor
from finial.tunnel.records import Fineness, Stream
from finial.tunnel.setup import Setup, set_up
from finial.tunnel.written import processor_kernels

DIRECTIONS = 27
CORE_GOAL, BULK_GOAL, WHOLE_GOAL = 20e6, 0.85, 0.65
TOGETHER = 16
"""Steps for each that the processor makes: a card's are launched some at a time."""
AGREEMENT = 1e-4
"""Loads of processor and card over one another after a few steps, in single precision."""


def a_second(work: Callable[[], object], clock: Callable[[], float], least_s: float) -> float:
    """Calls a second of the clock, the first left out: it may compile."""
    work()
    calls, began = 0, clock()
    while clock() - began < least_s:
        work()
        calls += 1
    return calls / (clock() - began)


def of_a_core(least_s: float) -> dict[str, float]:
    """Updates of one thread for each second of processor time, and those that copying alone would allow."""
    nx, ny, nz = 130, 66, 66
    cells = nx * ny * nz
    air = np.zeros(DIRECTIONS * cells, np.float32)
    after, buffer = air.copy(), np.zeros(BUFFER, np.float32)
    times = [np.full(nx, 0.501, np.float32), np.zeros(ny, np.float32), np.zeros(nz, np.float32)]
    step = processor_kernels()["step"]
    inner = (nx - 2) * (ny - 2) * (nz - 2)
    clock = time.process_time
    stepped = a_second(
        lambda: step(air, after, buffer, *times, nx, ny, nz, NONE_HIDDEN, 1, nz - 1), clock, least_s
    )
    copied = a_second(lambda: np.copyto(after, air), clock, least_s)
    return {"updates_a_second": inner * stepped, "copies_a_second": cells * copied}


def whole_run(setup: Setup, steps: int) -> tuple[float, np.ndarray]:
    """Updates of whole steps, with walls and nested grids, for each second of processor time; the loads."""
    machine = Processor(setup)
    advance(machine)
    began = time.process_time()
    for _ in range(steps):
        advance(machine)
        machine.record()
    return setup.nested.updates_a_step * steps / (time.process_time() - began), machine.recorded()


def of_a_card(setup: Setup, steps: int) -> dict[str, float] | None:
    """The same on the first card by the clock, with its own copy; ``None`` without one."""
    from finial.core.cards import ready_card

    try:
        cuda = ready_card()
    except MissingData:
        return None
    from finial.tunnel.gpu.card import Card

    machine = Card(setup, 0)
    machine.onward(1)
    machine.forget()
    machine.onward(steps)
    loads = machine.recorded()
    # What is launched together is written down once before.
    machine.onward(TOGETHER)
    machine.recorded()
    began = time.perf_counter()
    machine.onward(TOGETHER * steps)
    machine.recorded()
    seconds = time.perf_counter() - began
    bulk, copied = _bulk(cuda, machine)
    return {
        "updates_a_second": setup.nested.updates_a_step * TOGETHER * steps / seconds,
        "bulk_updates_a_second": bulk,
        "copies_a_second": copied,
        "loads": loads.tolist(),
    }


def _bulk(cuda, card) -> tuple[float, float]:
    """Updates a second of open air alone, its rim not counted, and what copying the same memory allows."""
    from finial.tunnel.gpu.card import row_threads

    nx, ny, nz = 512, 256, 256
    cells = nx * ny * nz
    air, after = (cuda.to_device(np.zeros(DIRECTIONS * cells, np.float32)) for _ in range(2))
    times = [
        cuda.to_device(each) for each in (np.full(nx, 0.501, np.float32), *[np.zeros(256, np.float32)] * 2)
    ]
    threads = row_threads(nx)
    kernel = card._kernels["step"][(nx // threads, ny - 2, nz - 2), (threads, 1, 1)]
    rates = []
    for work in (
        lambda: kernel(air, after, *times, nx, ny, nz, NONE_HIDDEN),
        lambda: after.copy_to_device(air),
    ):
        work()
        cuda.synchronize()
        began = time.perf_counter()
        for _ in range(20):
            work()
        cuda.synchronize()
        rates.append(20 * cells / (time.perf_counter() - began))
    return rates[0] * (nx - 2) * (ny - 2) * (nz - 2) / cells, rates[1]


def main() -> int:
    given = options(__doc__).parse_args()
    least_s = 0.3 if given.small else 3.0
    asked = Fineness(cells=8.0 if given.small else 24.0, grids=3, side_widths=2.0 if given.small else 4.5)
    setup = set_up(body("prism 1").shape, Stream(angle_rad=0.1), asked, area_m2=1.0, width_m=1.0)
    steps = 4 if given.small else 12
    core = of_a_core(least_s)
    whole, loads = whole_run(setup, steps)
    card = of_a_card(setup, steps)
    told = {
        "machine": platform.machine(),
        "core": core,
        "whole_updates_a_core_second": whole,
        "cells": setup.nested.cells,
        "card": card and {name: value for name, value in card.items() if name != "loads"},
    }
    print(json.dumps(told, indent=1))
    goals: list[Goal] = [
        rate("open air, updates for each second of a core", core["updates_a_second"], CORE_GOAL),
        ratio(
            "open air over copying, of a core",
            core["updates_a_second"] / core["copies_a_second"],
            "at least",
            0.15,
            when_small=0.05,
        ),
        rate("whole run, updates for each second of a core", whole, CORE_GOAL),
    ]
    if card is not None:
        apart = float(np.abs(np.array(card["loads"])[: len(loads)] - loads).max() / np.abs(loads).max())
        goals += [
            rate(
                "open air over copying, of a card",
                card["bulk_updates_a_second"] / card["copies_a_second"],
                BULK_GOAL,
            ),
            rate(
                "whole run over copying, of a card",
                card["updates_a_second"] / card["copies_a_second"],
                WHOLE_GOAL,
            ),
            steady("card and processor, loads apart", apart, "at most", AGREEMENT),
        ]
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
