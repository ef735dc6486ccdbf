"""Several motors lit together, seen as one."""

from collections.abc import Sequence

import numpy as np

from finial.core.errors import OutsideRange
from finial.motors.curve import checked_curve, total_impulse
from finial.motors.motor import Motor


def clustered(motors: Sequence[Motor]) -> Motor:
    r"""One motor with the summed thrust and masses of several lit at the same instant.

    .. math::  F(t) = \sum_i F_i(t - d_i)

    Parameters
    ----------
    motors : sequence of Motor
        At least one; each with its own ignition delay :math:`d_i`.

    Returns
    -------
    motor : Motor
        Thrust on all their knots; the earliest ignition becomes its time 0. The diameter and
        length are the largest. Its thrust spread is that of independent motors.

    Raises
    ------
    OutsideRange
        If there are no motors or one has no proper thrust curve.

    Notes
    -----
    Holds for parallel motors; a motor that fails to light also pushes off the axis, which this
    does not show.

    References
    ----------
    .. [1] NFPA 1125: the letter of a cluster is that of the summed impulse.

    Examples
    --------
    >>> from finial.motors.curve import _example
    >>> round(total_impulse(clustered([_example()] * 3)), 6)
    2070.0
    """
    if not motors:
        raise OutsideRange("a cluster needs at least one motor")
    first = min(motor.ignition_delay_s for motor in motors)
    curves = [(motor.times_s + (motor.ignition_delay_s - first), checked_curve(motor)[1]) for motor in motors]
    knots = np.unique(np.concatenate([times for times, _ in curves]))
    thrusts = sum(
        (np.interp(knots, times, thrusts, left=0.0, right=0.0) for times, thrusts in curves),
        np.zeros_like(knots),
    )
    impulses = np.array([total_impulse(motor) for motor in motors])
    scatter = np.array([motor.thrust_spread for motor in motors]) * impulses
    return Motor(
        name=" + ".join(motor.name for motor in motors),
        diameter_m=max(motor.diameter_m for motor in motors),
        length_m=max(motor.length_m for motor in motors),
        loaded_mass_kg=sum(motor.loaded_mass_kg for motor in motors),
        propellant_mass_kg=sum(motor.propellant_mass_kg for motor in motors),
        times_s=knots,
        thrusts_n=thrusts,
        ignition_delay_s=first,
        thrust_spread=float(np.sqrt(np.sum(scatter**2)) / impulses.sum()),
    )
