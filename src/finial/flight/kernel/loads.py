# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Forces and moments on the body: attitude, flow, air loads, thrust."""

import math

from finial.flight.kernel.air import air_at, look_up, wind_at
from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AIRSPEED,
    ALPHA,
    AREA,
    CENTRE,
    CROOKED,
    DRAG_LINE,
    MACH,
    NORMAL,
    NOZZLE,
    POWERED,
    PRESSURE,
    PUSH,
    ROLL,
    THRUST,
    TRIM_ACROSS,
    TRIM_AXIAL,
    TRIM_ROLL,
    TRIM_SIDE,
    TRIM_STATION,
    WIDTH,
)
from finial.flight.kernel.vectors import cross, three, turned_back


@inner
def attitude(state):
    """Rotation matrix, body to earth, from the quaternion, normalised here.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    turn : tuple of tuple of float
        Its rows [-].

    References
    ----------
    .. [1] Rotation matrix of a scalar-first quaternion: B. L. Stevens and F. L. Lewis, Aircraft Control and
       Simulation, chapter 1; from memory, not re-read.
    """
    w, x, y, z = state[6], state[7], state[8], state[9]
    two = 2.0 / (w * w + x * x + y * y + z * z)
    return (
        (1.0 - two * (y * y + z * z), two * (x * y - w * z), two * (x * z + w * y)),
        (two * (x * y + w * z), 1.0 - two * (x * x + z * z), two * (y * z - w * x)),
        (two * (x * z - w * y), two * (y * z + w * x), 1.0 - two * (x * x + y * y)),
    )


@inner
def flow(state, ints, pool, work):
    """Velocity through the air, earth axes; leaves airspeed, Mach number and dynamic pressure in ``work``.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    through : tuple of float
        Own velocity less the wind's [m/s].
    speed, density : float
        Airspeed [m/s], density of the air [kg/m^3].

    References
    ----------
    .. [1] Definitions: dynamic pressure [Pa] is half of density times airspeed squared.
    """
    density, sound = air_at(state[2], pool)
    wind = wind_at(state[2], ints, pool)
    east, north, up = state[3] - wind[0], state[4] - wind[1], state[5] - wind[2]
    speed = math.sqrt(east * east + north * north + up * up)
    work[AIRSPEED] = speed
    work[MACH] = speed / sound
    work[PRESSURE] = 0.5 * density * speed * speed
    return (east, north, up), speed, density


@inner
def angles(along, speed, work):
    r"""Angle of attack and roll angle of the flow, left in ``work``.

    .. math::  \alpha = \operatorname{atan2}(\sqrt{v^2 + w^2}, u), \quad
               \phi = \operatorname{atan2}(-w, -v)

    Parameters
    ----------
    along : tuple of float
        Velocity through the air, body axes [m/s].
    speed : float
        Its length [m/s].

    Returns
    -------
    alpha, roll : float
        [rad].

    References
    ----------
    .. [1] Definitions; the page on conventions has the roll angle of the cross wind.
    """
    forward, right, over = along
    across = math.sqrt(right * right + over * over)
    alpha = math.atan2(across, forward) if speed > 0.0 else 0.0
    # The cross wind blows towards the side opposite to the body's own sideways motion.
    roll = math.atan2(-over, -right) if across > 0.0 else 0.0
    roll = roll + 2.0 * math.pi if roll < 0.0 else roll
    work[ALPHA], work[ROLL] = alpha, roll
    return alpha, roll


@inner
def body_loads(state, turn, ints, pool, table, work):
    r"""Force and moment of air and thrust about the balance point, without gravity.

    .. math::
        F_x = -q A C_A, \quad F_\perp = \tfrac{\rho V A}{2} (c_{al} \, w + c_{ac} \, e_x \times w), \quad
        M_d = \tfrac{\rho V A d^2}{4} C_{m} \, \omega

    with the cross wind :math:`w` [m/s], so that nothing is divided by the sine of the angle of attack.

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].
    turn : tuple of tuple of float
        The attitude [-].

    Returns
    -------
    force, moment : tuple of float
        Body axes [N] and [N m].

    References
    ----------
    .. [1] Definition of the coefficients of ``aero.table``; rates made dimensionless by d / 2V, as is common
       in flight mechanics.
    """
    through, speed, density = flow(state, ints, pool, work)
    along = turned_back(turn, through)
    alpha, roll = angles(along, speed, work)
    coefficients, dampings = look_up(alpha, roll, work[MACH], ints, table)
    work[NORMAL], work[NORMAL + 1] = coefficients[0], coefficients[2]
    flux = 0.5 * density * speed * pool[AREA]
    force, moment = tip_loads(along, speed, flux, coefficients, pool, work)
    force, moment = with_crooked(flux * speed, force, moment, pool)
    force, moment = with_bent(flux, along[0], speed, force, moment, pool)
    shift = cross(three(work, CENTRE), force)
    moment = moment[0] - shift[0], moment[1] - shift[1], moment[2] - shift[2]
    moment = with_damping(flux, (state[10], state[11], state[12]), dampings, moment, pool)
    return with_thrust(force, moment, pool, work)


