# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One step of the Runge-Kutta pair: the states it asks for, its error, and the curve between its ends.

One loop serves all stages: unrolled stages made the compiler three times slower and the code no
faster. The pair's coefficients are constants of the machine code.
"""

import math

import numpy as np

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import N_STAGES, NOW, STATE, STEP, TOLERANCE, TRIED
from finial.flight.kernel.tableau import tableau

_STAGES = np.ascontiguousarray(tableau().stages).ravel()
_ERRORS = np.ascontiguousarray(tableau().errors)
_BETWEEN = np.ascontiguousarray(tableau().between).ravel()
TIMES = np.ascontiguousarray(tableau().times)
"""Shares of the step at which the stages stand."""


@inner
def state_at(work, at):
    """Take a state out of the work memory.

    Parameters
    ----------
    at : int
        Where it begins.

    Returns
    -------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    return (
        work[at],
        work[at + 1],
        work[at + 2],
        work[at + 3],
        work[at + 4],
        work[at + 5],
        work[at + 6],
        work[at + 7],
        work[at + 8],
        work[at + 9],
        work[at + 10],
        work[at + 11],
        work[at + 12],
    )


@inner
def plus_rates(start, weight, stage, rates):
    """Add a stage's rates, weighed, to thirteen numbers.

    Parameters
    ----------
    start : tuple of float
        A state, or a sum of rates [any].
    weight : float
        Of this stage's rates [any].
    stage : int
        Its number, from 0.

    Returns
    -------
    sum : tuple of float
        In the unit of ``start`` [any].

    References
    ----------
    .. [1] Definition.
    """
    at = stage * STATE
    return (
        start[0] + weight * rates[at],
        start[1] + weight * rates[at + 1],
        start[2] + weight * rates[at + 2],
        start[3] + weight * rates[at + 3],
        start[4] + weight * rates[at + 4],
        start[5] + weight * rates[at + 5],
        start[6] + weight * rates[at + 6],
        start[7] + weight * rates[at + 7],
        start[8] + weight * rates[at + 8],
        start[9] + weight * rates[at + 9],
        start[10] + weight * rates[at + 10],
        start[11] + weight * rates[at + 11],
        start[12] + weight * rates[at + 12],
    )


@inner
def stage_state(stage, work, rates):
    """State at which a stage wants its rates, from the rates of the stages before it.

    Parameters
    ----------
    stage : int
        Number of the stage, from 0.

    Returns
    -------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] C. Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with Applications 62
       (2011) 770-775.
    """
    step, row = work[STEP], stage * N_STAGES
    total = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    for earlier in range(stage):
        total = plus_rates(total, _STAGES[row + earlier], earlier, rates)
    return (
        work[NOW] + step * total[0],
        work[NOW + 1] + step * total[1],
        work[NOW + 2] + step * total[2],
        work[NOW + 3] + step * total[3],
        work[NOW + 4] + step * total[4],
        work[NOW + 5] + step * total[5],
        work[NOW + 6] + step * total[6],
        work[NOW + 7] + step * total[7],
        work[NOW + 8] + step * total[8],
        work[NOW + 9] + step * total[9],
        work[NOW + 10] + step * total[10],
        work[NOW + 11] + step * total[11],
        work[NOW + 12] + step * total[12],
    )


@inner
def scaled_error(pool, work, rates):
    """Error of the step over what is allowed [-]: the worst of the four parts of the state.

    Lengths of vectors, not components, so that a flight turned about the vertical takes the
    same steps.

    Returns
    -------
    error : float
        Over the error allowed [-].

    References
    ----------
    .. [1] E. Hairer, S. P. Norsett and G. Wanner, Solving Ordinary Differential Equations I, section II.4;
       from memory, not re-read. Taking the worst part instead of the mean is ours.
    """
    worst = 0.0
    # Position, velocity, quaternion, rates: below these sizes the error counts as absolute.
    for first, count, floor in ((0, 3, 10.0), (3, 3, 1.0), (6, 4, 0.0), (10, 3, 1.0)):
        error = 0.0
        size = 0.0
        for part in range(first, first + count):
            total = 0.0
            for stage in range(N_STAGES):
                total += _ERRORS[stage] * rates[stage * STATE + part]
            error += total * total
            size += work[TRIED + part] * work[TRIED + part]
        allowed = pool[TOLERANCE] * (floor + math.sqrt(size))
        worst = max(worst, work[STEP] * math.sqrt(error) / allowed)
    return worst


@inner
def accept(work, rates):
    """Make the tried state the present one, its quaternion of length one, its last rates the first.

    References
    ----------
    .. [1] The pair's last stage is the next step's first: Tsitouras, 2011. Projecting the quaternion [-] is
       common practice.
    """
    norm = 0.0
    for part in range(6, 10):
        norm += work[TRIED + part] * work[TRIED + part]
    norm = math.sqrt(norm)
    last = (N_STAGES - 1) * STATE
    for part in range(STATE):
        scale = norm if 6 <= part < 10 else 1.0
        work[NOW + part] = work[TRIED + part] / scale
        rates[part] = rates[last + part]


@inner
def between(share, work, rates):
    """State at a share of the tried step, from the pair's own interpolant.

    Parameters
    ----------
    share : float
        Of the step, 0 to 1 [-].

    Returns
    -------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] C. Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with Applications 62
       (2011) 770-775.
    """
    state = state_at(work, NOW)
    for stage in range(N_STAGES):
        row = 4 * stage
        weight = 0.0
        for power in range(3, -1, -1):
            weight = share * (_BETWEEN[row + power] + weight)
        state = plus_rates(state, work[STEP] * weight, stage, rates)
    return state


@inner
def keep_tried(state, work):
    """Keep the state at the end of the step that is tried.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    work[TRIED], work[TRIED + 1], work[TRIED + 2], work[TRIED + 3] = state[0], state[1], state[2], state[3]
    work[TRIED + 4], work[TRIED + 5], work[TRIED + 6] = state[4], state[5], state[6]
    work[TRIED + 7], work[TRIED + 8], work[TRIED + 9] = state[7], state[8], state[9]
    work[TRIED + 10], work[TRIED + 11], work[TRIED + 12] = state[10], state[11], state[12]
