"""Whether a pack is pulled or pushed out of its bay: friction on the wall against what moves it."""

import math
from dataclasses import replace

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.recovery.charges.powder import HAND_PACK_KG_M3
from finial.recovery.packs.packing import Pack, pack_density

WALL_FRICTION = Estimate(
    value=0.3,
    low=0.15,
    high=0.5,
    known_by=KnownBy.ASSUMED,
    method="friction of cloth on a tube",
    source="nylon on smooth solids in handbooks, 0.15 to 0.5; from memory, not re-read",
)
HAND_PRESSURE_PA = Estimate(
    value=3e3,
    low=1e3,
    high=9e3,
    known_by=KnownBy.ASSUMED,
    method="pressure on the wall of a pack made by hand: a third of 50 N on a piston of 80 mm",
    source="assumed; push a pack out with a luggage scale to know it",
)
DENSITY_FOR_E_KG_M3 = 105.0
"""Density that multiplies the wall pressure by e [kg/m^3]: from 3 kPa by hand to 100 kPa under a press."""
_MOST_EXPONENT = 50.0


def wall_pressure(density_kg_m3: Estimate) -> Estimate:
    r"""Pressure of a squeezed pack on the wall of its bay.

    .. math::  p = p_h \exp\left(\frac{\rho - \rho_h}{105\ \mathrm{kg/m^3}}\right)

    Parameters
    ----------
    density_kg_m3 : Estimate
        Density of the pack, :math:`\rho` [kg/m^3].

    Returns
    -------
    Estimate
        Pressure [Pa].

    Raises
    ------
    OutsideRange
        If the density is not positive.

    Notes
    -----
    An assumption through two points, a hand (3 kPa at 352 kg/m^3) and a press (100 kPa at
    720 kg/m^3), to a factor of three either way. Nothing published was found.

    References
    ----------
    .. [1] Pack densities: Knacke, NWC TP 6575, 1991, from memory; pressures assumed.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(wall_pressure(exact(352.0)).value)
    3000
    """
    require_positive(density_kg_m3=density_kg_m3.low)
    return over_corners(
        # Far beyond what any press packs the number means nothing, but it must stay one.
        lambda hand, density: (
            hand * math.exp(min((density - HAND_PACK_KG_M3) / DENSITY_FOR_E_KG_M3, _MOST_EXPONENT))
        ),
        {"hand": HAND_PRESSURE_PA, "density": density_kg_m3},
        method="pressure of a squeezed pack, assumed",
    )


def pack_friction(pack: Pack) -> Estimate:
    r"""Force that holds a pack in its bay, or in a mouth narrower than it.

    .. math::  F = \mu \, p(\rho) \, \pi d L

    Parameters
    ----------
    pack : Pack
        Contents [kg], bay and mouth [m].

    Returns
    -------
    Estimate
        Force [N]; it falls to nothing as the pack slides out.

    Raises
    ------
    OutsideRange
        If a size is not positive.

    Notes
    -----
    The pack takes the density that its narrowest place gives it. Left out: cord ends and
    knots that jam, a cord that runs back past the pack, and air sucked in behind it.

    References
    ----------
    .. [1] Coulomb friction; ``WALL_FRICTION`` and ``wall_pressure``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> pack = Pack(contents_kg=exact(0.545), diameter_m=0.076, length_m=0.34, mouth_m=0.076)
    >>> round(pack_friction(pack).value)
    74
    """
    narrow = replace(pack, diameter_m=min(pack.diameter_m, pack.mouth_m))
    area = math.pi * narrow.diameter_m * narrow.length_m
    return over_corners(
        lambda friction, pressure: friction * pressure * area,
        {"friction": WALL_FRICTION, "pressure": wall_pressure(pack_density(narrow))},
        method="friction of the squeezed pack on the wall",
        source="assumed wall pressure and friction of cloth",
    )


def pulled_out(friction_n: Estimate, length_m: float, moved_kg: float, parting_m_s: Estimate) -> Estimate:
    r"""Energy of the parting pieces over the work to drag the pack out by its cord.

    .. math::  k = \frac{\tfrac{1}{2} \mu_m v^2}{\tfrac{1}{2} F L}

    Parameters
    ----------
    friction_n : Estimate
        Friction of the whole pack, :math:`F` [N].
    length_m : float
        Length of the pack, :math:`L` [m].
    moved_kg : float
        Reduced mass of the two sides [kg].
    parting_m_s : Estimate
        Speed at which they part, :math:`v` [m/s].

    Returns
    -------
    Estimate
        Above 1 the pack comes out [-].

    Raises
    ------
    OutsideRange
        If a size or the friction is not positive.

    Notes
    -----
    Friction falls evenly to nothing as the pack leaves. The cord must be taut while the
    sides still part, and be led so that it pulls along the bay.

    References
    ----------
    .. [1] Work and energy.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> pulled_out(exact(50.0), 0.4, 1.25, exact(4.0)).value
    1.0
    """
    require_positive(friction_n=friction_n.low, length_m=length_m, moved_kg=moved_kg)
    return over_corners(
        lambda friction, speed: moved_kg * speed**2 / (friction * length_m),
        {"friction": friction_n, "speed": parting_m_s},
        method="energy of the parting pieces over the work of friction",
    )


def pushed_out(friction_n: Estimate, push_n: Estimate) -> Estimate:
    r"""Push of the gas over friction, for a charge that lies behind the pack.

    .. math::  k = F_{gas} / F

    Parameters
    ----------
    friction_n : Estimate
        Friction of the whole pack, :math:`F` [N].
    push_n : Estimate
        Pressure of the charge on the section of the bay [N].

    Returns
    -------
    Estimate
        Above 1 the pack moves with the joint [-].

    Raises
    ------
    OutsideRange
        If the friction is not positive.

    Notes
    -----
    A charge ahead of the pack pushes it the wrong way: then only the cord counts.

    References
    ----------
    .. [1] Balance of forces.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> pushed_out(exact(50.0), exact(400.0)).value
    8.0
    """
    require_positive(friction_n=friction_n.low)
    return over_corners(
        lambda friction, push: push / friction,
        {"friction": friction_n, "push": push_n},
        method="push of the gas over friction, the charge behind the pack",
    )
