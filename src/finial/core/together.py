"""Measurements of one number that scatter more than each says: their mean, and where the next one lies."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.statistics import NINETY

_GRANTED = 2
"""How many measurements' worth of freedom the scatter taken for granted gives; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledMean:
    """What several measurements tell of their mean and of the next."""

    mean: float
    mean_sigma: float
    """How well the mean is known."""
    scatter: float
    """Standard deviation from one to the next, beyond what each says of itself."""
    next_sigma: float
    """Of the next one's truth about the mean: 1.645 of it either way hold nine in ten."""


def scatter_between(values: ArrayLike, sigmas: ArrayLike) -> float:
    r"""Scatter of measurements beyond what each says of itself.

    .. math::

        \tau^2 = \max\left(0,\ \frac{Q - (n - 1)}{\sum w - \sum w^2 / \sum w}\right), \qquad
        Q = \sum w (x - \bar x)^2, \quad w = 1 / \sigma^2

    Parameters
    ----------
    values, sigmas : array_like, shape (n,)
        Measurements and their standard deviations [any unit, the same].

    Returns
    -------
    scatter : float
        :math:`\tau`, zero for one measurement [the same unit].

    Raises
    ------
    OutsideRange
        If there is none, the two do not pair up, or a deviation is not above zero.

    Notes
    -----
    Holds for any number of normal measurements; from two or three it is hardly known itself.

    References
    ----------
    .. [1] DerSimonian and Laird, Meta-analysis in clinical trials, Controlled Clinical Trials 7 (1986) 177,
       equations 3 to 9 (from memory).

    Examples
    --------
    >>> round(scatter_between([1.0, 1.4], [0.1, 0.1]), 3)
    0.265
    """
    told, own = _checked(values, sigmas)
    if len(told) == 1:
        return 0.0
    weights = own**-2
    plain = float((weights * told).sum() / weights.sum())
    excess = float((weights * (told - plain) ** 2).sum()) - (len(told) - 1)
    return float(max(0.0, excess / float(weights.sum() - (weights**2).sum() / weights.sum())) ** 0.5)


def together(values: ArrayLike, sigmas: ArrayLike, granted_scatter: float) -> PooledMean:
    r"""Mean of measurements whose truths differ from one to the next, and where the next one lies.

    .. math::

        s^2 = \max(\tau_0^2, \tau^2), \qquad
        \mu = \frac{\sum x / (\sigma^2 + s^2)}{\sum 1 / (\sigma^2 + s^2)}, \qquad
        \sigma_{n+1} = \frac{t_{n+1}}{1.645} \sqrt{\sigma_\mu^2 + s^2}

    with the scatter :math:`\tau` that the measurements show and the 95th percentile :math:`t` of Student's
    distribution, for a scatter that is known by so few.

    Parameters
    ----------
    values, sigmas : array_like, shape (n,)
        Measurements and their standard deviations [any unit, the same].
    granted_scatter : float
        Scatter that is taken for granted, :math:`\tau_0` [the same unit].

    Returns
    -------
    told : PooledMean
        Mean, its deviation, the scatter, and that of the next one [the same unit].

    Raises
    ------
    OutsideRange
        As :func:`scatter_between`, or if the scatter taken for granted is not above zero.

    Notes
    -----
    Holds for normal measurements. Of one or two alone the band is too wide, of eight that lie five times as
    far apart as granted it holds 85 in a hundred; drawn, not derived.

    References
    ----------
    .. [1] Higgins, Thompson and Spiegelhalter, A re-evaluation of random-effects meta-analysis, Journal of
       the Royal Statistical Society A 172 (2009) 137, section 3.3, for Student's distribution (from memory).

    Examples
    --------
    >>> told = together([1.0, 1.4], [0.1, 0.1], 0.02)
    >>> round(told.mean, 2), round(told.scatter, 3), round(told.next_sigma, 2)
    (1.2, 0.265, 0.47)
    """
    # The distribution's import costs half a second: only where flights are joined.
    from scipy.stats import t as student

    told, own = _checked(values, sigmas)
    require_positive(granted_scatter=granted_scatter)
    between = max(granted_scatter, scatter_between(told, own)) ** 2
    shares = 1.0 / (own**2 + between)
    mean_sigma = float(shares.sum() ** -0.5)
    freedom = len(told) - 1 + _GRANTED
    wider = float(student.ppf(0.95, freedom)) / NINETY  # pyright: ignore[reportUnknownMemberType, reportUnknownArgumentType]
    return PooledMean(
        mean=float((shares * told).sum() / shares.sum()),
        mean_sigma=mean_sigma,
        scatter=float(between**0.5),
        next_sigma=wider * float(np.hypot(mean_sigma, between**0.5)),
    )


def _checked(values: ArrayLike, sigmas: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    told, own = np.asarray(values, dtype=float), np.asarray(sigmas, dtype=float)
    if told.ndim != 1 or told.shape != own.shape or not len(told) or not np.isfinite(told).all():
        raise OutsideRange("values and deviations of one length, at least one of each, are accepted")
    for sigma in own.tolist():
        require_positive(sigma=sigma)
    return told, own
