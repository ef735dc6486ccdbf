"""Drag from how fast it slows down while it coasts."""

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_positive


def drag_coefficient_of_coast(
    slows_m_s2: float, speed_m_s: float, density_kg_m3: float, area_m2: float, mass_kg: float
) -> float:
    r"""Drag coefficient of a body that coasts straight up.

    .. math::  C_D = \frac{m (a - g_0)}{\tfrac12 \rho V^2 A}

    What an accelerometer along the axis reads then is :math:`a - g_0`, towards the tail.

    Parameters
    ----------
    slows_m_s2 : float
        How fast the speed falls, :math:`a` [m/s^2].
    speed_m_s : float
        Speed, :math:`V` [m/s].
    density_kg_m3 : float
        Density of the air [kg/m^3].
    area_m2 : float
        Reference area [m^2].
    mass_kg : float
        Mass after burnout [kg].

    Returns
    -------
    coefficient : float
        On that area [-]; below zero where something still pushes.

    Raises
    ------
    OutsideRange
        If speed, density, area or mass are not above zero.

    Notes
    -----
    Straight up in still air. Leaning by 20 degrees makes it 6 % of a g too small.

    References
    ----------
    .. [1] Newton's second law; any text on mechanics.

    Examples
    --------
    >>> round(drag_coefficient_of_coast(17.232, 150.0, 1.1, 0.01, 10.0), 3)
    0.6
    """
    require_positive(speed_m_s=speed_m_s, density_kg_m3=density_kg_m3, area_m2=area_m2, mass_kg=mass_kg)
    pressure = 0.5 * density_kg_m3 * speed_m_s**2
    return mass_kg * (slows_m_s2 - STANDARD_GRAVITY_M_S2) / (pressure * area_m2)
