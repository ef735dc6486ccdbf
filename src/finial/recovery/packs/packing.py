"""Does the pack fit its bay, and can it leave."""

import math
from dataclasses import dataclass
from enum import IntEnum

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.recovery.charges.powder import HAND_PACK_KG_M3, PRESS_PACK_KG_M3

LOOSE_PACK_KG_M3 = 240.0
"""Density of a canopy rolled and slid in without force, 15 lb/ft^3 [kg/m^3]; common practice."""


class Fit(IntEnum):
    """How a pack lies in its bay, best first."""

    LOOSE = 0
    """Slides in and out without force."""
    BY_HAND = 1
    """Goes in by hand."""
    PRESSED = 2
    """Goes in only under a press: it may not come out of a bay it must slide out of."""
    TOO_MUCH = 3
    """Denser than a press makes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """What lies in a bay, and the bay."""

    contents_kg: Estimate
    """Canopies, cords and protectors [kg]."""
    diameter_m: float
    length_m: float
    mouth_m: float
    """Diameter of the narrowest place on the way out [m]."""


# Packs stay, whatever flies.
@kept(32)
def pack_density(pack: Pack) -> Estimate:
    r"""Density of all that is packed, filling the bay.

    .. math::  \rho = m / (\tfrac{\pi}{4} d^2 L)

    Parameters
    ----------
    pack : Pack
        Contents [kg] and bay [m].

    Returns
    -------
    Estimate
        Density [kg/m^3].

    Raises
    ------
    OutsideRange
        If a size is not positive or the contents are negative.

    Notes
    -----
    The pack is taken to fill the bay from end to end; what stays empty makes it denser.

    References
    ----------
    .. [1] Definition; densities to compare with in Knacke, NWC TP 6575, 1991, from memory.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(pack_density(Pack(contents_kg=exact(0.5), diameter_m=0.1, length_m=0.2, mouth_m=0.1)).value)
    318
    """
    require_positive(diameter_m=pack.diameter_m, length_m=pack.length_m, mouth_m=pack.mouth_m)
    require_not_negative(contents_kg=pack.contents_kg.low)
    volume = math.pi / 4 * pack.diameter_m**2 * pack.length_m

    def density(mass: float) -> float:
        return mass / volume

    return over_corners(
        density,
        {"mass": pack.contents_kg},
        method="contents over the volume of the bay",
        source="pack densities from memory of Knacke, NWC TP 6575, 1991, not re-read",
    )


def pack_fit(density_kg_m3: float) -> Fit:
    """Class of a pack by its density.

    Parameters
    ----------
    density_kg_m3 : float
        Density of the pack in its bay [kg/m^3].

    Returns
    -------
    Fit
        Loose to 240, by hand to 352, pressed to 720 kg/m^3, too much beyond.

    Raises
    ------
    OutsideRange
        If the density is negative.

    Notes
    -----
    Bands for nylon; the edges are not sharp.

    References
    ----------
    .. [1] Hand 22 and press 45 lb/ft^3: Knacke, NWC TP 6575, 1991, from memory, not re-read;
       loose 15 lb/ft^3: common practice.

    Examples
    --------
    >>> pack_fit(318.0).name
    'BY_HAND'
    """
    require_not_negative(density_kg_m3=density_kg_m3)
    return Fit(sum(density_kg_m3 > edge for edge in (LOOSE_PACK_KG_M3, HAND_PACK_KG_M3, PRESS_PACK_KG_M3)))


def room_for(contents_kg: float, diameter_m: float) -> float:
    r"""Length of bay in which contents lie as dense as a hand packs them.

    .. math::  L = m / (\rho_{hand} \tfrac{\pi}{4} d^2)

    Parameters
    ----------
    contents_kg : float
        Canopies, cords and protectors [kg].
    diameter_m : float
        Inner diameter of the bay [m].

    Returns
    -------
    float
        Length [m].

    Raises
    ------
    OutsideRange
        If a number is not positive.

    Notes
    -----
    As ``pack_fit``.

    References
    ----------
    .. [1] As ``pack_fit``.

    Examples
    --------
    >>> round(room_for(0.5, 0.1), 3)
    0.181
    """
    require_positive(contents_kg=contents_kg, diameter_m=diameter_m)
    return contents_kg / (HAND_PACK_KG_M3 * math.pi / 4 * diameter_m**2)


def pack_diameter(pack: Pack) -> float:
    r"""Diameter of the contents rolled as by hand to the length of the bay.

    .. math::  d_p = \sqrt{4 m / (\pi \rho_{hand} L)}

    Parameters
    ----------
    pack : Pack
        Contents [kg] and bay [m].

    Returns
    -------
    float
        Diameter [m]; a mouth narrower than this must squeeze the pack.

    Raises
    ------
    OutsideRange
        If the length is not positive.

    Notes
    -----
    As ``pack_fit``.

    References
    ----------
    .. [1] As ``pack_fit``.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(pack_diameter(Pack(contents_kg=exact(0.5), diameter_m=0.1, length_m=0.2, mouth_m=0.1)), 3)
    0.095
    """
    require_positive(length_m=pack.length_m)
    return math.sqrt(4 * pack.contents_kg.value / (math.pi * HAND_PACK_KG_M3 * pack.length_m))
