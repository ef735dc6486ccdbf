# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""A whole flight: step, look for events inside the step, end steps on them, keep rows.

The loop asks for the loads once a turn, whatever they are wanted for: a settled state, a stage of
a step, a point inside it, the moment of an event. The machine code holds the equations of motion
once, and on a graphics card all threads of a group go through them together, each with its own task.
"""

import math

from finial.flight.kernel.compiled import inner, outer
from finial.flight.kernel.events import event_at, happen, known_times_passed, next_known_time
from finial.flight.kernel.layout import (
    AFTER,
    AIRSPEED,
    ALPHA,
    AT_BURN,
    BEFORE,
    BURN_COLUMNS,
    CANOPY_TIMES,
    CLOSE,
    CLOSING,
    COUNT,
    DONE,
    ENDED,
    ERROR,
    ERROR_BEFORE,
    FELT,
    FLYING,
    FREE,
    FRESH,
    GO,
    HAPPEN,
    HOLD,
    KEEP,
    LIFTED,
    LOCATING,
    LOSS,
    MACH,
    MASS,
    MAX_CANOPIES,
    MAX_STEPS,
    N_STAGES,
    NARROWING,
    NOW,
    PHASE,
    PRESSURE,
    RATED,
    REJECTED,
    ROLL,
    ROWS,
    SAMPLES,
    SAMPLING,
    SEGMENT,
    SETTLING,
    SHARE,
    STAGING,
    START,
    START_PHASE,
    STATE,
    STEP,
    STEPS,
    TAKE,
    TASK,
    THRUST,
    TIME,
    TIME_LIMIT,
    TOO_LONG,
    TOO_MANY_STEPS,
    WANTED,
)
from finial.flight.kernel.motion import slopes
from finial.flight.kernel.pacing import choose_step, plan_step, reject
from finial.flight.kernel.peaks import forget_peaks, note_peaks
from finial.flight.kernel.step import TIMES, accept, between, keep_tried, scaled_error, stage_state, state_at

_FIRST_STEP_S = 1e-3
_HALVINGS = 44


@outer
def run(ints, pool, table, work, rates, rows, log):  # noqa: PLR0913 - a kernel takes no records
    """Fly until the ground or a reason to stop; counts and reasons come back in ``ints``.

    References
    ----------
    .. [1] Tsitouras, 2011, for the pair; the order of things in a step is ours.
    """
    begin(ints, pool, work)
    while ints[TASK] != DONE:
        if ints[TASK] == SETTLING and ints[ENDED] == FLYING:
            known_times_passed(ints, pool, work, log)
        time, state = place(ints, work, rates)
        # While a moment is narrowed down only lift-off asks what the loads are.
        if ints[TASK] != NARROWING or ints[PHASE] == HOLD:
            ask(time, state, ints, pool, table, work, rates)
        event = -1
        if ints[TASK] != STAGING and ints[TASK] != CLOSING and ints[ENDED] == FLYING:
            event = event_at(time, state, ints, pool, work)
        follows = conclude(event, state, ints, pool, work, rates)
        follow(follows, event, time, state, ints, pool, work, rates, rows, log)


@inner
def ask(time, state, ints, pool, table, work, rates):  # noqa: PLR0913 - a kernel takes no records
    """Find the loads, and keep the rates of change of a stage; a settled state is the first stage of a step.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] ``slopes``.
    """
    moved, pushed, rolled, spun = slopes(time, state, ints, pool, table, work)
    if ints[TASK] != STAGING and ints[TASK] != SETTLING:
        return
    at = STATE * ints[COUNT] if ints[TASK] == STAGING else 0
    rates[at], rates[at + 1], rates[at + 2] = moved
    rates[at + 3], rates[at + 4], rates[at + 5] = pushed
    rates[at + 6], rates[at + 7], rates[at + 8], rates[at + 9] = rolled
    rates[at + 10], rates[at + 11], rates[at + 12] = spun


@inner
def conclude(event, state, ints, pool, work, rates):
    """Say what follows from what the loads were wanted for.

    Parameters
    ----------
    event : int
        Number of the event that holds there, or -1.
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    follows : int
        A sum of the consequences in ``layout``.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if ints[TASK] == STAGING:
        return end_stage(state, ints, pool, work, rates)
    if ints[TASK] == SAMPLING:
        return end_sample(event, ints, work)
    if ints[TASK] == NARROWING:
        return halve(event, ints, work)
    if ints[TASK] == CLOSING:
        return KEEP | CLOSE
    if event >= 0:
        return HAPPEN
    ints[FRESH] = 0
    return KEEP | GO


@inner
def follow(follows, event, time, state, ints, pool, work, rates, rows, log):  # noqa: PLR0913 - takes no records
    """Do what follows, one thing after the other: each stands in the machine code once.

    Parameters
    ----------
    follows : int
        A sum of the consequences in ``layout``.
    event : int
        Number of the event that holds, or -1.
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if follows & TAKE:
        take_step(ints, pool, work, rates)
    if follows & KEEP:
        if follows & CLOSE:
            time, state = work[TIME], state_at(work, NOW)
        keep_row(time, state, ints, pool, work, rows)
    if follows & CLOSE:
        known_times_passed(ints, pool, work, log)
        event = ints[LOCATING]
        ints[LOCATING] = -1
    if follows & (CLOSE | HAPPEN) and event >= 0:
        happen(event, ints, pool, work, log)
    goes = follows & GO > 0
    if follows & CLOSE:
        goes = not settles(event, ints, pool, work)
    if goes:
        begin_step(ints, pool, work)


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
    ints[TASK] = SETTLING
    ints[RATED] = -1
    ints[LOSS] = 0
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
def place(ints, work, rates):
    """Time and state that the loads are wanted at.

    Returns
    -------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] ``stage_state`` and ``between``.
    """
    if ints[TASK] == STAGING:
        return work[TIME] + TIMES[ints[COUNT]] * work[STEP], stage_state(ints[COUNT], work, rates)
    if ints[TASK] == SAMPLING or ints[TASK] == NARROWING:
        return work[TIME] + work[SHARE] * work[STEP], between(work[SHARE], work, rates)
    return work[TIME], state_at(work, NOW)


@inner
def begin_step(ints, pool, work):
    """Go on with the stages of the next step, or stop.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if ints[ENDED] != FLYING:
        ints[TASK] = DONE
        return
    choose_step(ints, pool, work)
    ints[TASK], ints[COUNT] = STAGING, 1


