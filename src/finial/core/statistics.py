"""Few tests, many flights: what counts of good and bad outcomes prove."""

import math
from typing import Final

from finial.core.doors import require_fraction
from finial.core.errors import OutsideRange

NINETY: Final = 1.645
"""Standard deviations to either end of the middle 90 % of a normal number [-]: its 95th percentile."""
NINETY_FIVE: Final = 1.96
"""The same of the middle 95 % [-]: its 97.5th percentile."""


def failure_probability_bound(failures: int, trials: int, confidence: float = 0.95) -> float:
    r"""Upper one-sided Clopper-Pearson bound on the probability of failure.

    .. math::  \sum_{k=0}^{x} \binom{n}{k} p^k (1 - p)^{n-k} = 1 - C

    Parameters
    ----------
    failures : int
        Failures seen, :math:`x` [-].
    trials : int
        Trials made, :math:`n` [-].
    confidence : float
        Confidence that the true probability lies below the bound, :math:`C` [-].

    Returns
    -------
    float
        The bound [-]; 1 when every trial failed.

    Raises
    ------
    OutsideRange
        If the counts are impossible or the confidence is no fraction.

    Notes
    -----
    Exact for independent plain random trials; too wide rather than too narrow. It does
    not hold for stratified or low-discrepancy samples.

    References
    ----------
    .. [1] Clopper and Pearson, Biometrika 26 (1934) 404.

    Examples
    --------
    >>> round(failure_probability_bound(0, 30), 4)
    0.095
    """
    require_fraction(confidence=confidence)
    _require_counts(failures, trials)
    if failures == trials:
        return 1.0
    from scipy.stats import beta  # slow to import; only this needs it

    upper = beta.ppf(confidence, failures + 1, trials - failures)  # pyright: ignore[reportUnknownMemberType]
    return float(upper)


def failure_probability_interval(failures: int, trials: int, confidence: float = 0.95) -> tuple[float, float]:
    r"""Two-sided Clopper-Pearson interval of the probability of failure.

    .. math::  \Pr(X \ge x \mid p_-) = \Pr(X \le x \mid p_+) = (1 - C) / 2

    Parameters
    ----------
    failures : int
        Failures seen, :math:`x` [-].
    trials : int
        Trials made [-].
    confidence : float
        Confidence of the interval, :math:`C` [-].

    Returns
    -------
    tuple of float
        Lower and upper end [-].

    Raises
    ------
    OutsideRange
        If the counts are impossible or the confidence is no fraction.

    Notes
    -----
    Range and error as for the one-sided bound; each side takes half the doubt.

    References
    ----------
    .. [1] Clopper and Pearson, Biometrika 26 (1934) 404.

    Examples
    --------
    >>> [round(end, 4) for end in failure_probability_interval(2, 20)]
    [0.0123, 0.317]
    """
    require_fraction(confidence=confidence)
    one_side = 1 - (1 - confidence) / 2
    high = failure_probability_bound(failures, trials, one_side)
    low = 1 - failure_probability_bound(trials - failures, trials, one_side)
    return low, high


def ellipse_scale(fraction: float) -> float:
    r"""Squared scale of the covariance ellipse that holds a share of normal scatter.

    .. math::  s^2 = -2 \ln(1 - p), \qquad (x - \mu)^T \Sigma^{-1} (x - \mu) \le s^2

    Parameters
    ----------
    fraction : float
        Share held, :math:`p` [-].

    Returns
    -------
    float
        :math:`s^2`, the chi-squared quantile with two degrees of freedom [-].

    Raises
    ------
    OutsideRange
        If the share is no fraction.

    Notes
    -----
    Closed form, exact for two dimensions with a known covariance; with one estimated
    from n points it holds for large n only.

    References
    ----------
    .. [1] Chi-squared distribution with two degrees of freedom; any text on statistics.

    Examples
    --------
    >>> round(ellipse_scale(0.95), 4)
    5.9915
    """
    require_fraction(fraction=fraction)
    return -2 * math.log1p(-fraction)


def _require_counts(failures: int, trials: int) -> None:
    """Refuse counts that cannot be."""
    if not 0 <= failures <= trials or trials < 1:
        raise OutsideRange(
            f"{failures} failures in {trials} trials: give 0 <= failures <= trials, trials >= 1"
        )
