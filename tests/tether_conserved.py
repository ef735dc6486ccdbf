"""What no cord can change by itself: momentum and spin; and the energy that loss and air may only take."""

import numpy as np

from finial.recovery.tether.batch import Batch, Numbers
from finial.recovery.tether.kernel import path_lengths
from finial.recovery.tether.layout import (
    GRAVITY,
    INVERSE_INERTIA,
    LENGTH,
    MASS,
    RATE,
    SPEED_X,
    SPEED_Z,
    STIFFNESS,
    X,
    Z,
)


def _inertias(batch: Batch) -> Numbers:
    inverse = batch.pieces[:, :, INVERSE_INERTIA]
    return np.divide(1.0, inverse, out=np.zeros_like(inverse), where=inverse > 0)


def momentum(batch: Batch, states: Numbers) -> Numbers:
    r"""Momentum along x and z, and angular momentum about the origin.

    .. math::  p = \sum_i m_i v_i, \qquad L = \sum_i I_i \omega_i + r_i \times m_i v_i

    Parameters
    ----------
    batch : Batch
        Scenes with their masses [kg] and inertias [kg m^2].
    states : ndarray, shape (c, 7, b)
        States [m], [rad], [m/s], [rad/s].

    Returns
    -------
    momentum : ndarray, shape (3, c)
        Along x and z [N s], and about the origin [N m s].

    Notes
    -----
    Range: any; kept where neither air nor gravity acts.

    References
    ----------
    .. [1] Newton's laws.

    Examples
    --------
    >>> from finial.recovery.tether.batch import stacked
    >>> from finial.recovery.tether.example import two_points
    >>> batch, states = stacked(*([one] for one in two_points()))
    >>> momentum(batch, states)[:2].round(9).tolist()
    [[0.0], [0.0]]
    """
    masses = batch.pieces[:, :, MASS]
    along_x, along_z = masses * states[:, SPEED_X], masses * states[:, SPEED_Z]
    spin = _inertias(batch) * states[:, RATE] + states[:, X] * along_z - states[:, Z] * along_x
    return np.stack([along_x.sum(axis=1), along_z.sum(axis=1), spin.sum(axis=1)])


def energy(batch: Batch, states: Numbers) -> Numbers:
    r"""Energy of motion, of height and in stretched lines.

    .. math::  E = \sum_i \left( \tfrac12 m_i v_i^2 + \tfrac12 I_i \omega_i^2 + m_i g z_i \right)
               + \sum_j \tfrac12 k_j x_j^2

    Parameters
    ----------
    batch : Batch
        Scenes with their masses [kg], inertias [kg m^2] and lines [m], [N/m].
    states : ndarray, shape (c, 7, b)
        States [m], [rad], [m/s], [rad/s].

    Returns
    -------
    energy_j : ndarray, shape (c,)
        Energy [J].

    Notes
    -----
    Range: any; kept where no air acts and no line loses.

    References
    ----------
    .. [1] Newton's laws.

    Examples
    --------
    >>> from finial.recovery.tether.batch import stacked
    >>> from finial.recovery.tether.example import two_points
    >>> batch, states = stacked(*([one] for one in two_points(speed_m_s=15.0)))
    >>> energy(batch, states).round(2).tolist()
    [168.75]
    """
    masses = batch.pieces[:, :, MASS]
    lengths = np.empty(batch.lines.shape[:2])
    path_lengths(batch.lines, batch.ends, np.ascontiguousarray(states), lengths)
    motion = masses * (states[:, SPEED_X] ** 2 + states[:, SPEED_Z] ** 2) / 2
    turning = _inertias(batch) * states[:, RATE] ** 2 / 2
    height = masses * batch.pieces[:, :, GRAVITY] * states[:, Z]
    stretch = np.maximum(lengths - batch.lines[:, :, LENGTH], 0.0)
    held = batch.lines[:, :, STIFFNESS] * stretch**2 / 2
    return (motion + turning + height).sum(axis=1) + held.sum(axis=1)
