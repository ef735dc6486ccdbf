# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Rates of change of the state: held down, on the rail, on one button, free, under canopies."""

import math

from finial.flight.kernel.air import air_at
from finial.flight.kernel.burn import burn_state
from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AFT,
    AIRSPEED,
    ALONG_RAIL,
    ALPHA,
    AT_CANOPIES,
    CANOPY,
    CANOPY_COLUMNS,
    CANOPY_TIMES,
    CENTRE,
    CENTRE_RATE,
    DENSITY,
    FELT,
    FORCE,
    FORE,
    FRICTION,
    GRAVITY,
    HOLD,
    INERTIA,
    INERTIA_RATE,
    MACH,
    MASS,
    MASS_RATE,
    MOMENT,
    N_CANOPIES,
    NOZZLE,
    PHASE,
    POINT,
    PRESSURE,
    PULL,
    RAIL,
    RAIL_OVER,
    RAIL_SIDE,
    RELEASE,
    ROLL,
    SCRATCH,
    SOUND,
    SPIN,
    STATE,
    THRUST,
    TIP_OFF,
    TUMBLING,
    TURN,
    WIND,
)
from finial.flight.kernel.loads import add_thrust, air_loads, attitude, flow


@inner
def slopes(time, state, slope, ints, pool, table, work):  # noqa: PLR0913 - a kernel takes no records
    """Write the rates of the state at ``work[state]`` into ``work[slope]``; leaves the loads in ``work``.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state, slope : int
        Where the state and its rates begin in ``work``: position [m], velocity [m/s], quaternion [-],
        body rates [rad/s], and each of them per second.

    References
    ----------
    .. [1] Newton and Euler's equations of a body whose mass and balance point change: W. T. Thomson,
       Introduction to Space Dynamics, 1961, chapter on variable mass; from memory, not re-read. The inertia
       of propellant that flows inside the motor is left out.
    """
    burn_state(time, ints, pool, work)
    attitude(state, work)
    for part in range(STATE):
        work[slope + part] = 0.0
    if ints[PHASE] == CANOPY:
        canopy_slopes(time, state, slope, ints, pool, work)
        return
    flow(state, ints, pool, work)
    air_loads(state, ints, pool, table, work)
    add_thrust(pool, work)
    for axis in range(3):
        row = TURN + 3 * axis
        force = work[row] * work[FORCE] + work[row + 1] * work[FORCE + 1] + work[row + 2] * work[FORCE + 2]
        work[PULL + axis] = force
        # The balance point moves inside the body while propellant burns.
        work[slope + axis] = (
            work[row] * work[CENTRE_RATE]
            + work[row + 1] * work[CENTRE_RATE + 1]
            + work[row + 2] * work[CENTRE_RATE + 2]
        )
    work[PULL + 2] -= work[MASS] * pool[GRAVITY]
    if ints[PHASE] <= RAIL:
        rail_slopes(state, slope, ints, pool, work)
    else:
        body_slopes(state, slope, ints, pool, work)


@inner
def rail_slopes(state, slope, ints, pool, work):
    r"""One degree of freedom along the rail; none while held down.

    .. math::  a = \left( F \cdot e - \operatorname{sign}(v) \, \mu (N_f + N_a) \right) / m

    Parameters
    ----------
    state, slope : int
        Where the state and its rates begin in ``work``; acceleration [m/s^2].

    References
    ----------
    .. [1] Coulomb friction at two buttons; definition. Holds while both buttons ride on the rail.
    """
    along = 0.0
    speed = 0.0
    for axis in range(3):
        along += work[PULL + axis] * pool[ALONG_RAIL + axis]
        speed += work[state + 3 + axis] * pool[ALONG_RAIL + axis]
    friction = pool[FRICTION] * button_forces(pool, work)
    resisted = along + friction if speed < 0.0 else along - friction
    acceleration = resisted / work[MASS]
    work[RELEASE] = acceleration
    if ints[PHASE] == HOLD:
        acceleration = 0.0
    else:
        for axis in range(3):
            work[slope + axis] += work[state + 3 + axis]
            work[slope + 3 + axis] = acceleration * pool[ALONG_RAIL + axis]
    for axis in range(3):
        # Body x lies along the rail; the rest is what the rail and the pad push back.
        work[FELT + axis] = pool[GRAVITY] * work[TURN + 6 + axis]
    work[FELT] += acceleration


