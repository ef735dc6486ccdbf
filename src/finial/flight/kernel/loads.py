# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Forces and moments on the body: attitude, flow, air loads, thrust."""

import math

from finial.flight.kernel.air import air_at, look_up
from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AIRSPEED,
    ALPHA,
    AREA,
    CENTRE,
    CROOKED,
    DENSITY,
    DRAG_LINE,
    FLOW,
    FORCE,
    LOOKED_UP,
    MACH,
    MOMENT,
    NOZZLE,
    PITCH_DAMPING,
    POWERED,
    PRESSURE,
    PUSH,
    ROLL,
    ROLL_DAMPING,
    SOUND,
    THRUST,
    TRIM_ACROSS,
    TRIM_AXIAL,
    TRIM_ROLL,
    TRIM_SIDE,
    TRIM_STATION,
    TURN,
    WIDTH,
    WIND,
    YAW_BY_PITCH,
    YAW_DAMPING,
)


@inner
def attitude(state, work):
    """Fill the rotation matrix [-], body to earth, from the quaternion, normalised here.

    Parameters
    ----------
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Rotation matrix of a scalar-first quaternion: B. L. Stevens and F. L. Lewis, Aircraft Control and
       Simulation, chapter 1; from memory, not re-read.
    """
    w, x, y, z = work[state + 6], work[state + 7], work[state + 8], work[state + 9]
    two = 2.0 / (w * w + x * x + y * y + z * z)
    work[TURN] = 1.0 - two * (y * y + z * z)
    work[TURN + 1] = two * (x * y - w * z)
    work[TURN + 2] = two * (x * z + w * y)
    work[TURN + 3] = two * (x * y + w * z)
    work[TURN + 4] = 1.0 - two * (x * x + z * z)
    work[TURN + 5] = two * (y * z - w * x)
    work[TURN + 6] = two * (x * z - w * y)
    work[TURN + 7] = two * (y * z + w * x)
    work[TURN + 8] = 1.0 - two * (x * x + y * y)


@inner
def flow(state, ints, pool, work):
    r"""Fill airspeed [m/s], Mach number [-], dynamic pressure [Pa], angle of attack and roll angle [rad].

    .. math::  q = \rho V^2 / 2, \quad \alpha = \operatorname{atan2}(\sqrt{v^2 + w^2}, u), \quad
               \phi = \operatorname{atan2}(-w, -v)

    Parameters
    ----------
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Definitions; the page on conventions has the roll angle of the cross wind.
    """
    air_at(work[state + 2], ints, pool, work)
    east = work[state + 3] - work[WIND]
    north = work[state + 4] - work[WIND + 1]
    up = work[state + 5] - work[WIND + 2]
    for axis in range(3):
        column = TURN + axis
        work[FLOW + axis] = work[column] * east + work[column + 3] * north + work[column + 6] * up
    forward, right, over = work[FLOW], work[FLOW + 1], work[FLOW + 2]
    across = math.sqrt(right * right + over * over)
    speed = math.sqrt(east * east + north * north + up * up)
    work[AIRSPEED] = speed
    work[MACH] = speed / work[SOUND]
    work[PRESSURE] = 0.5 * work[DENSITY] * speed * speed
    work[ALPHA] = math.atan2(across, forward) if speed > 0.0 else 0.0
    # The cross wind blows towards the side opposite to the body's own sideways motion.
    roll = math.atan2(-over, -right) if across > 0.0 else 0.0
    work[ROLL] = roll + 2.0 * math.pi if roll < 0.0 else roll


