"""What a barometer behind holes in the skin, and a clock, take for height, apogee and lift-off."""

import cmath
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange

CROSSWIND_MEAN = (-1.0, -0.4)
"""Mean pressure coefficient round a section in a wind square to it, over that wind's pressure [-]: -1 in
ideal flow, less behind a real, torn off wake; from memory of pressures round cylinders and prisms."""
CROSSWIND_SIDES = (-1.6, 1.0)
"""Least and largest anywhere round it [-]: a corner, and where the wind meets it."""


def unevenness(diameters_m: Sequence[float], angles_rad: Sequence[float]) -> float:
    r"""How far holes round a body fail to average the wind out.

    .. math::  u = \max_{k = 1, 2} \left| \sum_j d_j^2 e^{i k \theta_j} \right| / \sum_j d_j^2

    Parameters
    ----------
    diameters_m : sequence of float
        Diameter of each hole, :math:`d_j` [m].
    angles_rad : sequence of float
        Where it stands round the body, :math:`\theta_j` [rad].

    Returns
    -------
    share : float
        0 for three or more equal holes evenly round, 1 for one hole or two opposite ones [-].

    Raises
    ------
    OutsideRange
        If there is no hole, a diameter is not positive, or the two lists are not as long as each other.

    Notes
    -----
    The first two harmonics of the pressure round a section: a sideways push, and what a crosswind leaves.
    Range: small holes, each passing air in proportion to its area.

    References
    ----------
    .. [1] Ideal flow across a cylinder has the pressure 1 - 4 sin^2 and no higher harmonics; any text.

    Examples
    --------
    >>> third = 2 * 3.141592653589793 / 3
    >>> round(unevenness([0.003] * 3, [0.0, third, 2 * third]), 6), unevenness([0.003], [0.0])
    (0.0, 1.0)
    """
    if not diameters_m or len(diameters_m) != len(angles_rad):
        raise OutsideRange(f"{len(diameters_m)} holes at {len(angles_rad)} angles: give each hole its angle")
    for diameter in diameters_m:
        require_positive(diameter_m=diameter)
    areas = [diameter**2 for diameter in diameters_m]
    return max(
        abs(sum(area * cmath.exp(1j * k * angle) for area, angle in zip(areas, angles_rad, strict=True)))
        / sum(areas)
        for k in (1, 2)
    )


def wind_across(uneven: float) -> tuple[float, float]:
    r"""Pressure coefficient in a bay of a wind square to the body, least and largest.

    .. math::  C = (1 - u) \, \bar C + u \, C_{side}

    Parameters
    ----------
    uneven : float
        How far its holes fail to average, :math:`u`, 0 to 1 [-].

    Returns
    -------
    low, high : float
        Over the pressure of that crosswind, :math:`q \sin^2 \alpha` [-].

    Raises
    ------
    OutsideRange
        If the share is negative.

    Notes
    -----
    Judgement between the mean round the section and its worst places; range 0 to 1.

    References
    ----------
    .. [1] Pressures round cylinders and prisms across the wind, from memory, not re-read.

    Examples
    --------
    >>> wind_across(0.0), wind_across(1.0)
    ((-1.0, -0.4), (-1.6, 1.0))
    """
    require_not_negative(uneven=uneven)
    share = min(uneven, 1.0)
    low, high = (
        (1 - share) * mean + share * side for mean, side in zip(CROSSWIND_MEAN, CROSSWIND_SIDES, strict=True)
    )
    return low, high


def height_read(
    heights_m: NDArray[np.float64], excess_pa: NDArray[np.float64], densities_kg_m3: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Height that a barometer shows in a bay whose pressure is not that of the air around.

    .. math::  h_{read} = h - \frac{\Delta p}{\rho g}

    Parameters
    ----------
    heights_m : ndarray, shape (n,)
        True heights, :math:`h` [m].
    excess_pa : ndarray, shape (n,)
        Pressure in the bay above the air's, :math:`\Delta p` [Pa].
    densities_kg_m3 : ndarray, shape (n,)
        Density of the air [kg/m^3].

    Returns
    -------
    heights_m : ndarray, shape (n,)
        Heights shown [m].

    Notes
    -----
    Range: errors small against the scale height of the air.

    References
    ----------
    .. [1] Hydrostatic balance.

    Examples
    --------
    >>> height_read(np.array([0.0]), np.array([-550.0]), np.array([1.1])).round(1).tolist()
    [51.0]
    """
    return heights_m - excess_pa / (densities_kg_m3 * STANDARD_GRAVITY_M_S2)


def largest_fall(heights_m: NDArray[np.float64]) -> float:
    r"""How far a reading falls below what it showed before, at most.

    .. math::  \max_i \left( \max_{j \le i} h_j - h_i \right)

    Parameters
    ----------
    heights_m : ndarray, shape (n,)
        Heights shown, in the order of time [m].

    Returns
    -------
    fall_m : float
        0 for a reading that never falls [m].

    Raises
    ------
    OutsideRange
        If there is no reading, or one that is not a number.

    Notes
    -----
    Exact, whatever the range. A computer that waits for a fall of so much takes it for apogee.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> largest_fall(np.array([0.0, 5.0, 3.0, 9.0, 8.0]))
    2.0
    """
    if len(heights_m) == 0 or not np.isfinite(heights_m).all():
        raise OutsideRange("no readings, or some that are no numbers")
    return float((np.maximum.accumulate(heights_m) - heights_m).max())


def gust_height(wind_m_s: float) -> float:
    r"""Height that a gust over the holes of a vehicle on its rail may look like.

    .. math::  h = \left| C_{least} \right| \frac{v^2}{2 g}

    Parameters
    ----------
    wind_m_s : float
        Speed of the gust, :math:`v` [m/s].

    Returns
    -------
    height_m : float
        Height [m].

    Raises
    ------
    OutsideRange
        If the speed is negative.

    Notes
    -----
    At the worst place round the body; range: still air otherwise.

    References
    ----------
    .. [1] Bernoulli, and hydrostatic balance.

    Examples
    --------
    >>> round(gust_height(10.0), 1)
    8.2
    """
    require_not_negative(wind_m_s=wind_m_s)
    return -CROSSWIND_SIDES[0] * wind_m_s**2 / (2 * STANDARD_GRAVITY_M_S2)
