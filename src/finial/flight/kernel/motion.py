# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Rates of change of the state: held down, on the rail, on one button, free, under canopies."""

import math

from finial.flight.kernel.burn import burn_state
from finial.flight.kernel.compiled import inner
from finial.flight.kernel.layout import (
    AFT,
    ALONG_RAIL,
    ALPHA,
    AT_CANOPIES,
    CANOPY,
    CANOPY_COLUMNS,
    CANOPY_TIMES,
    CENTRE,
    CENTRE_RATE,
    FELT,
    FORE,
    FRICTION,
    GRAVITY,
    HOLD,
    INERTIA,
    INERTIA_RATE,
    MASS,
    MASS_RATE,
    N_CANOPIES,
    NOZZLE,
    PHASE,
    RAIL,
    RAIL_OVER,
    RAIL_SIDE,
    RELEASE,
    ROLL,
    THRUST,
    TIP_OFF,
    TUMBLING,
    UPWARD,
)
from finial.flight.kernel.loads import attitude, body_loads, flow
from finial.flight.kernel.vectors import (
    cross,
    dot,
    over_tensor,
    plus_cross,
    plus_dot,
    six,
    three,
    times_tensor,
    turned,
    turned_back,
)

NOTHING = (0.0, 0.0, 0.0)
NO_TURN = (0.0, 0.0, 0.0, 0.0)


@inner
def slopes(time, state, ints, pool, table, work):
    """Rates of change of a state; what the trace and the events ask is left in ``work``.

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].

    Returns
    -------
    rates : tuple of tuple of float
        Of position [m/s], velocity [m/s^2], quaternion [1/s] and body rates [rad/s^2].

    References
    ----------
    .. [1] Newton and Euler's equations of a body whose mass and balance point change: W. T. Thomson,
       Introduction to Space Dynamics, 1961, chapter on variable mass; from memory, not re-read. The inertia
       of propellant that flows inside the motor is left out.
    """
    burn_state(time, ints, pool, work)
    turn = attitude(state)
    work[UPWARD] = turn[2][0]
    if ints[PHASE] == CANOPY:
        return canopy_slopes(time, state, turn, ints, pool, work)
    force, moment = body_loads(state, turn, ints, pool, table, work)
    pull = turned(turn, force)
    pull = pull[0], pull[1], pull[2] - work[MASS] * pool[GRAVITY]
    # The balance point moves inside the body while propellant burns.
    drift = turned(turn, three(work, CENTRE_RATE))
    if ints[PHASE] <= RAIL:
        return rail_slopes(state, turn, drift, (force, moment, pull), ints, pool, work)
    return body_slopes(state, turn, drift, (force, moment, pull), ints, pool, work)


@inner
def rail_slopes(state, turn, drift, loads, ints, pool, work):  # noqa: PLR0913 - a kernel takes no records
    r"""One degree of freedom along the rail; none while held down.

    .. math::  a = \left( F \cdot e - \operatorname{sign}(v) \, \mu (N_f + N_a) \right) / m

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].
    turn : tuple of tuple of float
        The attitude [-].
    drift : tuple of float
        Velocity of the balance point inside the body, earth axes [m/s].
    loads : tuple of tuple of float
        Force [N] and moment [N m] without gravity, body axes; force with gravity, earth axes [N].

    Returns
    -------
    rates : tuple of tuple of float
        [m/s], [m/s^2], [1/s], [rad/s^2].

    References
    ----------
    .. [1] Coulomb friction at two buttons; definition. Holds while both buttons ride on the rail.
    """
    force, moment, pull = loads
    rail, velocity = three(pool, ALONG_RAIL), (state[3], state[4], state[5])
    along = plus_dot(0.0, pull, rail)
    friction = pool[FRICTION] * button_forces(turn[2], force, moment, pool, work)
    resisted = along + friction if plus_dot(0.0, velocity, rail) < 0.0 else along - friction
    acceleration = resisted / work[MASS]
    work[RELEASE] = acceleration
    held = ints[PHASE] == HOLD
    acceleration = 0.0 if held else acceleration
    # Body x lies along the rail; the rest is what the rail and the pad push back.
    work[FELT] = pool[GRAVITY] * turn[2][0] + acceleration
    work[FELT + 1], work[FELT + 2] = pool[GRAVITY] * turn[2][1], pool[GRAVITY] * turn[2][2]
    if held:
        return drift, NOTHING, NO_TURN, NOTHING
    return (
        (drift[0] + velocity[0], drift[1] + velocity[1], drift[2] + velocity[2]),
        (acceleration * rail[0], acceleration * rail[1], acceleration * rail[2]),
        NO_TURN,
        NOTHING,
    )


