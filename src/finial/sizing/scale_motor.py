"""Which of the builder's own motors lifts a model of some height."""

from collections.abc import Sequence

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_positive
from finial.motors.curve import average_thrust, total_impulse
from finial.motors.motor import Motor


def lifting_motor(motors: Sequence[Motor], heaviest_kg: float, thrust_to_weight: float) -> Motor | None:
    r"""Motor of the least impulse that lifts a mass with the wanted thrust to weight.

    .. math::  \frac{(1 - s) \, \bar F}{g \, (m + m_{motor})} \ge n

    Parameters
    ----------
    motors : sequence of Motor
        Those to choose from.
    heaviest_kg : float
        Mass without a motor, at its heavy end, :math:`m` [kg].
    thrust_to_weight : float
        What is wanted, :math:`n` [-].

    Returns
    -------
    motor : Motor or None
        ``None`` where none of them does.

    Raises
    ------
    OutsideRange
        If a number is not above zero.

    Notes
    -----
    The average thrust of the burn, less by the scatter :math:`s` from motor to motor, as the check of
    thrust to weight takes it. Says nothing of how high it flies.

    References
    ----------
    .. [1] Definition of thrust to weight; the average as in NFPA 1125, over the burn.

    Examples
    --------
    >>> import numpy as np
    >>> small, large = (
    ...     Motor(name=name, diameter_m=0.038, length_m=0.2, loaded_mass_kg=0.3, propellant_mass_kg=0.1,
    ...           times_s=np.array([0.0, 0.01, 1.0, 1.01]), thrusts_n=np.array([0.0, push, push, 0.0]))
    ...     for name, push in (("small", 100.0), ("large", 400.0))
    ... )
    >>> [getattr(lifting_motor((large, small), kilo, 5.0), "name", None) for kilo in (1.0, 2.0, 9.0)]
    ['small', 'large', None]
    """
    require_positive(heaviest_kg=heaviest_kg, thrust_to_weight=thrust_to_weight)
    lifting = [one for one in motors if _ratio(one, heaviest_kg) >= thrust_to_weight]
    return min(lifting, key=total_impulse, default=None)


def _ratio(motor: Motor, heaviest_kg: float) -> float:
    push = (1.0 - motor.thrust_spread) * average_thrust(motor)
    return push / (STANDARD_GRAVITY_M_S2 * (heaviest_kg + motor.loaded_mass_kg))
