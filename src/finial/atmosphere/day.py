"""The air on the day: a column that starts from what was measured at the pad."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.atmosphere.standard import (
    HIGHEST_M,
    LAPSE_K_M,
    LOWEST_M,
    TROPOPAUSE_M,
    AirState,
    air_state,
    geometric_height,
    geopotential_height,
    standard_air,
)
from finial.core.constants import (
    GAS_CONSTANT_AIR_J_KG_K,
    STANDARD_DENSITY_KG_M3,
    STANDARD_GRAVITY_M_S2,
    STANDARD_TEMPERATURE_K,
)
from finial.core.doors import require_not_negative
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, spread

WEATHER_SPREAD = 0.03
"""How far the weather moves the pressure at a fixed height [-]; from memory of climate handbooks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """Pressure and temperature at the pad, and where the pad is.

    Raises
    ------
    OutsideRange
        If a number is not finite, the pressure is negative or the temperature not above zero.
    """

    ground_asl_m: float
    pressure_pa: float
    temperature_k: float
    lapse_k_m: float = LAPSE_K_M
    """Fall of temperature with geopotential height below the tropopause [K/m]."""

    def __post_init__(self) -> None:
        """Refuse numbers that are not finite and air that cannot be."""
        numbers = (self.ground_asl_m, self.pressure_pa, self.temperature_k, self.lapse_k_m)
        if not all(map(math.isfinite, numbers)):
            raise OutsideRange(f"the air at the pad must be finite numbers: got {numbers}")
        if self.pressure_pa < 0.0 or self.temperature_k <= 0.0:
            raise OutsideRange(
                f"{self.pressure_pa} Pa and {self.temperature_k} K at the pad: accepted are pressures from "
                "0 Pa and temperatures above 0 K; was the temperature given in degC?"
            )


@lru_cache(maxsize=64)
def standard_day(ground_asl_m: float, temperature_k: float | None = None) -> Day:
    """Day with the standard pressure of the pad's height, and its temperature unless one is given.

    Parameters
    ----------
    ground_asl_m : float
        Geometric height of the pad above sea level [m].
    temperature_k : float, optional
        Temperature at the pad [K].

    Returns
    -------
    day : Day
        The column of air over the pad.

    Raises
    ------
    OutsideRange
        If the height is outside -610 m to 20 000 m or a number is not finite.

    Notes
    -----
    The weather moves the pressure at a fixed height by 3 % either way.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562.

    Examples
    --------
    >>> round(standard_day(1350.0, 306.15).pressure_pa)
    86127
    """
    air = standard_air(ground_asl_m)
    return Day(
        ground_asl_m=ground_asl_m,
        pressure_pa=float(air.pressure_pa),
        temperature_k=float(air.temperature_k) if temperature_k is None else temperature_k,
    )


def air_over_pad(day: Day, height_agl_m: ArrayLike) -> AirState:
    r"""Air at heights above the pad, in balance with the pressure and temperature there.

    .. math::

       T = T_p - L (H - H_p), \quad p = p_p (T / T_p)^{g_0 / (R L)}
       \quad (H \le 11\,\mathrm{km}), \qquad T = \mathrm{const}\ \text{above}

    Parameters
    ----------
    day : Day
        Pressure and temperature at the pad.
    height_agl_m : array_like, shape (...)
        Geometric height above the pad [m].

    Returns
    -------
    air : AirState
        Temperature [K], pressure [Pa], density [kg/m^3], speed of sound [m/s], viscosity [Pa s].

    Raises
    ------
    OutsideRange
        If a height is not finite or lies outside -610 m to 20 000 m above sea level.

    Notes
    -----
    Holds from -610 m to 20 000 m above sea level. A day's real lapse near the ground differs: an
    inversion of 5 K makes the air 300 m up 1.7 % thinner than this.

    References
    ----------
    .. [1] U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562, equation 33a, from another base.

    Examples
    --------
    >>> moor = standard_day(1350.0, 306.15)
    >>> round(float(air_over_pad(moor, 0.0).density_kg_m3), 3)
    0.98
    """
    height = geopotential_height(np.asarray(height_agl_m, dtype=float) + day.ground_asl_m)
    if np.any((height < LOWEST_M) | (height > HIGHEST_M)):
        raise OutsideRange(
            f"heights from {height.min():.0f} to {height.max():.0f} m above sea level: "
            f"the column holds from {LOWEST_M:.0f} to {HIGHEST_M:.0f} m"
        )
    pad = geopotential_height(day.ground_asl_m)
    below = np.minimum(height, TROPOPAUSE_M)
    temperature = day.temperature_k - day.lapse_k_m * (below - pad)
    pressure = day.pressure_pa * _fall(day, temperature, below - pad)
    above = np.exp(-STANDARD_GRAVITY_M_S2 * (height - below) / (GAS_CONSTANT_AIR_J_KG_K * temperature))
    return air_state(pressure * above, temperature)