@inner
def button_forces(upward, force, moment, pool, work):
    """Sum of the two buttons' sideways forces.

    Parameters
    ----------
    upward : tuple of float
        The vertical in body axes [-].
    force, moment : tuple of float
        Without gravity, body axes [N] and [N m].

    Returns
    -------
    sum : float
        :math:`|N_f| + |N_a|` [N].

    References
    ----------
    .. [1] Balance of forces and moments of a body held at two points: any text on statics.
    """
    arm = pool[AFT] + work[CENTRE]
    span = pool[AFT] - pool[FORE]
    weight = work[MASS] * pool[GRAVITY]
    right, over = force[1] - weight * upward[1], force[2] - weight * upward[2]
    fore_right = -(arm * right - -moment[2]) / span
    fore_over = -(arm * over - moment[1]) / span
    fore = fore_right * fore_right + fore_over * fore_over
    aft = (right + fore_right) * (right + fore_right) + (over + fore_over) * (over + fore_over)
    return math.sqrt(fore) + math.sqrt(aft)


@inner
def body_slopes(state, turn, drift, loads, ints, pool, work):  # noqa: PLR0913 - a kernel takes no records
    r"""Six degrees of freedom; four of them while the aft button still rides on the rail.

    .. math::
        \dot x = v + R \dot c, \quad \dot v = F / m + R (\omega \times \dot c), \quad
        \dot q = \tfrac{1}{2} q \otimes (0, \omega), \quad I \dot \omega = M

    Parameters
    ----------
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].
    turn : tuple of tuple of float
        The attitude [-].
    drift : tuple of float
        Velocity of the balance point inside the body, earth axes [m/s].
    loads : tuple of tuple of float
        Force [N] and moment [N m] without gravity, body axes; force with gravity, earth axes [N].

    Returns
    -------
    rates : tuple of tuple of float
        [m/s], [m/s^2], [1/s], [rad/s^2].

    References
    ----------
    .. [1] As ``slopes``; quaternion rates: Stevens and Lewis, Aircraft Control and Simulation, chapter 1;
       from memory, not re-read.
    """
    force, moment, pull = loads
    spin, velocity = (state[10], state[11], state[12]), (state[3], state[4], state[5])
    torqued = torque(spin, moment, pool, work)
    if ints[PHASE] == TIP_OFF:
        force, torqued, pull = hold_aft_button(spin, turn, (force, torqued, pull), pool, work)
    turning = over_tensor(six(work, INERTIA), torqued)
    mass = work[MASS]
    carried = cross(spin, three(work, CENTRE_RATE))
    work[FELT], work[FELT + 1], work[FELT + 2] = force[0] / mass, force[1] / mass, force[2] / mass
    w, x, y, z = state[6], state[7], state[8], state[9]
    p, q, r = spin
    return (
        (drift[0] + velocity[0], drift[1] + velocity[1], drift[2] + velocity[2]),
        (
            plus_dot(pull[0] / mass, turn[0], carried),
            plus_dot(pull[1] / mass, turn[1], carried),
            plus_dot(pull[2] / mass, turn[2], carried),
        ),
        (
            0.5 * (-x * p - y * q - z * r),
            0.5 * (w * p + y * r - z * q),
            0.5 * (w * q + z * p - x * r),
            0.5 * (w * r + x * q - y * p),
        ),
        turning,
    )


@inner
def torque(spin, moment, pool, work):
    r"""Moment that turns the body: loads, gyroscopic, change of inertia, jet damping.

    .. math::  M - \omega \times I \omega - \dot I \omega + \dot m \, e \times (\omega \times e)

    with :math:`\dot m < 0` and :math:`e` from the balance point to the nozzle.

    Parameters
    ----------
    spin : tuple of float
        Body rates [rad/s].
    moment : tuple of float
        Of the loads [N m].

    Returns
    -------
    torque : tuple of float
        Body axes [N m].

    References
    ----------
    .. [1] Jet damping of a rocket: W. T. Thomson, Introduction to Space Dynamics, 1961; from memory, not
       re-read. The gas leaves along the nozzle's axis at every rate of turning.
    """
    gyroscopic = cross(spin, times_tensor(six(work, INERTIA), spin))
    growing = times_tensor(six(work, INERTIA_RATE), spin)
    nozzle = three(pool, NOZZLE)
    arm = nozzle[0] - work[CENTRE], nozzle[1] - work[CENTRE + 1], nozzle[2] - work[CENTRE + 2]
    jet = cross(arm, cross(spin, arm))
    outflow = -work[MASS_RATE]
    return (
        moment[0] - gyroscopic[0] - growing[0] - outflow * jet[0],
        moment[1] - gyroscopic[1] - growing[1] - outflow * jet[1],
        moment[2] - gyroscopic[2] - growing[2] - outflow * jet[2],
    )


