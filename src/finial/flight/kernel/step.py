# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One step of the Runge-Kutta pair, its error, and the curve between its ends.

The tableau comes out of the pool and one loop serves all stages: unrolled stages made the
compiler three times slower and the code no faster.
"""

import math

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    DENSE,
    FRESH,
    N_STAGES,
    NOW,
    SLOPES,
    STAGE,
    STATE,
    STEP,
    TABLEAU,
    TABLEAU_C,
    TABLEAU_D,
    TABLEAU_E,
    TIME,
    TOLERANCE,
    TRIED,
)
from finial.flight.kernel.motion import slopes


@inner
def attempt(ints, pool, table, work):
    """Compute all stages and the state at the end of the step ``work[STEP]`` [s].

    References
    ----------
    .. [1] C. Tsitouras, Runge-Kutta pairs of order 5(4), Computers and Mathematics with Applications 62
       (2011) 770-775.
    """
    time, step = work[TIME], work[STEP]
    # The pair's last stage is the next step's first, unless something changed at its end.
    first = 0 if ints[FRESH] == 1 else 1
    for stage in range(first, N_STAGES):
        row = TABLEAU + stage * N_STAGES
        target = TRIED if stage == N_STAGES - 1 else STAGE
        for part in range(STATE):
            total = 0.0
            for earlier in range(stage):
                total += pool[row + earlier] * work[SLOPES + earlier * STATE + part]
            work[target + part] = work[NOW + part] + step * total
        slopes(time + pool[TABLEAU_C + stage] * step, target, SLOPES + stage * STATE, ints, pool, table, work)
    ints[FRESH] = 0


@inner
def scaled_error(pool, work):
    """Error of the step over what is allowed: the worst of the four parts of the state.

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
                total += pool[TABLEAU_E + stage] * work[SLOPES + stage * STATE + part]
            error += total * total
            size += work[TRIED + part] * work[TRIED + part]
        allowed = pool[TOLERANCE] * (floor + math.sqrt(size))
        worst = max(worst, work[STEP] * math.sqrt(error) / allowed)
    return worst


@inner
def accept(work):
    """Make the tried state the present one, its quaternion of length one, its last slope the first.

    References
    ----------
    .. [1] The pair's last stage is the next step's first: Tsitouras, 2011. Projecting the quaternion [-] is
       common practice.
    """
    norm = 0.0
    for part in range(6, 10):
        norm += work[TRIED + part] * work[TRIED + part]
    norm = math.sqrt(norm)
    last = SLOPES + (N_STAGES - 1) * STATE
    for part in range(STATE):
        scale = norm if 6 <= part < 10 else 1.0
        work[NOW + part] = work[TRIED + part] / scale
        work[SLOPES + part] = work[last + part]


@inner
def between(share, pool, work):
    """Fill the state at a share of the tried step, from the pair's own interpolant.

    Parameters
    ----------
    share : float
        Share of the step, 0 to 1 [-].

    References
    ----------
    .. [1] Tsitouras, 2011: interpolant of order 4.
    """
    for part in range(STATE):
        work[DENSE + part] = work[NOW + part]
    for stage in range(N_STAGES):
        row = TABLEAU_D + 4 * stage
        weight = 0.0
        for power in range(3, -1, -1):
            weight = share * (pool[row + power] + weight)
        for part in range(STATE):
            work[DENSE + part] += work[STEP] * weight * work[SLOPES + stage * STATE + part]
