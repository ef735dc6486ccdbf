"""Least squares with what was known before: the likeliest values and how well they are known."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import NotConverged

_MOST_STEPS = 60
_STILL = 0.02
"""Ended when no number moves by more than this share of its deviation."""
_LEVEL = 0.02
"""Ended too when a step gains less than this in squares: a hundredth of a deviation's worth."""
_ROUGHLY = 25.0
"""On the way, a stop that much earlier will do."""
_LARGEST_MOVE = 4.0
"""Deviations of what was known before that one step may go."""

Residuals = Callable[[NDArray[np.float64]], NDArray[np.float64]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Problem:
    """What is fitted, what was known before, and the ends of what is tried."""

    residuals: Residuals
    before: NDArray[np.float64]
    sigmas: NDArray[np.float64]
    ends: tuple[NDArray[np.float64], NDArray[np.float64]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fitted:
    """Likeliest values; equal only to itself."""

    values: NDArray[np.float64]
    sigmas: NDArray[np.float64]
    covariance: NDArray[np.float64]
    residuals: NDArray[np.float64]
    """Of the data, over their deviations."""
    stretch: float
    """How much wider than stated the residuals are, as a factor on deviations: 1 where the model fits."""
    steps: int


def fitted(problem: Problem) -> Fitted:
    r"""Gauss-Newton steps from what was known before, with a line search.

    .. math::  \min_x\; r(x)^T r(x) / \kappa + \sum_i (x_i - x_{0i})^2 / \sigma_i^2

    The residuals are the data's, each over its deviation. Residuals wider than that, or alike from one to
    the next, widen the answer: :math:`\kappa` is their mean square times
    :math:`(1 + \rho) / (1 - \rho)`, at least 1, with their correlation :math:`\rho`.

    Raises
    ------
    NotConverged
        If 60 steps do not come to rest.
    """
    residuals, sigmas = problem.residuals, problem.sigmas
    # First as stated; then once more with what is left of the residuals for their width.
    values, steps = _approached(problem)
    kappa = _widening(residuals(values))
    values, more = settled(problem, values, kappa)
    steps += more
    left = residuals(values)
    kappa = max(kappa, _widening(left))
    slopes = _slopes(problem, values, left)
    information = slopes.T @ slopes / kappa + np.diag(1.0 / sigmas**2)
    covariance = np.asarray(np.linalg.inv(information), dtype=float)
    return Fitted(
        values=values,
        sigmas=np.sqrt(np.diagonal(covariance)),
        covariance=covariance,
        residuals=left,
        stretch=float(np.sqrt(kappa)),
        steps=steps,
    )


def _approached(problem: Problem) -> tuple[NDArray[np.float64], int]:
    """Settle first with residuals taken for as wide as they are, then ever narrower, down to as stated.

    Far from the answer a sharp log would pull along whatever bends least; what was known holds it on course.
    """
    values, steps = problem.before, 0
    kappa = max(1.0, float((problem.residuals(values) ** 2).mean()))
    while True:
        values, more = settled(problem, values, kappa, rough=kappa > 1.0)
        steps += more
        if kappa <= 1.0:
            return values, steps
        kappa = kappa**0.5 if kappa > 2.0 else 1.0


def settled(
    problem: Problem, begin: NDArray[np.float64], kappa: float, *, rough: bool = False
) -> tuple[NDArray[np.float64], int]:
    """Step from ``begin`` until it comes to rest, with the residuals' width as given; and how many steps.

    Raises
    ------
    NotConverged
        If 60 steps do not come to rest.
    """
    residuals, prior, sigmas, ends = problem.residuals, problem.before, problem.sigmas, problem.ends

    def cost(at: NDArray[np.float64], left: NDArray[np.float64]) -> float:
        return float(left @ left / kappa + (((at - prior) / sigmas) ** 2).sum())

    still_at, level = (_ROUGHLY * _STILL, _ROUGHLY * _LEVEL) if rough else (_STILL, _LEVEL)
    values = np.clip(begin, *ends)
    left = residuals(values)
    now = cost(values, left)
    for step in range(1, _MOST_STEPS + 1):
        slopes = _slopes(problem, values, left)
        normal = slopes.T @ slopes / kappa + np.diag(1.0 / sigmas**2)
        uphill = slopes.T @ left / kappa + (values - prior) / sigmas**2
        held = ((values <= ends[0]) & (uphill > 0.0)) | ((values >= ends[1]) & (uphill < 0.0))
        move = -_solved(normal, uphill, held)
        move *= min(1.0, _LARGEST_MOVE / max(float(np.abs(move / sigmas).max()), 1e-12))
        moved, share, before = values, 1.0, now
        while share > 1e-3:
            tried = np.clip(values + share * move, *ends)
            left_there = residuals(tried)
            there = cost(tried, left_there)
            if there <= now:
                moved, left, now = tried, left_there, there
                break
            share *= 0.4
        own = np.sqrt(np.diagonal(np.linalg.inv(normal)))
        still = float(np.abs((moved - values) / own).max()) < still_at or before - now < level
        values = moved
        if still:
            return values, step
    raise NotConverged(f"the fit did not come to rest in {_MOST_STEPS} steps; squares left {now:.4g}")


def _solved(
    normal: NDArray[np.float64], uphill: NDArray[np.float64], held: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Newton's step of the numbers that are free; those at an end that push outwards stay."""
    move = np.zeros(len(uphill))
    free = ~held
    move[free] = np.linalg.solve(normal[np.ix_(free, free)], uphill[free])
    return move


def _slopes(problem: Problem, values: NDArray[np.float64], left: NDArray[np.float64]) -> NDArray[np.float64]:
    columns: list[NDArray[np.float64]] = []
    for index in range(len(values)):
        step = 0.02 * problem.sigmas[index]
        if values[index] + step > problem.ends[1][index]:
            step = -step
        beside = values.copy()
        beside[index] += step
        columns.append((problem.residuals(beside) - left) / step)
    return np.column_stack(columns)


def _widening(left: NDArray[np.float64]) -> float:
    """Mean square of the residuals, odd ones clipped, widened where one is like the next."""
    if len(left) < 10:
        return 1.0
    spread = float(np.median(np.abs(left)) * 1.4826) ** 2
    clipped = np.clip(left, -3.0 * np.sqrt(spread), 3.0 * np.sqrt(spread))
    alike = float((clipped[1:] * clipped[:-1]).mean() / max(float((clipped**2).mean()), 1e-12))
    alike = min(max(alike, 0.0), 0.97)
    return max(1.0, max(spread, float((clipped**2).mean())) * (1.0 + alike) / (1.0 - alike))
