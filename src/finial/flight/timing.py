"""When something that a trigger sets off would come in a flight."""

import numpy as np

from finial.core.errors import OutsideRange
from finial.flight.inputs import AFTER_APOGEE_ALTITUDE, AFTER_LIFT_OFF, APOGEE
from finial.flight.trace import EventKind, Trace


def trigger_time(trace: Trace, trigger: str, threshold: float = 0.0) -> float | None:
    """When a trigger comes in a flight, from the firing signal [s].

    Parameters
    ----------
    trace : Trace
        One flight.
    trigger : str
        ``apogee``, ``altitude`` or ``time``, as in a canopy event.
    threshold : float
        Height above ground that is fallen through [m], or seconds after lift-off [s].

    Returns
    -------
    time_s : float or None
        From the firing signal [s]; ``None`` where the flight never came to it.

    Raises
    ------
    OutsideRange
        If there is no such trigger.

    Notes
    -----
    A height counts at the first row of the trace at or below it after apogee: late by a quarter of
    a step at most. A clock runs on after the landing.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.fly import fly
    >>> trace = fly(example_inputs())
    >>> round(trigger_time(trace, AFTER_LIFT_OFF, 5.0) - trigger_time(trace, AFTER_LIFT_OFF, 2.0), 9)
    3.0
    """
    if trigger not in (APOGEE, AFTER_APOGEE_ALTITUDE, AFTER_LIFT_OFF):
        raise OutsideRange(f"trigger {trigger!r}: accepted are apogee, altitude, time")
    begins = trace.event(EventKind.LIFT_OFF if trigger == AFTER_LIFT_OFF else EventKind.APOGEE)
    if begins is None:
        return None
    if trigger == AFTER_LIFT_OFF:
        return begins.time_s + threshold
    if trigger == APOGEE:
        return begins.time_s
    below = (trace.times_s > begins.time_s) & (trace.positions_m[:, 2] <= threshold)
    return float(trace.times_s[np.argmax(below)]) if below.any() else None
