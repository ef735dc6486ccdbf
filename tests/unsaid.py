"""Results of which nothing is said, for records that need one."""

import numpy as np

from finial.assemble.inside.results import Fittings, InsideResult
from finial.inside.cavity import Cavity


def nothing_inside() -> InsideResult:
    """Return an inside of which nothing is said."""
    none = np.empty(0, dtype=object)
    cavity = Cavity(
        stations_m=np.empty(0), length_m=1.2, parts=(), skin=none, printed=none, free=none,
        free_edge=none, skin_edge=none,
    )  # fmt: skip
    return InsideResult(
        fittings=Fittings(motors=(), bay_ends=(), tubes=(), densities=(), elsewhere=(), standoff=None),
        cavity=cavity,
        width_m=0.2,
        things=(),
        taken=(),
        meetings=(),
        ways_in=(),
        ways_out=(),
        bays=(),
        walls=(),
        roots=(),
        guide=None,
        joints=(),
        spread_share=0.0,
        electronics_placed=True,
        plate_placed=True,
        doubts=(),
        loose=(),
    )
