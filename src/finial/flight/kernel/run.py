# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""A whole flight: step, look for events inside the step, end steps on them, keep rows."""

import math

from finial.flight.kernel.compiled import inner, outer
from finial.flight.kernel.events import event_at, happen, known_times_passed, next_known_time
from finial.flight.kernel.layout import (
    AIRSPEED,
    ALPHA,
    AT_BURN,
    BURN_COLUMNS,
    CANOPY,
    CANOPY_TIMES,
    DENSE,
    DENSE_SLOPE,
    ENDED,
    ERROR_BEFORE,
    FELT,
    FLYING,
    FREE,
    FRESH,
    LIFTED,
    LOCATING,
    MACH,
    MASS,
    MAX_CANOPIES,
    MAX_STEPS,
    NOT_FINITE,
    NOW,
    PHASE,
    PRESSURE,
    REJECTED,
    ROLL,
    ROWS,
    SAMPLES,
    SEGMENT,
    START,
    START_PHASE,
    STATE,
    STEP,
    STEP_TOO_SMALL,
    STEPS,
    THRUST,
    TIME,
    TIME_LIMIT,
    TOO_LONG,
    TOO_MANY_STEPS,
    WANTED,
)
from finial.flight.kernel.motion import slopes
from finial.flight.kernel.peaks import forget_peaks, note_peaks
from finial.flight.kernel.step import accept, attempt, between, scaled_error

_FIRST_STEP_S = 1e-3
_SMALLEST_STEP_S = 1e-10
_LONGEST_FREE_S = 1.0
_LONGEST_CANOPY_S = 2.0
_BISECTIONS = 44


@outer
def run(ints, pool, table, work, rows, log):
    """Fly until the ground or a reason to stop; counts and reasons come back in ``ints``.

    References
    ----------
    .. [1] Tsitouras, 2011, for the pair; the order of things in a step is ours.
    """
    begin(ints, pool, work)
    while ints[ENDED] == FLYING:
        if ints[FRESH] == 1:
            settle(ints, pool, table, work, rows, log)
            if ints[ENDED] != FLYING:
                break
        choose_step(ints, pool, work)
        attempt(ints, pool, table, work)
        error = scaled_error(pool, work)
        if not math.isfinite(error):
            error = 1e10
        if ints[LOCATING] < 0 and error > 1.0:
            reject(error, ints, work)
            continue
        if ints[LOCATING] < 0:
            share = find_event(ints, pool, table, work, rows)
            if share < 1.0:
                # Take the step again, up to the event: the curve between is only fourth order.
                work[STEP] *= share
                continue
            plan_step(error, work)
        finish_step(ints, pool, table, work, rows, log)


@inner
def begin(ints, pool, work):
    """Set the state, the phase and all counters to those of the start.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    for index in range(PHASE, LOCATING + 1):
        ints[index] = 0
    ints[LOCATING] = -1
    ints[PHASE] = ints[START_PHASE]
    ints[FRESH] = 1
    work[TIME] = pool[START]
    if ints[START_PHASE] >= FREE:
        ints[LIFTED] = 1
        while pool[ints[AT_BURN] + (ints[SEGMENT] + 1) * BURN_COLUMNS] <= work[TIME]:
            ints[SEGMENT] += 1
    for part in range(STATE):
        work[NOW + part] = pool[START + 1 + part]
    for index in range(3 * MAX_CANOPIES):
        work[CANOPY_TIMES + index] = 0.0
    work[WANTED] = _FIRST_STEP_S
    work[ERROR_BEFORE] = 1.0
    forget_peaks(work)


@inner
def settle(ints, pool, table, work, rows, log):
    """After a jump: known times and events that hold at once, until nothing more happens; then a row.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    happened = 0
    while happened >= 0 and ints[ENDED] == FLYING:
        known_times_passed(ints, pool, work, log)
        slopes(work[TIME], NOW, DENSE_SLOPE, ints, pool, table, work)
        happened = event_at(work[TIME], NOW, ints, pool, work)
        if happened >= 0:
            happen(happened, ints, pool, work, log)
    slopes(work[TIME], NOW, DENSE_SLOPE, ints, pool, table, work)
    keep_row(work[TIME], NOW, ints, pool, work, rows)


@inner
def choose_step(ints, pool, work):
    """Set the step [s]: as long as the error allows, at most to the next known time.

    References
    ----------
    .. [1] Common practice of integrating with known jumps.
    """
    if ints[LOCATING] >= 0:
        return
    longest = _LONGEST_CANOPY_S if ints[PHASE] == CANOPY else _LONGEST_FREE_S
    step = min(work[WANTED], longest)
    left = next_known_time(ints, pool, work) - work[TIME]
    # A remainder shorter than a tenth of a step is taken along.
    work[STEP] = left if left < 1.1 * step else step


@inner
def reject(error, ints, work):
    r"""Shrink the step, or give up.

    .. math::  h \leftarrow h \max(0.1, \; 0.9 \, e^{-1/5})

    Parameters
    ----------
    error : float
        Over the error allowed [-].

    References
    ----------
    .. [1] Hairer, Norsett and Wanner, Solving Ordinary Differential Equations I, section II.4; from memory,
       not re-read.
    """
    ints[REJECTED] += 1
    work[WANTED] = work[STEP] * max(0.1, 0.9 * error ** (-0.2))
    if work[WANTED] < _SMALLEST_STEP_S:
        ints[ENDED] = NOT_FINITE if error >= 1e10 else STEP_TOO_SMALL