def _fall(day: Day, temperature_k: NDArray[np.float64], rise_m: NDArray[np.float64]) -> NDArray[np.float64]:
    scale = STANDARD_GRAVITY_M_S2 / GAS_CONSTANT_AIR_J_KG_K
    if day.lapse_k_m == 0.0:
        return np.exp(-scale * rise_m / temperature_k)
    return (temperature_k / day.temperature_k) ** (scale / day.lapse_k_m)


def density_over_pad(
    day: Day, height_agl_m: float, pressure_share: float = WEATHER_SPREAD, temperature_share: float = 0.0
) -> Estimate:
    r"""Air density at a height above the pad, as far off as pressure and temperature are.

    .. math::  \frac{\delta\rho}{\rho} = \frac{\delta p}{p} + \frac{\delta T}{T}

    Parameters
    ----------
    day : Day
        Pressure and temperature at the pad.
    height_agl_m : float
        Geometric height above the pad [m].
    pressure_share, temperature_share : float
        How far pressure and absolute temperature may be off, as shares [-].

    Returns
    -------
    density : Estimate
        [kg/m^3].

    Raises
    ------
    OutsideRange
        If the height lies outside the column, or a share is negative.

    Notes
    -----
    Both at their worst at once; small shares.

    References
    ----------
    .. [1] Ideal gas, differentiated.

    Examples
    --------
    >>> found = density_over_pad(standard_day(0.0), 0.0, 0.02, 0.01)
    >>> round(found.value, 3), round(found.high, 3)
    (1.225, 1.262)
    """
    require_not_negative(pressure_share=pressure_share, temperature_share=temperature_share)
    return spread(
        float(air_over_pad(day, height_agl_m).density_kg_m3),
        pressure_share + temperature_share,
        known_by=KnownBy.COMPUTED,
        method="ideal gas, column over the pad",
    )


def density_altitude(density_kg_m3: float) -> float:
    r"""Geometric height at which the standard atmosphere has this density.

    .. math::  H = \frac{T_0}{L} \left[ 1 - (\rho / \rho_0)^{1 / (g_0 / (R L) - 1)} \right]

    Parameters
    ----------
    density_kg_m3 : float
        Air density, :math:`\rho` [kg/m^3].

    Returns
    -------
    height_m : float
        Geometric height above sea level [m].

    Raises
    ------
    OutsideRange
        If the density is outside 0.3639 to 1.9311 kg/m^3 (11 km down to -5 km), or not a number.

    Notes
    -----
    Holds below the tropopause.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.

    Examples
    --------
    >>> round(density_altitude(1.225), 6)
    0.0
    """
    if not 0.3639 <= density_kg_m3 <= 1.9311:
        raise OutsideRange(f"density {density_kg_m3} kg/m3: accepted are 0.3639 to 1.9311 (11 km to -5 km)")
    exponent = STANDARD_GRAVITY_M_S2 / (GAS_CONSTANT_AIR_J_KG_K * LAPSE_K_M) - 1.0
    fraction = (density_kg_m3 / STANDARD_DENSITY_KG_M3) ** (1.0 / exponent)
    return float(geometric_height(STANDARD_TEMPERATURE_K / LAPSE_K_M * (1.0 - fraction)))
