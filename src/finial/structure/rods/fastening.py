"""What nuts, washers, screws, glue and dowels hold, in or on printed plastic and sheet."""

import math

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.estimates import Estimate
from finial.structure.bounds import need_between

SHEAR_OF_TENSION = 0.577
"""Shear strength over tensile strength [-]: 1 / sqrt(3) of von Mises."""
BEARING_OF_TENSION = 1.5
"""Bearing strength over compressive strength where plastic around holds it in [-]; common practice."""
NUT_HEIGHT = 0.8
"""Height of a standard nut over its thread's diameter [-], ISO 4032."""


def washer_bearing_stress(force_n: float, washer_m: float, hole_m: float) -> float:
    r"""Pressure under a washer.

    .. math::  \sigma = \frac{F}{\tfrac\pi4 (D^2 - d^2)}

    Parameters
    ----------
    force_n : float
        Tension of the rod [N].
    washer_m, hole_m : float
        Outer diameter of the washer and diameter of the hole [m].

    Returns
    -------
    stress_pa : float
        Pressure [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero or the washer is not wider than its hole.

    Notes
    -----
    Holds for washers thick enough not to dish: about a sixth of how far they reach past the nut.

    References
    ----------
    .. [1] Shigley, Mechanical Engineering Design, bolted joints; from memory.

    Examples
    --------
    >>> round(washer_bearing_stress(1000.0, 0.018, 0.0066) / 1e6, 2)
    4.54
    """
    require_positive(washer_m=washer_m, hole_m=hole_m, ring_m=washer_m - hole_m)
    need_between(0.0, 1e9, force_n=force_n)
    return force_n / (math.pi / 4 * (washer_m**2 - hole_m**2))


def pull_through_stress(force_n: float, washer_m: float, plate_m: float) -> float:
    r"""Shear round the rim of a washer that punches through a plate.

    .. math::  \tau = \frac{F}{\pi D t}

    Parameters
    ----------
    force_n : float
        Tension of the rod [N].
    washer_m : float
        Outer diameter of the washer, or across the nut without one [m].
    plate_m : float
        Thickness of the plate [m].

    Returns
    -------
    stress_pa : float
        Shear [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero.

    Notes
    -----
    Holds for plates that are held up close by; one that spans a wide hole bends first.

    References
    ----------
    .. [1] Punching shear, any strength of materials text.

    Examples
    --------
    >>> round(pull_through_stress(1000.0, 0.018, 0.006) / 1e6, 2)
    2.95
    """
    require_positive(washer_m=washer_m, plate_m=plate_m)
    need_between(0.0, 1e9, force_n=force_n)
    return force_n / (math.pi * washer_m * plate_m)


def glued_tube_stress(force_n: float, diameter_m: float, length_m: float) -> float:
    r"""Mean shear of the glue round a tube.

    .. math::  \tau = \frac{F}{\pi d L}

    Parameters
    ----------
    force_n : float
        Force along the tube [N].
    diameter_m, length_m : float
        Diameter and length of the glued surface [m].

    Returns
    -------
    stress_pa : float
        Shear [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero.

    Notes
    -----
    Mean over the surface: at the ends of a long stiff joint it is two to four times as high, which is why
    glue strengths of short test laps are taken with their low end.

    References
    ----------
    .. [1] Lap shear, any text on adhesives; Volkersen 1938 for the ends, from memory.

    Examples
    --------
    >>> round(glued_tube_stress(1000.0, 0.054, 0.03) / 1e6, 3)
    0.196
    """
    require_positive(diameter_m=diameter_m, length_m=length_m)
    need_between(0.0, 1e9, force_n=force_n)
    return force_n / (math.pi * diameter_m * length_m)


