"""Nested grids lie alike on both sides of a body."""

import numpy as np
import pytest

from finial.tunnel.boxes import nested_boxes
from finial.tunnel.records import Fineness, Stream, TunnelShape


@pytest.mark.parametrize(("cells", "grids"), [(6.0, 2), (10.0, 3), (17.0, 1), (24.0, 3)])
@pytest.mark.parametrize("shift_m", [0.0, 0.0137])
def test_every_grid_has_the_middle_of_the_body_in_its_own_and_the_tip_between_cells(cells, grids, shift_m):
    ends = np.array([[0.0, -0.12, -0.05], [0.4, 0.12, 0.05]]) + np.array([0.0, 0.0, shift_m])
    shape = TunnelShape(points_m=ends, triangles=np.zeros((0, 3), dtype=np.int64))
    wind = Stream(angle_rad=np.radians(10.0))
    for box in nested_boxes(shape, wind, Fineness(cells=cells, grids=grids), 0.1).boxes:
        middle = box.origin_m[2] + 0.5 * box.cell_m * (box.counts[2] - 1)
        assert middle == pytest.approx(shift_m, abs=1e-9)
        for axis, place in ((0, 0.0), (1, 0.0), (2, shift_m)):
            # Half a cell from the nearest cell's centre: between cells, a flat front too.
            steps = (place - box.origin_m[axis]) / box.cell_m - 0.5
            assert steps == pytest.approx(round(steps), abs=1e-6)
