"""How fast a charge drives two halves apart, before the cord stops them."""

import math
from dataclasses import dataclass

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy


@dataclass(frozen=True, slots=True, kw_only=True)
class Blast:
    """A pressurised bay at the moment its joint lets go."""

    pressure_pa: Estimate
    """Pressure above the air outside [Pa], as ``bay_pressure`` gives it for the same volume."""
    volume_m3: Estimate
    """Free volume [m^3]."""
    diameter_m: float
    """Diameter the pressure acts on [m]."""
    ambient_pa: float
    """Air pressure outside [Pa]."""
    fore_mass_kg: Estimate
    aft_mass_kg: Estimate
    stroke_m: Estimate | None = None
    """Travel over which the joint seals [m]; ``None``: from half a diameter to all the gas can give."""


def expansion_work(pressure_pa: float, volume_m3: float, ambient_pa: float, added_m3: float) -> float:
    r"""Work that a bay's gas does on the two halves while it expands.

    .. math::  W = (p_a + p) V \ln\frac{V + \Delta V}{V} - p_a \Delta V

    Parameters
    ----------
    pressure_pa : float
        Pressure above the air outside, :math:`p` [Pa].
    volume_m3 : float
        Free volume at first, :math:`V` [m^3].
    ambient_pa : float
        Air pressure outside, :math:`p_a` [Pa].
    added_m3 : float
        Volume swept, :math:`\Delta V` [m^3]; beyond the volume at which the pressures are
        equal nothing more is gained, and that is where the sum stops.

    Returns
    -------
    float
        Work :math:`W` [J].

    Raises
    ------
    OutsideRange
        If a volume or the outside pressure is not positive, or another number is negative.

    Notes
    -----
    Isothermal and sealed: an upper bound. Hot gas cools on the walls and leaks past the joint.

    References
    ----------
    .. [1] Isothermal work of an ideal gas; any text on thermodynamics.

    Examples
    --------
    >>> round(expansion_work(103_421.0, 0.002471, 101_325.0, 1.0), 1)
    100.3
    """
    require_positive(volume_m3=volume_m3, ambient_pa=ambient_pa)
    require_not_negative(pressure_pa=pressure_pa, added_m3=added_m3)
    inside = ambient_pa + pressure_pa
    swept = min(added_m3, volume_m3 * pressure_pa / ambient_pa)
    return inside * volume_m3 * math.log1p(swept / volume_m3) - ambient_pa * swept


def parting_speed(blast: Blast) -> Estimate:
    r"""Speed at which two halves fly apart when a charge has done its work on them.

    .. math::  \tfrac{1}{2} \mu v^2 = W, \qquad \mu = \frac{m_1 m_2}{m_1 + m_2}

    Parameters
    ----------
    blast : Blast
        Pressures [Pa], volume [m^3], diameter [m], masses [kg] and stroke [m].

    Returns
    -------
    Estimate
        Speed :math:`v` [m/s].

    Raises
    ------
    OutsideRange
        If a size, mass or outside pressure is not positive, or the charge's pressure negative.

    Notes
    -----
    Holds for one joint and light contents; friction and pins are left out, so it errs high.
    Without a stroke the interval runs from half a diameter of travel to full expansion.
    A small volume goes with a high pressure and the other way round, for the powder that
    makes the pressure is one and the same.

    References
    ----------
    .. [1] Energy balance of two bodies; isothermal work of an ideal gas.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> case = Blast(
    ...     pressure_pa=exact(103_421.0), volume_m3=exact(0.002471), diameter_m=0.1016, ambient_pa=101_325.0,
    ...     fore_mass_kg=exact(2.0), aft_mass_kg=exact(6.0),
    ... )
    >>> round(parting_speed(case).high, 1)
    11.6
    """
    require_positive(
        volume_m3=blast.volume_m3.low,
        diameter_m=blast.diameter_m,
        ambient_pa=blast.ambient_pa,
        fore_mass_kg=blast.fore_mass_kg.low,
        aft_mass_kg=blast.aft_mass_kg.low,
    )
    area = math.pi / 4 * blast.diameter_m**2
    gas = _gas(blast)

    def speed(*, gas: float, volume: float, stroke: float, fore: float, aft: float) -> float:
        work = expansion_work(gas / volume, volume, blast.ambient_pa, area * stroke)
        return math.sqrt(2 * work * (fore + aft) / (fore * aft))

    parts = {
        "gas": gas,
        "volume": blast.volume_m3,
        "stroke": blast.stroke_m or _stroke_not_known(blast, gas, area),
        "fore": blast.fore_mass_kg,
        "aft": blast.aft_mass_kg,
    }
    return over_corners(
        speed, parts, method="isothermal expansion drives two bodies apart", source="energy balance"
    )


def _gas(blast: Blast) -> Estimate:
    """Pressure times volume [J], which the powder fixes: the ends pair off crosswise."""
    pressure, volume = blast.pressure_pa, blast.volume_m3
    products = (pressure.value * volume.value, pressure.low * volume.high, pressure.high * volume.low)
    return Estimate(
        value=products[0],
        low=min(products),
        high=max(products),
        known_by=max(pressure.known_by, volume.known_by),
        inside_range=pressure.inside_range and volume.inside_range,
    )


def _stroke_not_known(blast: Blast, gas_j: Estimate, area_m2: float) -> Estimate:
    """Half a diameter, one diameter, or as far as the gas can push; in this order."""
    furthest = gas_j.high / blast.ambient_pa / area_m2
    low = min(blast.diameter_m / 2, furthest)
    return Estimate(
        value=min(blast.diameter_m, furthest),
        low=low,
        high=furthest,
        known_by=KnownBy.ASSUMED,
        method="stroke of the joint not known",
    )
