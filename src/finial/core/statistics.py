"""Few tests, many flights: what counts of good and bad outcomes prove."""

import math

from finial.core.doors import require_fraction, require_not_negative, require_positive
from finial.core.errors import NotConverged, OutsideRange


def zero_failure_tests(reliability: float, confidence: float) -> int:
    r"""Count the tests without a single failure that prove a reliability.

    .. math::  n = \lceil \ln(1 - C) / \ln R \rceil

    Parameters
    ----------
    reliability : float
        Probability of success to be shown, :math:`R` [-].
    confidence : float
        Confidence of the statement, :math:`C` [-].

    Returns
    -------
    int
        Number of tests, all good.

    Raises
    ------
    OutsideRange
        If either is not strictly between 0 and 1.

    Notes
    -----
    Holds for independent tests under the conditions of use. Thirty good ground tests at
    home say nothing about altitude or cold.

    References
    ----------
    .. [1] Success-run theorem, as in O'Connor and Kleyner, Practical Reliability
       Engineering, 5th edition; from memory, not re-read.

    Examples
    --------
    >>> zero_failure_tests(0.90, 0.95)
    29
    """
    require_fraction(reliability=reliability, confidence=confidence)
    # The small slack keeps an exact power, such as 0.5**3 against 0.125, from rounding up to one more.
    return math.ceil(math.log1p(-confidence) / math.log(reliability) - 1e-12)


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


def tolerance_sample_size(content: float, confidence: float, order: int = 1) -> int:
    r"""Sample size whose ``order``-th largest value covers a share of all outcomes.

    .. math::  \sum_{k=0}^{r-1} \binom{n}{k} (1 - \gamma)^k \gamma^{n-k} \le 1 - C

    Parameters
    ----------
    content : float
        Share of outcomes to lie below the bound, :math:`\gamma` [-].
    confidence : float
        Confidence of the statement, :math:`C` [-].
    order : int
        Which of the largest values is the bound, :math:`r`; 1 is the largest [-].

    Returns
    -------
    int
        Smallest number of plain random runs.

    Raises
    ------
    OutsideRange
        If a share is no fraction or the order is below 1.
    NotConverged
        If more than ten million runs would be needed.

    Notes
    -----
    Holds for any continuous outcome, whatever its distribution; one-sided.

    References
    ----------
    .. [1] Wilks, Annals of Mathematical Statistics 12 (1941) 91.

    Examples
    --------
    >>> [tolerance_sample_size(0.95, 0.95, order) for order in (1, 2, 3)]
    [59, 93, 124]
    """
    require_fraction(content=content, confidence=confidence)
    if order < 1:
        raise OutsideRange(f"order = {order}: the largest value has order 1")
    low, high = order - 1, order
    while _fewer_than(order, high, content) > 1 - confidence:
        low, high = high, 2 * high
        if high > 20_000_000:
            raise NotConverged(f"content {content} at confidence {confidence} needs over ten million runs")
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _fewer_than(order, middle, content) <= 1 - confidence else (middle, high)
    return high


def circle_radius(fraction: float, sigma_m: float = 1.0) -> float:
    r"""Radius of the circle that holds a share of a circular normal scatter.

    .. math::  R = \sigma \sqrt{-2 \ln(1 - p)}

    Parameters
    ----------
    fraction : float
        Share held, :math:`p` [-].
    sigma_m : float
        Standard deviation along each axis, :math:`\sigma` [m].

    Returns
    -------
    float
        Radius [m].

    Raises
    ------
    OutsideRange
        If the share is no fraction or the deviation is not positive.

    Notes
    -----
    Holds for equal, independent normal scatter on both axes. Landing points often have
    longer tails.

    References
    ----------
    .. [1] Rayleigh distribution; any text on circular error probable.

    Examples
    --------
    >>> round(circle_radius(0.5), 5)
    1.17741
    """
    require_positive(sigma_m=sigma_m)
    return sigma_m * math.sqrt(ellipse_scale(fraction))


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


def ellipse_content(sigmas: float) -> float:
    r"""Share of two-dimensional normal scatter inside the ellipse of so many sigmas.

    .. math::  p = 1 - e^{-s^2 / 2}

    Parameters
    ----------
    sigmas : float
        Scale of the ellipse, :math:`s` [-].

    Returns
    -------
    float
        Share held [-].

    Raises
    ------
    OutsideRange
        If the scale is negative or not finite.

    Notes
    -----
    The one-sigma ellipse holds 39 %, not the 68 % known from one dimension.

    References
    ----------
    .. [1] Chi-squared distribution with two degrees of freedom; any text on statistics.

    Examples
    --------
    >>> round(ellipse_content(1.0), 3)
    0.393
    """
    require_not_negative(sigmas=sigmas)
    return -math.expm1(-sigmas * sigmas / 2)


def proportion_standard_error(proportion: float, trials: int) -> float:
    r"""Return the standard error of a proportion found by plain random trials.

    .. math::  \sqrt{p (1 - p) / n}

    Parameters
    ----------
    proportion : float
        The proportion, :math:`p` [-].
    trials : int
        Trials made, :math:`n` [-].

    Returns
    -------
    float
        Standard error [-].

    Raises
    ------
    OutsideRange
        If the proportion is no fraction or there are no trials.

    Notes
    -----
    Holds for independent trials and many more than 1/p of them.

    References
    ----------
    .. [1] Binomial distribution; any text on statistics.

    Examples
    --------
    >>> round(proportion_standard_error(0.05, 1000), 4)
    0.0069
    """
    require_fraction(proportion=proportion)
    require_positive(trials=trials)
    return math.sqrt(proportion * (1 - proportion) / trials)


def _fewer_than(order: int, trials: int, content: float) -> float:
    """Probability that fewer than ``order`` of the trials fall in the top share."""
    top = 1 - content
    return math.fsum(
        math.exp(
            math.lgamma(trials + 1)
            - math.lgamma(k + 1)
            - math.lgamma(trials - k + 1)
            + k * math.log(top)
            + (trials - k) * math.log(content)
        )
        for k in range(min(order, trials + 1))
    )


def _require_counts(failures: int, trials: int) -> None:
    """Refuse counts that cannot be."""
    if not 0 <= failures <= trials or trials < 1:
        raise OutsideRange(
            f"{failures} failures in {trials} trials: give 0 <= failures <= trials, trials >= 1"
        )
