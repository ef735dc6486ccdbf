"""Drag area of a canopy from the builder's own drop test."""

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate


def drop_test_drag_area(mass_kg: Estimate, speed_m_s: Estimate, density_kg_m3: Estimate) -> Estimate:
    r"""Drag area that a steady drop proves.

    .. math::  C_D S = 2 m g / (\rho v^2)

    Parameters
    ----------
    mass_kg : Estimate
        Load and canopy, :math:`m` [kg].
    speed_m_s : Estimate
        Steady speed of the drop, :math:`v` [m/s].
    density_kg_m3 : Estimate
        Air density at the test, :math:`\rho` [kg/m^3].

    Returns
    -------
    Estimate
        Drag area [m^2].

    Raises
    ------
    OutsideRange
        If an interval reaches zero or below.

    Notes
    -----
    Holds for a steady fall in still air: the first seconds and a breeze do not count. Rising
    air of half a metre a second is a tenth of the speed, and a fifth of the area.

    References
    ----------
    .. [1] Weight equals drag; Knacke, NWC TP 6575, 1991, section 5.2, from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(drop_test_drag_area(exact(5.0), exact(7.772), exact(1.225)).value, 3)
    1.325
    """
    require_positive(mass_kg=mass_kg.low, speed_m_s=speed_m_s.low, density_kg_m3=density_kg_m3.low)
    return over_corners(
        lambda mass, speed, density: 2 * mass * STANDARD_GRAVITY_M_S2 / (density * speed**2),
        {"mass": mass_kg, "speed": speed_m_s, "density": density_kg_m3},
        method="drop test: weight equals drag",
        source="the builder's own drop test",
    )
