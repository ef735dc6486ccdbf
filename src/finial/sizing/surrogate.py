"""What designs near to judged ones come to, with an error: which of them need not be judged at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.sizing.judged import Aim, Judged, aimed

FEWEST_A_VARIABLE = 15
"""Judged designs for each variable before anything is foretold."""
MOST = 200
"""Judged designs that are learnt from: the latest, among which the search moves."""
_SURE = 4.0
"""Standard errors that count as certain."""
_FARTHEST = 3.0
"""Standard errors at most between a known value and what all others foretell of it."""
_LONG, _SHORT = 10.0, 0.02
"""Lengths of what varies, as shares of a variable's range."""
_NOISE = 1e-6
_BEND = 0.1
"""Share of a limit within which nothing is foretold of what is missing to it [-]; seen: 0.027."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """What a number is expected to be at some designs, and its standard error there."""

    mean: NDArray[np.float64]
    error: NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """Ends of what varies, and which of it is a choice and no size; each (d,)."""

    low: NDArray[np.float64]
    high: NDArray[np.float64]
    choices: NDArray[np.bool_]

    def shares(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points as shares of the ranges [-]."""
        return (points - self.low) / (self.high - self.low)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForetoldCost:
    """What is aimed at and what is missing, as foretold of some designs."""

    sought: Foretold
    """Mass [kg], or apogee with its sign turned [m]."""
    missing: Foretold
    """To limits, as shares of them [-]."""

    @property
    def least(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Of both what designs surely do not come below, (n,) each: four standard errors below the mean.

        What is missing bends where a limit is met, and what is smooth is too sure of itself there: designs
        that may lack less than a tenth of a limit count as if they lacked nothing, and are judged.
        """
        lacks = self.missing.mean - _SURE * self.missing.error
        return self.sought.mean - _SURE * self.sought.error, np.where(lacks < _BEND, 0.0, lacks)


def foretold_cost(
    known: Sequence[tuple[Sequence[float], Judged]],
    asked: NDArray[np.float64],
    space: Space,
    aim: Aim = Aim.LIGHTEST,
) -> ForetoldCost:
    """Foretell what designs come to from those that were judged.

    Parameters
    ----------
    known : sequence of (point, Judged)
        Designs that were judged, in the order of their judging [any].
    asked : ndarray, shape (n, d)
        Designs that were not [any].
    space : Space
        Low and high ends of the variables [any], and which are choices.
    aim : Aim
        What is sought.

    Returns
    -------
    foretold : ForetoldCost
        Of each design [kg or m, -], from the latest that were judged.
    """
    latest = known[-MOST:]
    there = space.shares(np.array([point for point, _ in latest]))
    here = space.shares(asked)
    sought, missing = (
        foretold(there, np.array(values), here, space.choices)
        for values in ([aimed(one, aim) for _, one in latest], [one.missing for _, one in latest])
    )
    return ForetoldCost(sought=sought, missing=missing)


def foretold(
    there: NDArray[np.float64],
    values: NDArray[np.float64],
    here: NDArray[np.float64],
    choices: NDArray[np.bool_] | None = None,
) -> Foretold:
    r"""Gaussian process through known values, its error held against each value left out in turn.

    .. math::  \mu = k^T K^{-1} y, \qquad \sigma^2 = s^2 (1 - k^T K^{-1} k), \qquad
               k(x, x') = e^{-\sum_j a_j^2 / 2 l_j^2}, \qquad
               a_j = x_j - x'_j \;\text{or, of a choice,}\; [x_j \ne x'_j]

    Parameters
    ----------
    there : ndarray, shape (m, d)
        Where values are known, :math:`x`, as shares of the ranges [-].
    values : ndarray, shape (m,)
        The values, :math:`y` [any].
    here : ndarray, shape (n, d)
        Where they are asked for [-].
    choices : ndarray of bool, shape (d,), optional
        Which columns are choices: their values are alike or other, and no nearer or farther [-].

    Returns
    -------
    foretold : Foretold
        Mean and standard error, :math:`\mu, \sigma` [any].

    Notes
    -----
    Holds for values that vary smoothly. Where they do not, the values left out lie farther off than their
    errors say, and all errors grow by as much. Of a choice that none of the known values has, nothing is
    foretold: its error is without bound.

    References
    ----------
    .. [1] Rasmussen and Williams, Gaussian Processes for Machine Learning, MIT Press 2006, equations 2.23,
       2.24, 5.8, 5.12; from memory, not re-read.
    """
    middle, spread = float(values.mean()), float(values.std())
    if spread == 0.0:
        # What never varied says nothing of how it would.
        return Foretold(mean=np.full(len(here), middle), error=np.full(len(here), np.inf))
    y = (values - middle) / spread
    sorts = np.zeros(there.shape[1], dtype=bool) if choices is None else choices
    alike = _apart(there, there, sorts)
    lengths = _lengths(alike, y)
    upper, solved = _solved(alike, y, lengths)
    inverse = np.linalg.inv(upper)
    of_left_out = np.sum(inverse**2, axis=1)
    # Each value's distance from what all others foretell, over the error of that.
    apart = solved / np.sqrt(of_left_out)
    squares: NDArray[np.float64] = apart**2
    scale = max(float(squares.mean()), float(squares.max()) / _FARTHEST**2)
    near = _likeness(_apart(here, there, sorts), lengths)
    left = np.maximum(1.0 + _NOISE - np.sum((near @ inverse) ** 2, axis=1), 0.0)
    error = np.where(_is_new(here, there, sorts), np.inf, spread * np.sqrt(scale * left))
    return Foretold(mean=middle + spread * (near @ solved), error=error)


def _is_new(
    here: NDArray[np.float64], there: NDArray[np.float64], choices: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Say which have something chosen that was never tried, (n,)."""
    same = here[:, None, choices] == there[None, :, choices]
    return np.logical_not(same.any(axis=1)).any(axis=1)


def _lengths(alike: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Find how far along each variable values are alike: the lengths with which they are likeliest."""
    from scipy.optimize import minimize  # pyright: ignore[reportUnknownVariableType]

    def unlikely(told: NDArray[np.float64]) -> float:
        upper, solved = _solved(alike, y, np.exp(told))
        scale = float(y @ solved) / y.size
        return 0.5 * y.size * np.log(max(scale, 1e-300)) + float(np.log(np.diag(upper)).sum())

    settings: Any = {
        "x0": np.full(alike.shape[2], np.log(0.5)),
        "method": "L-BFGS-B",
        "bounds": [(np.log(_SHORT), np.log(_LONG))] * alike.shape[2],
        "options": {"maxiter": 30},
    }
    # SciPy tells no types.
    fitted = cast("Any", minimize(unlikely, **settings))
    lengths: NDArray[np.float64] = np.exp(fitted.x)
    return lengths


def _solved(
    alike: NDArray[np.float64], y: NDArray[np.float64], lengths: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Root of the likenesses (upper triangle), and what they make of the values."""
    likeness = _likeness(alike, lengths) + _NOISE * np.eye(len(alike))
    upper: NDArray[np.float64] = np.linalg.cholesky(likeness).T.astype(np.float64)
    solved: NDArray[np.float64] = np.linalg.solve(upper, np.linalg.solve(upper.T, y)).astype(np.float64)
    return upper, solved


def _likeness(apart: NDArray[np.float64], lengths: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.exp(-0.5 * np.sum((apart / lengths) ** 2, axis=2))


def _apart(
    one: NDArray[np.float64], other: NDArray[np.float64], choices: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """How far apart, along each variable: shares of its range, or 1 for another choice, (n, m, d)."""
    apart = one[:, None, :] - other[None, :, :]
    return np.where(choices, apart != 0.0, apart)