@inner
def end_stage(state, ints, pool, work, rates):
    """Go on to the next stage; after the last, judge the step by its error.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    follows : int
        A sum of the consequences in ``layout``.

    References
    ----------
    .. [1] Tsitouras, 2011.
    """
    ints[COUNT] += 1
    if ints[COUNT] < N_STAGES:
        return 0
    keep_tried(state, work)
    if ints[LOCATING] >= 0:
        ints[TASK] = CLOSING
        return TAKE
    error = scaled_error(pool, work, rates)
    work[ERROR] = error if math.isfinite(error) else 1e10
    if work[ERROR] > 1.0:
        reject(work[ERROR], ints, work)
        return GO
    ints[TASK], ints[COUNT] = SAMPLING, 1
    work[BEFORE], work[SHARE] = 0.0, 1.0 / ints[SAMPLES]
    return 0


@inner
def end_sample(event, ints, work):
    """Go on to the next point inside the step, or to the moment of an event; after the last point take it.

    Parameters
    ----------
    event : int
        Number of the event that holds there, or -1.

    Returns
    -------
    follows : int
        A sum of the consequences in ``layout``.

    References
    ----------
    .. [1] Sampling the interpolant, then ``halve``; an event that begins and ends between two samples is
       missed.
    """
    if event >= 0:
        work[AFTER] = work[SHARE]
        work[SHARE] = 0.5 * (work[BEFORE] + work[AFTER])
        ints[TASK], ints[COUNT] = NARROWING, _HALVINGS
        return 0
    if ints[COUNT] == ints[SAMPLES]:
        plan_step(work[ERROR], work)
        # The last point has just left the loads at the step's end.
        return TAKE | KEEP | CLOSE
    work[BEFORE] = work[SHARE]
    ints[COUNT] += 1
    work[SHARE] = ints[COUNT] / ints[SAMPLES]
    return KEEP


@inner
def halve(event, ints, work):
    """Narrow down the share at which the first event begins to hold; then take the step up to it.

    Parameters
    ----------
    event : int
        Number of the event that holds there, or -1.

    Returns
    -------
    follows : int
        A sum of the consequences in ``layout``.

    References
    ----------
    .. [1] Bisection, to 2^-44 of the step: any text on numerical methods.
    """
    if ints[COUNT] == 0:
        ints[LOCATING] = event
        # Take the step again, up to the event: the curve between is only fourth order.
        work[STEP] *= min(work[AFTER], 1.0 - 1e-16)
        return GO
    if event >= 0:
        work[AFTER] = work[SHARE]
    else:
        work[BEFORE] = work[SHARE]
    ints[COUNT] -= 1
    work[SHARE] = work[AFTER] if ints[COUNT] == 0 else 0.5 * (work[BEFORE] + work[AFTER])
    return 0


@inner
def settles(event, ints, pool, work):
    """Say whether something has jumped at a step's end, so that the state must settle first.

    Parameters
    ----------
    event : int
        Number of the event that has just happened, or -1.

    Returns
    -------
    settles : bool
        Yes or no [-].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    if event >= 0:
        ints[FRESH] = 1
    if ints[ENDED] == FLYING and work[TIME] >= pool[TIME_LIMIT]:
        ints[ENDED] = TOO_LONG
    if ints[ENDED] == FLYING and ints[STEPS] + ints[REJECTED] >= ints[MAX_STEPS]:
        ints[ENDED] = TOO_MANY_STEPS
    jumped = ints[ENDED] == FLYING and ints[FRESH] == 1
    if jumped:
        ints[TASK] = SETTLING
    return jumped


@inner
def take_step(ints, pool, work, rates):
    """Accept the step: on a known time if it ends within rounding of one [s].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    time = work[TIME] + work[STEP]
    left = next_known_time(ints, pool, work) - time
    work[TIME] = time + left if abs(left) < 1e-12 * (1.0 + abs(time)) else time
    accept(work, rates)
    ints[STEPS] += 1


@inner
def keep_row(time, state, ints, pool, work, rows):
    """Note what stands out, count a row of the trace, and write it if there is room.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

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
    rows[index, 1], rows[index, 2], rows[index, 3] = state[0], state[1], state[2]
    rows[index, 4], rows[index, 5], rows[index, 6] = state[3], state[4], state[5]
    rows[index, 7], rows[index, 8], rows[index, 9], rows[index, 10] = state[6], state[7], state[8], state[9]
    rows[index, 11], rows[index, 12], rows[index, 13] = state[10], state[11], state[12]
    rows[index, 14] = work[MASS]
    rows[index, 15] = work[THRUST]
    rows[index, 16] = work[AIRSPEED]
    rows[index, 17] = work[MACH]
    rows[index, 18] = work[PRESSURE]
    rows[index, 19] = work[ALPHA]
    rows[index, 20] = work[ROLL]
    for axis in range(3):
        rows[index, 21 + axis] = work[FELT + axis]
