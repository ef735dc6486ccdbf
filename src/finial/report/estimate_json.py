"""Estimates in the short form that lists of numbers take: the ends, and how they are known."""

from finial.core.estimates import Estimate


def ends_plain(one: Estimate) -> dict[str, float]:
    """Return value and ends in SI.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> ends_plain(exact(2.0))
    {'value': 2.0, 'low': 2.0, 'high': 2.0}
    """
    return {"value": one.value, "low": one.low, "high": one.high}


def known_plain(one: Estimate) -> dict[str, float | str]:
    """Return value and ends in SI, and how they are known.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> known_plain(exact(2.0))["known_by"]
    'computed'
    """
    return {**ends_plain(one), "known_by": one.known_by.word}
