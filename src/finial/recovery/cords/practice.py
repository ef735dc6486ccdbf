"""What the trade does about cords, to set beside what is computed."""

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_positive

RATED_OVER_WEIGHT = 100.0
"""Breaking load over the vehicle's weight that the trade takes [-]; common practice."""
LENGTHS = (2.0, 5.0)
"""Cord length over vehicle length that the trade takes [-]; common practice."""


def rated_over_weight(breaking_load_n: float, mass_kg: float) -> float:
    r"""Set the breaking load of a cord over the weight of the vehicle.

    .. math::  F_b / (m g)

    Parameters
    ----------
    breaking_load_n : float
        Strength without knots, :math:`F_b` [N].
    mass_kg : float
        Mass that comes down, :math:`m` [kg].

    Returns
    -------
    float
        Ratio [-]; the trade takes 100.

    Raises
    ------
    OutsideRange
        If either is not positive.

    Notes
    -----
    A rule of thumb that knows nothing of speed or stretch; the load followed in time counts.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> round(rated_over_weight(9806.65, 10.0), 6)
    100.0
    """
    require_positive(breaking_load_n=breaking_load_n, mass_kg=mass_kg)
    return breaking_load_n / (mass_kg * STANDARD_GRAVITY_M_S2)


def length_over_vehicle(cord_m: float, vehicle_m: float) -> float:
    r"""Length of a cord over that of the vehicle.

    .. math::  L / l

    Parameters
    ----------
    cord_m : float
        Length of the cord, :math:`L` [m].
    vehicle_m : float
        Length of the vehicle, :math:`l` [m].

    Returns
    -------
    float
        Ratio [-]; the trade takes 2 to 5.

    Raises
    ------
    OutsideRange
        If either is not positive.

    Notes
    -----
    The rule was made for slender rockets; short fat shapes need more.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> length_over_vehicle(6.0, 1.5)
    4.0
    """
    require_positive(cord_m=cord_m, vehicle_m=vehicle_m)
    return cord_m / vehicle_m
