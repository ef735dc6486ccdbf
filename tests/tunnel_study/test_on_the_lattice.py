"""The lattice itself, a few coarse widths of it: loads come back in the vehicle's own axes and places."""

from dataclasses import replace

import numpy as np
import pytest

from finial.tunnel.reading import in_wind
from finial.tunnel.records import Fineness, Stream
from finial.tunnel.run import blow
from finial.tunnel_study.machines import cube

FEW = Fineness(cells=8.0, grids=1, side_widths=1.5, settle_widths=3.0, travel_widths=2.0)
SIDE_M, PLACE_M = 0.1, 0.35


@pytest.mark.parametrize("roll_deg", [0.0, 90.0, 180.0])
def test_a_cube_behind_the_tip_is_pushed_along_the_cross_wind_where_it_stands(roll_deg) -> None:
    shape = cube(SIDE_M)
    points = shape.points_m + np.array([PLACE_M - SIDE_M / 2, 0.0, 0.0])
    stream = Stream(angle_rad=np.pi / 2, roll_rad=np.radians(roll_deg))
    width = 2 * SIDE_M / np.sqrt(np.pi)
    blown = blow(replace(shape, points_m=points), stream, FEW, area_m2=SIDE_M**2, width_m=width)
    found = in_wind(blown, stream, width)
    # At eight cells to a width, between walls, its drag is known to some tenths, its place well. Lines that
    # meet an edge of a cube exactly count to one of its two faces: that turns the force by some hundredths.
    assert 0.7 < found.force.value < 2.0
    assert abs(found.aside.value) < 0.08 * found.force.value
    assert found.place is not None
    assert found.place.value == pytest.approx(PLACE_M, abs=0.1 * SIDE_M)
    assert abs(blown.pressure[0]) < 0.1 * found.force.value
