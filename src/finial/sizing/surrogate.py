"""What designs near to judged ones come to, with an error: which of them need not be judged at all."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.sizing.judged import Judged

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """What a number is expected to be at some designs, and its standard error there."""

    mean: NDArray[np.float64]
    error: NDArray[np.float64]


def least_cost(
    known: Sequence[tuple[Sequence[float], Judged]],
    asked: NDArray[np.float64],
    ends: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Least mass and least that is missing, which designs surely do not come below.

    Parameters
    ----------
    known : sequence of (point, Judged)
        Designs that were judged, in the order of their judging [any].
    asked : ndarray, shape (n, d)
        Designs that were not [any].
    ends : pair of ndarray, shape (d,)
        Low and high ends of the variables [any].

    Returns
    -------
    mass_kg : ndarray, shape (n,)
        Four standard errors below what is expected [kg].
    missing : ndarray, shape (n,)
        Likewise, 0 at least [-].
    """
    low, high = ends
    latest = known[-MOST:]
    there = (np.array([point for point, _ in latest]) - low) / (high - low)
    here = (asked - low) / (high - low)
    mass, missing = (
        foretold(there, np.array([getattr(judged, what) for _, judged in latest]), here)
        for what in ("mass_kg", "missing")
    )
    return mass.mean - _SURE * mass.error, np.maximum(missing.mean - _SURE * missing.error, 0.0)


def foretold(there: NDArray[np.float64], values: NDArray[np.float64], here: NDArray[np.float64]) -> Foretold:
    r"""Gaussian process through known values, its error held against each value left out in turn.

    .. math::  \mu = k^T K^{-1} y, \qquad \sigma^2 = s^2 (1 - k^T K^{-1} k), \qquad
               k(x, x') = e^{-\sum_j (x_j - x'_j)^2 / 2 l_j^2}

    Parameters
    ----------
    there : ndarray, shape (m, d)
        Where values are known, :math:`x`, as shares of the ranges [-].
    values : ndarray, shape (m,)
        The values, :math:`y` [any].
    here : ndarray, shape (n, d)
        Where they are asked for [-].

    Returns
    -------
    foretold : Foretold
        Mean and standard error, :math:`\mu, \sigma` [any].

    Notes
    -----
    Holds for values that vary smoothly. Where they do not, the values left out lie farther off than their
    errors say, and all errors grow by as much.

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
    lengths = _lengths(there, y)
    upper, solved = _solved(there, y, lengths)
    inverse = np.linalg.inv(upper)
    of_left_out = np.sum(inverse**2, axis=1)
    # Each value's distance from what all others foretell, over the error of that.
    apart = solved / np.sqrt(of_left_out)
    squares: NDArray[np.float64] = apart**2
    scale = max(float(squares.mean()), float(squares.max()) / _FARTHEST**2)
    near = _likeness(here, there, lengths)
    left = np.maximum(1.0 + _NOISE - np.sum((near @ inverse) ** 2, axis=1), 0.0)
    return Foretold(mean=middle + spread * (near @ solved), error=spread * np.sqrt(scale * left))


def _lengths(there: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Find how far along each variable values are alike: the lengths with which they are likeliest."""
    from scipy.optimize import minimize  # pyright: ignore[reportUnknownVariableType]

    def unlikely(told: NDArray[np.float64]) -> float:
        upper, solved = _solved(there, y, np.exp(told))
        scale = float(y @ solved) / y.size
        return 0.5 * y.size * np.log(max(scale, 1e-300)) + float(np.log(np.diag(upper)).sum())

    settings: Any = {
        "x0": np.full(there.shape[1], np.log(0.5)),
        "method": "L-BFGS-B",
        "bounds": [(np.log(_SHORT), np.log(_LONG))] * there.shape[1],
        "options": {"maxiter": 30},
    }
    # SciPy tells no types.
    fitted = cast("Any", minimize(unlikely, **settings))
    lengths: NDArray[np.float64] = np.exp(fitted.x)
    return lengths


def _solved(
    there: NDArray[np.float64], y: NDArray[np.float64], lengths: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Root of the likenesses (upper triangle), and what they make of the values."""
    likeness = _likeness(there, there, lengths) + _NOISE * np.eye(len(there))
    upper: NDArray[np.float64] = np.linalg.cholesky(likeness).T.astype(np.float64)
    solved: NDArray[np.float64] = np.linalg.solve(upper, np.linalg.solve(upper.T, y)).astype(np.float64)
    return upper, solved


def _likeness(
    one: NDArray[np.float64], other: NDArray[np.float64], lengths: NDArray[np.float64]
) -> NDArray[np.float64]:
    apart = (one[:, None, :] - other[None, :, :]) / lengths
    return np.exp(-0.5 * np.sum(apart**2, axis=2))
