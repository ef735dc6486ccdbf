"""Air on planes through the axis: what is known of it beforehand, held on a small run of a cube."""

import math
from typing import cast

import numpy as np
import pytest
from numpy.typing import NDArray

from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel.machine import Machine
from finial.tunnel.planes import MOMENTS_KEPT, MOST_NODES, Watch
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.run import blow
from finial.tunnel.setup import set_up

SMALL = Fineness(cells=8.0, grids=2, side_widths=3.0, settle_widths=6.0, travel_widths=6.0)


def cube() -> TunnelShape:
    corners = np.array([[x, y, z] for x in (0, 1) for y in (-0.5, 0.5) for z in (-0.5, 0.5)], dtype=float)
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1)]
    faces += [(2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3)]
    return TunnelShape(points_m=corners, triangles=np.array(faces))


@pytest.fixture(scope="module")
def along() -> AirSeen:
    flow = blow(cube(), Stream(angle_rad=0.0), SMALL, area_m2=1.0, width_m=1.0).flow
    assert flow is not None
    return flow


def at(plane: PlaneFlow, station: float, across: float) -> tuple[int, int]:
    row = round((across - plane.low_m[1]) / plane.step_m)
    column = round((station - plane.low_m[0]) / plane.step_m)
    return row, column


def test_air_stands_in_the_shape_runs_far_away_and_is_slow_behind(along: AirSeen) -> None:
    for plane in along.planes:
        assert (plane.speed[~plane.air] == 0.0).all()
        # Nine nodes an eighth apart from wall to wall, half of those on the walls no air.
        assert 60 <= (~plane.air).sum() <= 81
        assert plane.speed[0, :].mean() == pytest.approx(1.04, abs=0.06)
        assert plane.speed[:, 0].max() == pytest.approx(1.0, abs=0.05)
        assert plane.speed[at(plane, 1.5, 0.0)] < 0.7
        assert plane.speed[at(plane, 0.5, -1.1)] > 1.02


def test_where_air_stands_before_the_front_it_presses_with_one_and_behind_it_sucks(along: AirSeen) -> None:
    for plane in along.planes:
        row, front = at(plane, 0.0, 0.0)
        before = plane.pressure[row, front - 3 : front][plane.air[row, front - 3 : front]]
        # Bernoulli: 1 where it stands. With four cells to the next wider grid it read 1.3.
        assert before.mean() == pytest.approx(0.95, abs=0.1)
        assert -0.7 < plane.pressure[at(plane, 1.25, 0.0)] < -0.1
        assert abs(plane.pressure[0].mean()) < 0.15


def test_both_sides_of_what_is_alike_are_alike(along: AirSeen) -> None:
    plane = along.planes[0]
    assert plane.air.shape[0] % 2 == 0
    # The wake swings, and six widths of travel are few.
    assert np.abs(plane.speed - plane.speed[::-1]).mean() < 0.03
    assert np.abs(plane.pressure - plane.pressure[::-1])[plane.air].mean() < 0.03
    assert plane.speed.mean() == pytest.approx(along.planes[1].speed.mean(), abs=0.03)


def test_the_plane_cuts_the_shape_where_it_is(along: AirSeen) -> None:
    for plane in along.planes:
        [outline] = plane.outline_m
        assert sorted([x, y] for x, y in outline.round(9).tolist()) == [
            [0, -0.5],
            [0, 0.5],
            [1, -0.5],
            [1, 0.5],
        ]


def test_moments_are_of_the_wind_a_half_width_apart_at_most(along: AirSeen) -> None:
    flow = along
    assert 0.3 <= flow.apart_widths <= 0.5
    assert len(flow.moments) <= MOMENTS_KEPT
    assert (
        (len(flow.moments) - 1) * flow.apart_widths
        <= SMALL.travel_widths
        < len(flow.moments) * flow.apart_widths
    )
    assert flow.moments.shape[1:] == (2, *flow.planes[0].air.shape)
    # A width ahead the air before the cube is a tenth slower already.
    assert np.abs(flow.moments[:, 0, :, 0] - 1.0).max() < 0.15
    assert np.abs(flow.moments[:, 1, :, 0]).max() < 0.1


def test_the_planes_turn_with_the_wind() -> None:
    roll, angle = math.radians(90.0), math.radians(20.0)
    asked = Fineness(cells=6.0, grids=1, side_widths=2.0, settle_widths=1.0, travel_widths=2.0)
    flow = blow(cube(), Stream(angle_rad=angle, roll_rad=roll), asked, area_m2=1.0, width_m=1.0).flow
    assert flow is not None
    assert [math.degrees(plane.up_rad) for plane in flow.planes] == pytest.approx([90.0, 180.0])
    ahead = flow.moments[:, :, :, 0].mean(axis=(0, 2))
    assert ahead == pytest.approx([math.cos(angle), math.sin(angle)], abs=0.06)


def test_a_fine_run_is_kept_no_finer_than_a_screen_shows() -> None:
    long = cube()
    long = TunnelShape(points_m=long.points_m * np.array([9.0, 1.0, 1.0]), triangles=long.triangles)
    asked = Fineness(cells=16.0, grids=3, side_widths=3.0)
    setup = set_up(long, Stream(angle_rad=0.0), asked, area_m2=1.0, width_m=1.0)
    watch = Watch(setup, long, Stream(angle_rad=0.0), width_m=1.0, steps=asked.steps_a_width)
    assert watch.flow() is None

    class Still:
        def look(self, level: int, places: NDArray[np.int64], moments: NDArray[np.float32]) -> None:
            moments[:] = 0.0

    watch.look(cast(Machine, Still()))
    flow = watch.flow()
    assert flow is not None
    for plane in flow.planes:
        rows, columns = plane.air.shape
        assert columns == MOST_NODES[0]
        assert rows <= MOST_NODES[1]
        assert plane.step_m == pytest.approx(13.0 / (MOST_NODES[0] - 1))
