"""A printed box that is pushed at its aft end: for examples."""

import numpy as np

from finial.core.estimates import exact
from finial.mass.lumps import even_bar
from finial.structure.loads.along_body import free_body_loads
from finial.structure.loads.case import Case, Load
from finial.structure.loads.forces import PointForce
from finial.structure.walls.body import BodyCase, ReserveGrid, body_reserves
from finial.structure.walls.cuts import SectionSpec, WallSection
from finial.structure.walls.outline import wall_area
from finial.structure.walls.stack import cut_stack


def pushed_box() -> ReserveGrid:
    """Return the reserves of a box 1 m long of 2 kg, 100 mm wide, with walls of 3 mm, under 600 N.

    Returns
    -------
    grid : ReserveGrid
        One case, one cut in its middle.

    Raises
    ------
    OutsideRange
        Never: its numbers are sound.
    """
    box = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
    walls = WallSection(
        area=wall_area([box], 0.003),
        modulus=exact(2.3e9),
        compression_strength=exact(30e6),
        tension_strength=exact(15e6),
    )
    push = PointForce(station_m=1.0, aft_n=-600.0)
    loads = free_body_loads(even_bar(2.0, 0.0, 1.0, count=100), [push])
    case = BodyCase(case=Case(load=Load.MAX_THRUST), loads=loads, ends_m=(0.0, 1.0))
    return body_reserves(cut_stack([SectionSpec(station_m=0.5, walls=walls)]), [case])
