# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""One flight's own numbers written over those of the nominal flight."""

import math

from finial.flight.kernel.compiled import inner
from finial.flight.kernel.gusts import fill_wind
from finial.flight.kernel.layout import (
    ALONG_RAIL,
    AT_BURN,
    AT_CANOPIES,
    BURN_COLUMNS,
    CANOPY_COLUMNS,
    FRICTION,
    N_CANOPIES,
    NOZZLE,
    PAD_PRESSURE,
    PAD_TEMPERATURE,
    PUSH,
    RAIL_OVER,
    RAIL_SIDE,
    STAND,
    START,
    TRIM_ACROSS,
    TRIM_AXIAL,
    TRIM_ROLL,
    TRIM_SIDE,
    TRIM_STATION,
    TUMBLING,
)
from finial.flight.kernel.spread_layout import (
    ACROSS_FACTOR,
    AT_CONSTANTS,
    AT_MOTOR,
    AT_ROWS,
    AT_TIMES,
    AXIAL_FACTOR,
    BURN_TIME_FACTOR,
    CANOPY_SLOTS,
    FIRST_ROW,
    IGNITION_DELAY,
    LEAN,
    MOMENTS,
    MOTOR_MASS_FACTOR,
    N_BURN,
    N_ROWS,
    NOZZLE_OFFSET,
    PRESSURE_AT_PAD,
    RAIL_BEARING,
    RAIL_FRICTION,
    RAIL_ROLL,
    RAIL_TILT,
    ROLL_MOMENT,
    ROW_SLOTS,
    SIDE,
    STATION_SHIFT,
    TEMPERATURE,
    THRUST_FACTOR,
    TUMBLING_FACTOR,
)


@inner
def vary(flight, marks, plan, slots, sums, ints, pool):  # noqa: PLR0913 - a kernel takes no records
    """Fill the pool, a copy of the nominal one, with this flight's numbers; ``sums`` is scratch.

    Parameters
    ----------
    flight : int
        Flight number.

    References
    ----------
    .. [1] Definition of the slots; the thrust leans by two angles [rad], its direction of length one.
    """
    pool[TRIM_AXIAL] = slots[AXIAL_FACTOR]
    pool[TRIM_ACROSS] = slots[ACROSS_FACTOR]
    pool[TRIM_STATION] = slots[STATION_SHIFT]
    pool[TRIM_SIDE], pool[TRIM_SIDE + 1] = slots[SIDE], slots[SIDE + 1]
    pool[TRIM_ROLL] = slots[ROLL_MOMENT]
    pool[PAD_TEMPERATURE], pool[PAD_PRESSURE] = slots[TEMPERATURE], slots[PRESSURE_AT_PAD]
    pool[TUMBLING] *= slots[TUMBLING_FACTOR]
    pool[FRICTION] = max(slots[RAIL_FRICTION], 0.0)
    pool[NOZZLE + 1], pool[NOZZLE + 2] = slots[NOZZLE_OFFSET], slots[NOZZLE_OFFSET + 1]
    lean_y, lean_z = math.sin(slots[LEAN]), math.sin(slots[LEAN + 1])
    pool[PUSH] = math.sqrt(1.0 - lean_y * lean_y - lean_z * lean_z)
    pool[PUSH + 1], pool[PUSH + 2] = lean_y, lean_z
    add_rows(marks, plan, slots, sums)
    fill_burn(marks, plan, slots, sums, ints, pool)
    fill_canopies(marks, slots, ints, pool)
    fill_wind(flight, marks, plan, slots, ints, pool)
    set_on_rail(marks, plan, slots, ints, pool)


@inner
def add_rows(marks, plan, slots, sums):
    """Add the moments [kg, kg m, kg m^2] of all rows of the mass table, each with its factor and shift.

    References
    ----------
    .. [1] Moments about one point add; definition.
    """
    for moment in range(MOMENTS):
        sums[moment] = 0.0
    for body in range(marks[N_ROWS]):
        row, slot = marks[AT_ROWS] + body * MOMENTS, FIRST_ROW + body * ROW_SLOTS
        factor = slots[slot]
        for moment in range(MOMENTS):
            sums[moment] += factor * plan[row + moment]
        add_shift(factor, row, slot, plan, slots, sums)


@inner
def add_shift(factor, row, slot, plan, slots, sums):
    """Add what a row's shift does to the first and second moments: S' = S + d m1' + m1 d' + m d d'.

    Parameters
    ----------
    factor : float
        Factor on the row's mass [-].
    row, slot : int
        Where its moments begin in ``plan`` and its factor and shift [m] in ``slots``.

    References
    ----------
    .. [1] Moments of a body moved as a whole: any text on mechanics.
    """
    mass = factor * plan[row]
    x, y, z = factor * plan[row + 1], factor * plan[row + 2], factor * plan[row + 3]
    dx, dy, dz = slots[slot + 1], slots[slot + 2], slots[slot + 3]
    sums[1] += mass * dx
    sums[2] += mass * dy
    sums[3] += mass * dz
    sums[4] += 2.0 * x * dx + mass * dx * dx
    sums[5] += 2.0 * y * dy + mass * dy * dy
    sums[6] += 2.0 * z * dz + mass * dz * dz
    sums[7] += x * dy + y * dx + mass * dx * dy
    sums[8] += x * dz + z * dx + mass * dx * dz
    sums[9] += y * dz + z * dy + mass * dy * dz


