"""Thrust over weight at lift-off."""

from dataclasses import replace

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, spread
from finial.motors.curve import average_thrust
from finial.motors.motor import Motor


def thrust_to_weight(motor: Motor, mass: Estimate, thrust_spread: float) -> Estimate:
    r"""Average thrust over the weight at lift-off.

    .. math::  n = \frac{(1 \pm s) \, \bar F}{m \, g}

    Parameters
    ----------
    motor : Motor
        Thrust curve, whose average is :math:`\bar F` [N].
    mass : Estimate
        Mass at lift-off, the motor with it, :math:`m` [kg].
    thrust_spread : float
        Share by which thrust may differ from its curve, :math:`s` [-].

    Returns
    -------
    ratio : Estimate
        Over all corners of thrust and mass [-].

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve.

    Notes
    -----
    The average is over the burn, between the 5 % points. Says nothing of how high it flies.

    References
    ----------
    .. [1] Definition of thrust to weight; the average as in NFPA 1125.

    Examples
    --------
    >>> import numpy as np
    >>> from finial.core.estimates import exact
    >>> times, thrusts = np.array([0.0, 0.001, 1.0, 1.001]), np.array([0.0, 98.0665, 98.0665, 0.0])
    >>> flat = Motor(name="flat", diameter_m=0.038, length_m=0.2, loaded_mass_kg=0.3, propellant_mass_kg=0.1,
    ...              times_s=times, thrusts_n=thrusts)
    >>> ratio = thrust_to_weight(flat, exact(2.0), 0.1)
    >>> [round(one, 2) for one in (ratio.low, ratio.value, ratio.high)]
    [4.5, 5.0, 5.5]
    """
    thrust = spread(average_thrust(motor), thrust_spread, known_by=KnownBy.COMPUTED)
    ratio = over_corners(
        lambda thrust_n, mass_kg: thrust_n / (mass_kg * STANDARD_GRAVITY_M_S2),
        {"thrust_n": thrust, "mass_kg": mass},
        method="average thrust over weight at lift-off",
    )
    return replace(ratio, known_by=KnownBy.COMPUTED)
