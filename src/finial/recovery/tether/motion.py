# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Forces on pieces and cords at one instant, compiled."""

import math

from finial.recovery.tether.compiled import inner
from finial.recovery.tether.layout import (
    ANGLE,
    BEND,
    EXPONENT,
    FASTEST,
    FILLED,
    FILLING,
    FIRST,
    FIRST_ACROSS,
    FIRST_ALONG,
    GRAVITY,
    HALF_DRAG_BUNDLE,
    HALF_DRAG_END_ON,
    HALF_DRAG_OPEN,
    HALF_DRAG_SIDE_ON,
    INVERSE_INERTIA,
    LENGTH,
    LIP_SIDE,
    LOSS,
    MASS,
    MOUTH_ALONG,
    MOUTH_RADIUS,
    MOUTH_WAY,
    RATE,
    SECOND,
    SECOND_ACROSS,
    SECOND_ALONG,
    SLACK,
    SPEED_X,
    SPEED_Z,
    STIFFNESS,
    STRETCHING,
    TENSION,
    TURNING_DRAG,
    X,
    Z,
)


@inner
def rates_of_change(build, state, slopes, stage, lately):
    r"""Fill the accelerations of every piece under cords, air and gravity, and what the lines do.

    .. math::

        T = k x (1 + a \dot x / v),\ x = l - L > 0, \qquad
        m \ddot r = m g + F_{air} + \sum \pm T u, \qquad
        I \dot\omega = M_{air} + \sum \pm (q - r) \times T u

    The path of a line that passes a mouth is the shortest one: straight from where it is tied,
    or bent round the lip, without friction; the force then acts at the lip. :math:`v` is the fastest
    that the line has stretched since it came taut, so that every pull gives back the same share of its speed.

    Parameters
    ----------
    build : float64[:, ::1], float64[:, ::1], int64[:, ::1], float64[:, ::1]
        One row a piece, one row a line, columns as in the layout, SI units; pieces that each line ties;
        room of shape (3, b) for the cosines and sines of how the pieces lie, and, put in, 1 where a
        canopy's lines have been stretched.
    state : float64[:, ::1], shape (7, b)
        Places [m], angles [rad], speeds [m/s], rates [rad/s], filled distance [m].
    slopes : float64[:, :, ::1], shape (4, 7, b)
        Their change per second at each stage.
    stage : int64
        Stage that is filled.
    lately : float64[:, :, ::1], shape (2, k, 5)
        Pull [N], bend [rad], side of the lip and stretching [m/s] of every line, at the first stage and at a
        later one; its fastest so far is read.

    Notes
    -----
    Holds for light cords in one plane. Air acts along and across each axis on its own, as on
    slender bodies; lift, wakes and the air inside the canopy are left out.

    References
    ----------
    .. [1] Newton's laws; loss of the cord as Hunt and Crossley, Journal of Applied Mechanics
       42 (1975) 440, from memory, scaled so that a pull's loss does not depend on its speed.
    """
    pieces, lines, _, lies = build
    for piece in range(pieces.shape[0]):
        lies[0, piece], lies[1, piece] = math.cos(state[ANGLE, piece]), math.sin(state[ANGLE, piece])
        _air_and_weight(build, state, slopes, stage, piece)
    for line in range(lines.shape[0]):
        _pull(build, line, state, slopes, stage, lately)


