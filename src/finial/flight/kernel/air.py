# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Air and wind at a height, and the air load table at an angle, roll and Mach number."""

import math

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AT_ALPHA,
    AT_COEFFICIENTS,
    AT_DAMPING,
    AT_MACH,
    AT_ROLL,
    AT_WIND,
    COEFFICIENTS,
    DAMPINGS,
    FORWARD,
    GROUND_ASL,
    HINT_ALPHA,
    HINT_MACH,
    HINT_ROLL,
    HINT_WIND,
    LAPSE,
    N_ALPHA,
    N_MACH,
    N_ROLL,
    N_WIND,
    PAD_GEOPOTENTIAL,
    PAD_PRESSURE,
    PAD_TEMPERATURE,
    WIND_COLUMNS,
)
from finial.flight.kernel.vectors import three

# The constants of atmosphere.standard and core.constants; a test holds the two columns together.
_EARTH_RADIUS_M = 6_356_766.0
_TROPOPAUSE_M = 11_000.0
_GRAVITY_OVER_GAS = 9.80665 / 287.05287
_GAS = 287.05287
_HEAT_RATIO = 1.4


@inner
def air_at(height, pool):
    """Density and speed of sound at a height.

    Parameters
    ----------
    height : float
        Above ground [m].

    Returns
    -------
    density, sound : float
        [kg/m^3] and [m/s].

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, equations 18, 33a, 33b, 50, anchored to the pad: the equations of
       ``atmosphere.day.air_over_pad``. Holds to 20 km above the sea.
    """
    above_sea = height + pool[GROUND_ASL]
    geopotential = _EARTH_RADIUS_M * above_sea / (_EARTH_RADIUS_M + above_sea)
    below = min(geopotential, _TROPOPAUSE_M)
    rise = below - pool[PAD_GEOPOTENTIAL]
    lapse = pool[LAPSE]
    # The floor of 1 K keeps a flight that runs away finite until its step control stops it.
    temperature = max(pool[PAD_TEMPERATURE] - lapse * rise, 1.0)
    if lapse == 0.0:
        pressure = pool[PAD_PRESSURE] * math.exp(-_GRAVITY_OVER_GAS * rise / temperature)
    else:
        pressure = pool[PAD_PRESSURE] * (temperature / pool[PAD_TEMPERATURE]) ** (_GRAVITY_OVER_GAS / lapse)
    if geopotential > below:
        pressure *= math.exp(-_GRAVITY_OVER_GAS * (geopotential - below) / temperature)
    return pressure / (_GAS * temperature), math.sqrt(_HEAT_RATIO * _GAS * temperature)


@inner
def wind_at(height, ints, pool):
    """Wind vector (east, north, up), constant above and below its table.

    Parameters
    ----------
    height : float
        Above ground [m].

    Returns
    -------
    wind : tuple of float
        [m/s].

    References
    ----------
    .. [1] Straight lines between the table's heights; definition.
    """
    at, count = ints[AT_WIND] & FORWARD, ints[N_WIND]
    index = ints[HINT_WIND] & FORWARD
    while index > 0 and height < pool[at + index * WIND_COLUMNS]:
        index -= 1
    while index < count - 2 and height >= pool[at + (index + 1) * WIND_COLUMNS]:
        index += 1
    ints[HINT_WIND] = index
    row = (at + index * WIND_COLUMNS) & FORWARD
    share = (height - pool[row]) / (pool[row + WIND_COLUMNS] - pool[row])
    share = min(max(share, 0.0), 1.0)
    below, above = three(pool, row + 1), three(pool, row + WIND_COLUMNS + 1)
    return (
        below[0] + share * (above[0] - below[0]),
        below[1] + share * (above[1] - below[1]),
        below[2] + share * (above[2] - below[2]),
    )


@inner
def cell_of(value, at, count, hint, table):
    """Index of the grid cell that holds a value, walking from where the last one was.

    Parameters
    ----------
    value : float
        What is looked for, in the unit of its axis [any].
    at, count, hint : int
        Where the axis begins, how many nodes it has, and the cell of the last time.

    Returns
    -------
    cell : int
        Cell from 0 to ``count - 2``; the first or last one for values beyond the ends.

    References
    ----------
    .. [1] Definition.
    """
    at, hint = at & FORWARD, hint & FORWARD
    while hint > 0 and value < table[at + hint]:
        hint -= 1
    while hint < count - 2 and value >= table[at + hint + 1]:
        hint += 1
    return hint & FORWARD


