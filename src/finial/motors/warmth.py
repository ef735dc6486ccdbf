"""How far cold and heat move a motor's thrust."""

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.estimates import Estimate

MILD_K = ZERO_CELSIUS_K + 10.0, ZERO_CELSIUS_K + 30.0
"""Days on which a certified curve stands as it is [K]; common practice."""
THRUST_PER_K = 0.0028
"""Most that chamber pressure, and thrust with it, changes for each kelvin [1/K]."""


def thrust_drift(air: Estimate) -> float:
    r"""Share by which thrust may differ from its curve, as the propellant is colder or warmer.

    .. math::  \delta = \pi_K \, \max(T_1 - T, \; T - T_2, \; 0)

    Parameters
    ----------
    air : Estimate
        Temperature of the air, :math:`T` [K]; the propellant is as warm.

    Returns
    -------
    share : float
        Share either way, :math:`\delta` [-].

    Notes
    -----
    Holds for solid propellants from -40 to 60 degC. The impulse stays nearly the same: less thrust burns
    longer. What is outside a maker's range for the motor may not light, or burst: no number tells that.

    References
    ----------
    .. [1] Sutton and Biblarz, Rocket Propulsion Elements, on temperature sensitivity: 0.067 to 0.278 %
       of chamber pressure for each kelvin; from memory, not re-read. The high end is taken.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(thrust_drift(exact(243.15)), 3), thrust_drift(exact(293.15))
    (0.112, 0.0)
    """
    cold, hot = MILD_K
    return THRUST_PER_K * max(cold - air.low, air.high - hot, 0.0)
