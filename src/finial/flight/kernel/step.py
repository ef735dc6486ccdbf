# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One step of the Runge-Kutta pair: the states it asks for, its error, and the curve between its ends.

One loop serves all stages: unrolled stages made the compiler three times slower and the code no
faster. The pair's coefficients are constants of the machine code.
"""

import math

import numpy as np

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import AT, N_STAGES, NOW, STATE, STEP, TOLERANCE, TRIED
from finial.flight.kernel.tableau import tableau

_STAGES = np.ascontiguousarray(tableau().stages).ravel()
_ERRORS = np.ascontiguousarray(tableau().errors)
_BETWEEN = np.ascontiguousarray(tableau().between).ravel()
TIMES = np.ascontiguousarray(tableau().times)
"""Shares of the step at which the stages stand."""


@inner
def stage_state(stage, work, rates):
    """Fill the state at which a stage wants its rates, from the rates of the stages before it.

    Parameters
    ----------
    stage : int
        Number of the stage, from 0.

    References
    ----------
    .. [1] C. Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with Applications 62
       (2011) 770-775.
    """
    step, row = work[STEP], stage * N_STAGES
    for part in range(STATE):
        total = 0.0
        for earlier in range(stage):
            total += _STAGES[row + earlier] * rates[earlier * STATE + part]
        work[AT + part] = work[NOW + part] + step * total


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
    """Fill the state at a share of the tried step, from the pair's own interpolant.

    Parameters
    ----------
    share : float
        Of the step, 0 to 1 [-].

    References
    ----------
    .. [1] C. Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with Applications 62
       (2011) 770-775.
    """
    for part in range(STATE):
        work[AT + part] = work[NOW + part]
    for stage in range(N_STAGES):
        row = 4 * stage
        weight = 0.0
        for power in range(3, -1, -1):
            weight = share * (_BETWEEN[row + power] + weight)
        for part in range(STATE):
            work[AT + part] += work[STEP] * weight * rates[stage * STATE + part]
