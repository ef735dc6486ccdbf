# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""What stands out in a flight, kept while it runs, so that many flights need no traces."""

import math

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AIRSPEED,
    ALPHA,
    CANOPY,
    CENTRE,
    EXIT_ALPHA,
    EXIT_MARGIN,
    FELT,
    FREE,
    LAST_KNOT,
    LIFT_OFF_MASS,
    LOSS,
    MACH,
    MASS,
    NORMAL,
    PAST_APOGEE,
    PEAK_ALPHA,
    PEAK_CANOPY,
    PEAKS,
    PHASE,
    PRESSURE,
    SEGMENT,
    TRIM_STATION,
    TURNED_COASTING,
    TURNED_UNDER_THRUST,
    UPWARD,
    WIDTH,
)

WEIGHTY = 0.05
"""Share of the largest dynamic pressure so far below which an angle of attack means little [-]."""


@inner
def forget_peaks(work):
    """Begin a flight without peaks.

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    for index in range(PEAKS, LIFT_OFF_MASS + 1):
        work[index] = 0.0
    work[EXIT_ALPHA] = -1.0


@inner
def note_peaks(state, ints, pool, work):
    """Raise the peaks to what stands in ``work``: loads at ends of steps, points inside, and after jumps.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    References
    ----------
    .. [1] Definitions.
    """
    felt = math.sqrt(work[FELT] ** 2 + work[FELT + 1] ** 2 + work[FELT + 2] ** 2)
    if work[LIFT_OFF_MASS] == 0.0:
        work[LIFT_OFF_MASS] = work[MASS]
    if ints[PHASE] == CANOPY:
        work[PEAK_CANOPY] = max(work[PEAK_CANOPY], felt)
        return
    speed = math.sqrt(state[3] ** 2 + state[4] ** 2 + state[5] ** 2)
    work[PEAKS] = max(work[PEAKS], speed)
    work[PEAKS + 1] = max(work[PEAKS + 1], work[MACH])
    work[PEAKS + 2] = max(work[PEAKS + 2], work[PRESSURE])
    work[PEAKS + 3] = max(work[PEAKS + 3], felt)
    if ints[PHASE] == FREE and ints[PAST_APOGEE] == 0:
        note_angles(ints, pool, work)


@inner
def note_angles(ints, pool, work):
    """Angle of attack [rad] on the way up, alone and times the dynamic pressure; the margin [m] at rail exit.

    A vehicle has turned over when its axis points below the horizon under thrust, or the air comes from
    behind at a dynamic pressure worth the name: at the top of a flight any air does.

    References
    ----------
    .. [1] Definitions: centre of pressure as moment over force, less the balance point.
    """
    work[PEAKS + 4] = max(work[PEAKS + 4], work[PRESSURE] * work[ALPHA])
    burning = ints[SEGMENT] < ints[LAST_KNOT]
    if burning:
        work[PEAK_ALPHA] = max(work[PEAK_ALPHA], work[ALPHA])
    from_behind = work[ALPHA] > 0.5 * math.pi and work[PRESSURE] >= WEIGHTY * work[PEAKS + 2]
    if burning and (from_behind or work[UPWARD] < 0.0):
        ints[LOSS] |= TURNED_UNDER_THRUST
    elif from_behind:
        ints[LOSS] |= TURNED_COASTING
    if work[EXIT_ALPHA] < 0.0:
        work[EXIT_ALPHA] = work[ALPHA] if work[AIRSPEED] > 0.0 else 0.0
        station = pool[WIDTH] * work[NORMAL + 1] / work[NORMAL] if work[NORMAL] != 0.0 else 0.0
        work[EXIT_MARGIN] = station + pool[TRIM_STATION] + work[CENTRE]
