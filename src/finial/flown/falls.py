"""Steady falls: how fast it came down, and when the fall became slower."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flown.smoothing import SmoothedClimb

_SHORTEST_S = 2.5
_LEAST_M_S = 1.5
_STEADY_M_S2 = 1.0
_SAME = 0.25
"""Falls whose rates differ by less are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A stretch of falling at one rate."""

    start_s: float
    end_s: float
    from_m: float
    to_m: float
    rate: Estimate
    """Downwards positive [m/s]."""

    @property
    def middle_m(self) -> float:
        """Height half-way [m].

        Returns
        -------
        middle_m : float
            Above the pad [m].
        """
        return 0.5 * (self.from_m + self.to_m)


def falls(climb: SmoothedClimb, apogee_s: float, landing_s: float) -> tuple[Fall, ...]:
    r"""Stretches of 2.5 s and more between apogee and landing over which it fell steadily.

    .. math::  w = -\frac{h_2 - h_1}{t_2 - t_1}

    Parameters
    ----------
    climb : SmoothedClimb
        Smoothed motion [units in its fields].
    apogee_s, landing_s : float
        From when to when [s].

    Returns
    -------
    falls : tuple of Fall
        In order; the ends of each rate hold nine in ten by the spread of the smoothed speed [m/s].

    Notes
    -----
    Steady is slower than 1 m/s^2 of smoothed acceleration. Rising air counts in full: a rate under a
    canopy is off by the thermal it hung in, a metre a second or so.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> from finial.flown.example import example_sensed
    >>> from finial.flown.smoothing import smoothed
    >>> from finial.flown.turning import attitudes
    >>> climb = smoothed(example_sensed(), attitudes(example_sensed(), 0.0), 5.2)
    >>> [round(fall.rate.value) for fall in falls(climb, 5.3, 27.0)]
    [6]
    """
    inside = (climb.times_s > apogee_s) & (climb.times_s < landing_s)
    steady = inside & (np.abs(climb.accelerations_m_s2) < _STEADY_M_S2) & (climb.speeds_m_s < -_LEAST_M_S)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], steady.astype(int), [0]])))
    spans = [(int(first), int(end) - 1) for first, end in zip(edges[::2], edges[1::2], strict=True)]
    joined = _joined(climb, spans)
    return tuple(
        _fall(climb, first, last)
        for first, last in joined
        if climb.times_s[last] - climb.times_s[first] >= _SHORTEST_S
    )


def _joined(climb: SmoothedClimb, spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Join stretches that a gust parted: they end and begin at the same rate."""
    kept: list[tuple[int, int]] = []
    for first, last in spans:
        if kept:
            before, now = climb.speeds_m_s[kept[-1][1]], climb.speeds_m_s[first]
            close = climb.times_s[first] - climb.times_s[kept[-1][1]] < _SHORTEST_S
            if close and abs(now - before) < _SAME * abs(before):
                kept[-1] = (kept[-1][0], last)
                continue
        kept.append((first, last))
    return kept


def _fall(climb: SmoothedClimb, first: int, last: int) -> Fall:
    times, heights = climb.times_s, climb.heights_m
    rate = -float((heights[last] - heights[first]) / (times[last] - times[first]))
    ends = float(np.hypot(climb.height_sigmas_m[first], climb.height_sigmas_m[last]))
    half = max(NINETY * ends / float(times[last] - times[first]), 0.02 * rate)
    return Fall(
        start_s=float(times[first]),
        end_s=float(times[last]),
        from_m=float(heights[first]),
        to_m=float(heights[last]),
        rate=Estimate(
            value=rate,
            low=rate - half,
            high=rate + half,
            known_by=KnownBy.MEASURED,
            method="smoothed heights",
        ),
    )


def slower(found: tuple[Fall, ...]) -> tuple[tuple[Fall, Fall], ...]:
    """Pairs of falls one after the other where the second is clearly slower: a canopy opened between.

    Parameters
    ----------
    found : tuple of Fall
        Steady falls in order [m/s].

    Returns
    -------
    pairs : tuple of (Fall, Fall)
        Before and after [m/s].

    Notes
    -----
    Clearly is by a quarter.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> slower(())
    ()
    """
    return tuple(
        (before, after)
        for before, after in pairwise(found)
        if after.rate.value < (1.0 - _SAME) * before.rate.value
    )
