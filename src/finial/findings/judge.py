"""From an interval and a limit to a verdict."""

from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Verdict


def at_least(value: Estimate | None, limit: float) -> Verdict:
    """Judge a value that must not fall below ``limit``, at its low end.

    When only the low end misses and the interval's width is a guess of the builder's,
    the answer is not known: settling the guess can still make it go.

    Examples
    --------
    >>> at_least(Estimate(value=2.0, low=1.8, high=2.2, known_by=KnownBy.COMPUTED), 1.5).words
    'go'
    >>> at_least(Estimate(value=1.6, low=1.2, high=2.2, known_by=KnownBy.ASSUMED), 1.5).words
    'not known'
    """
    if value is None:
        return Verdict.NOT_KNOWN
    if value.low >= limit:
        return Verdict.GO
    return _missed(value, good_end_holds=value.high >= limit)


def at_most(value: Estimate | None, limit: float) -> Verdict:
    """Judge a value that must not rise above ``limit``, at its high end.

    Examples
    --------
    >>> at_most(Estimate(value=5.0, low=4.0, high=7.0, known_by=KnownBy.COMPUTED), 6.0).words
    'no-go'
    """
    if value is None:
        return Verdict.NOT_KNOWN
    if value.high <= limit:
        return Verdict.GO
    return _missed(value, good_end_holds=value.low <= limit)


def margin_at_least(value: Estimate | None, limit: float) -> float | None:
    """How far the low end stands above ``limit``, as a fraction of it; ``None`` for a limit of zero."""
    return None if value is None or limit == 0 else (value.low - limit) / abs(limit)


def margin_at_most(value: Estimate | None, limit: float) -> float | None:
    """How far the high end stands below ``limit``, as a fraction of it; ``None`` for a limit of zero."""
    return None if value is None or limit == 0 else (limit - value.high) / abs(limit)


def _missed(value: Estimate, *, good_end_holds: bool) -> Verdict:
    if good_end_holds and value.known_by is KnownBy.ASSUMED:
        return Verdict.NOT_KNOWN
    return Verdict.NO_GO
