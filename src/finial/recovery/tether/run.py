"""Move pieces and cords through time, many cases at once."""

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.recovery.tether.batch import Batch, Numbers, stacked
from finial.recovery.tether.layout import (
    BEND,
    FIRST_ALONG,
    INVERSE_INERTIA,
    LIP_SIDE,
    MASS,
    MOUTH_ALONG,
    SECOND_ALONG,
    STIFFNESS,
    TENSION,
)
from finial.recovery.tether.scene import Scene, TetherStart

STEPS_A_RADIAN = 4.0
"""Steps in a radian of the stiffest swing: peak loads then stand to a thousandth, and to 2 % where pieces
that tumble come taut again and again."""
LONGEST_STEP_S = 2e-3
MOST_STEPS = 200_000
THREADS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What happened to every case: lines at every step, pieces at every few steps."""

    times_s: NDArray[np.float64]
    """(n,)."""
    tensions_n: NDArray[np.float32]
    """(c, n, k)."""
    bends_rad: NDArray[np.float32]
    """Angle each line bends by over a lip; 0 where it runs free."""
    lip_sides: NDArray[np.float32]
    """+1 the lip to the left of the axis, -1 the one to the right, 0 none."""
    kept_times_s: NDArray[np.float64]
    """(m,)."""
    states: NDArray[np.float64]
    """(c, m, 7, b): places, angles, speeds, rates, filled distance."""


def run(
    scenes: Sequence[Scene],
    launches: Sequence[TetherStart],
    duration_s: float,
    *,
    step_s: float | None = None,
    keep_every: int = 10,
) -> History:
    r"""Step scenes of one build through time together.

    .. math::  y_{n+1} = y_n + \tfrac{h}{6} (k_1 + 2 k_2 + 2 k_3 + k_4)

    Parameters
    ----------
    scenes : sequence of Scene
        Cases with the same pieces, lines and canopies; numbers may differ.
    launches : sequence of Launch
        Their starts.
    duration_s : float
        How long to follow them [s].
    step_s : float, optional
        Step [s]; without it a quarter of a radian of the stiffest swing, 2 ms at most.
    keep_every : int
        Keep the pieces' state at every so many steps [-].

    Returns
    -------
    History
        Tensions [N] and bends [rad] at every step, states at every few.

    Raises
    ------
    OutsideRange
        If a scene cannot move, the scenes are not alike, a time is not positive, or the
        steps would be more than 200 000.

    Notes
    -----
    Fourth order while every cord stays taut or slack; each moment at which one comes taut
    costs accuracy, so that whole runs converge with at least the second order. Energy and
    momentum are kept where no air and no loss takes them.

    References
    ----------
    .. [1] Classical Runge-Kutta method; any text on numerical integration.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> scene, launch = two_points()
    >>> float(run([scene], [launch], 0.1).tensions_n.max().round(-1))
    2000.0
    """
    require_positive(duration_s=duration_s)
    batch, states = stacked(scenes, launches)
    step = stable_step(batch) if step_s is None else step_s
    require_positive(step_s=step)
    count = math.ceil(duration_s / step - 1e-9)
    if count > MOST_STEPS:
        raise OutsideRange(f"{count} steps of {step} s: give at most {MOST_STEPS}; is a cord far too stiff?")
    step = duration_s / count
    starts = range(0, count, keep_every)
    told = np.empty((len(states), count, len(batch.ends), 3), dtype=np.float32)
    kept = np.empty((len(states), len(starts) + 1, *states.shape[1:]))
    _run_shared(batch, states, (step, keep_every), (told, kept))
    return History(
        times_s=np.arange(count, dtype=float) * step,
        tensions_n=told[..., TENSION],
        bends_rad=told[..., BEND],
        lip_sides=told[..., LIP_SIDE],
        kept_times_s=np.array([*(index * step for index in starts), count * step]),
        states=kept,
    )


def _run_shared(
    batch: Batch, states: Numbers, steps: tuple[float, int], room: tuple[NDArray[np.float32], Numbers]
) -> None:
    """Run the cases in two threads; the kernel lets go of the interpreter."""
    # The compiler's import costs a third of a second: only when something is followed.
    from finial.recovery.tether.kernel import run_cases

    told, kept = room
    halves = [part for part in np.array_split(np.arange(len(states)), THREADS) if len(part)]

    def part(rows: NDArray[np.intp]) -> None:
        one = slice(int(rows[0]), int(rows[-1]) + 1)
        cases = batch.pieces[one], batch.lines[one], batch.ends, batch.pulls
        run_cases(cases, states[one], *steps, told[one], kept[one])

    with ThreadPoolExecutor(max_workers=THREADS) as pool:
        list(pool.map(part, halves))


def stable_step(batch: Batch) -> float:
    r"""Step that resolves the stiffest swing of the batch.

    .. math::  h = \min\left( \frac{1}{4 \, \omega}, 2\,\mathrm{ms} \right), \qquad
               \omega^2 = \max k \left( \tfrac{1}{m_1} + \tfrac{1}{m_2} + \tfrac{a_1^2}{I_1} +
               \tfrac{a_2^2}{I_2} \right)

    with the lever :math:`a` of each end: along its piece, or to the mouth if that is farther.

    Parameters
    ----------
    batch : Batch
        The scenes, stacked.

    Returns
    -------
    step_s : float
        Step [s].

    Notes
    -----
    Four steps in a radian, 2 ms at most: peak loads then stand to a thousandth. Loss of the cord makes
    the swing no faster.

    References
    ----------
    .. [1] Frequency of two bodies on a spring: any text on vibration; levers squared add as for a push off
       the balance point.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> batch, _ = stacked(*([one] for one in two_points()))
    >>> round(stable_step(batch), 5)
    0.002
    """
    first, second = batch.ends.T
    light = 1 / batch.pieces[:, first, MASS] + 1 / batch.pieces[:, second, MASS]
    reach = np.maximum(np.abs(batch.lines[:, :, FIRST_ALONG]), np.abs(batch.lines[:, :, MOUTH_ALONG]))
    turning = (
        batch.pieces[:, first, INVERSE_INERTIA] * reach**2
        + batch.pieces[:, second, INVERSE_INERTIA] * batch.lines[:, :, SECOND_ALONG] ** 2
    )
    fastest = float(np.sqrt(batch.lines[:, :, STIFFNESS] * (light + turning)).max(initial=1e-9))
    return min(1 / (STEPS_A_RADIAN * fastest), LONGEST_STEP_S)


def loss_for_rebound(rebound: float) -> float:
    r"""Loss of a cord that gives back a share of the speed it stopped.

    .. math::  a - \ln(1 + a) = -e a - \ln(1 - e a)

    Parameters
    ----------
    rebound : float
        Speed after over speed before, :math:`e` [-].

    Returns
    -------
    float
        Loss :math:`a` [-].

    Raises
    ------
    OutsideRange
        If the rebound is not above 0.05 and at most 1.

    Notes
    -----
    Exact for two points on one cord, whatever the speed above 1 m/s; slower pulls lose less.

    References
    ----------
    .. [1] First integral of the motion under Hunt and Crossley's law with a linear spring.

    Examples
    --------
    >>> loss_for_rebound(1.0)
    0.0
    >>> round(loss_for_rebound(0.7), 2)
    0.63
    """
    require_not_negative(rebound=rebound)
    if not 0.05 < rebound <= 1.0:
        raise OutsideRange(
            f"rebound = {rebound}: give the share of speed that comes back, above 0.05, at most 1"
        )
    if rebound == 1.0:
        return 0.0

    def left_over(a: float) -> float:
        return a - math.log1p(a) + rebound * a + math.log1p(-rebound * a)

    low, high = 1e-9, (1 - 1e-12) / rebound
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if left_over(middle) > 0 else (low, middle)
    return low
