"""Test pieces to print: each is broken, weighed or fitted, and gives one number of the sheet."""

import math
from collections.abc import Sequence

import numpy as np

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.printing.joints import Dowels
from finial.shape.united import Body

CUBE_M = 20e-3
BAR_LONG_M, BAR_WIDE_M, BAR_NECK_M, BAR_THICK_M = 100e-3, 16e-3, 6e-3, 4e-3
_NECK_LONG_M = 40e-3
BLOCK_M = (40e-3, 30e-3)
"""Two sides of a joint sample's face [m]."""
_BELOW_M = 25e-3
_PULL_HOLE_M = 8.4e-3
_ROUND = 48


def cube() -> Body:
    """Solid cube of 20 mm, whose mass tells the density.

    Returns
    -------
    cube : manifold3d.Manifold
        Standing on z = 0 [m].

    Notes
    -----
    To be printed without any hollow: its mass over 8 cm3 is the density of what was laid.

    References
    ----------
    .. [1] Definition of density.

    Examples
    --------
    >>> round(1e6 * cube().volume(), 6)
    8.0
    """
    import manifold3d

    return manifold3d.Manifold.cube((CUBE_M, CUBE_M, CUBE_M))


def pull_bar() -> Body:
    """Bar with a neck of 6 x 4 mm, to be pulled until it breaks there.

    Returns
    -------
    bar : manifold3d.Manifold
        Lying on z = 0, long along x [m].

    Notes
    -----
    Force at break over 24 mm2 is the strength: along the layers where it was printed lying, across them where
    standing. The neck runs out into the ends over 20 mm on either side: no corner breaks it.

    References
    ----------
    .. [1] Shape in the manner of the bars of ISO 527-2, not one of them: common practice.

    Examples
    --------
    >>> [round(1e3 * side) for side in pull_bar().bounding_box()[3:]]
    [100, 16, 4]
    """
    import manifold3d

    half_long, half_neck, half = BAR_LONG_M / 2, _NECK_LONG_M / 2, BAR_WIDE_M / 2
    run = half_long - half_neck - 10e-3
    upper: list[tuple[float, float]] = [(half_long, half)]
    upper.append((half_neck + run, half))
    for step in range(1, 12):
        share = step / 12
        # A cosine meets both widths without a corner.
        wide = half - (half - BAR_NECK_M / 2) * (1 - math.cos(math.pi * share)) / 2
        upper.append((half_neck + run * (1 - share), wide))
    upper.append((half_neck, BAR_NECK_M / 2))
    # Against the clock: out along the low right, back along the high right, and the left likewise.
    inward = upper[::-1]
    ring = [
        *((x, -y) for x, y in inward),
        *upper,
        *((-x, y) for x, y in inward),
        *((-x, -y) for x, y in upper),
    ]
    section = manifold3d.CrossSection([np.array(ring)], manifold3d.FillRule.NonZero)
    bar = manifold3d.Manifold.extrude(section, BAR_THICK_M)
    return bar.translate((half_long, half, 0.0))


def joint_halves(dowels: Dowels | None, wall_m: float, clearance_m: float) -> tuple[Body, Body]:
    """Give two blocks to be joined as a seam of the vehicle is, and pulled apart by a bolt through each.

    Parameters
    ----------
    dowels : Dowels or None
        Pins of the seam; two of them go into the sample.
    wall_m : float
        Plastic that stays round a dowel [m].
    clearance_m : float
        What a hole is wider than its dowel, on the diameter [m].

    Returns
    -------
    halves : tuple of manifold3d.Manifold
        Each standing on its glued face turned up [m].

    Raises
    ------
    OutsideRange
        If two dowels do not fit the face of 40 x 30 mm.

    Notes
    -----
    Printed with the walls, infill and layers of the part. Force at break over the face's area, times the area
    of the seam, is what the seam holds.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> halves = joint_halves(Dowels(count=4, diameter_m=5e-3, depth_m=12e-3), 1.2e-3, 0.3e-3)
    >>> [len(half.decompose()) for half in halves]
    [1, 1]
    """
    import manifold3d

    wide, deep = BLOCK_M
    # Below its dowels a block has room for the bolt.
    tall = _BELOW_M + (dowels.depth_m if dowels else 0.0)
    block = manifold3d.Manifold.cube((wide, deep, tall))
    bolt = manifold3d.Manifold.cylinder(2 * deep, _PULL_HOLE_M / 2, _PULL_HOLE_M / 2, _ROUND)
    block = block - bolt.rotate((90.0, 0.0, 0.0)).translate((wide / 2, 1.5 * deep, 10e-3))
    if dowels is not None:
        radius = (dowels.diameter_m + clearance_m) / 2
        if 4 * radius + 3 * wall_m > wide:
            raise OutsideRange(f"{dowels} do not fit a sample of {wide} x {deep} m: print one by hand")
        pin = manifold3d.Manifold.cylinder(dowels.depth_m + 1e-3, radius, radius, _ROUND)
        for share in (0.25, 0.75):
            block = block - pin.translate((share * wide, deep / 2, tall - dowels.depth_m))
    return block, block