@inner
def fill_burn(marks, plan, slots, sums, ints, pool):
    r"""Write time [s], thrust [N], mass [kg], balance point [m] and inertia [kg m^2] of each row of the burn.

    .. math::  t' = t_i + s t, \quad F' = f F / s, \quad c = m_1 / m, \quad
               I = \operatorname{tr}(S_c) 1 - S_c, \quad S_c = S - m c c^T

    References
    ----------
    .. [1] Parallel-axis theorem: any text on mechanics. A slower burn of the same impulse pushes less.
    """
    factor, stretch = slots[MOTOR_MASS_FACTOR], slots[BURN_TIME_FACTOR]
    last = marks[N_BURN] - 1
    for knot in range(marks[N_BURN]):
        row, motor = ints[AT_BURN] + knot * BURN_COLUMNS, marks[AT_MOTOR] + knot * MOMENTS
        if 0 < knot < last:
            pool[row] = slots[IGNITION_DELAY] + stretch * plan[marks[AT_TIMES] + knot]
        # A slower burn of the same impulse pushes less.
        pool[row + 1] *= slots[THRUST_FACTOR] / stretch
        mass = sums[0] + factor * plan[motor]
        x = (sums[1] + factor * plan[motor + 1]) / mass
        y = (sums[2] + factor * plan[motor + 2]) / mass
        z = (sums[3] + factor * plan[motor + 3]) / mass
        xx = sums[4] + factor * plan[motor + 4] - mass * x * x
        yy = sums[5] + factor * plan[motor + 5] - mass * y * y
        zz = sums[6] + factor * plan[motor + 6] - mass * z * z
        pool[row + 2], pool[row + 3], pool[row + 4], pool[row + 5] = mass, x, y, z
        pool[row + 6], pool[row + 7], pool[row + 8] = yy + zz, xx + zz, xx + yy
        pool[row + 9] = -(sums[7] + factor * plan[motor + 7] - mass * x * y)
        pool[row + 10] = -(sums[8] + factor * plan[motor + 8] - mass * x * z)
        pool[row + 11] = -(sums[9] + factor * plan[motor + 9] - mass * y * z)


@inner
def fill_canopies(marks, slots, ints, pool):
    """Write drag area [m^2], delay [s], threshold, filling distance [m] and failures of every canopy.

    References
    ----------
    .. [1] Definition of the slots.
    """
    for canopy in range(ints[N_CANOPIES]):
        row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
        slot = FIRST_ROW + marks[N_ROWS] * ROW_SLOTS + canopy * CANOPY_SLOTS
        pool[row + 3] *= slots[slot]
        pool[row + 2] = max(slots[slot + 1], 0.0)
        pool[row + 1] = slots[slot + 2]
        pool[row + 4] *= slots[slot + 3]
        pool[row + 5] = 0.0 if slots[slot + 4] > 0.0 else pool[row + 5]
        pool[row + 6] = 0.0 if slots[slot + 5] > 0.0 else pool[row + 6]


@inner
def set_on_rail(marks, plan, slots, ints, pool):
    """Lean the rail [rad], and stand the vehicle on it at rest [m].

    References
    ----------
    .. [1] The rotation of ``packing.pack.rail_turn``; the page on conventions.
    """
    tilt, bearing, roll = slots[RAIL_TILT], slots[RAIL_BEARING], plan[marks[AT_CONSTANTS] + RAIL_ROLL]
    sine, cosine = math.sin(tilt), math.cos(tilt)
    east, north = math.sin(bearing), math.cos(bearing)
    ax, ay, az = sine * east, sine * north, cosine
    bx, by, bz = cosine * east, cosine * north, -sine
    cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    sine, cosine = math.sin(roll), math.cos(roll)
    pool[ALONG_RAIL], pool[ALONG_RAIL + 1], pool[ALONG_RAIL + 2] = ax, ay, az
    pool[RAIL_SIDE], pool[RAIL_OVER] = cosine * bx - sine * cx, sine * bx + cosine * cx
    pool[RAIL_SIDE + 1], pool[RAIL_OVER + 1] = cosine * by - sine * cy, sine * by + cosine * cy
    pool[RAIL_SIDE + 2], pool[RAIL_OVER + 2] = cosine * bz - sine * cz, sine * bz + cosine * cz
    first = ints[AT_BURN]
    x, y, z = pool[first + 3] + pool[STAND], pool[first + 4], pool[first + 5]
    for axis in range(3):
        pool[START + 1 + axis] = (
            x * pool[ALONG_RAIL + axis] + y * pool[RAIL_SIDE + axis] + z * pool[RAIL_OVER + axis]
        )
    set_attitude(pool)


@inner
def set_attitude(pool):
    """Write the quaternion [-] of the rotation whose columns are the rail's three directions.

    References
    ----------
    .. [1] S. W. Shepperd, Quaternion from rotation matrix, J. Guidance and Control 1 (1978) 223; from memory,
       not re-read.
    """
    a, d, g = pool[ALONG_RAIL], pool[ALONG_RAIL + 1], pool[ALONG_RAIL + 2]
    b, e, h = pool[RAIL_SIDE], pool[RAIL_SIDE + 1], pool[RAIL_SIDE + 2]
    c, f, i = pool[RAIL_OVER], pool[RAIL_OVER + 1], pool[RAIL_OVER + 2]
    # Each row is the quaternion times four of its own parts; the longest is the best known.
    w, x, y, z = 1.0 + a + e + i, h - f, c - g, d - b
    if 1.0 + a - e - i > w:
        w, x, y, z = h - f, 1.0 + a - e - i, b + d, c + g
    longest = max(w, x)
    if 1.0 - a + e - i > longest:
        w, x, y, z = c - g, b + d, 1.0 - a + e - i, f + h
        longest = y
    if 1.0 - a - e + i > longest:
        w, x, y, z = d - b, c + g, f + h, 1.0 - a - e + i
    norm = math.sqrt(w * w + x * x + y * y + z * z)
    at = START + 7
    pool[at], pool[at + 1], pool[at + 2], pool[at + 3] = w / norm, x / norm, y / norm, z / norm
