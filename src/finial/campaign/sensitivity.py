"""Which uncertain number decides: shares of a result's variance, with intervals."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flight.uncertain import Uncertain

MOST_FLIGHTS = 20_000
"""More flights than this make no interval worth the time narrower."""
REPEATS = 200
_FEWEST = 30
_SEED = 1_948


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """Share of a result's variance that one uncertain number explains by itself."""

    draw: Uncertain
    share: float
    low: float
    """Ends of the 95 % interval over resampled flights [-]."""
    high: float


def sensitivities(
    values: NDArray[np.float64], drawn: NDArray[np.float64], draws: tuple[Uncertain, ...]
) -> tuple[Sensitivity, ...]:
    r"""Share of variance that a parabola in each number explains, most first.

    .. math::  S_j = \frac{\operatorname{Var}(a_j + b_j x_j + c_j x_j^2)}{\operatorname{Var}(y)}

    Parameters
    ----------
    values : ndarray, shape (n,)
        Result of each flight, :math:`y`; flights where it is not finite are left out.
    drawn : ndarray, shape (n, d)
        Drawn numbers, :math:`x`.
    draws : tuple of Uncertain
        Which numbers they are.

    Returns
    -------
    sensitivities : tuple of Sensitivity
        With 95 % intervals from flights resampled 200 times (bootstrap). The fit's own rise
        with few flights is taken off, so a number without any say comes out near zero.

    Raises
    ------
    OutsideRange
        If fewer than 30 flights have the result.

    Notes
    -----
    Equals the first-order index where the result is a parabola in each number and the numbers
    are independent, as they are here; what two numbers do only together is not in it. The
    shares need not add up to one: gusts, and such pairs, take the rest.

    References
    ----------
    .. [1] Saltelli et al., Global Sensitivity Analysis: The Primer, Wiley 2008, sections 1.2.5
       and 4.2; from memory, not re-read.
    .. [2] Efron, Bootstrap methods, Annals of Statistics 7 (1979) 1.

    Examples
    --------
    >>> x = np.random.default_rng(1).uniform(-1, 1, (4000, 2))
    >>> from finial.flight.uncertain import Drawn
    >>> draws = Uncertain(kind=Drawn.AXIAL_FORCE), Uncertain(kind=Drawn.IMPULSE)
    >>> [(one.draw.name, round(one.share, 1)) for one in sensitivities(3 * x[:, 0] + x[:, 1], x, draws)]
    [('drag', 0.9), ('impulse', 0.1)]
    """
    finite = np.flatnonzero(np.isfinite(values))[:MOST_FLIGHTS]
    if finite.size < _FEWEST:
        raise OutsideRange(f"{finite.size} flights have this result: accepted are {_FEWEST} or more")
    y, x = _standard(values[finite, None])[:, 0], _standard(drawn[finite])
    generator = np.random.default_rng(_SEED)
    counts = generator.multinomial(finite.size, np.full(finite.size, 1.0 / finite.size), size=REPEATS)
    weights = np.vstack([np.ones(finite.size), counts.astype(float)])
    shares = _shares(y, x, weights)
    low, high = np.quantile(shares[1:], [0.025, 0.975], axis=0)
    found = (
        Sensitivity(draw=draw, share=float(share), low=float(min(a, share)), high=float(max(b, share)))
        for draw, share, a, b in zip(draws, shares[0], low, high, strict=True)
    )
    return tuple(sorted(found, key=lambda one: -one.share))


def _standard(columns: NDArray[np.float64]) -> NDArray[np.float64]:
    deviation = columns.std(axis=0)
    return (columns - columns.mean(axis=0)) / np.where(deviation > 0.0, deviation, 1.0)


def _shares(
    y: NDArray[np.float64], x: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Find the adjusted share explained, for every row of weights and every number, shape (r, d)."""
    total = float(y.size)
    mean = {power: weights @ x**power / total for power in (1, 2, 3, 4)}
    mean_y, square_y = (weights @ y / total)[:, None], (weights @ y**2 / total)[:, None]
    first = weights @ (x * y[:, None]) / total - mean[1] * mean_y
    second = weights @ (x**2 * y[:, None]) / total - mean[2] * mean_y
    xx, xxx = mean[2] - mean[1] ** 2, mean[3] - mean[1] * mean[2]
    xxxx = mean[4] - mean[2] ** 2
    determinant = xx * xxxx - xxx**2
    # A number with two values only has no parabola of its own.
    curved = determinant > 1e-9 * np.maximum(xx * xxxx, 1e-30)
    safe = np.where(curved, determinant, 1.0)
    both = (first**2 * xxxx - 2.0 * first * second * xxx + second**2 * xx) / safe
    straight = first**2 / np.where(xx > 0.0, xx, 1.0)
    variance = np.maximum(square_y - mean_y**2, 1e-30)
    explained = np.where(curved, both, straight) / variance
    spent = np.where(curved, 2.0, 1.0)
    return np.clip(1.0 - (1.0 - explained) * (total - 1.0) / (total - 1.0 - spent), 0.0, 1.0)