@inner
def button_forces(pool, work):
    """Sum of the two buttons' sideways forces.

    Returns
    -------
    force : float
        :math:`|N_f| + |N_a|` [N].

    References
    ----------
    .. [1] Balance of forces and moments of a body held at two points: any text on statics.
    """
    cx = work[CENTRE]
    span = pool[AFT] - pool[FORE]
    total_fore = 0.0
    total_aft = 0.0
    for axis in range(1, 3):
        force = work[FORCE + axis] - work[MASS] * pool[GRAVITY] * work[TURN + 6 + axis]
        first = -work[MOMENT + 2] if axis == 1 else work[MOMENT + 1]
        fore = -((pool[AFT] + cx) * force - first) / span
        total_fore += fore * fore
        total_aft += (force + fore) * (force + fore)
    return math.sqrt(total_fore) + math.sqrt(total_aft)


@inner
def body_slopes(state, slope, ints, pool, work):
    r"""Six degrees of freedom; four of them while the aft button still rides on the rail.

    .. math::
        \dot x = v + R \dot c, \quad \dot v = F / m + R (\omega \times \dot c), \quad
        \dot q = \tfrac{1}{2} q \otimes (0, \omega), \quad I \dot \omega = M

    Parameters
    ----------
    state, slope : int
        Where the state and its rates begin in ``work``: [m], [m/s], [-], [rad/s] and per second.

    References
    ----------
    .. [1] As ``slopes``; quaternion rates: Stevens and Lewis, Aircraft Control and Simulation, chapter 1;
       from memory, not re-read.
    """
    torque(state, pool, work)
    if ints[PHASE] == TIP_OFF:
        hold_aft_button(state, pool, work)
    solve_inertia(SPIN, slope + 10, work)
    mass = work[MASS]
    p, q, r = work[state + 10], work[state + 11], work[state + 12]
    dx, dy, dz = work[CENTRE_RATE], work[CENTRE_RATE + 1], work[CENTRE_RATE + 2]
    tx, ty, tz = q * dz - r * dy, r * dx - p * dz, p * dy - q * dx
    for axis in range(3):
        row = TURN + 3 * axis
        work[slope + axis] += work[state + 3 + axis]
        work[slope + 3 + axis] = (
            work[PULL + axis] / mass + work[row] * tx + work[row + 1] * ty + work[row + 2] * tz
        )
        work[FELT + axis] = work[FORCE + axis] / mass
    w, x, y, z = work[state + 6], work[state + 7], work[state + 8], work[state + 9]
    work[slope + 6] = 0.5 * (-x * p - y * q - z * r)
    work[slope + 7] = 0.5 * (w * p + y * r - z * q)
    work[slope + 8] = 0.5 * (w * q + z * p - x * r)
    work[slope + 9] = 0.5 * (w * r + x * q - y * p)


@inner
def torque(state, pool, work):
    r"""Fill the moment [N m] that turns the body: loads, gyroscopic, change of inertia, jet damping.

    .. math::  M - \omega \times I \omega - \dot I \omega + \dot m \, e \times (\omega \times e)

    with :math:`\dot m < 0` and :math:`e` from the balance point to the nozzle.

    Parameters
    ----------
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Jet damping of a rocket: W. T. Thomson, Introduction to Space Dynamics, 1961; from memory, not
       re-read. The gas leaves along the nozzle's axis at every rate of turning.
    """
    p, q, r = work[state + 10], work[state + 11], work[state + 12]
    hx, hy, hz = times_tensor(INERTIA, p, q, r, work)
    gx, gy, gz = times_tensor(INERTIA_RATE, p, q, r, work)
    ex = pool[NOZZLE] - work[CENTRE]
    ey = pool[NOZZLE + 1] - work[CENTRE + 1]
    ez = pool[NOZZLE + 2] - work[CENTRE + 2]
    ux, uy, uz = q * ez - r * ey, r * ex - p * ez, p * ey - q * ex
    outflow = -work[MASS_RATE]
    work[SPIN] = work[MOMENT] - (q * hz - r * hy) - gx - outflow * (ey * uz - ez * uy)
    work[SPIN + 1] = work[MOMENT + 1] - (r * hx - p * hz) - gy - outflow * (ez * ux - ex * uz)
    work[SPIN + 2] = work[MOMENT + 2] - (p * hy - q * hx) - gz - outflow * (ex * uy - ey * ux)


@inner
def times_tensor(tensor, x, y, z, work):
    """Product of a symmetric tensor (xx yy zz xy xz yz) with a vector.

    Parameters
    ----------
    tensor : int
        Where the tensor begins in ``work``.
    x, y, z : float
        The vector [any].

    Returns
    -------
    product : tuple of float
        Its three parts, in the tensor's unit times the vector's [any].

    References
    ----------
    .. [1] Definition.
    """
    xy, xz, yz = work[tensor + 3], work[tensor + 4], work[tensor + 5]
    return (
        work[tensor] * x + xy * y + xz * z,
        xy * x + work[tensor + 1] * y + yz * z,
        xz * x + yz * y + work[tensor + 2] * z,
    )