@inner
def _air_and_weight(build, state, slopes, stage, piece):
    """Drag along and across the axis, of a canopy against its motion, and of turning."""
    pieces, lies = build[0], build[3]
    vx, vz, rate = state[SPEED_X, piece], state[SPEED_Z, piece], state[RATE, piece]
    force_x = 0.0
    force_z = 0.0
    turn = 0.0
    if pieces[piece, HALF_DRAG_END_ON] > 0.0 or pieces[piece, HALF_DRAG_SIDE_ON] > 0.0:
        cos, sin = lies[0, piece], lies[1, piece]
        along, across = vx * cos + vz * sin, vz * cos - vx * sin
        end_on = -pieces[piece, HALF_DRAG_END_ON] * abs(along) * along
        side_on = -pieces[piece, HALF_DRAG_SIDE_ON] * abs(across) * across
        force_x = end_on * cos - side_on * sin
        force_z = end_on * sin + side_on * cos
        turn = -pieces[piece, TURNING_DRAG] * abs(rate) * rate * pieces[piece, INVERSE_INERTIA]
    speed = 0.0
    if pieces[piece, HALF_DRAG_BUNDLE] > 0.0 or pieces[piece, HALF_DRAG_OPEN] > 0.0:
        speed = math.sqrt(vx * vx + vz * vz)
        share = min(state[FILLED, piece] / pieces[piece, FILLING], 1.0)
        power = pieces[piece, EXPONENT]
        open_share = share * share if power == 2.0 else share**power
        canopy = -(pieces[piece, HALF_DRAG_BUNDLE] + pieces[piece, HALF_DRAG_OPEN] * open_share) * speed
        force_x += canopy * vx
        force_z += canopy * vz
    slopes[stage, X, piece] = vx
    slopes[stage, Z, piece] = vz
    slopes[stage, ANGLE, piece] = rate
    slopes[stage, SPEED_X, piece] = force_x / pieces[piece, MASS]
    slopes[stage, SPEED_Z, piece] = force_z / pieces[piece, MASS] - pieces[piece, GRAVITY]
    slopes[stage, RATE, piece] = turn
    slopes[stage, FILLED, piece] = speed * lies[2, piece]


@inner
def _pull(build, line, state, slopes, stage, lately):
    """Add what a line does to the two pieces it ties, and tell of it."""
    pieces, lines, ends, _ = build
    first, second, told = ends[line, FIRST], ends[line, SECOND], min(stage, 1)
    arm_x, arm_z, far_x, far_z, along_x, along_z, length, side = path(build, line, state)
    lately[told, line, TENSION] = 0.0
    lately[told, line, BEND] = 0.0
    lately[told, line, LIP_SIDE] = side
    lately[told, line, STRETCHING] = SLACK
    if side != 0.0:
        lately[told, line, BEND] = _bend(build, line, side, along_x, along_z)
    stretch = length - lines[line, LENGTH]
    if stretch <= 0.0:
        return
    rate, far_rate = state[RATE, first], state[RATE, second]
    closing_x = state[SPEED_X, second] - far_rate * far_z - state[SPEED_X, first] + rate * arm_z
    closing_z = state[SPEED_Z, second] + far_rate * far_x - state[SPEED_Z, first] - rate * arm_x
    stretching = closing_x * along_x + closing_z * along_z
    lately[told, line, STRETCHING] = stretching
    fastest = max(lately[told, line, FASTEST], stretching)
    tension = lines[line, STIFFNESS] * stretch * (1.0 + lines[line, LOSS] * stretching / fastest)
    if tension <= 0.0:
        return
    lately[told, line, TENSION] = tension
    pull_x, pull_z = tension * along_x, tension * along_z
    slopes[stage, SPEED_X, first] += pull_x / pieces[first, MASS]
    slopes[stage, SPEED_Z, first] += pull_z / pieces[first, MASS]
    slopes[stage, SPEED_X, second] -= pull_x / pieces[second, MASS]
    slopes[stage, SPEED_Z, second] -= pull_z / pieces[second, MASS]
    slopes[stage, RATE, first] += (arm_x * pull_z - arm_z * pull_x) * pieces[first, INVERSE_INERTIA]
    slopes[stage, RATE, second] -= (far_x * pull_z - far_z * pull_x) * pieces[second, INVERSE_INERTIA]


