"""Fins that each stand off by chance, against drawing every fin's angle and adding up."""

import math

import numpy as np
import pytest

from finial.aero.body import body_air
from finial.aero.fins.askew import askew_fins
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.core.errors import OutsideRange
from finial.shape.fin_set import FinSet

OUTLINE = np.array([[0.0, 0.0], [0.06, 0.1], [0.16, 0.1], [0.15, 0.0]])


@pytest.fixture(scope="module")
def tube():
    return body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.2, 0.1), (1.0, 0.1)]))


def fins(count: int, cant_rad: float = 0.0) -> FinSet:
    return FinSet(
        name="fins",
        outline_m=OUTLINE,
        station_m=0.8,
        count=count,
        first_at_rad=0.0,
        root_radius_m=0.05,
        thickness_m=0.004,
        cant_rad=cant_rad,
        square_edges=True,
    )


@pytest.mark.parametrize("count", [3, 4, 6])
def test_by_drawing_every_angle(tube, count):
    (air,) = fin_air(tube, [fins(count)])
    (canted,) = fin_air(tube, [fins(count, 1.0)])
    per_fin = float(np.trace(air.felt_slope_per_rad)) / count
    angles = np.random.default_rng(4).normal(0.0, 0.01, (200_000, count))
    rolls = 2.0 * np.pi * np.arange(count) / count
    # A fin at roll angle r points outward along (cos r, sin r) and pushes along (-sin r, cos r).
    side = per_fin * angles @ -np.sin(rolls)
    other = per_fin * angles @ np.cos(rolls)
    roll = canted.factor[1] * canted.cant_moment * angles.mean(axis=1)
    found = askew_fins([air], 0.01)
    assert found.side == pytest.approx(side.std(), rel=0.01)
    assert found.side == pytest.approx(other.std(), rel=0.01)
    assert found.roll == pytest.approx(roll.std(), rel=0.01)
    assert found.station_m == pytest.approx(air.centre_m, rel=1e-12)


def test_two_sets_add_as_independent_numbers_do(tube):
    both = fin_air(tube, [fins(3), fins(4)])
    one, other = (askew_fins([air], 0.01) for air in both)
    together = askew_fins(both, 0.01)
    assert together.side == pytest.approx(math.hypot(one.side, other.side))
    assert together.roll == pytest.approx(math.hypot(one.roll, other.roll), rel=1e-6)


def test_twice_the_angle_twice_as_far(tube):
    air = fin_air(tube, [fins(4)])
    assert askew_fins(air, 0.02).side == pytest.approx(2.0 * askew_fins(air, 0.01).side)
    with pytest.raises(OutsideRange):
        askew_fins(air, -0.01)
