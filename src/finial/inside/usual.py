"""What is taken where the sheet gives no size: densities by kind, and sizes that are usual."""

import math
from dataclasses import dataclass

from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import row_named, table_rows

MOTOR_PLAY_M = 0.5e-3
"""How much wider than its motor a motor tube is [m]; common practice."""
PLATE_M = 6e-3
"""Thickness of a bulkhead [m]; common practice."""
RAIL_GAP_M = 3e-3
"""Distance of the rail's face from the skin at the buttons [m]; common practice."""
RAIL_WIDTH_M = 0.04
"""Width of a rail [m]: the wider of the two common ones, 25 and 38 mm, rounded up."""
BUTTON_M = 0.015
"""Diameter of a rail button [m]; common practice."""
SCREW_M = 5e-3
"""Diameter of the screw of a rail button [m]; common practice."""
EYE_DIAMETERS = 5.0
"""Outer diameter of an eye, of its thread's [-]: 4.4 to 6 of forged eyes with collars by ISO 3266 and
ASME B18.15, from memory of the standards."""
SCREW_DEPTH_M = 10e-3
"""How deep such a screw reaches into the body [m]; common practice."""


def usual_density(kind: str) -> Estimate:
    """Density of a kind of thing whose material nobody gave.

    Parameters
    ----------
    kind : str
        As the build sheet writes it: ballast, sled, bulkhead, tube, screw, other.

    Returns
    -------
    density : Estimate
        Density [kg/m^3], assumed, as wide as what builders use.

    Raises
    ------
    MissingData
        If the table has no such kind.

    Examples
    --------
    >>> usual_density("ballast").high
    11340.0
    """
    row = row_named(table_rows("finial.inside", "densities.csv"), kind, column="kind")
    return Estimate(
        value=float(row["value"]),
        low=float(row["low"]),
        high=float(row["high"]),
        known_by=KnownBy.ASSUMED,
        method="density by kind",
        source=row["source"],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """Hexagon nut, and the plain washer under it, at their largest."""

    across_m: float
    """Across its corners: the circle that it turns in [m]."""
    height_m: float
    washer_thickness_m: float
    source: str


def usual_nut(thread: str) -> Nut:
    r"""Room that the nut of a thread turns in, and how thick a plain washer is.

    .. math::  e = 2 s / \sqrt{3}

    Parameters
    ----------
    thread : str
        Name of the thread, letter case ignored, such as ``M6`` or ``1/4-20``.

    Returns
    -------
    nut : Nut
        Sizes [m], with their source.

    Raises
    ------
    MissingData
        If the table has no such thread.

    Notes
    -----
    Holds for plain hexagon nuts with sharp corners: real ones are up to 4 % less across them. Lock nuts are
    taller, by up to half.

    References
    ----------
    .. [1] ISO 4032, ISO 7089; ASME B18.2.2, B18.6.3, B18.21.1: from memory of the standards.

    Examples
    --------
    >>> nut = usual_nut("m8")
    >>> round(nut.across_m * 1e3, 2), nut.height_m
    (15.01, 0.0068)
    """
    row = row_named(table_rows("finial.inside", "nuts.csv"), thread.strip(), column="thread")
    return Nut(
        across_m=float(row["across_flats_mm"]) * 1e-3 * 2 / math.sqrt(3.0),
        height_m=float(row["height_mm"]) * 1e-3,
        washer_thickness_m=float(row["washer_thickness_mm"]) * 1e-3,
        source=row["source"],
    )


def usual_eye_m(thread_m: float, legs: int, washer_m: float) -> float:
    r"""Outer diameter of an eye bolt's eye, or width of a U-bolt, of which nobody gave it.

    .. math::  d_{eye} = 5 d, \qquad d_U = \max(5 d, \; w + d)

    with :math:`d` the diameter of the thread and :math:`w` that of the washers.

    Parameters
    ----------
    thread_m : float
        Diameter of its thread [m].
    legs : int
        One of an eye bolt, two of a U-bolt.
    washer_m : float
        Outer diameter of the washer under each nut [m].

    Returns
    -------
    across_m : float
        Size [m].

    Raises
    ------
    OutsideRange
        If a diameter is not above zero.

    Notes
    -----
    Forged eyes with collars are 4.4 to 6 diameters wide; the washers of a U-bolt lie beside one another.

    References
    ----------
    .. [1] ISO 3266; ASME B18.15: from memory of the standards.

    Examples
    --------
    >>> round(usual_eye_m(0.006, 1, 0.025), 4), round(usual_eye_m(0.004, 2, 0.025), 4)
    (0.03, 0.029)
    """
    require_positive(thread_m=thread_m, washer_m=washer_m)
    bare = EYE_DIAMETERS * thread_m
    return bare if legs == 1 else max(bare, washer_m + thread_m)
