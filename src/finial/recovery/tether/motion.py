"""Forces on pieces and cords at one instant, and what is conserved."""

from dataclasses import dataclass

import numpy as np

from finial.recovery.tether.batch import ANGLE, FILLED, RATE, SPEED_X, SPEED_Z, Batch, LineEnds, Numbers, X, Z


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """Every line at one instant, (c, k)."""

    tension_n: Numbers
    bend_rad: Numbers
    """Angle the line bends by over a lip; 0 where it runs free."""
    lip_side: Numbers
    """+1 the lip to the left of the axis, -1 the one to the right, 0 none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Path:
    """Where each line leaves its first piece for its second, and how long it is."""

    from_x: Numbers
    from_z: Numbers
    along_x: Numbers
    """Unit vector to the second piece."""
    along_z: Numbers
    length_m: Numbers
    to_x: Numbers
    to_z: Numbers
    bend_rad: Numbers
    lip_side: Numbers


def rates_of_change(batch: Batch, state: Numbers, filling: Numbers) -> tuple[Numbers, Pull]:
    r"""Accelerations of every piece under cords, air and gravity.

    .. math::

        T = k x (1 + \beta \dot x),\ x = l - L > 0, \qquad
        m \ddot r = m g + F_{air} + \sum \pm T u, \qquad
        I \dot\omega = M_{air} + \sum \pm (q - r) \times T u

    The path of a line that passes a mouth is the shortest one: straight from where it is tied,
    or bent round the lip, without friction; the force then acts at the lip.

    Parameters
    ----------
    batch : Batch
        The scenes, stacked.
    state : ndarray, shape (7, c, b)
        Places [m], angles [rad], speeds [m/s], rates [rad/s], filled distance [m].
    filling : ndarray, shape (c, b)
        1 where a canopy's lines have been stretched, else 0 [-].

    Returns
    -------
    tuple of ndarray and Pull
        Time derivative of the state, [m/s], [rad/s], [m/s^2], [rad/s^2], [m/s], and the lines at this
        instant.

    Notes
    -----
    Holds for light cords in one plane. Air acts along and across each axis on its own, as on
    slender bodies; lift, wakes and the air inside the canopy are left out. The scenes were checked
    when stacked.

    References
    ----------
    .. [1] Newton's laws; loss of the cord as Hunt and Crossley, Journal of Applied Mechanics
       42 (1975) 440, from memory.

    Examples
    --------
    >>> from finial.recovery.tether.example import two_points
    >>> from finial.recovery.tether.batch import stacked
    >>> scene, launch = two_points(stretched_m=0.1)
    >>> batch, state = stacked([scene], [launch])
    >>> rates_of_change(batch, state, np.zeros((1, 2)))[1].tension_n.round(1).tolist()
    [[1186.7]]
    """
    cos, sin = np.cos(state[ANGLE]), np.sin(state[ANGLE])
    path = _paths(batch, state, cos, sin)
    first, second = batch.first.piece, batch.second.piece
    arm_x, arm_z = path.from_x - state[X][:, first], path.from_z - state[Z][:, first]
    far_x, far_z = path.to_x - state[X][:, second], path.to_z - state[Z][:, second]
    closing_x = _speed_at(state, second, SPEED_X, -far_z) - _speed_at(state, first, SPEED_X, -arm_z)
    closing_z = _speed_at(state, second, SPEED_Z, far_x) - _speed_at(state, first, SPEED_Z, arm_x)
    stretching = closing_x * path.along_x + closing_z * path.along_z
    stretch = np.maximum(path.length_m - batch.lengths_m, 0.0)
    tension = np.maximum(batch.stiffnesses_n_m * stretch * (1 + batch.losses_s_m * stretching), 0.0)
    pull_x, pull_z = tension * path.along_x, tension * path.along_z
    turn = np.zeros_like(cos)
    moments = arm_x * pull_z - arm_z * pull_x
    far_moments = far_x * pull_z - far_z * pull_x
    for index in range(tension.shape[1]):
        turn[:, first[index]] += moments[:, index]
        turn[:, second[index]] -= far_moments[:, index]
    air_x, air_z, air_turn = _air(batch, state, cos, sin)
    change = np.empty_like(state)
    change[X], change[Z], change[ANGLE] = state[SPEED_X], state[SPEED_Z], state[RATE]
    change[SPEED_X] = (pull_x @ batch.incidence + air_x) / batch.masses_kg
    change[SPEED_Z] = (pull_z @ batch.incidence + air_z) / batch.masses_kg - batch.gravities_m_s2
    change[RATE] = (turn + air_turn) * batch.inverse_inertias
    change[FILLED] = np.hypot(state[SPEED_X], state[SPEED_Z]) * filling
    return change, Pull(tension_n=tension, bend_rad=path.bend_rad, lip_side=path.lip_side)


def _speed_at(state: Numbers, piece: np.ndarray, row: int, lever: Numbers) -> Numbers:
    return state[row][:, piece] + state[RATE][:, piece] * lever


def _paths(batch: Batch, state: Numbers, cos: Numbers, sin: Numbers) -> _Path:
    first = batch.first.piece
    to_x, to_z = _tied_at(state, batch.second, cos, sin)
    c, s = cos[:, first], sin[:, first]
    away_x, away_z = to_x - state[X][:, first], to_z - state[Z][:, first]
    along, across = away_x * c + away_z * s, away_z * c - away_x * s
    side = _lip_side(batch, along, across)
    bent = side != 0
    leave_along = np.where(bent, batch.mouth_along_m, batch.first.along_m)
    leave_across = np.where(bent, side * batch.mouth_radius_m, batch.first.across_m)
    inside_along, inside_across = leave_along - batch.first.along_m, leave_across - batch.first.across_m
    inside = np.hypot(inside_along, inside_across)
    out_along, out_across = along - leave_along, across - leave_across
    outside = np.maximum(np.hypot(out_along, out_across), 1e-12)
    turned = np.arctan2(
        np.abs(inside_along * out_across - inside_across * out_along),
        inside_along * out_along + inside_across * out_across,
    )
    return _Path(
        from_x=state[X][:, first] + leave_along * c - leave_across * s,
        from_z=state[Z][:, first] + leave_along * s + leave_across * c,
        along_x=(out_along * c - out_across * s) / outside,
        along_z=(out_along * s + out_across * c) / outside,
        length_m=inside + outside,
        to_x=to_x,
        to_z=to_z,
        bend_rad=np.where(bent, turned, 0.0),
        lip_side=side,
    )


def _lip_side(batch: Batch, along: Numbers, across: Numbers) -> Numbers:
    """Which lip the shortest path touches: +1, -1, or 0 where it clears both.

    A far end behind the mouth's plane is outside the tube, so the cord bends back over the
    lip on its side; over either lip it is as long where the tube's axis is crossed.
    """
    mouth, way = batch.mouth_along_m, batch.mouth_way
    in_front = (along - mouth) * way > 0
    run = along - batch.first.along_m
    share = (mouth - batch.first.along_m) / np.where(np.abs(run) > 1e-12, run, 1e-12)
    crossing = batch.first.across_m + (across - batch.first.across_m) * share
    touches = (~in_front | (np.abs(crossing) > batch.mouth_radius_m)) & (way != 0)
    return np.where(touches, np.where(np.where(in_front, crossing, across) < 0, -1.0, 1.0), 0.0)


def _tied_at(state: Numbers, ends: LineEnds, cos: Numbers, sin: Numbers) -> tuple[Numbers, Numbers]:
    c, s = cos[:, ends.piece], sin[:, ends.piece]
    x = state[X][:, ends.piece] + ends.along_m * c - ends.across_m * s
    z = state[Z][:, ends.piece] + ends.along_m * s + ends.across_m * c
    return x, z


def _air(batch: Batch, state: Numbers, cos: Numbers, sin: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Drag along and across each axis, of canopies against their motion, and of turning."""
    vx, vz, rate = state[SPEED_X], state[SPEED_Z], state[RATE]
    along, across = vx * cos + vz * sin, vz * cos - vx * sin
    end_on = -batch.half_drag_end_on * np.abs(along) * along
    side_on = -batch.half_drag_side_on * np.abs(across) * across
    open_share = np.minimum(state[FILLED] / batch.filling_m, 1.0) ** batch.exponents
    canopy = -(batch.half_drag_bundle + batch.half_drag_open * open_share) * np.hypot(vx, vz)
    return (
        end_on * cos - side_on * sin + canopy * vx,
        end_on * sin + side_on * cos + canopy * vz,
        -batch.turning_drag * np.abs(rate) * rate,
    )


