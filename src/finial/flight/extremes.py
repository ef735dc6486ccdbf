"""What stands out in a flight."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flight.trace import EventKind, Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Peak:
    """The largest value of something, and when and how high up it was reached."""

    value: float
    time_s: float
    height_agl_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightExtremes:
    """Extremes over all rows of a trace: ends of steps, points inside, each phase's first instant."""

    max_speed: Peak
    """Over ground, before the first canopy [m/s]."""
    max_mach: Peak
    max_dynamic_pressure: Peak
    """[Pa]"""
    max_acceleration: Peak
    """Felt by the body, before the first canopy [m/s^2]."""


def extremes(trace: Trace) -> FlightExtremes:
    """Find what stands out in a flight.

    Parameters
    ----------
    trace : Trace
        One flight.

    Returns
    -------
    extremes : FlightExtremes
        Peaks until the first canopy comes out.

    Raises
    ------
    OutsideRange
        If the trace is empty, or begins under a canopy.

    Notes
    -----
    Peaks are the largest of the rows, which stand at least four to a step; between rows they miss
    less than 0.1 % of a smooth peak.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> round(extremes(fly(example_inputs())).max_speed.value)
    64
    """
    if trace.times_s.size == 0:
        raise OutsideRange("an empty trace has no extremes")
    first_canopy = next((event for event in trace.events if event.kind is EventKind.OUT), None)
    until = np.inf if first_canopy is None else first_canopy.time_s
    shut = slice(0, int(np.searchsorted(trace.times_s, until, side="right")))
    return FlightExtremes(
        max_speed=_peak(trace, np.linalg.norm(trace.velocities_m_s[shut], axis=1)),
        max_mach=_peak(trace, trace.machs[shut]),
        max_dynamic_pressure=_peak(trace, trace.dynamic_pressures_pa[shut]),
        max_acceleration=_peak(trace, np.linalg.norm(trace.accelerations_m_s2[shut], axis=1)),
    )


def _peak(trace: Trace, values: NDArray[np.float64]) -> Peak:
    """Largest of the trace's first values."""
    if values.size == 0:
        raise OutsideRange("the trace begins under a canopy: it has no flight to take peaks from")
    best = int(np.argmax(values))
    return Peak(
        value=float(values[best]),
        time_s=float(trace.times_s[best]),
        height_agl_m=float(trace.positions_m[best, 2]),
    )
