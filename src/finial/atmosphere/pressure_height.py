"""Height from pressure, the way a flight computer reads it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.atmosphere.day import Day
from finial.atmosphere.standard import LAPSE_K_M
from finial.core.constants import (
    GAS_CONSTANT_AIR_J_KG_K,
    STANDARD_GRAVITY_M_S2,
    STANDARD_PRESSURE_PA,
    STANDARD_TEMPERATURE_K,
)
from finial.core.errors import OutsideRange

_EXPONENT = GAS_CONSTANT_AIR_J_KG_K * LAPSE_K_M / STANDARD_GRAVITY_M_S2
_LOWEST_PA = 22_632.0


def pressure_height(pressure_pa: ArrayLike) -> NDArray[np.float64]:
    r"""Geopotential height at which the standard atmosphere has this pressure.

    .. math::  H = \frac{T_0}{L} \left[ 1 - (p / p_0)^{R L / g_0} \right]

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Static pressure, :math:`p` [Pa].

    Returns
    -------
    height_m : ndarray, shape (...)
        Geopotential height above the 1013.25 hPa level [m].

    Raises
    ------
    OutsideRange
        If a pressure is outside 22 632 to 110 000 Pa or not a number.

    Notes
    -----
    Holds below 11 km. The height of a standard day: on a hot day the true height is larger in the
    ratio of the temperatures, so a computer set to 200 m fires higher than 200 m.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.

    Examples
    --------
    >>> pressure_height([90_000.0, 70_000.0]).round(1).tolist()
    [988.5, 3012.2]
    """
    pressure = _accepted(pressure_pa)
    return STANDARD_TEMPERATURE_K / LAPSE_K_M * (1.0 - (pressure / STANDARD_PRESSURE_PA) ** _EXPONENT)


def height_over_pad(day: Day, pressure_pa: ArrayLike) -> NDArray[np.float64]:
    r"""Height above the pad from the pressure now and the air at the pad.

    .. math::  h = \frac{T_p}{L} \left[ 1 - (p / p_p)^{R L / g_0} \right]

    Parameters
    ----------
    day : Day
        Pressure and temperature at the pad, with a lapse above zero.
    pressure_pa : array_like, shape (...)
        Static pressure [Pa].

    Returns
    -------
    height_m : ndarray, shape (...)
        Geopotential height above the pad [m]; within 0.2 % of the geometric below 10 km.

    Raises
    ------
    OutsideRange
        If a pressure is outside 22 632 to 110 000 Pa, or the day has no lapse.

    Notes
    -----
    Holds below 11 km above sea level. A static port with a pressure coefficient of -0.1 reads 51 m
    too high at 100 m/s.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere, from another base.

    Examples
    --------
    >>> sea = Day(ground_asl_m=0.0, pressure_pa=101_325.0, temperature_k=288.15)
    >>> round(float(height_over_pad(sea, 90_000.0)), 1)
    988.5
    """
    if not day.lapse_k_m > 0.0:
        raise OutsideRange(f"lapse {day.lapse_k_m} K/m: this formula needs one above zero")
    pressure = _accepted(pressure_pa)
    exponent = GAS_CONSTANT_AIR_J_KG_K * day.lapse_k_m / STANDARD_GRAVITY_M_S2
    return day.temperature_k / day.lapse_k_m * (1.0 - (pressure / day.pressure_pa) ** exponent)


def _accepted(pressure_pa: ArrayLike) -> NDArray[np.float64]:
    pressure = np.asarray(pressure_pa, dtype=float)
    if not np.all((pressure >= _LOWEST_PA) & (pressure <= 110_000.0)):
        raise OutsideRange(
            f"pressure {pressure} Pa: accepted are {_LOWEST_PA:.0f} to 110 000 Pa; was it given in hPa?"
        )
    return pressure