def momentum(batch: Batch, state: Numbers) -> Numbers:
    r"""Momentum along x and z and angular momentum about the origin.

    .. math::  P = \sum m v, \qquad L = \sum \left( I \omega + x \, m v_z - z \, m v_x \right)

    Parameters
    ----------
    batch : Batch
        The scenes, stacked.
    state : ndarray, shape (7, c, b)
        Places [m], angles [rad], speeds [m/s], rates [rad/s], filled distance [m].

    Returns
    -------
    momentum : ndarray, shape (3, c)
        [N s], [N s] and [N m s].

    Notes
    -----
    Conserved by cords alone, without gravity and air.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.recovery.tether.batch import stacked
    >>> from finial.recovery.tether.example import two_points
    >>> momentum(*stacked(*([one] for one in two_points())))[:, 0].tolist()
    [0.0, 0.0, 0.0]
    """
    along_x, along_z = batch.masses_kg * state[SPEED_X], batch.masses_kg * state[SPEED_Z]
    spin = batch.inertias_kg_m2 * state[RATE] + state[X] * along_z - state[Z] * along_x
    return np.stack([along_x.sum(axis=1), along_z.sum(axis=1), spin.sum(axis=1)])


def energy(batch: Batch, state: Numbers) -> Numbers:
    r"""Energy of motion, of height and in stretched lines.

    .. math::  E = \sum \left( \tfrac{m v^2}{2} + \tfrac{I \omega^2}{2} + m g z \right) + \sum \tfrac{k
    x^2}{2}

    Parameters
    ----------
    batch : Batch
        The scenes, stacked.
    state : ndarray, shape (7, c, b)
        Places [m], angles [rad], speeds [m/s], rates [rad/s], filled distance [m].

    Returns
    -------
    energy_j : ndarray, shape (c,)
        Energy of each case [J].

    Notes
    -----
    Conserved without air and loss of the cords; a cord with loss only takes from it.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.recovery.tether.batch import stacked
    >>> from finial.recovery.tether.example import two_points
    >>> energy(*stacked(*([one] for one in two_points()))).tolist()
    [168.75]
    """
    motion = batch.masses_kg * (state[SPEED_X] ** 2 + state[SPEED_Z] ** 2) / 2
    turning = batch.inertias_kg_m2 * state[RATE] ** 2 / 2
    height = batch.masses_kg * batch.gravities_m_s2 * state[Z]
    path = _paths(batch, state, np.cos(state[ANGLE]), np.sin(state[ANGLE]))
    stretch = np.maximum(path.length_m - batch.lengths_m, 0.0)
    return (motion + turning + height).sum(axis=1) + (batch.stiffnesses_n_m * stretch**2 / 2).sum(axis=1)
