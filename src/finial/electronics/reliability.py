"""Reliability of parts in a row, side by side, and of pairs that fail together."""

import math
from collections.abc import Sequence

from finial.core.errors import OutsideRange


def series_reliability(reliabilities: Sequence[float]) -> float:
    r"""Reliability of parts that must all work.

    .. math::  R = \prod_i R_i

    Parameters
    ----------
    reliabilities : sequence of float, shape (n,)
        Probability that each works, :math:`R_i` [-].

    Returns
    -------
    float
        Probability that all work [-].

    Raises
    ------
    OutsideRange
        If a number is no probability or there is none.

    Notes
    -----
    Exact for independent parts.

    References
    ----------
    .. [1] Reliability block diagrams, IEC 61078; from memory, not re-read.

    Examples
    --------
    >>> round(series_reliability([0.97, 0.97]), 4)
    0.9409
    """
    _require_probabilities(reliabilities)
    return math.prod(reliabilities)


def parallel_reliability(reliabilities: Sequence[float]) -> float:
    r"""Reliability of parts of which one is enough.

    .. math::  R = 1 - \prod_i (1 - R_i)

    Parameters
    ----------
    reliabilities : sequence of float, shape (n,)
        Probability that each works, :math:`R_i` [-].

    Returns
    -------
    float
        Probability that at least one works [-].

    Raises
    ------
    OutsideRange
        If a number is no probability or there is none.

    Notes
    -----
    Exact for independent parts. Parallel switches help the flight and hurt the disarming.

    References
    ----------
    .. [1] Reliability block diagrams, IEC 61078; from memory, not re-read.

    Examples
    --------
    >>> round(parallel_reliability([0.97, 0.97]), 4)
    0.9991
    """
    _require_probabilities(reliabilities)
    return 1 - math.prod(1 - value for value in reliabilities)


def voting_reliability(needed: int, count: int, reliability: float) -> float:
    r"""Reliability of like parts of which so many are needed.

    .. math::  R = \sum_{i=k}^{n} \binom{n}{i} R_1^i (1 - R_1)^{n-i}

    Parameters
    ----------
    needed : int
        Parts that must work, :math:`k` [-].
    count : int
        Parts there are, :math:`n` [-].
    reliability : float
        Probability that one works, :math:`R_1` [-].

    Returns
    -------
    float
        Probability that enough work [-].

    Raises
    ------
    OutsideRange
        If the counts are impossible or the number is no probability.

    Notes
    -----
    Exact for independent like parts; the voter itself is not counted.

    References
    ----------
    .. [1] Reliability block diagrams, IEC 61078; from memory, not re-read.

    Examples
    --------
    >>> round(voting_reliability(2, 3, 0.97), 5)
    0.99735
    """
    _require_probabilities([reliability])
    if not 1 <= needed <= count:
        raise OutsideRange(f"{needed} of {count} parts: give 1 <= needed <= count")
    return math.fsum(
        math.comb(count, works) * reliability**works * (1 - reliability) ** (count - works)
        for works in range(needed, count + 1)
    )


def common_cause_failure(failure: float, shared_share: float) -> float:
    r"""Probability that both of two like parts fail, some failures taking both at once.

    .. math::  Q = \big((1 - \beta) q\big)^2 + \beta q

    Parameters
    ----------
    failure : float
        Probability that one fails, :math:`q` [-].
    shared_share : float
        Share of failures that take both, :math:`\beta` [-].

    Returns
    -------
    float
        Probability :math:`Q` [-].

    Raises
    ------
    OutsideRange
        If either is no probability.

    Notes
    -----
    Beta-factor model for two like parts. A shared sled, static port, battery box or the
    same mistake made twice are common causes; 5 to 20 % is usual where nothing is known.

    References
    ----------
    .. [1] Beta-factor model, as in IEC 61508-6 annex D; from memory, not re-read.

    Examples
    --------
    >>> round(common_cause_failure(0.02, 0.10), 6)
    0.002324
    """
    _require_probabilities([failure, shared_share])
    return ((1 - shared_share) * failure) ** 2 + shared_share * failure


def _require_probabilities(values: Sequence[float]) -> None:
    """Refuse an empty list and numbers that are no probabilities."""
    if not values:
        raise OutsideRange("no parts given: give at least one probability")
    for value in values:
        if not 0 <= value <= 1:
            raise OutsideRange(f"{value} is no probability: give a number from 0 to 1 (0.97, not 97)")