@inner
def solve_inertia(given, answer, work):
    """Solve inertia times answer = given, by the adjugate.

    Parameters
    ----------
    given, answer : int
        Where the moment [N m] and the angular acceleration [rad/s^2] begin in ``work``.

    References
    ----------
    .. [1] Cramer's rule for a symmetric 3 by 3 matrix: any text on linear algebra.
    """
    xx, yy, zz = work[INERTIA], work[INERTIA + 1], work[INERTIA + 2]
    xy, xz, yz = work[INERTIA + 3], work[INERTIA + 4], work[INERTIA + 5]
    a, b, c = yy * zz - yz * yz, xz * yz - xy * zz, xy * yz - xz * yy
    d, e, f = xx * zz - xz * xz, xy * xz - xx * yz, xx * yy - xy * xy
    determinant = xx * a + xy * b + xz * c
    gx, gy, gz = work[given], work[given + 1], work[given + 2]
    work[answer] = (a * gx + b * gy + c * gz) / determinant
    work[answer + 1] = (b * gx + d * gy + e * gz) / determinant
    work[answer + 2] = (c * gx + e * gy + f * gz) / determinant


@inner
def hold_aft_button(state, pool, work):
    """Add the rail's two sideways forces [N] that keep the aft button on its line.

    They follow from the button's own sideways acceleration being zero: two equations,
    linear in the two forces. Everything is in body axes.

    Parameters
    ----------
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Constraint forces of a guided point: any text on mechanics. Without friction: the button is about
       to leave.
    """
    x, y, z = -pool[AFT] - work[CENTRE], -work[CENTRE + 1], -work[CENTRE + 2]
    p, q, r = work[state + 10], work[state + 11], work[state + 12]
    solve_inertia(SPIN, SCRATCH, work)
    free = free_button_acceleration(x, y, z, work)
    ux, uy, uz = q * z - r * y, r * x - p * z, p * y - q * x
    fx = free[0] + q * uz - r * uy
    fy = free[1] + r * ux - p * uz
    fz = free[2] + p * uy - q * ux
    ax, ay, az = to_body(RAIL_SIDE, pool, work)
    bx, by, bz = to_body(RAIL_OVER, pool, work)
    work[POINT], work[POINT + 1], work[POINT + 2] = x, y, z
    sax, say, saz = answer_to_push(ax, ay, az, work)
    sbx, sby, sbz = answer_to_push(bx, by, bz, work)
    m11 = ax * sax + ay * say + az * saz
    m12 = ax * sbx + ay * sby + az * sbz
    m21 = bx * sax + by * say + bz * saz
    m22 = bx * sbx + by * sby + bz * sbz
    r1 = -(ax * fx + ay * fy + az * fz)
    r2 = -(bx * fx + by * fy + bz * fz)
    determinant = m11 * m22 - m12 * m21
    n1 = (r1 * m22 - r2 * m12) / determinant
    n2 = (m11 * r2 - m21 * r1) / determinant
    nx, ny, nz = n1 * ax + n2 * bx, n1 * ay + n2 * by, n1 * az + n2 * bz
    work[FORCE] += nx
    work[FORCE + 1] += ny
    work[FORCE + 2] += nz
    work[SPIN] += y * nz - z * ny
    work[SPIN + 1] += z * nx - x * nz
    work[SPIN + 2] += x * ny - y * nx
    for axis in range(3):
        work[PULL + axis] += n1 * pool[RAIL_SIDE + axis] + n2 * pool[RAIL_OVER + axis]


@inner
def free_button_acceleration(x, y, z, work):
    r"""Acceleration the button would have without the rail, less the part from the body's rate.

    Parameters
    ----------
    x, y, z : float
        The button from the balance point, body axes [m].

    Returns
    -------
    acceleration : tuple of float
        :math:`R^T F / m + \dot \omega \times r`, body axes [m/s^2].

    References
    ----------
    .. [1] Acceleration of a point of a rigid body: any text on mechanics.
    """
    tx, ty, tz = work[SCRATCH], work[SCRATCH + 1], work[SCRATCH + 2]
    mass = work[MASS]
    east, north, up = work[PULL] / mass, work[PULL + 1] / mass, work[PULL + 2] / mass
    return (
        work[TURN] * east + work[TURN + 3] * north + work[TURN + 6] * up + ty * z - tz * y,
        work[TURN + 1] * east + work[TURN + 4] * north + work[TURN + 7] * up + tz * x - tx * z,
        work[TURN + 2] * east + work[TURN + 5] * north + work[TURN + 8] * up + tx * y - ty * x,
    )


