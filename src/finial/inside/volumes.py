"""Volumes: of an empty bay, of a mass, and the lump that a mass is drawn as."""

import math

from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy


def room_of_mass(mass_kg: Estimate, density_kg_m3: Estimate) -> Estimate:
    r"""Room that a mass takes.

    .. math::  V = m / \rho

    Parameters
    ----------
    mass_kg : Estimate
        Mass [kg].
    density_kg_m3 : Estimate
        Density of what it is made of [kg/m^3].

    Returns
    -------
    volume : Estimate
        Room [m^3]; its low end is the lightest mass at the highest density.

    Raises
    ------
    OutsideRange
        If the density is not above zero or the mass is negative.

    Notes
    -----
    Holds for solid pieces. Loose shot fills about 0.6 of its room (common practice): give the
    density of the filling.

    References
    ----------
    .. [1] Definition of density.

    Examples
    --------
    1.9 kg of steel:

    >>> from finial.core.estimates import exact
    >>> round(room_of_mass(exact(1.9), exact(7850.0)).value * 1e6)
    242
    """
    require_positive(density_kg_m3=density_kg_m3.low)
    require_not_negative(mass_kg=mass_kg.low)
    return Estimate(
        value=mass_kg.value / density_kg_m3.value,
        low=mass_kg.low / density_kg_m3.high,
        high=mass_kg.high / density_kg_m3.low,
        known_by=max(mass_kg.known_by, density_kg_m3.known_by, KnownBy.COMPUTED),
        method="mass over density",
        source=density_kg_m3.source,
    )


def lump(volume_m3: float, widest_m: float) -> tuple[float, float]:
    r"""Diameter and length of a round lump of given volume, as long as wide where there is room.

    .. math::  D = \min\left( (4 V / \pi)^{1/3}, D_{room} \right), \qquad L = 4 V / (\pi D^2)

    Parameters
    ----------
    volume_m3 : float
        Its room [m^3].
    widest_m : float
        Diameter of the room it stands in [m].

    Returns
    -------
    diameter_m, length_m : float
        Size of the lump [m].

    Raises
    ------
    OutsideRange
        If a number is not above zero.

    Notes
    -----
    Range: any. What the builder has may be longer and thinner; a size in the sheet beats it.

    References
    ----------
    .. [1] Volume of a cylinder.

    Examples
    --------
    >>> [round(size, 4) for size in lump(242e-6, 0.2)]
    [0.0675, 0.0675]
    """
    require_positive(volume_m3=volume_m3, widest_m=widest_m)
    across = min((4 * volume_m3 / math.pi) ** (1 / 3), widest_m)
    return across, 4 * volume_m3 / (math.pi * across**2)


def tube_room(diameter_m: Estimate, length_m: Estimate) -> Estimate:
    r"""Volume of an empty round bay.

    .. math::  V = \tfrac{\pi}{4} d^2 L

    Parameters
    ----------
    diameter_m, length_m : Estimate
        Inner diameter and length [m].

    Returns
    -------
    volume : Estimate
        Volume [m^3].

    Raises
    ------
    OutsideRange
        If a size is not above zero.

    Notes
    -----
    Holds for a round bay.

    References
    ----------
    .. [1] Volume of a cylinder.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(tube_room(exact(0.076), exact(0.36)).value * 1000, 3)
    1.633
    """
    require_positive(diameter_m=diameter_m.low, length_m=length_m.low)
    return Estimate(
        value=math.pi / 4 * diameter_m.value**2 * length_m.value,
        low=math.pi / 4 * diameter_m.low**2 * length_m.low,
        high=math.pi / 4 * diameter_m.high**2 * length_m.high,
        known_by=max(diameter_m.known_by, length_m.known_by, KnownBy.COMPUTED),
        method="volume of the bay's tube",
    )
