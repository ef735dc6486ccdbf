# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""How long the next step is: what the error allows, what the phase allows, and the next known time."""

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.events import next_known_time
from finial.flight.kernel.layout import (
    CANOPY,
    ENDED,
    ERROR_BEFORE,
    LOCATING,
    NOT_FINITE,
    PHASE,
    REJECTED,
    STEP,
    STEP_TOO_SMALL,
    TIME,
    WANTED,
)

_SMALLEST_STEP_S = 1e-10
_LONGEST_FREE_S = 1.0
_LONGEST_CANOPY_S = 2.0


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
