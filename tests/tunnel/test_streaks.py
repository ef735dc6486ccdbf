"""Specks in the air against closed forms."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.tunnel.flow import AirSeen, PlaneFlow
from finial.tunnel.streaks import streaks

SIZE = 41


Field = NDArray[np.floating[Any]]
Velocity = Callable[[Field, Field, int], tuple[Field, Field]]


def flow_of(
    velocity: Velocity, *, air: NDArray[np.bool_] | None = None, apart: float = 0.5, moments: int = 8
) -> AirSeen:
    """Air of a plane of 41 by 41 nodes, a tenth of a width apart, round the middle one."""
    at = 0.1 * (np.arange(SIZE) - SIZE // 2)
    across, along = np.meshgrid(at, at, indexing="ij")
    plane = PlaneFlow(
        up_rad=0.0, low_m=(at[0], at[0]), step_m=0.1, air=np.ones((SIZE, SIZE), bool) if air is None else air,
        speed=np.ones((SIZE, SIZE)), pressure=np.zeros((SIZE, SIZE)), outline_m=(),
    )  # fmt: skip
    told = np.array([velocity(along, across, moment) for moment in range(moments)], dtype=np.float64)
    return AirSeen(planes=(plane, plane), moments=told, apart_widths=apart)


def test_in_air_that_turns_as_a_whole_specks_stay_on_their_circle() -> None:
    turning = flow_of(lambda x, y, _: (-y, x), apart=0.2)
    [*_, last] = streaks(turning, 1.0, count=60, lives=20, trail=4)
    middle = SIZE // 2
    long = [way for way in last if len(way) == 17 and np.linalg.norm(way[0] - middle) > 2.0]
    assert len(long) > 10
    for way in long:
        radii = np.linalg.norm(way - middle, axis=1)
        assert radii == pytest.approx(radii[0], rel=1e-3)
        turned = np.unwrap(np.arctan2(*(way - middle).T[::-1]))
        # Four moments of 0.2 widths of travel each, at one radian in a width of travel.
        assert turned[-1] - turned[0] == pytest.approx(0.8, rel=2e-3)


def test_wind_that_grows_with_time_carries_by_its_mean() -> None:
    growing = flow_of(lambda x, _y, moment: (np.full_like(x, 0.1 * moment), np.zeros_like(x)), apart=0.5)
    ways = streaks(growing, 1.0, count=40, lives=50, trail=2)
    lengths = [way[-1] - way[0] for way in ways[4] if len(way) == 9]
    assert lengths
    # From moment 2 to 4: 0.3 of the wind in the mean, over 1 width: 3 nodes.
    assert np.array(lengths) == pytest.approx(np.tile([3.0, 0.0], (len(lengths), 1)), abs=1e-6)


def test_nothing_starts_in_the_shape_and_what_would_enter_it_ends() -> None:
    air = np.ones((SIZE, SIZE), bool)
    air[15:26, 15:26] = False
    for ways in streaks(
        flow_of(lambda x, _y, _m: (np.ones_like(x), np.zeros_like(x)), air=air), 1.0, count=200
    ):
        assert ways
        for way in ways:
            column, row = np.rint(way).astype(int).T
            assert air[row, column].all()


def test_ways_are_no_longer_than_their_trail_and_every_moment_has_some() -> None:
    ways = streaks(flow_of(lambda x, _y, _m: (np.ones_like(x), np.zeros_like(x))), 1.0, count=120, trail=2)
    assert len(ways) == 8
    assert all(len(moment) > 20 for moment in ways)
    reach = max(math.dist(way[0], way[-1]) for moment in ways for way in moment)
    assert reach == pytest.approx(10.0)


def test_a_width_of_nothing_is_refused() -> None:
    with pytest.raises(OutsideRange):
        streaks(flow_of(lambda x, y, _: (x, y)), 0.0)
