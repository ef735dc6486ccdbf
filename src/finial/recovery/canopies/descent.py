"""Coming down: speed under a canopy and energy at the ground."""

import math

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate


def descent_speed(mass_kg: Estimate, drag_area_m2: Estimate, density_kg_m3: Estimate) -> Estimate:
    r"""Steady speed of descent.

    .. math::  v = \sqrt{2 m g / (\rho \, C_D S)}

    Parameters
    ----------
    mass_kg : Estimate
        Everything that hangs under the canopy, and the canopy, :math:`m` [kg].
    drag_area_m2 : Estimate
        Drag area of all that slows it, :math:`C_D S` [m^2].
    density_kg_m3 : Estimate
        Air density where it comes down, :math:`\rho` [kg/m^3].

    Returns
    -------
    Estimate
        Vertical speed :math:`v` [m/s].

    Raises
    ------
    OutsideRange
        If any interval reaches zero or below.

    Notes
    -----
    Holds for steady vertical descent in still air. A swinging canopy lands faster at the
    bottom of a swing; sinking or rising air of 1-3 m/s is common on a warm day.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, section 5.2 (steady descent); from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> area = exact(0.75 * math.pi / 4 * 1.5**2)
    >>> round(descent_speed(exact(5.0), area, exact(1.225)).value, 3)
    7.772
    """
    require_positive(mass_kg=mass_kg.low, drag_area_m2=drag_area_m2.low, density_kg_m3=density_kg_m3.low)
    return over_corners(
        lambda mass, area, density: math.sqrt(2 * mass * STANDARD_GRAVITY_M_S2 / (density * area)),
        {"mass": mass_kg, "area": drag_area_m2, "density": density_kg_m3},
        method="weight equals drag",
        source="Knacke, NWC TP 6575, 1991, section 5.2; from memory, not re-read",
    )


def landing_energy(mass_kg: Estimate, speed_m_s: Estimate) -> Estimate:
    r"""Kinetic energy at the ground.

    .. math::  E = \tfrac{1}{2} m v^2

    Parameters
    ----------
    mass_kg : Estimate
        Mass that lands with this speed, the heaviest tied piece or the whole, :math:`m` [kg].
    speed_m_s : Estimate
        Speed at the ground, :math:`v` [m/s].

    Returns
    -------
    Estimate
        Energy :math:`E` [J].

    Raises
    ------
    OutsideRange
        If the mass is not positive or the speed is negative.

    Notes
    -----
    Exact for a rigid body without spin. Wind adds to the speed; see ``ground_speed``.

    References
    ----------
    .. [1] Definition of kinetic energy.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(landing_energy(exact(5.0), exact(4.0)).value, 1)
    40.0
    """
    require_positive(mass_kg=mass_kg.low)
    require_not_negative(speed_m_s=speed_m_s.low)
    return over_corners(
        lambda mass, speed: mass * speed**2 / 2,
        {"mass": mass_kg, "speed": speed_m_s},
        method="kinetic energy",
        source="definition",
    )


def ground_speed(descent_m_s: Estimate, wind_m_s: Estimate) -> Estimate:
    r"""Speed over the ground at touchdown, falling and carried by the wind.

    .. math::  v = \sqrt{v_z^2 + w^2}

    Parameters
    ----------
    descent_m_s : Estimate
        Vertical speed [m/s].
    wind_m_s : Estimate
        Wind near the ground [m/s].

    Returns
    -------
    Estimate
        Speed of the landing [m/s].

    Raises
    ------
    OutsideRange
        If either is negative.

    Notes
    -----
    Holds for a canopy carried with the wind, without glide.

    References
    ----------
    .. [1] Vector sum.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> ground_speed(exact(4.0), exact(3.0)).value
    5.0
    """
    require_not_negative(descent_m_s=descent_m_s.low, wind_m_s=wind_m_s.low)
    return over_corners(
        lambda fall, wind: math.hypot(fall, wind),
        {"fall": descent_m_s, "wind": wind_m_s},
        method="fall and wind together",
    )


def drop_height(speed_m_s: Estimate) -> Estimate:
    r"""Height of a fall without drag that ends at the same speed.

    .. math::  h = v^2 / (2 g)

    Parameters
    ----------
    speed_m_s : Estimate
        Speed at the ground [m/s].

    Returns
    -------
    Estimate
        Height to drop the vehicle from, to see what it stands [m].

    Raises
    ------
    OutsideRange
        If the speed is negative.

    Notes
    -----
    Exact without drag; holds within 1 % for dense vehicles below 3 m.

    References
    ----------
    .. [1] Free fall.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(drop_height(exact(6.0)).value, 2)
    1.84
    """
    require_not_negative(speed_m_s=speed_m_s.low)
    return speed_m_s.mapped(lambda speed: speed**2 / (2 * STANDARD_GRAVITY_M_S2))