@inner
def tip_loads(along, speed, flux, coefficients, pool, work):
    """Force, and moment about the tip, of the straight body's air table.

    Parameters
    ----------
    along : tuple of float
        Velocity through the air, body axes [m/s].
    speed, flux : float
        Airspeed [m/s]; half of density times airspeed times reference area [kg/s].
    coefficients : tuple of float
        From ``look_up`` [-].

    Returns
    -------
    force, moment : tuple of float
        Body axes [N] and [N m].

    References
    ----------
    .. [1] As ``body_loads``.
    """
    width, factor, aft = pool[WIDTH], pool[TRIM_ACROSS], pool[TRIM_STATION]
    # Coefficients over sin(alpha) times the cross wind vector: regular at alpha = 0.
    side, over = -along[1], -along[2]
    ahead, across = factor * coefficients[0], factor * coefficients[1]
    axial = coefficients[5] if work[POWERED] > 0.0 else coefficients[6]
    force = (
        -flux * speed * pool[TRIM_AXIAL] * axial,
        flux * (ahead * side - across * over),
        flux * (ahead * over + across * side),
    )
    ahead, across = (
        factor * coefficients[2] * width + aft * ahead,
        factor * coefficients[3] * width + aft * across,
    )
    first_y = flux * (ahead * side - across * over)
    first_z = flux * (ahead * over + across * side)
    # Moment about the tip of forces f at station s is (., sum s f_z, -sum s f_y).
    return force, (flux * speed * width * (coefficients[4] + pool[TRIM_ROLL]), first_z, -first_y)


@inner
def with_crooked(load, force, moment, pool):
    """Add what a crooked body feels with the air along its axis: a side force at its own station.

    Parameters
    ----------
    load : float
        Dynamic pressure times reference area [N].
    force, moment : tuple of float
        Without it [N] and [N m].

    Returns
    -------
    force, moment : tuple of float
        With it [N] and [N m].

    References
    ----------
    .. [1] Force :math:`q A c` [N] at a station [m], and its moment; definition of ``AirDepartures``.
    """
    side, over, station = load * pool[TRIM_SIDE], load * pool[TRIM_SIDE + 1], pool[TRIM_SIDE + 2]
    return (
        (force[0], force[1] + side, force[2] + over),
        (moment[0], moment[1] + station * over, moment[2] - station * side),
    )


@inner
def with_bent(flux, forward, speed, force, moment, pool):
    r"""Add the side force of a body that leans or bends, and the axial force's arm off the axis.

    .. math::  F = q A \cos^2 \alpha \, c \; (u > 0), \qquad M = q A d \cos^2 \alpha \, c_m + r \times F_x

    Parameters
    ----------
    flux : float
        Half of density times airspeed times reference area [kg/s].
    forward, speed : float
        Velocity through the air along the body's axis, and its whole length [m/s].
    force, moment : tuple of float
        Without it [N] and [N m].

    Returns
    -------
    force, moment : tuple of float
        With it [N] and [N m].

    References
    ----------
    .. [1] ``aero.crooked.zero_loads`` and ``drag_line_m``, where the coefficients [-] and the arm [m] come
       from.
    """
    ahead = max(forward, 0.0)
    # Over the speed once more: the load falls with the squared cosine of the angle of attack.
    load = flux * ahead * ahead / max(speed, 1e-9)
    width, axial = pool[WIDTH], force[0]
    return (
        (axial, force[1] + load * pool[CROOKED], force[2] + load * pool[CROOKED + 1]),
        (
            moment[0],
            moment[1] + (load * width * pool[CROOKED + 3] + pool[DRAG_LINE + 1] * axial),
            moment[2] - (load * width * pool[CROOKED + 2] + pool[DRAG_LINE] * axial),
        ),
    )


@inner
def with_damping(flux, spin, dampings, moment, pool):
    """Add the moments that resist turning.

    Parameters
    ----------
    flux : float
        Half of density times airspeed times reference area [kg/s].
    spin, dampings : tuple of float
        Body rates [rad/s] and derivatives from ``look_up`` [1/rad].
    moment : tuple of float
        Without them [N m].

    Returns
    -------
    moment : tuple of float
        With them [N m].

    References
    ----------
    .. [1] As ``body_loads``.
    """
    width = pool[WIDTH]
    damping = flux * width * width / 2.0
    pitch, yaw, both, roll = dampings
    return (
        moment[0] + damping * roll * spin[0],
        moment[1] + damping * (pitch * spin[1] + both * spin[2]),
        moment[2] + damping * (both * spin[1] + yaw * spin[2]),
    )


@inner
def with_thrust(force, moment, pool, work):
    """Add the thrust, at the nozzle and along its own line.

    Parameters
    ----------
    force, moment : tuple of float
        Without it [N] and [N m].

    Returns
    -------
    force, moment : tuple of float
        With it [N] and [N m].

    References
    ----------
    .. [1] Moment of a force, r x F: any text on mechanics.
    """
    thrust, push, nozzle = work[THRUST], three(pool, PUSH), three(pool, NOZZLE)
    arm = nozzle[0] - work[CENTRE], nozzle[1] - work[CENTRE + 1], nozzle[2] - work[CENTRE + 2]
    pushed = thrust * push[0], thrust * push[1], thrust * push[2]
    lever = cross(arm, pushed)
    return (
        (force[0] + pushed[0], force[1] + pushed[1], force[2] + pushed[2]),
        (moment[0] + lever[0], moment[1] + lever[1], moment[2] + lever[2]),
    )
