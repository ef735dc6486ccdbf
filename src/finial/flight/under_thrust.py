"""What a flight does while the motor burns: whether it holds its direction, what comes out too early."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.flight.trace import EventKind, FlightEvent, Trace

_NOT_UNDER_THRUST = (EventKind.APOGEE, EventKind.OUT, EventKind.OPEN, EventKind.GROUND)
_WEIGHTY = 0.05
"""Share of the flight's largest dynamic pressure below which an angle of attack means little [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """An angle [rad], and when it was reached."""

    angle_rad: float
    time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderThrust:
    """From rail exit until the thrust has ended."""

    burnt_out_s: float
    """When the thrust ended, or the flight where it ended before [s]."""
    lean: Reached
    """Largest angle of the axis from the vertical [rad]."""
    alpha: Reached
    """Largest angle of attack [rad]."""
    turned_over_s: float | None
    """When the axis first pointed below the horizon, or the air came from behind [s]; ``None``: never."""
    early: tuple[FlightEvent, ...]
    """Apogee, canopies and ground that came before the thrust had ended."""


def lean_from_vertical(quaternions: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Angle between the vehicle's axis and the vertical.

    .. math::  \cos\theta = 2 (q_1 q_3 - q_0 q_2)

    Parameters
    ----------
    quaternions : ndarray, shape (n, 4)
        Scalar first, body to earth (east, north, up), of length one [-].

    Returns
    -------
    lean_rad : ndarray, shape (n,)
        0 with the tip straight up, pi with the tip straight down [rad].

    Raises
    ------
    OutsideRange
        If the array has no four columns.

    Notes
    -----
    Exact: the upward part of the body's x axis.

    References
    ----------
    .. [1] Rotation matrix of a unit quaternion; any text on rigid bodies.

    Examples
    --------
    >>> upright = np.sqrt([[0.5, 0.0, 0.5, 0.0]]) * [1, 1, -1, 1]
    >>> lean_from_vertical(upright).round(9).tolist()
    [0.0]
    """
    if quaternions.ndim != 2 or quaternions.shape[1] != 4:
        raise OutsideRange(f"quaternions of shape {quaternions.shape}: accepted is (n, 4)")
    w, x, y, z = quaternions.T
    return np.arccos(np.clip(2.0 * (x * z - w * y), -1.0, 1.0))


def under_thrust(trace: Trace) -> UnderThrust | None:
    r"""Tell what a flight does from rail exit until its thrust has ended.

    Parameters
    ----------
    trace : Trace
        One flight that began on the rail.

    Returns
    -------
    flown : UnderThrust or None
        ``None`` for a flight that never left the rail.

    Raises
    ------
    OutsideRange
        If the trace is empty.

    Notes
    -----
    Holds for what stands in the trace's rows, at least four to a step. Angles count until the
    first canopy comes out: under canopies no attitude is computed. A vehicle counts as turned
    over when its axis points below the horizon, or the air comes from behind while the dynamic
    pressure is 5 % of the flight's largest or more: slower than that, wind alone does it.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> flown = under_thrust(fly(example_inputs()))
    >>> flown.turned_over_s is None, round(float(np.degrees(flown.lean.angle_rad)))
    (True, 20)
    """
    return _under_thrust(trace)


# How far a flight leans and how it is lost are two questions about one burn.
@kept(8)
def _under_thrust(trace: Trace) -> UnderThrust | None:
    if trace.times_s.size == 0:
        raise OutsideRange("an empty trace tells nothing of the thrust")
    left = trace.event(EventKind.RAIL_EXIT)
    if left is None:
        return None
    burnt_out = thrust_ends(trace)
    rows = _free_rows(trace, left.time_s, min(burnt_out, _first_canopy(trace)))
    leans = lean_from_vertical(trace.quaternions[rows])
    return UnderThrust(
        burnt_out_s=burnt_out,
        lean=_largest(trace, leans, rows),
        alpha=_largest(trace, trace.alphas_rad[rows], rows),
        turned_over_s=_turned_over(trace, leans, rows),
        early=tuple(event for event in trace.events if _is_early(event, burnt_out)),
    )


def turned_over(trace: Trace) -> float | None:
    """When a flight first turned over between rail exit and apogee.

    Parameters
    ----------
    trace : Trace
        One flight.

    Returns
    -------
    time_s : float or None
        From the firing signal [s]; ``None`` if it did not turn over.

    Notes
    -----
    As ``under_thrust``; after burnout only air from behind counts, since every axis sinks below the horizon
    at the top of a flight. A trace with a rail exit has rows: no ``OutsideRange`` comes through.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> turned_over(fly(example_inputs())) is None
    True
    """
    left, apogee = trace.event(EventKind.RAIL_EXIT), trace.event(EventKind.APOGEE)
    if left is None:
        return None
    until = min(np.inf if apogee is None else apogee.time_s, _first_canopy(trace))
    # At the top of the flight every axis sinks below the horizon: only the air from behind counts there.
    rows = _free_rows(trace, left.time_s, until)
    leans, burning = np.zeros(rows.size), trace.times_s[rows] < thrust_ends(trace)
    leans[burning] = lean_from_vertical(trace.quaternions[rows[burning]])
    return _turned_over(trace, leans, rows)


def thrust_ends(trace: Trace) -> float:
    """When the thrust has ended, or the flight where it ended under thrust.

    Parameters
    ----------
    trace : Trace
        One flight, with at least one row.

    Returns
    -------
    time_s : float
        From the firing signal [s].

    Notes
    -----
    The end of the thrust curve: a long weak tail counts as thrust.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> round(thrust_ends(fly(example_inputs())), 3)
    2.1
    """
    burnout = trace.event(EventKind.BURNOUT)
    return float(trace.times_s[-1]) if burnout is None else burnout.time_s


def _first_canopy(trace: Trace) -> float:
    outs = (event.time_s for event in trace.events if event.kind is EventKind.OUT)
    return min(outs, default=np.inf)


def _free_rows(trace: Trace, begin_s: float, end_s: float) -> NDArray[np.intp]:
    """Rows between two times; at least the one at the beginning."""
    first = int(np.searchsorted(trace.times_s, begin_s, side="left"))
    last = int(np.searchsorted(trace.times_s, end_s, side="right"))
    return np.arange(first, max(last, first + 1))


def _largest(trace: Trace, angles: NDArray[np.float64], rows: NDArray[np.intp]) -> Reached:
    best = int(np.argmax(angles))
    return Reached(angle_rad=float(angles[best]), time_s=float(trace.times_s[rows[best]]))


def _turned_over(trace: Trace, leans: NDArray[np.float64], rows: NDArray[np.intp]) -> float | None:
    pressures = trace.dynamic_pressures_pa
    felt = pressures[rows] >= _WEIGHTY * pressures.max()
    over = (leans > np.pi / 2.0) | ((trace.alphas_rad[rows] > np.pi / 2.0) & felt)
    found = rows[over]
    return float(trace.times_s[found[0]]) if found.size else None


def _is_early(event: FlightEvent, burnt_out_s: float) -> bool:
    return event.kind in _NOT_UNDER_THRUST and event.time_s < burnt_out_s
