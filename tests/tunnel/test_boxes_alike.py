"""Nested grids lie alike on both sides of a body."""

from dataclasses import replace

import numpy as np
import pytest

from finial.tunnel.boxes import NONE_HIDDEN, nested_boxes
from finial.tunnel.processor import Processor
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.setup import set_up


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


@pytest.mark.parametrize(("cells", "least"), [(8.0, 8), (10.0, 8), (24.0, 12)])
def test_the_finest_grid_reaches_eight_cells_and_half_a_width_beside_the_shape(cells, least):
    ends = np.array([[0.0, -0.5, -0.5], [1.0, 0.5, 0.5]])
    shape = TunnelShape(points_m=ends, triangles=np.zeros((0, 3), dtype=np.int64))
    finest = nested_boxes(shape, Stream(angle_rad=0.0), Fineness(cells=cells), 1.0).boxes[-1]
    first = np.array(finest.origin_m) - finest.cell_m / 2.0
    ahead = (ends[0] - first) / finest.cell_m
    assert (ahead >= least - 1e-6).all()
    assert (ahead[1:] <= least + 1.0).all()


@pytest.mark.parametrize("eddies", ["smagorinsky", "vreman"])
@pytest.mark.parametrize("side_widths", [2.0, 3.5])
def test_what_a_finer_grid_covers_needs_no_step_and_no_more_air_than_a_step_pulls(eddies, side_widths):
    corners = np.array([[x, y, z] for x in (0, 1) for y in (-0.5, 0.5) for z in (-0.5, 0.5)], dtype=float)
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1)]
    faces += [(2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3)]
    cube = TunnelShape(points_m=corners, triangles=np.array(faces))
    asked = Fineness(cells=8.0, grids=3, side_widths=side_widths, eddies=eddies)
    setup = set_up(cube, Stream(angle_rad=0.2), asked, area_m2=1.0, width_m=1.0)
    every = (1 << 27) - 1
    whole = replace(
        setup,
        hidden=(NONE_HIDDEN,) * 3,
        bridges=tuple(
            replace(
                one,
                rim_needs=np.full_like(one.rim_needs, every),
                band_needs=np.full_like(one.band_needs, every),
            )
            for one in setup.bridges
        ),
        leaving_needs=np.full_like(setup.leaving_needs, every),
    )
    told = []
    for each in (setup, whole):
        machine = Processor(each, threads=1)
        machine.onward(12)
        told.append(machine.recorded())
    # The last places of single precision: rows are cut elsewhere.
    assert told[0] == pytest.approx(told[1], abs=2e-5 * np.abs(told[1]).max())
    assert side_widths < 3.0 or any(one != NONE_HIDDEN for one in setup.hidden)
    assert (setup.bridges[1].rim_needs != every).all()
