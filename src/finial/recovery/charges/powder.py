"""Black powder charges: pressure in the bay, force on the joint, powder for the job.

Every number here only says where to start a ground test. Finial says nothing about how
powder or igniters are made.
"""

import math
from dataclasses import replace

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept

POWDER_GAS_J_KG_K = 119.2
"""Gas constant of burnt 4F powder per mass of powder [J/(kg K)]: 22.16 ft lbf/(lbm R); common practice."""
POWDER_FLAME_K = 1837.2
"""Temperature of burnt 4F powder [K]: 3307 degrees Rankine; common practice."""
LEAST_AMBIENT_PA = 46_563.0
"""Air pressure at 20 000 ft [Pa]: above it loose powder burns badly; common practice, ISA height."""
LEAST_PRESSURE_PA = 68_948.0
"""Least pressure the trade designs for, 10 psi [Pa]; common practice."""
FORCE_CAP_N = 1_334.5
"""Force on the joint of a large tube beyond which the trade does not go, 300 lbf [N]; common practice."""
CLOTH_KG_M3 = 1140.0
"""Density of nylon [kg/m^3]; handbook value for polyamide 6.6."""
HAND_PACK_KG_M3 = 352.0
"""Density of a canopy packed by hand, 22 lb/ft^3 [kg/m^3]; Knacke, NWC TP 6575, from memory, not re-read."""
PRESS_PACK_KG_M3 = 720.0
"""Density of a canopy packed under a press, 45 lb/ft^3 [kg/m^3]; Knacke, from memory, not re-read."""

_IDEAL_SHARE = Estimate(
    value=1.0,
    low=0.75,
    high=1.1,
    known_by=KnownBy.ASSUMED,
    method="share of the ideal pressure that a real bay sees: leaks, cold walls, unburnt grains",
    source="common practice",
)
_SOURCE = "common practice: gas constant and flame temperature the trade uses for 4F powder"


# Many questions move nothing in the bays.
@kept(32)
def free_bay_volume(diameter_m: Estimate, length_m: Estimate, contents_kg: Estimate) -> Estimate:
    r"""Volume the gas can fill in a packed bay.

    .. math::  V = \tfrac{\pi}{4} d^2 L - m / \rho

    Parameters
    ----------
    diameter_m : Estimate
        Inner diameter of the bay, :math:`d` [m].
    length_m : Estimate
        Length of the bay, :math:`L` [m].
    contents_kg : Estimate
        Mass of canopy and cord packed in it, :math:`m` [kg].

    Returns
    -------
    Estimate
        Free volume [m^3]: between the empty bay and the bay less a pack as dense as under a
        press, which no gas enters. ``inside_range`` is false where a hand-packed canopy
        would not fit.

    Raises
    ------
    OutsideRange
        If a size is not positive, or the cloth alone is more than the bay holds.

    Notes
    -----
    Holds for a round bay and nylon cloth.

    References
    ----------
    .. [1] Volume of a cylinder; cloth 1140 kg/m^3 (handbook).
    .. [2] Pack densities: Knacke, NWC TP 6575, 1991; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(free_bay_volume(exact(0.1), exact(0.3), exact(0.4)).value * 1000, 3)
    2.005
    """
    require_positive(diameter_m=diameter_m.low, length_m=length_m.low)
    require_not_negative(contents_kg=contents_kg.low)
    sizes = {"diameter": diameter_m, "length": length_m}
    empty = over_corners(lambda diameter, length: math.pi / 4 * diameter**2 * length, sizes)
    cloth = contents_kg.value / CLOTH_KG_M3
    if cloth >= empty.value or contents_kg.high / CLOTH_KG_M3 >= empty.low:
        raise OutsideRange(
            f"{contents_kg.value} kg of cloth does not fit a bay of {empty.value * 1000:.2f} litres"
        )
    loosest = empty.low - contents_kg.high / CLOTH_KG_M3
    tightest = empty.low - contents_kg.high / PRESS_PACK_KG_M3
    return Estimate(
        value=empty.value - cloth,
        low=tightest if tightest > 0 else loosest / 2,
        high=empty.high,
        known_by=KnownBy.ASSUMED,
        method="bay less cloth",
        source="cloth density handbook, pack density Knacke, from memory",
        inside_range=empty.low > contents_kg.high / HAND_PACK_KG_M3,
    )


def powder_mass(pressure_pa: float, volume_m3: float) -> float:
    r"""Powder that raises a bay's pressure by so much, without losses.

    .. math::  m = p V / (R T)

    Parameters
    ----------
    pressure_pa : float
        Pressure above the air outside, :math:`p` [Pa].
    volume_m3 : float
        Free volume, :math:`V` [m^3].

    Returns
    -------
    float
        Mass of powder :math:`m` [kg].

    Raises
    ------
    OutsideRange
        If the pressure is negative or the volume is not positive.

    Notes
    -----
    Holds for 4F black powder in a closed bay, burnt at once; the trade's rule of grams =
    0.006 D^2 L (inches, 15 psi) is the same formula. Always ground-test.

    References
    ----------
    .. [1] Ideal gas; constants are common practice of the trade.

    Examples
    --------
    >>> round(powder_mass(1000.0, 0.001) * 1000, 6)
    0.004566
    """
    require_not_negative(pressure_pa=pressure_pa)
    require_positive(volume_m3=volume_m3)
    return pressure_pa * volume_m3 / (POWDER_GAS_J_KG_K * POWDER_FLAME_K)