@inner
def path(build, line, state):
    """Shortest way of a line: arms where it leaves both pieces, direction, length, side of the lip.

    Parameters
    ----------
    build : float64[:, ::1], float64[:, ::1], int64[:, ::1], float64[:, ::1]
        Pieces, lines and ends, and the cosines and sines of how the pieces lie.
    line : int64
        Which line.
    state : float64[:, ::1], shape (7, b)
        The state.

    Returns
    -------
    arm_x, arm_z, far_x, far_z : float64
        From each balance point to where the line leaves [m].
    along_x, along_z : float64
        Direction from the first to the second [-].
    length_m : float64
        Length, inside the tube and out [m].
    side : float64
        +1 the lip to the left of the axis, -1 the one to the right, 0 none [-].

    References
    ----------
    .. [1] Shortest path past two points, plain geometry.
    """
    _, lines, ends, lies = build
    first, second = ends[line, FIRST], ends[line, SECOND]
    cos, sin, far_cos, far_sin = lies[0, first], lies[1, first], lies[0, second], lies[1, second]
    far_x = lines[line, SECOND_ALONG] * far_cos - lines[line, SECOND_ACROSS] * far_sin
    far_z = lines[line, SECOND_ALONG] * far_sin + lines[line, SECOND_ACROSS] * far_cos
    away_x = state[X, second] + far_x - state[X, first]
    away_z = state[Z, second] + far_z - state[Z, first]
    side = 0.0
    inside = 0.0
    leave_along, leave_across = lines[line, FIRST_ALONG], lines[line, FIRST_ACROSS]
    if lines[line, MOUTH_WAY] != 0.0:
        side = _lip_side(lines, line, away_x * cos + away_z * sin, away_z * cos - away_x * sin)
        if side != 0.0:
            in_along = lines[line, MOUTH_ALONG] - leave_along
            in_across = side * lines[line, MOUTH_RADIUS] - leave_across
            inside = math.sqrt(in_along * in_along + in_across * in_across)
            leave_along += in_along
            leave_across += in_across
    arm_x = leave_along * cos - leave_across * sin
    arm_z = leave_along * sin + leave_across * cos
    out_x, out_z = away_x - arm_x, away_z - arm_z
    outside = max(math.sqrt(out_x * out_x + out_z * out_z), 1e-12)
    return arm_x, arm_z, far_x, far_z, out_x / outside, out_z / outside, inside + outside, side


@inner
def _lip_side(lines, line, along, across):
    """Which lip the shortest path touches: +1, -1, or 0 where it clears both.

    A far end behind the mouth's plane is outside the tube, so the cord bends back over the
    lip on its side; over either lip it is as long where the tube's axis is crossed.
    """
    mouth, start = lines[line, MOUTH_ALONG], lines[line, FIRST_ALONG]
    in_front = (along - mouth) * lines[line, MOUTH_WAY] > 0.0
    run = along - start
    share = (mouth - start) / (run if abs(run) > 1e-12 else 1e-12)
    crossing = lines[line, FIRST_ACROSS] + (across - lines[line, FIRST_ACROSS]) * share
    if in_front and abs(crossing) <= lines[line, MOUTH_RADIUS]:
        return 0.0
    where = crossing if in_front else across
    return -1.0 if where < 0.0 else 1.0


@inner
def _bend(build, line, side, along_x, along_z):
    """Angle between the line's way inside the tube and its way out [rad]."""
    _, lines, ends, lies = build
    first = ends[line, FIRST]
    cos, sin = lies[0, first], lies[1, first]
    inside_along = lines[line, MOUTH_ALONG] - lines[line, FIRST_ALONG]
    inside_across = side * lines[line, MOUTH_RADIUS] - lines[line, FIRST_ACROSS]
    out_along, out_across = along_x * cos + along_z * sin, along_z * cos - along_x * sin
    return math.atan2(
        abs(inside_along * out_across - inside_across * out_along),
        inside_along * out_along + inside_across * out_across,
    )
