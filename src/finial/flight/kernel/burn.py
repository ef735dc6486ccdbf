# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Thrust, mass, centre and inertia at a time, straight between the knots of the burn."""

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import AT_BURN, BURN_COLUMNS, MASS_RATE, POWERED, SEGMENT, THRUST


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
    row = ints[AT_BURN] + ints[SEGMENT] * BURN_COLUMNS
    span = pool[row + BURN_COLUMNS] - pool[row]
    share = (time - pool[row]) / span
    for column in range(1, BURN_COLUMNS):
        left = pool[row + column]
        rise = pool[row + BURN_COLUMNS + column] - left
        work[THRUST + column - 1] = left + share * rise
        if column >= 2:
            work[MASS_RATE + column - 2] = rise / span
    powered = pool[row + 1] > 0.0 or pool[row + BURN_COLUMNS + 1] > 0.0
    work[POWERED] = 1.0 if powered else 0.0