@inner
def share_of(value, at, index, table):
    """How far a value lies into its grid cell, kept within 0 and 1.

    Parameters
    ----------
    value : float
        What is looked for, in the unit of its axis [any].
    at, index : int
        Where the axis begins, and the cell.

    Returns
    -------
    share : float
        Share of the cell [-].

    References
    ----------
    .. [1] Definition.
    """
    at = at & FORWARD
    left = table[at + index]
    return min(max((value - left) / (table[at + index + 1] - left), 0.0), 1.0)


@inner
def look_up(alpha, roll, mach, ints, table):
    """Look the seven coefficients up and the four damping derivatives, straight in all three directions.

    Parameters
    ----------
    alpha, roll : float
        Angle of attack and roll angle of the cross wind [rad].
    mach : float
        Mach number [-].

    Returns
    -------
    coefficients : tuple of float
        Along and across, their moments, roll moment, axial with power and without [-].
    dampings : tuple of float
        Pitch, yaw, yaw by pitch, roll [1/rad].

    References
    ----------
    .. [1] Trilinear interpolation; definition.
    """
    at_alpha = cell_of(alpha, ints[AT_ALPHA], ints[N_ALPHA], ints[HINT_ALPHA], table)
    at_roll = cell_of(roll, ints[AT_ROLL], ints[N_ROLL], ints[HINT_ROLL], table)
    at_mach = cell_of(mach, ints[AT_MACH], ints[N_MACH], ints[HINT_MACH], table)
    ints[HINT_ALPHA], ints[HINT_ROLL], ints[HINT_MACH] = at_alpha, at_roll, at_mach
    share_alpha = share_of(alpha, ints[AT_ALPHA], at_alpha, table)
    share_roll = share_of(roll, ints[AT_ROLL], at_roll, table)
    share_mach = share_of(mach, ints[AT_MACH], at_mach, table)
    # Sums of their own: a sum in memory would be read and written anew for every corner.
    along, across, along_moment, across_moment = 0.0, 0.0, 0.0, 0.0
    roll_moment, powered, unpowered = 0.0, 0.0, 0.0
    for corner in range(8):
        up_alpha, up_roll, up_mach = corner & 1, (corner >> 1) & 1, (corner >> 2) & 1
        weight = share_alpha if up_alpha else 1.0 - share_alpha
        weight *= share_roll if up_roll else 1.0 - share_roll
        weight *= share_mach if up_mach else 1.0 - share_mach
        node = ((at_alpha + up_alpha) * ints[N_ROLL] + at_roll + up_roll) * ints[N_MACH] + at_mach + up_mach
        row = (ints[AT_COEFFICIENTS] + node * COEFFICIENTS) & FORWARD
        along += weight * table[row]
        across += weight * table[row + 1]
        along_moment += weight * table[row + 2]
        across_moment += weight * table[row + 3]
        roll_moment += weight * table[row + 4]
        powered += weight * table[row + 5]
        unpowered += weight * table[row + 6]
    coefficients = along, across, along_moment, across_moment, roll_moment, powered, unpowered
    return coefficients, dampings_at(at_mach, share_mach, ints, table)


@inner
def dampings_at(cell, share, ints, table):
    """Damping derivatives: pitch, yaw, yaw by pitch, roll.

    Parameters
    ----------
    cell : int
        Of the Mach numbers' axis.
    share : float
        How far into it [-].

    Returns
    -------
    dampings : tuple of float
        [1/rad].

    References
    ----------
    .. [1] Straight lines between the nodes; definition.
    """
    row = (ints[AT_DAMPING] + DAMPINGS * cell) & FORWARD
    pitch, yaw, both, roll = table[row], table[row + 1], table[row + 2], table[row + 3]
    return (
        pitch + share * (table[row + DAMPINGS] - pitch),
        yaw + share * (table[row + DAMPINGS + 1] - yaw),
        both + share * (table[row + DAMPINGS + 2] - both),
        roll + share * (table[row + DAMPINGS + 3] - roll),
    )