@inner
def hold_aft_button(spin, turn, loads, pool, work):
    """Add the rail's two sideways forces that keep the aft button on its line.

    They follow from the button's own sideways acceleration being zero: two equations,
    linear in the two forces.

    Parameters
    ----------
    spin : tuple of float
        Body rates [rad/s].
    turn : tuple of tuple of float
        The attitude [-].
    loads : tuple of tuple of float
        Force [N] and moment [N m], body axes; force with gravity, earth axes [N]: without the rail.

    Returns
    -------
    loads : tuple of tuple of float
        The same with the rail [N], [N m], [N].

    References
    ----------
    .. [1] Constraint forces of a guided point: any text on mechanics. Without friction: the button is about
       to leave.
    """
    force, torqued, pull = loads
    button = -pool[AFT] - work[CENTRE], -work[CENTRE + 1], -work[CENTRE + 2]
    free = plus_cross(free_button_acceleration(button, turn, pull, torqued, work), spin, cross(spin, button))
    east_side, east_over = three(pool, RAIL_SIDE), three(pool, RAIL_OVER)
    side, over = turned_back(turn, east_side), turned_back(turn, east_over)
    of_side, of_over = answer_to_push(side, button, work), answer_to_push(over, button, work)
    m11, m12, m21, m22 = dot(side, of_side), dot(side, of_over), dot(over, of_side), dot(over, of_over)
    r1, r2 = -dot(side, free), -dot(over, free)
    determinant = m11 * m22 - m12 * m21
    n1 = (r1 * m22 - r2 * m12) / determinant
    n2 = (m11 * r2 - m21 * r1) / determinant
    held = n1 * side[0] + n2 * over[0], n1 * side[1] + n2 * over[1], n1 * side[2] + n2 * over[2]
    lever = cross(button, held)
    return (
        (force[0] + held[0], force[1] + held[1], force[2] + held[2]),
        (torqued[0] + lever[0], torqued[1] + lever[1], torqued[2] + lever[2]),
        (
            pull[0] + (n1 * east_side[0] + n2 * east_over[0]),
            pull[1] + (n1 * east_side[1] + n2 * east_over[1]),
            pull[2] + (n1 * east_side[2] + n2 * east_over[2]),
        ),
    )


@inner
def free_button_acceleration(button, turn, pull, torqued, work):
    r"""Acceleration the button would have without the rail, less the part from the body's rate.

    Parameters
    ----------
    button : tuple of float
        The button from the balance point, body axes [m].
    turn : tuple of tuple of float
        The attitude [-].
    pull, torqued : tuple of float
        Force with gravity, earth axes [N]; moment that turns the body, body axes [N m].

    Returns
    -------
    acceleration : tuple of float
        :math:`R^T F / m + \dot \omega \times r`, body axes [m/s^2].

    References
    ----------
    .. [1] Acceleration of a point of a rigid body: any text on mechanics.
    """
    mass = work[MASS]
    moved = turned_back(turn, (pull[0] / mass, pull[1] / mass, pull[2] / mass))
    return plus_cross(moved, over_tensor(six(work, INERTIA), torqued), button)


@inner
def answer_to_push(push, button, work):
    r"""Acceleration of the button, counted from the balance point, when pushed there by a force.

    .. math::  a = f / m + (I^{-1} (r \times f)) \times r

    Parameters
    ----------
    push : tuple of float
        The force, body axes [N].
    button : tuple of float
        The button from the balance point, body axes [m].

    Returns
    -------
    acceleration : tuple of float
        Body axes [m/s^2]; linear in the force.

    References
    ----------
    .. [1] Acceleration of a point of a rigid body: any text on mechanics.
    """
    mass = work[MASS]
    turning = over_tensor(six(work, INERTIA), cross(button, push))
    return plus_cross((push[0] / mass, push[1] / mass, push[2] / mass), turning, button)


@inner
def canopy_slopes(time, state, turn, ints, pool, work):
    r"""Point mass under the opened vehicle's and the canopies' drag; attitude is held.

    .. math::  \dot v = -\tfrac{\rho V}{2 m} (C_D S) \, V - g

    Parameters
    ----------
    time : float
        From the firing signal [s].
    state : tuple of float
        Position [m], velocity [m/s], quaternion [-], body rates [rad/s].
    turn : tuple of tuple of float
        The attitude [-].

    Returns
    -------
    rates : tuple of tuple of float
        [m/s], [m/s^2], [1/s], [rad/s^2].

    References
    ----------
    .. [1] T. W. Knacke, Parachute Recovery Systems Design Manual, NWC TP 6575, 1991, chapter 5 (steady
       descent); from memory, not re-read. The air that a canopy carries along has no mass here.
    """
    through, speed, density = flow(state, ints, pool, work)
    work[ALPHA], work[ROLL], work[THRUST] = 0.0, 0.0, 0.0
    pull = 0.5 * density * speed * drag_area(time, ints, pool, work) / work[MASS]
    felt = turned_back(turn, through)
    work[FELT], work[FELT + 1], work[FELT + 2] = -pull * felt[0], -pull * felt[1], -pull * felt[2]
    return (
        (state[3], state[4], state[5]),
        (-pull * through[0], -pull * through[1], -pull * through[2] - pool[GRAVITY]),
        NO_TURN,
        NOTHING,
    )


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