@kept(64)
def bay_pressure(powder_kg: Estimate, volume_m3: Estimate, ambient_pa: float) -> Estimate:
    r"""Pressure a charge makes in its bay, above the air outside.

    .. math::  p = \eta \, m R T / V

    Parameters
    ----------
    powder_kg : Estimate
        Powder :math:`m` [kg].
    volume_m3 : Estimate
        Free volume :math:`V` [m^3].
    ambient_pa : float
        Air pressure where it fires [Pa].

    Returns
    -------
    Estimate
        Gauge pressure :math:`p` [Pa]. ``inside_range`` is false above 20 000 ft, where
        loose powder burns badly and the charge must be contained.

    Raises
    ------
    OutsideRange
        If powder, volume or outside pressure is not positive.

    Notes
    -----
    Gas adds to the air already in the bay, so the gauge pressure does not depend on the
    height as long as the bay is vented; trapped air adds to it (``trapped_pressure``).
    The interval takes 75 to 110 % of the ideal pressure. Always ground-test.

    References
    ----------
    .. [1] Ideal gas; constants and interval are common practice of the trade.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(bay_pressure(exact(0.001167), exact(0.002471), 101_325.0).value / 6894.757, 1)
    15.0
    """
    require_positive(powder_kg=powder_kg.low, volume_m3=volume_m3.low, ambient_pa=ambient_pa)
    pressure = over_corners(
        lambda powder, volume, share: share * powder * POWDER_GAS_J_KG_K * POWDER_FLAME_K / volume,
        {"powder": powder_kg, "volume": volume_m3, "share": _IDEAL_SHARE},
        method="ideal gas from burnt powder, 75 to 110 % of it",
        source=_SOURCE,
    )
    return replace(pressure, inside_range=pressure.inside_range and ambient_pa >= LEAST_AMBIENT_PA)


@kept(64)
def force_on_joint(pressure_pa: Estimate, diameter_m: Estimate) -> Estimate:
    r"""Force with which a bay's pressure pushes its joint apart.

    .. math::  F = p \, \tfrac{\pi}{4} d^2

    Parameters
    ----------
    pressure_pa : Estimate
        Gauge pressure :math:`p` [Pa].
    diameter_m : Estimate
        Diameter the pressure acts on, :math:`d` [m].

    Returns
    -------
    Estimate
        Force [N].

    Raises
    ------
    OutsideRange
        If the pressure is negative or the diameter is not positive.

    Notes
    -----
    Holds before the joint moves.

    References
    ----------
    .. [1] Pressure times area.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(force_on_joint(exact(68_947.57), exact(0.1016)).value / 4.448222, 1)
    125.7
    """
    require_not_negative(pressure_pa=pressure_pa.low)
    require_positive(diameter_m=diameter_m.low)
    return over_corners(
        lambda pressure, diameter: pressure * math.pi / 4 * diameter**2,
        {"pressure": pressure_pa, "diameter": diameter_m},
        method="pressure times area",
        source=pressure_pa.source,
    )


@kept(32)
def needed_pressure(holding_force_n: Estimate, diameter_m: Estimate) -> Estimate:
    r"""Pressure that opens a joint against its pins and friction.

    .. math::  p = \max\left(\frac{F}{\tfrac{\pi}{4} d^2},\ p_0\right), \qquad
               p_0 = \min\left(10\ \text{psi},\ \frac{300\ \text{lbf}}{\tfrac{\pi}{4} d^2}\right)

    Parameters
    ----------
    holding_force_n : Estimate
        Force that breaks the pins, and friction, together, :math:`F` [N].
    diameter_m : Estimate
        Diameter the pressure acts on, :math:`d` [m].

    Returns
    -------
    Estimate
        Gauge pressure [Pa].

    Raises
    ------
    OutsideRange
        If the force is negative or the diameter is not positive.

    Notes
    -----
    The floor is the low end of the 10 to 20 psi the trade designs for, capped at 300 lbf on
    large tubes: a joint that just opens does not throw a canopy out.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(needed_pressure(exact(50.0), exact(0.1)).value)
    68948
    """
    require_not_negative(holding_force_n=holding_force_n.low)
    require_positive(diameter_m=diameter_m.low)

    def pressure(*, force: float, diameter: float) -> float:
        area = math.pi / 4 * diameter**2
        return max(force / area, min(LEAST_PRESSURE_PA, FORCE_CAP_N / area))

    return over_corners(
        pressure,
        {"force": holding_force_n, "diameter": diameter_m},
        method="holding force over area, at least what the trade designs for",
        source="common practice",
    )


@kept(32)
def needed_powder(pressure_pa: Estimate, volume_m3: Estimate) -> Estimate:
    r"""Powder that reaches a pressure in a bay.

    .. math::  m = p V / (\eta R T)

    Parameters
    ----------
    pressure_pa : Estimate
        Gauge pressure wanted, :math:`p` [Pa].
    volume_m3 : Estimate
        Free volume :math:`V` [m^3].

    Returns
    -------
    Estimate
        Powder to begin ground tests with [kg]; the high end takes every doubt at once.

    Raises
    ------
    OutsideRange
        If the pressure is negative or the volume is not positive.

    Notes
    -----
    Range and error as for ``bay_pressure``. Always ground-test, with the flight's own bay,
    pack, pins and igniter, at a distance.

    References
    ----------
    .. [1] Ideal gas; constants and interval are common practice of the trade.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(needed_powder(exact(103_421.0), exact(0.002471)).value * 1000, 2)
    1.17
    """
    require_not_negative(pressure_pa=pressure_pa.low)
    require_positive(volume_m3=volume_m3.low)
    return over_corners(
        lambda pressure, volume, share: powder_mass(pressure, volume) / share,
        {"pressure": pressure_pa, "volume": volume_m3, "share": _IDEAL_SHARE},
        method="ideal gas from burnt powder, 75 to 110 % of it",
        source=_SOURCE,
    )
