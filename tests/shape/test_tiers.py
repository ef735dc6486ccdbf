import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.mass.moments import solid_moments
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh


def tier(**changes):
    return Tier(**({"sides": 8, "across_m": 0.1, "across_top_m": 0.1, "height_m": 0.2} | changes))


def test_the_first_tier_is_the_lowest_and_the_top_stands_at_the_tip():
    mesh = tiers_mesh([tier(across_m=0.2, across_top_m=0.2), tier()], tip_station_m=0.05)
    assert mesh.vertices_m[:, 0].max() == pytest.approx(-0.05, abs=1e-12)
    widest_from = mesh.vertices_m[np.abs(mesh.vertices_m[:, 1]) > 0.09, 0].max()
    assert widest_from == pytest.approx(-0.25)


@pytest.mark.parametrize("sides", [0, 3, 4, 5, 8, 24])
def test_every_tier_is_a_closed_body_that_faces_outward(sides):
    found = repaired(tiers_mesh([tier(sides=sides), tier(sides=sides, across_top_m=0.0), tier(is_dome=True)]))
    assert (found.notes, found.open_edges, found.hosts) == ((), 0, (-1, -1, -1))


def test_a_flat_looks_along_body_y():
    corners = tiers_mesh([tier(sides=4)]).vertices_m
    assert corners[:, 1].max() == pytest.approx(0.05)


def test_volumes_of_frustum_and_round_dome():
    frustum = solid_moments(tiers_mesh([tier(sides=4, across_top_m=0.04)]).triangles_m)
    assert frustum.size == pytest.approx(0.2 / 3 * (0.01 + 0.0016 + 0.004), rel=1e-12)
    dome = solid_moments(tiers_mesh([tier(sides=0, is_dome=True)]).triangles_m)
    assert dome.size == pytest.approx(2 / 3 * math.pi * 0.05**2 * 0.2, rel=2e-3)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"across_m": 0.0}, "above zero"),
        ({"height_m": -0.1}, "above zero"),
        ({"across_m": math.nan}, "above zero"),
        ({"across_top_m": math.inf}, "across at its top"),
        ({"across_top_m": -0.1}, "across at its top"),
        ({"sides": 2}, "2 sides"),
        ({"sides": -4}, "-4 sides"),
    ],
)
def test_sizes_that_make_no_body_are_refused(changes, message):
    with pytest.raises(OutsideRange, match=message):
        tier(**changes)


def test_a_stack_needs_a_tier():
    with pytest.raises(OutsideRange, match="at least one tier"):
        tiers_mesh([])