GAUGE_STEPS = (0.0, 0.1e-3, 0.2e-3, 0.3e-3, 0.4e-3, 0.5e-3, 0.6e-3)
"""What the holes of a gauge are wider than what goes in [m]."""


def clearance_gauge(diameter_m: float, steps_m: Sequence[float] = GAUGE_STEPS) -> Body:
    """Plate with a row of holes, each a little wider, and a notch for each at the edge to count by.

    Parameters
    ----------
    diameter_m : float
        Of what is to go through [m].
    steps_m : sequence of float
        What each hole is wider, on the diameter [m].

    Returns
    -------
    gauge : manifold3d.Manifold
        Lying on z = 0, the first hole at the low end of x [m].

    Raises
    ------
    OutsideRange
        If the diameter is not above zero.

    Notes
    -----
    The first hole that the rod slides through by hand names the clearance. Hole number n has n notches.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> gauge = clearance_gauge(0.008)
    >>> gauge.genus(), len(gauge.decompose())
    (7, 1)
    """
    import manifold3d

    require_positive(diameter_m=diameter_m)
    pitch = max(diameter_m + 8e-3, (len(steps_m) + 2) * 2e-3)
    plate = manifold3d.Manifold.cube((pitch * len(steps_m), diameter_m + 14e-3, 6e-3))
    for number, step in enumerate(steps_m):
        radius = (diameter_m + step) / 2 / math.cos(math.pi / _ROUND)
        hole = manifold3d.Manifold.cylinder(20e-3, radius, radius, _ROUND, True)
        middle = (number + 0.5) * pitch
        plate = plate - hole.translate((middle, diameter_m / 2 + 8e-3, 0.0))
        for notch in range(number + 1):
            cut = manifold3d.Manifold.cube((1e-3, 3e-3, 20e-3), True)
            plate = plate - cut.translate((middle + (notch - number / 2) * 2e-3, 0.0, 0.0))
    return plate


STRIP_WIDE_M, STRIP_FREE_M = 25e-3, 100e-3
"""A strip of the fin's sheet, and how far it stands out of its block [m]."""


def strip_holder(thickness_m: float, clearance_m: float) -> Body:
    """Block that holds a strip of the fins' sheet level, to hang a weight from its end.

    Parameters
    ----------
    thickness_m : float
        Of the sheet [m].
    clearance_m : float
        Play of the slot [m].

    Returns
    -------
    holder : manifold3d.Manifold
        Standing on z = 0; the slot goes in 40 mm from the side of high x [m].

    Raises
    ------
    OutsideRange
        If the thickness is not above zero.

    Notes
    -----
    The strip is wedged tight, 25 mm wide, 100 mm of it free: under a force F at its end it sinks by
    d = 4 F L^3 / (E b t^3), so that E = 4 F L^3 / (d b t^3).

    References
    ----------
    .. [1] Cantilever with an end load: any handbook of the strength of materials.

    Examples
    --------
    >>> len(strip_holder(6.5e-3, 0.3e-3).decompose())
    1
    """
    import manifold3d

    require_positive(thickness_m=thickness_m)
    tall = thickness_m + clearance_m
    block = manifold3d.Manifold.cube((55e-3, STRIP_WIDE_M + 16e-3, tall + 24e-3))
    slot = manifold3d.Manifold.cube((40e-3 + 1e-3, STRIP_WIDE_M + clearance_m, tall))
    return block - slot.translate((15e-3, 8e-3 - clearance_m / 2, 12e-3))