def ring_plate_stress(
    force_n: float, held_m: float, pushed_m: float, plate_m: float, *, poisson: float = 0.33
) -> float:
    r"""Bending stress of a round plate held at its rim and pushed on a circle inside.

    .. math::
        \sigma = \frac{3 F}{2 \pi t^2} \left[ (1 + \nu) \ln\frac{a}{b}
        + \frac{1 - \nu}{2} \left(1 - \frac{b^2}{a^2}\right) \right]

    Parameters
    ----------
    force_n : float
        Push [N].
    held_m, pushed_m : float
        Diameter it is held at, and of the circle it is pushed on [m].
    plate_m : float
        Thickness [m].
    poisson : float
        Poisson's ratio [-].

    Returns
    -------
    stress_pa : float
        Largest stress [Pa].

    Raises
    ------
    OutsideRange
        If a size is not above zero or the circle is not inside the rim.

    Notes
    -----
    Holds for a full plate with a simply held rim; a hole inside the pushed circle raises it up to two times.

    References
    ----------
    .. [1] Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, article 16, load on a circle;
       from memory, not re-read.

    Examples
    --------
    >>> round(ring_plate_stress(1000.0, 0.09, 0.054, 0.006) / 1e6, 1)
    11.9
    """
    require_positive(held_m=held_m, pushed_m=pushed_m, plate_m=plate_m, ring_m=held_m - pushed_m)
    need_between(0.0, 1e9, force_n=force_n)
    need_between(0.0, 0.5, poisson=poisson)
    ratio = pushed_m / held_m
    spread = (1 + poisson) * math.log(1 / ratio) + (1 - poisson) / 2 * (1 - ratio**2)
    return 3 * force_n / (2 * math.pi * plate_m**2) * spread


def dowel_load(count: int, diameter_m: float, shear_pa: float, wall_pa: float, depth_m: float) -> float:
    r"""Shear that dowels across a joint hold: their own shear, or the hole's wall.

    .. math::  V = n \min\left( \tfrac\pi4 d^2 \tau, \; d \, t \, \sigma_b \right)

    Parameters
    ----------
    count : int
        Number of dowels.
    diameter_m, depth_m : float
        Their diameter and depth in either part [m].
    shear_pa : float
        Shear strength of the dowel [Pa].
    wall_pa : float
        Bearing strength of the part [Pa].

    Returns
    -------
    load_n : float
        Shear of the joint [N].

    Raises
    ------
    OutsideRange
        If an argument is not above zero.

    Notes
    -----
    Holds for dowels that share evenly; with play the first takes all.

    References
    ----------
    .. [1] Pinned joints, any strength of materials text.

    Examples
    --------
    >>> round(dowel_load(4, 0.004, 30e6, 40e6, 0.01))
    1508
    """
    require_positive(count=count, diameter_m=diameter_m, shear_pa=shear_pa, wall_pa=wall_pa, depth_m=depth_m)
    return count * min(math.pi / 4 * diameter_m**2 * shear_pa, diameter_m * depth_m * wall_pa)


def dowel_strength(
    count: int, size_m: tuple[float, float], shear_of: Estimate, bears_of: Estimate
) -> Estimate:
    """Shear that dowels across a joint hold, with the scatter of their stuff and the part's.

    Parameters
    ----------
    count : int
        Number of dowels.
    size_m : (float, float)
        Diameter, and depth in either part [m].
    shear_of, bears_of : Estimate
        Tensile strength of the dowels and of the part they stand in [Pa].

    Returns
    -------
    strength : Estimate
        Force across the joint [N].

    Raises
    ------
    OutsideRange
        As :func:`dowel_load`.

    Notes
    -----
    Range and error as :func:`dowel_load`; shear strength is 0.577 of the tensile one.

    References
    ----------
    .. [1] As :func:`dowel_load`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(dowel_strength(4, (0.004, 0.01), exact(52e6), exact(27e6)).value)
    1508
    """
    diameter, depth = size_m
    return over_corners(
        lambda pin, wall: dowel_load(
            count, diameter, SHEAR_OF_TENSION * pin, BEARING_OF_TENSION * wall, depth
        ),
        {"pin": shear_of, "wall": bears_of},
        method="dowels across a joint",
        source="pinned joints, any strength of materials text",
    )