@inner
def air_loads(state, ints, pool, table, work):
    r"""Set force [N] and moment [N m] about the balance point to those of the air.

    .. math::
        F_x = -q A C_A, \quad F_\perp = \tfrac{\rho V A}{2} (c_{al} \, w + c_{ac} \, e_x \times w), \quad
        M_d = \tfrac{\rho V A d^2}{4} C_{m} \, \omega

    with the cross wind :math:`w` [m/s], so that nothing is divided by the sine of the angle of attack.

    Parameters
    ----------
    state : int
        Where the state begins in ``work``.

    References
    ----------
    .. [1] Definition of the coefficients of ``aero.table``; rates made dimensionless by d / 2V, as is common
       in flight mechanics.
    """
    look_up(ints, pool, table, work)
    width = pool[WIDTH]
    flux = 0.5 * work[DENSITY] * work[AIRSPEED] * pool[AREA]
    # Coefficients over sin(alpha) times the cross wind vector: regular at alpha = 0.
    side, over = -work[FLOW + 1], -work[FLOW + 2]
    factor = pool[TRIM_ACROSS]
    along, across = factor * work[LOOKED_UP], factor * work[LOOKED_UP + 1]
    axial = work[LOOKED_UP + 5] if work[POWERED] > 0.0 else work[LOOKED_UP + 6]
    work[FORCE] = -flux * work[AIRSPEED] * pool[TRIM_AXIAL] * axial
    work[FORCE + 1] = flux * (along * side - across * over)
    work[FORCE + 2] = flux * (along * over + across * side)
    aft = pool[TRIM_STATION]
    along, across = (
        factor * work[LOOKED_UP + 2] * width + aft * along,
        factor * work[LOOKED_UP + 3] * width + aft * across,
    )
    first_y = flux * (along * side - across * over)
    first_z = flux * (along * over + across * side)
    # Moment about the tip of forces f at station s is (., sum s f_z, -sum s f_y).
    work[MOMENT] = flux * work[AIRSPEED] * width * (work[LOOKED_UP + 4] + pool[TRIM_ROLL])
    work[MOMENT + 1] = first_z
    work[MOMENT + 2] = -first_y
    add_crooked(flux * work[AIRSPEED], pool, work)
    add_bent(flux, pool, work)
    shift_to_centre(work)
    damping = flux * width * width / 2.0
    work[MOMENT] += damping * work[ROLL_DAMPING] * work[state + 10]
    pitch, yaw, both = work[PITCH_DAMPING], work[YAW_DAMPING], work[YAW_BY_PITCH]
    work[MOMENT + 1] += damping * (pitch * work[state + 11] + both * work[state + 12])
    work[MOMENT + 2] += damping * (both * work[state + 11] + yaw * work[state + 12])


@inner
def add_crooked(load, pool, work):
    """Add what a crooked body feels with the air along its axis: a side force at its own station.

    Parameters
    ----------
    load : float
        Dynamic pressure times reference area [N].

    References
    ----------
    .. [1] Force :math:`q A c` [N] at a station [m], and its moment; definition of ``AirDepartures``.
    """
    side, over, station = load * pool[TRIM_SIDE], load * pool[TRIM_SIDE + 1], pool[TRIM_SIDE + 2]
    work[FORCE + 1] += side
    work[FORCE + 2] += over
    work[MOMENT + 1] += station * over
    work[MOMENT + 2] -= station * side


@inner
def add_bent(flux, pool, work):
    r"""Add the side force of a body that leans or bends, and the axial force's arm off the axis.

    .. math::  F = q A \cos^2 \alpha \, c \; (u > 0), \qquad M = q A d \cos^2 \alpha \, c_m + r \times F_x

    Parameters
    ----------
    flux : float
        Half of density times airspeed times reference area [kg/s].

    References
    ----------
    .. [1] ``aero.crooked.zero_loads`` and ``drag_line_m``, where the coefficients [-] and the arm [m] come
       from.
    """
    ahead = max(work[FLOW], 0.0)
    # Over the speed once more: the load falls with the squared cosine of the angle of attack.
    load = flux * ahead * ahead / max(work[AIRSPEED], 1e-9)
    width = pool[WIDTH]
    work[FORCE + 1] += load * pool[CROOKED]
    work[FORCE + 2] += load * pool[CROOKED + 1]
    work[MOMENT + 1] += load * width * pool[CROOKED + 3] + pool[DRAG_LINE + 1] * work[FORCE]
    work[MOMENT + 2] -= load * width * pool[CROOKED + 2] + pool[DRAG_LINE] * work[FORCE]


@inner
def shift_to_centre(work):
    """Move the moment [N m] from the tip to the balance point: M - c x F.

    References
    ----------
    .. [1] Change of the reference point of a moment: any text on mechanics.
    """
    cx, cy, cz = work[CENTRE], work[CENTRE + 1], work[CENTRE + 2]
    fx, fy, fz = work[FORCE], work[FORCE + 1], work[FORCE + 2]
    work[MOMENT] -= cy * fz - cz * fy
    work[MOMENT + 1] -= cz * fx - cx * fz
    work[MOMENT + 2] -= cx * fy - cy * fx


@inner
def add_thrust(pool, work):
    """Add the thrust [N], at the nozzle and along its own line, to force and moment [N m].

    References
    ----------
    .. [1] Moment of a force, r x F: any text on mechanics.
    """
    thrust = work[THRUST]
    x = pool[NOZZLE] - work[CENTRE]
    y = pool[NOZZLE + 1] - work[CENTRE + 1]
    z = pool[NOZZLE + 2] - work[CENTRE + 2]
    fx, fy, fz = thrust * pool[PUSH], thrust * pool[PUSH + 1], thrust * pool[PUSH + 2]
    work[FORCE] += fx
    work[FORCE + 1] += fy
    work[FORCE + 2] += fz
    work[MOMENT] += y * fz - z * fy
    work[MOMENT + 1] += z * fx - x * fz
    work[MOMENT + 2] += x * fy - y * fx