@inner
def to_body(vector, pool, work):
    """Earth vector of the pool, turned into body axes.

    Parameters
    ----------
    vector : int
        Where it begins in ``pool``.

    Returns
    -------
    turned : tuple of float
        Its parts along body x, y and z, in its own unit [any].

    References
    ----------
    .. [1] Definition.
    """
    east, north, up = pool[vector], pool[vector + 1], pool[vector + 2]
    return (
        work[TURN] * east + work[TURN + 3] * north + work[TURN + 6] * up,
        work[TURN + 1] * east + work[TURN + 4] * north + work[TURN + 7] * up,
        work[TURN + 2] * east + work[TURN + 5] * north + work[TURN + 8] * up,
    )


@inner
def answer_to_push(fx, fy, fz, work):
    r"""Acceleration of ``work[POINT]``, counted from the balance point, when pushed there by a force.

    .. math::  a = f / m + (I^{-1} (r \times f)) \times r

    Parameters
    ----------
    fx, fy, fz : float
        The force, body axes [N].

    Returns
    -------
    acceleration : tuple of float
        Body axes [m/s^2]; linear in the force.

    References
    ----------
    .. [1] Acceleration of a point of a rigid body: any text on mechanics.
    """
    x, y, z = work[POINT], work[POINT + 1], work[POINT + 2]
    work[SCRATCH + 3] = y * fz - z * fy
    work[SCRATCH + 4] = z * fx - x * fz
    work[SCRATCH + 5] = x * fy - y * fx
    solve_inertia(SCRATCH + 3, SCRATCH + 6, work)
    tx, ty, tz = work[SCRATCH + 6], work[SCRATCH + 7], work[SCRATCH + 8]
    mass = work[MASS]
    return fx / mass + ty * z - tz * y, fy / mass + tz * x - tx * z, fz / mass + tx * y - ty * x


@inner
def canopy_slopes(time, state, slope, ints, pool, work):
    r"""Point mass under the opened vehicle's and the canopies' drag; attitude is held.

    .. math::  \dot v = -\tfrac{\rho V}{2 m} (C_D S) \, V - g

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state, slope : int
        Where the state and its rates begin in ``work``: [m], [m/s] and per second.

    References
    ----------
    .. [1] T. W. Knacke, Parachute Recovery Systems Design Manual, NWC TP 6575, 1991, chapter 5 (steady
       descent); from memory, not re-read. The air that a canopy carries along has no mass here.
    """
    air_at(work[state + 2], ints, pool, work)
    east = work[state + 3] - work[WIND]
    north = work[state + 4] - work[WIND + 1]
    up = work[state + 5] - work[WIND + 2]
    speed = math.sqrt(east * east + north * north + up * up)
    work[AIRSPEED] = speed
    work[MACH] = speed / work[SOUND]
    work[PRESSURE] = 0.5 * work[DENSITY] * speed * speed
    work[ALPHA], work[ROLL], work[THRUST] = 0.0, 0.0, 0.0
    pull = 0.5 * work[DENSITY] * speed * drag_area(time, ints, pool, work) / work[MASS]
    for axis in range(3):
        work[slope + axis] = work[state + 3 + axis]
        work[FELT + axis] = -pull * (
            work[TURN + axis] * east + work[TURN + 3 + axis] * north + work[TURN + 6 + axis] * up
        )
    work[slope + 3] = -pull * east
    work[slope + 4] = -pull * north
    work[slope + 5] = -pull * up - pool[GRAVITY]


@inner
def drag_area(time, ints, pool, work):
    """Drag area of the opened vehicle and its canopies; a canopy fills with the square of time.

    Parameters
    ----------
    time : float
        From the firing signal [s].

    Returns
    -------
    area : float
        Sum of the drag areas [m^2].

    References
    ----------
    .. [1] Growth of the drag area with the square of time, for solid cloth: Knacke, NWC TP 6575, 1991,
       chapter 5; from memory, not re-read.
    """
    total = pool[TUMBLING]
    for canopy in range(ints[N_CANOPIES]):
        times = CANOPY_TIMES + 3 * canopy
        if work[times + 2] >= 2.0:
            row = ints[AT_CANOPIES] + canopy * CANOPY_COLUMNS
            share = 1.0
            if work[times + 2] == 2.0:
                share = (time - work[times]) / (work[times + 1] - work[times])
            total += pool[row + 6] * pool[row + 3] * share * share
    return total
