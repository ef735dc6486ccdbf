# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Many flights, one after the other, without touching Python."""

import math

import numpy as np

from finial.flight.kernel.compiled import inner, outer
from finial.flight.kernel.draws import fill_slots
from finial.flight.kernel.layout import (
    APOGEE_PASSED,
    AT_CANOPIES,
    CANOPY_COLUMNS,
    CANOPY_TIMES,
    ENDED,
    EVENTS,
    EXIT_ALPHA,
    EXIT_MARGIN,
    FORE_LEAVES,
    GROUND,
    LANDED,
    LIFT_OFF,
    LIFT_OFF_MASS,
    LOG_COLUMNS,
    LOG_ROWS,
    LOSS,
    N_CANOPIES,
    N_RATES,
    N_WORK,
    NOW,
    PEAK_ALPHA,
    PEAK_CANOPY,
    PEAKS,
    ROW_COLUMNS,
    STEPS,
)
from finial.flight.kernel.run import run
from finial.flight.kernel.spread_layout import MOMENTS, N_DRAWS, N_RESULTS, N_SLOTS
from finial.flight.kernel.vary import vary


@outer
def run_many(first, marks, plan, ints, pool, table, shares, results, drawn):  # noqa: PLR0913 - no records
    """Fly one flight per row of ``results``; their numbers follow from ``first`` on.

    Parameters
    ----------
    first : int
        Number of the first flight.
    shares : ndarray, shape (n, d)
        Shares of each flight [-]; none where the campaign draws them itself.

    References
    ----------
    .. [1] ``run``; bookkeeping.
    """
    own_ints, own_pool = np.empty_like(ints), np.empty_like(pool)
    work, sums = np.empty(N_WORK), np.empty(MOMENTS)
    slots, own_shares, values = np.empty(marks[N_SLOTS]), np.empty(marks[N_DRAWS]), np.empty(marks[N_DRAWS])
    log, rows = np.empty((LOG_ROWS, LOG_COLUMNS)), np.empty((0, ROW_COLUMNS))
    answer, rates = np.empty(N_RESULTS), np.empty(N_RATES)
    for index in range(results.shape[0]):
        for at in range(ints.size):
            own_ints[at] = ints[at]
        for at in range(pool.size):
            own_pool[at] = pool[at]
        if shares.shape[0] > 0:
            for at in range(own_shares.size):
                own_shares[at] = shares[index, at]
        fill_slots(first + index, marks, plan, own_shares, slots, values)
        vary(first + index, marks, plan, slots, sums, own_ints, own_pool)
        run(own_ints, own_pool, table, work, rates, rows, log)
        collect(own_ints, own_pool, work, log, answer)
        for at in range(N_RESULTS):
            results[index, at] = answer[at]
        for at in range(values.size):
            drawn[index, at] = values[at]


@inner
def collect(ints, pool, work, log, answer):
    """Write down what came out of one flight, in the order of ``spread_layout.RESULTS``.

    Parameters
    ----------
    answer : ndarray, shape (21,)
        Filled, in the units that the names of the results carry [any].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    for at in range(N_RESULTS):
        answer[at] = math.nan
    answer[0] = ints[ENDED]
    lift_off = math.nan
    for event in range(ints[EVENTS]):
        kind, time = log[event, 0], log[event, 2]
        if kind == LIFT_OFF:
            lift_off = time
        elif kind == FORE_LEAVES:
            answer[4] = log[event, 4]
        elif kind == APOGEE_PASSED:
            answer[2], answer[3] = log[event, 3], time - lift_off
        elif kind == GROUND:
            answer[1], answer[17] = time - lift_off, log[event, 4]
    if work[EXIT_ALPHA] >= 0.0:
        answer[5], answer[6] = work[EXIT_ALPHA], work[EXIT_MARGIN]
    answer[7] = work[LIFT_OFF_MASS]
    for peak in range(5):
        answer[8 + peak] = work[PEAKS + peak]
    answer[13], answer[14] = work[PEAK_ALPHA], work[PEAK_CANOPY]
    if ints[ENDED] == LANDED:
        answer[15], answer[16] = work[NOW], work[NOW + 1]
        answer[18] = 1.0 if under_canopy(ints, pool, work) else 0.0
    answer[19] = ints[LOSS]
    answer[20] = ints[STEPS]


@inner
def under_canopy(ints, pool, work):
    """Whether the largest canopy stands open.

    Returns
    -------
    open : bool
        Yes or no [-]; false as well where there is no canopy, or the largest is only a bundle.

    References
    ----------
    .. [1] Largest by its drag area [m^2]; definition.
    """
    largest, stands = 0.0, False
    for canopy in range(ints[N_CANOPIES]):
        row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
        if pool[row + 3] > largest:
            largest = pool[row + 3]
            stands = work[CANOPY_TIMES + 3 * canopy + 2] == 3.0 and pool[row + 6] > 0.0
    return stands
