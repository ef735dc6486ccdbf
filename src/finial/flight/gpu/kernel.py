# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""The kernel that a graphics card runs: one thread, one flight. Imported only where there is a card."""

from typing import Final

from numba import cuda, float64, int32

from finial.core.card_cache import kept_for_cards
from finial.core.compiled import Kernels
from finial.flight.gpu.room import MOST_DRAWS, MOST_POOL, MOST_SLOTS, THREADS
from finial.flight.kernel.compiled import FLIGHT
from finial.flight.kernel.draws import fill_slots
from finial.flight.kernel.layout import LOG_COLUMNS, LOG_ROWS, N_INTS, N_RATES, N_WORK, ROW_COLUMNS
from finial.flight.kernel.many import collect
from finial.flight.kernel.run import run
from finial.flight.kernel.spread_layout import MOMENTS, N_DRAWS, N_RESULTS
from finial.flight.kernel.vary import vary

ON_CARD: Final = Kernels(
    name="flight-card",
    home=FLIGHT.home,
    files=(*FLIGHT.files, "../gpu/kernel.py", "../gpu/room.py"),
)


@kept_for_cards(ON_CARD)
def fly_one_each(first, marks, plan, ints, pool, table, shares, results, drawn):  # noqa: PLR0913 - no records
    """Fly the flight of this thread's number, as ``many.run_many`` does one after the other."""
    index = cuda.grid(1)  # pyright: ignore[reportCallIssue]
    # Row by row, so that the compiler still knows which memory it is; 91 numbers a row hit no bank twice.
    rates = cuda.shared.array((THREADS, N_RATES), float64)[cuda.threadIdx.x]  # pyright: ignore[reportIndexIssue, reportOptionalSubscript]
    if index >= results.shape[0]:
        return
    # Whole numbers of 32 bits hold every place and count here, in half as many registers.
    own_ints, own_pool = cuda.local.array(N_INTS, int32), cuda.local.array(MOST_POOL, float64)
    work, sums = cuda.local.array(N_WORK, float64), cuda.local.array(MOMENTS, float64)
    slots, own_shares = cuda.local.array(MOST_SLOTS, float64), cuda.local.array(MOST_DRAWS, float64)
    values, answer = cuda.local.array(MOST_DRAWS, float64), cuda.local.array(N_RESULTS, float64)
    log = cuda.local.array((LOG_ROWS, LOG_COLUMNS), float64)
    rows = cuda.local.array((1, ROW_COLUMNS), float64)
    for at in range(N_INTS):
        own_ints[at] = ints[at]
    for at in range(pool.shape[0]):
        own_pool[at] = pool[at]
    if shares.shape[0] > 0:
        for at in range(shares.shape[1]):
            own_shares[at] = shares[index, at]
    fill_slots(first + index, marks, plan, own_shares, slots, values)
    vary(first + index, marks, plan, slots, sums, own_ints, own_pool)
    run(own_ints, own_pool, table, work, rates, rows, log)
    collect(own_ints, own_pool, work, log, answer)
    for at in range(N_RESULTS):
        results[index, at] = answer[at]
    for at in range(marks[N_DRAWS]):
        drawn[index, at] = values[at]
