# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Thrust, mass, centre and inertia at a time, straight between the knots of the burn."""

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AT_BURN,
    BURN_COLUMNS,
    FORWARD,
    MASS_RATE,
    POWERED,
    RATED,
    SEGMENT,
    STILL,
    THRUST,
)


@inner
def burn_state(time, ints, pool, work):
    """Fill thrust [N], mass [kg], centre [m], inertia [kg m^2] and their rates.

    The segment is held by the step, not looked up from the time, so that a step that ends
    on a knot sees one straight line only.

    Parameters
    ----------
    time : float
        From the firing signal [s].

    References
    ----------
    .. [1] Straight lines between the knots of the burn; definition.
    """
    row = (ints[AT_BURN] + ints[SEGMENT] * BURN_COLUMNS) & FORWARD
    span = pool[row + BURN_COLUMNS] - pool[row]
    if ints[RATED] != ints[SEGMENT]:
        ints[RATED] = ints[SEGMENT]
        burn_rates(row, span, ints, pool, work)
    elif ints[STILL] == 1:
        return
    share = (time - pool[row]) / span
    for column in range(1, BURN_COLUMNS):
        left = pool[row + column]
        work[THRUST + column - 1] = left + share * (pool[row + BURN_COLUMNS + column] - left)


@inner
def burn_rates(row, span, ints, pool, work):
    """Fill what stays the same all along a segment: rates of mass, centre, inertia, and whether it pushes.

    Parameters
    ----------
    row : int
        Where the segment begins in the pool.
    span : float
        Its length [s].

    References
    ----------
    .. [1] Straight lines between the knots of the burn; definition.
    """
    still = pool[row + BURN_COLUMNS + 1] == pool[row + 1]
    for column in range(2, BURN_COLUMNS):
        rise = pool[row + BURN_COLUMNS + column] - pool[row + column]
        work[MASS_RATE + column - 2] = rise / span
        still = still and rise == 0.0
    # After burnout nothing moves any more: what stands in the work memory stays.
    ints[STILL] = 1 if still else 0
    powered = pool[row + 1] > 0.0 or pool[row + BURN_COLUMNS + 1] > 0.0
    work[POWERED] = 1.0 if powered else 0.0