@inner
def plan_step(error, work):
    r"""Choose the next step from this step's error and the one before.

    .. math::  h_{n+1} = h_n \cdot 0.9 \, e_n^{-0.14} \, e_{n-1}^{0.08}

    Parameters
    ----------
    error : float
        Over the error allowed [-].

    References
    ----------
    .. [1] Step control by proportion and integral (Gustafsson), exponents 0.7/5 and 0.4/5: E. Hairer and G.
       Wanner, Solving Ordinary Differential Equations II, section IV.2; from memory, not re-read.
    """
    error = max(error, 1e-4)
    growth = 0.9 * error ** (-0.14) * work[ERROR_BEFORE] ** 0.08
    proposed = work[STEP] * min(max(growth, 0.2), 5.0)
    # A step cut short by a known time says little about how long the next may be.
    work[WANTED] = max(proposed, work[WANTED]) if error < 0.5 and work[STEP] < work[WANTED] else proposed
    work[ERROR_BEFORE] = error


@inner
def find_event(ints, pool, table, work, rows):
    """Share of the step at which the first event lies; keeps rows on the way there.

    Returns
    -------
    share : float
        From 0 to 1, or 2 if nothing happens in this step [-].

    References
    ----------
    .. [1] Sampling the interpolant, then ``bisect``; an event that begins and ends between two samples is
       missed.
    """
    before = 0.0
    for sample in range(1, ints[SAMPLES] + 1):
        share = sample / ints[SAMPLES]
        event = look(share, ints, pool, table, work)
        if event >= 0:
            return bisect(before, share, ints, pool, table, work)
        if sample < ints[SAMPLES]:
            keep_row(work[TIME] + share * work[STEP], DENSE, ints, pool, work, rows)
        before = share
    return 2.0


@inner
def look(share, ints, pool, table, work):
    """Event that holds at a share of the step; leaves the loads there in ``work``.

    Parameters
    ----------
    share : float
        Share of the step, 0 to 1 [-].

    Returns
    -------
    event : int
        Its number in ``layout``, or -1.

    References
    ----------
    .. [1] ``between`` and ``event_at``.
    """
    between(share, pool, work)
    time = work[TIME] + share * work[STEP]
    slopes(time, DENSE, DENSE_SLOPE, ints, pool, table, work)
    return event_at(time, DENSE, ints, pool, work)


@inner
def bisect(before, after, ints, pool, table, work):
    """Narrow down the share at which the first event begins to hold, and note which it is.

    Parameters
    ----------
    before, after : float
        Shares of the step between which it begins [-].

    Returns
    -------
    share : float
        Share of the step, within 2^-44 of the step [-].

    References
    ----------
    .. [1] Bisection: any text on numerical methods.
    """
    for _ in range(_BISECTIONS):
        middle = 0.5 * (before + after)
        if look(middle, ints, pool, table, work) >= 0:
            after = middle
        else:
            before = middle
    ints[LOCATING] = look(after, ints, pool, table, work)
    return min(after, 1.0 - 1e-16)


@inner
def finish_step(ints, pool, table, work, rows, log):
    """Accept the step, keep its end, and let the event it was aimed at happen.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    time = work[TIME] + work[STEP]
    left = next_known_time(ints, pool, work) - time
    work[TIME] = time + left if abs(left) < 1e-12 * (1.0 + abs(time)) else time
    accept(work)
    ints[STEPS] += 1
    if ints[LOCATING] >= 0:
        # Otherwise the search for events has just left the loads at the step's end.
        slopes(work[TIME], NOW, DENSE_SLOPE, ints, pool, table, work)
    keep_row(work[TIME], NOW, ints, pool, work, rows)
    known_times_passed(ints, pool, work, log)
    if ints[LOCATING] >= 0:
        event = ints[LOCATING]
        ints[LOCATING] = -1
        happen(event, ints, pool, work, log)
        ints[FRESH] = 1
    if ints[ENDED] == FLYING and work[TIME] >= pool[TIME_LIMIT]:
        ints[ENDED] = TOO_LONG
    if ints[ENDED] == FLYING and ints[STEPS] + ints[REJECTED] >= ints[MAX_STEPS]:
        ints[ENDED] = TOO_MANY_STEPS


@inner
def keep_row(time, state, ints, pool, work, rows):
    """Note what stands out, count a row of the trace, and write it if there is room.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    note_peaks(state, ints, pool, work)
    index = ints[ROWS]
    ints[ROWS] = index + 1
    if index >= rows.shape[0]:
        return
    rows[index, 0] = time
    for part in range(STATE):
        rows[index, 1 + part] = work[state + part]
    rows[index, 14] = work[MASS]
    rows[index, 15] = work[THRUST]
    rows[index, 16] = work[AIRSPEED]
    rows[index, 17] = work[MACH]
    rows[index, 18] = work[PRESSURE]
    rows[index, 19] = work[ALPHA]
    rows[index, 20] = work[ROLL]
    for axis in range(3):
        rows[index, 21 + axis] = work[FELT + axis]
