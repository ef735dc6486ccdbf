"""Static ports and bay vents: how large, and how far the pressure inside lags behind."""

import math
from dataclasses import dataclass

from finial.core.constants import GAS_CONSTANT_AIR_J_KG_K, STANDARD_GRAVITY_M_S2
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange

RULE_VOLUME_M3 = 100 * 0.0254**3
"""Volume for which the trade drills one hole [m^3]: 100 cubic inches; common practice."""
RULE_AREA_PER_VOLUME_M = math.pi / 4 * (0.25 * 0.0254) ** 2 / RULE_VOLUME_M3
"""Port area over volume [1/m]: a hole of 1/4 in for 100 cubic inches; common practice."""
HOLE_DISCHARGE = 0.6
"""Discharge coefficient of a sharp-edged hole [-]; handbook value for orifices."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climb:
    """A vented volume on its way up."""

    volume_m3: float
    port_area_m2: float
    climb_m_s: float
    density_kg_m3: float
    temperature_k: float


def port_diameter(volume_m3: float, count: int) -> float:
    r"""Diameter of each of several static ports by the trade's rule.

    .. math::  d = \sqrt{\frac{4}{\pi} \frac{k V}{n}}

    Parameters
    ----------
    volume_m3 : float
        Volume vented, :math:`V` [m^3].
    count : int
        Number of ports, :math:`n` [-].

    Returns
    -------
    float
        Diameter :math:`d` [m].

    Raises
    ------
    OutsideRange
        If the volume is not positive or there is no port.

    Notes
    -----
    The rule is one hole of 1/4 inch for 100 cubic inches, split by area; other practice
    takes four times the area. Three or more, evenly round a smooth part of the body,
    average out the wind; on a body that is not round, place them by its pressure field.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> round(port_diameter(125.66 * 0.0254**3, 3) / 0.0254, 3)
    0.162
    """
    require_positive(volume_m3=volume_m3)
    if count < 1:
        raise OutsideRange(f"count = {count}: give at least one port")
    return math.sqrt(4 / math.pi * RULE_AREA_PER_VOLUME_M * volume_m3 / count)


def port_lag(climb: Climb) -> float:
    r"""Pressure inside a vented volume above the air outside, in a steady climb.

    .. math::  \Delta p = \frac{\rho}{2} \left(\frac{V g w}{R T \, C_d A}\right)^2

    Parameters
    ----------
    climb : Climb
        Volume [m^3], port area :math:`A` [m^2], speed of climb :math:`w` [m/s], density
        [kg/m^3] and temperature [K] of the air.

    Returns
    -------
    float
        Lag :math:`\Delta p` [Pa].

    Raises
    ------
    OutsideRange
        If any number but the speed is not positive, or the speed is negative.

    Notes
    -----
    Holds for a lag that is small against the pressure, isothermal air and a sharp hole
    (discharge coefficient 0.6, give or take a tenth). Says nothing about the error from the
    wind over the port, which is usually larger.

    References
    ----------
    .. [1] Orifice equation and hydrostatic balance; any text on fluid mechanics.

    Examples
    --------
    >>> case = Climb(
    ...     volume_m3=125.7 * 0.0254**3, port_area_m2=math.pi / 4 * 0.003175**2,
    ...     climb_m_s=200.0, density_kg_m3=1.1, temperature_k=288.15,
    ... )
    >>> round(port_lag(case))
    58
    """
    require_positive(
        volume_m3=climb.volume_m3,
        port_area_m2=climb.port_area_m2,
        density_kg_m3=climb.density_kg_m3,
        temperature_k=climb.temperature_k,
    )
    require_not_negative(climb_m_s=climb.climb_m_s)
    outflow = climb.volume_m3 * STANDARD_GRAVITY_M_S2 * climb.climb_m_s
    outflow /= GAS_CONSTANT_AIR_J_KG_K * climb.temperature_k
    return climb.density_kg_m3 / 2 * (outflow / (HOLE_DISCHARGE * climb.port_area_m2)) ** 2


def lag_height(lag_pa: float, density_kg_m3: float) -> float:
    r"""Height by which a barometer behind a port reads too low in a climb.

    .. math::  \Delta h = \Delta p / (\rho g)

    Parameters
    ----------
    lag_pa : float
        Pressure lag :math:`\Delta p` [Pa].
    density_kg_m3 : float
        Air density :math:`\rho` [kg/m^3].

    Returns
    -------
    float
        Height error [m].

    Raises
    ------
    OutsideRange
        If the lag is negative or the density is not positive.

    Notes
    -----
    Holds for errors small against the scale height of the air.

    References
    ----------
    .. [1] Hydrostatic balance.

    Examples
    --------
    >>> round(lag_height(58.2, 1.1), 1)
    5.4
    """
    require_not_negative(lag_pa=lag_pa)
    require_positive(density_kg_m3=density_kg_m3)
    return lag_pa / (density_kg_m3 * STANDARD_GRAVITY_M_S2)
