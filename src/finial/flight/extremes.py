"""What stands out in a flight."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
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

    thrust_to_weight: float | None
    """Mean thrust from lift-off to rail exit over the weight at lift-off [-]."""
    rail_exit_speed_m_s: float | None
    """When the fore button leaves: from then on the rail no longer holds the direction."""
    rail_exit_alpha_rad: float | None
    rail_exit_roll_rad: float | None
    max_speed: Peak
    """Over ground, before the first canopy [m/s]."""
    max_mach: Peak
    max_dynamic_pressure: Peak
    """[Pa]"""
    max_acceleration: Peak
    """Felt by the body, before the first canopy [m/s^2]."""
    max_alpha: Peak | None
    """From rail exit to burnout [rad]."""
    max_pressure_angle: Peak | None
    """Dynamic pressure times angle of attack, from rail exit to apogee [Pa rad]: what bends the body."""
    max_canopy_acceleration: Peak | None
    """Felt under canopies [m/s^2]."""
    apogee: Peak | None
    """Height above ground [m]."""
    landing_east_m: float | None
    landing_north_m: float | None
    landing_speed_m_s: float | None
    flight_time_s: float | None
    """From lift-off to the ground [s]."""

    @property
    def drift_m(self) -> float | None:
        """Distance of the landing point from the rail [m]."""
        if self.landing_east_m is None or self.landing_north_m is None:
            return None
        return float(np.hypot(self.landing_east_m, self.landing_north_m))


def extremes(trace: Trace) -> FlightExtremes:
    """Find what stands out in a flight.

    Parameters
    ----------
    trace : Trace
        One flight.

    Returns
    -------
    extremes : FlightExtremes
        Peaks and landing; ``None`` for what the flight never came to.

    Raises
    ------
    OutsideRange
        If the trace is empty.

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
    >>> 13.0 < extremes(fly(example_inputs())).rail_exit_speed_m_s < 17.0
    True
    """
    if trace.times_s.size == 0:
        raise OutsideRange("an empty trace has no extremes")
    first_canopy = next((event for event in trace.events if event.kind is EventKind.OUT), None)
    shut = trace.times_s <= (np.inf if first_canopy is None else first_canopy.time_s)
    under = ~shut
    felt = np.linalg.norm(trace.accelerations_m_s2, axis=1)
    off_rail = _between(trace, EventKind.RAIL_EXIT, EventKind.BURNOUT)
    rising = _between(trace, EventKind.RAIL_EXIT, EventKind.APOGEE)
    rail = _rail_exit(trace)
    landed = trace.landed
    ground, lift_off, apogee = (
        trace.event(EventKind.GROUND),
        trace.event(EventKind.LIFT_OFF),
        trace.event(EventKind.APOGEE),
    )
    flight_time = None
    if ground is not None and lift_off is not None:
        flight_time = ground.time_s - lift_off.time_s
    return FlightExtremes(
        thrust_to_weight=_thrust_to_weight(trace),
        rail_exit_speed_m_s=rail[0],
        rail_exit_alpha_rad=rail[1],
        rail_exit_roll_rad=rail[2],
        max_speed=_require(_peak(trace, np.linalg.norm(trace.velocities_m_s, axis=1), shut)),
        max_mach=_require(_peak(trace, trace.machs, shut)),
        max_dynamic_pressure=_require(_peak(trace, trace.dynamic_pressures_pa, shut)),
        max_acceleration=_require(_peak(trace, felt, shut)),
        max_alpha=_peak(trace, trace.alphas_rad, off_rail),
        max_pressure_angle=_peak(trace, trace.dynamic_pressures_pa * trace.alphas_rad, rising),
        max_canopy_acceleration=_peak(trace, felt, under),
        apogee=None
        if apogee is None
        else Peak(value=apogee.height_agl_m, time_s=apogee.time_s, height_agl_m=apogee.height_agl_m),
        landing_east_m=float(trace.positions_m[-1, 0]) if landed else None,
        landing_north_m=float(trace.positions_m[-1, 1]) if landed else None,
        landing_speed_m_s=ground.speed_m_s if ground is not None else None,
        flight_time_s=flight_time,
    )


def _peak(trace: Trace, values: NDArray[np.float64], where: NDArray[np.bool_]) -> Peak | None:
    rows = np.flatnonzero(where)
    if rows.size == 0:
        return None
    best = rows[np.argmax(values[rows])]
    return Peak(
        value=float(values[best]),
        time_s=float(trace.times_s[best]),
        height_agl_m=float(trace.positions_m[best, 2]),
    )


def _require(peak: Peak | None) -> Peak:
    if peak is None:
        raise OutsideRange("the trace begins under a canopy: it has no flight to take peaks from")
    return peak


def _between(trace: Trace, begin: EventKind, end: EventKind) -> NDArray[np.bool_]:
    """Rows from one event to another, ends included; to the last row if the second never came."""
    first, last = trace.event(begin), trace.event(end)
    if first is None:
        return np.zeros(trace.times_s.shape, dtype=bool)
    until = np.inf if last is None else last.time_s
    return (trace.times_s >= first.time_s) & (trace.times_s <= until)


def _rail_exit(trace: Trace) -> tuple[float | None, float | None, float | None]:
    left = trace.event(EventKind.FORE_LEAVES)
    if left is None:
        return None, None, None
    row = int(np.searchsorted(trace.times_s, left.time_s, side="left"))
    return left.speed_m_s, float(trace.alphas_rad[row]), float(trace.rolls_rad[row])


def _thrust_to_weight(trace: Trace) -> float | None:
    begin, end = trace.event(EventKind.LIFT_OFF), trace.event(EventKind.FORE_LEAVES)
    if begin is None or end is None:
        return None
    rows = (trace.times_s >= begin.time_s) & (trace.times_s <= end.time_s)
    impulse = np.trapezoid(trace.thrusts_n[rows], trace.times_s[rows])
    weight = trace.masses_kg[rows][0] * STANDARD_GRAVITY_M_S2
    return float(impulse / (end.time_s - begin.time_s) / weight)
