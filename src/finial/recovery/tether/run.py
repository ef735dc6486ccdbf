"""Move pieces and cords through time, many cases at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.recovery.tether.batch import Batch, Numbers, stacked
from finial.recovery.tether.motion import Pull, rates_of_change
from finial.recovery.tether.scene import Scene, TetherStart

STEPS_A_RADIAN = 6.0
"""Steps in a radian of the stiffest swing: peak loads then stand to a thousandth."""
LONGEST_STEP_S = 2e-3
MOST_STEPS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What happened to every case: lines at every step, pieces at every few steps."""

    times_s: NDArray[np.float64]
    """(n,)."""
    tensions_n: NDArray[np.float32]
    """(n, c, k)."""
    bends_rad: NDArray[np.float32]
    lip_sides: NDArray[np.float32]
    kept_times_s: NDArray[np.float64]
    """(m,)."""
    states: NDArray[np.float64]
    """(m, 7, c, b): places, angles, speeds, rates, filled distance."""


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
        Step [s]; without it a fifth of a radian of the stiffest swing, 2 ms at most.
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
    batch, state = stacked(scenes, launches)
    step = stable_step(batch) if step_s is None else step_s
    require_positive(step_s=step)
    count = math.ceil(duration_s / step - 1e-9)
    if count > MOST_STEPS:
        raise OutsideRange(f"{count} steps of {step} s: give at most {MOST_STEPS}; is a cord far too stiff?")
    step = duration_s / count
    filling = np.zeros(state.shape[1:])
    lines: list[Pull] = []
    kept: list[Numbers] = []
    for index in range(count):
        if index % keep_every == 0:
            kept.append(state)
        state, pull = _stepped(batch, state, filling, step)
        lines.append(pull)
        filling = np.maximum(filling, _stretched(batch, pull))
    kept.append(state)
    return _history(lines, kept, (step, count, keep_every))


def stable_step(batch: Batch) -> float:
    r"""Step that resolves the stiffest swing of the batch.

    .. math::  h = \min\left( \frac{1}{6 \, \omega}, 2\,\mathrm{ms} \right), \qquad
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
    Six steps in a radian, 2 ms at most: peak loads then stand to a thousandth. Loss of the cord makes
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
    0.00187
    """
    light = 1 / batch.masses_kg[:, batch.first.piece] + 1 / batch.masses_kg[:, batch.second.piece]
    turning = (
        batch.inverse_inertias[:, batch.first.piece]
        * np.maximum(np.abs(batch.first.along_m), np.abs(batch.mouth_along_m)) ** 2
        + batch.inverse_inertias[:, batch.second.piece] * batch.second.along_m**2
    )
    fastest = float(np.sqrt(batch.stiffnesses_n_m * (light + turning)).max(initial=1e-9))
    return min(1 / (STEPS_A_RADIAN * fastest), LONGEST_STEP_S)


def loss_for_rebound(rebound: float, speed_m_s: float) -> float:
    r"""Loss of a cord that gives back a share of the speed it stopped.

    .. math::  a - \ln(1 + a) = -e a - \ln(1 - e a), \qquad \beta = a / v

    Parameters
    ----------
    rebound : float
        Speed after over speed before, :math:`e` [-].
    speed_m_s : float
        Speed at which the cord comes taut, :math:`v` [m/s].

    Returns
    -------
    float
        Loss :math:`\beta` [s/m].

    Raises
    ------
    OutsideRange
        If the rebound is not above 0.05 and at most 1, or the speed is not positive.

    Notes
    -----
    Exact for two points on one cord at that speed; slower pulls lose less.

    References
    ----------
    .. [1] First integral of the motion under Hunt and Crossley's law with a linear spring.

    Examples
    --------
    >>> loss_for_rebound(1.0, 15.0)
    0.0
    >>> round(loss_for_rebound(0.7, 1.0), 2)
    0.63
    """
    require_not_negative(rebound=rebound)
    require_positive(speed_m_s=speed_m_s)
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
    return low / speed_m_s


def _stepped(batch: Batch, state: Numbers, filling: Numbers, step: float) -> tuple[Numbers, Pull]:
    first, pull = rates_of_change(batch, state, filling)
    second, _ = rates_of_change(batch, state + step / 2 * first, filling)
    third, _ = rates_of_change(batch, state + step / 2 * second, filling)
    fourth, _ = rates_of_change(batch, state + step * third, filling)
    return state + step / 6 * (first + 2 * second + 2 * third + fourth), pull


def _stretched(batch: Batch, pull: Pull) -> Numbers:
    """1 for every canopy whose line pulls now."""
    taut = pull.tension_n > 0
    return np.where(batch.pulls >= 0, taut[:, batch.pulls], False).astype(float)


def _history(lines: list[Pull], kept: list[Numbers], steps: tuple[float, int, int]) -> History:
    step, count, keep_every = steps
    kept_times = [index * step for index in range(0, count, keep_every)]
    return History(
        times_s=np.arange(count, dtype=float) * step,
        tensions_n=np.array([pull.tension_n for pull in lines], dtype=np.float32),
        bends_rad=np.array([pull.bend_rad for pull in lines], dtype=np.float32),
        lip_sides=np.array([pull.lip_side for pull in lines], dtype=np.float32),
        kept_times_s=np.array([*kept_times, count * step]),
        states=np.array(kept),
    )
