"""Distances of things inside, against a general geometry kernel and by hand."""

import math

import manifold3d
import numpy as np
import pytest

from finial.inside.clearance import gap_between
from finial.inside.passing import may_share
from finial.inside.things import Kind, Thing, lengthened, thing_mesh

FACETS_M = 0.25e-3
"""Round things stand as prisms of 48 sides once they lean: a fifth of a per cent of the radius."""


def solid(one: Thing) -> manifold3d.Manifold:
    mesh = thing_mesh(one)
    return manifold3d.Manifold(
        manifold3d.Mesh64(np.array(mesh.vertices_m), np.array(mesh.faces, dtype=np.uint64))
    )


def any_thing(rng: np.random.Generator, name: str, *, leans: bool, box: bool) -> Thing:
    return Thing(
        name=name,
        kind=Kind.OTHER,
        middle_m=float(rng.uniform(0.3, 0.7)),
        length_m=float(rng.uniform(0.05, 0.3)),
        across_m=float(rng.uniform(0.02, 0.1)),
        depth_m=float(rng.uniform(0.02, 0.1)) if box else 0.0,
        offset_m=tuple(rng.uniform(-0.1, 0.1, 2).tolist()),
        tilt_rad=float(rng.uniform(0.05, 0.6)) if leans else 0.0,
        toward_rad=float(rng.uniform(0, 6.28)),
        roll_rad=float(rng.uniform(0, 6.28)),
    )


@pytest.mark.parametrize("leans", [False, True])
@pytest.mark.parametrize("box", [False, True])
def test_against_a_geometry_kernel(leans: bool, box: bool):
    """Apart: never farther than the kernel says, and near it. One room: negative. Source: manifold3d."""
    rng = np.random.default_rng(17)
    apart = hit = 0
    for number in range(150):
        first = any_thing(rng, "a", leans=leans, box=box)
        second = any_thing(rng, "b", leans=leans and number % 2 == 0, box=box and number % 3 == 0)
        gap = gap_between(first, second).gap_m
        shared = (solid(first) ^ solid(second)).volume()
        if shared > 0.0:
            assert gap < FACETS_M
            hit += 1
        else:
            true = solid(first).min_gap(solid(second), 1.0)
            assert gap <= true + FACETS_M
            # A corner near a corner reads low by the square root of three at most.
            assert gap >= 0.57 * true - FACETS_M
            apart += 1
    assert apart > 20
    assert hit > 10


def test_a_collision_says_the_shortest_move(shapes):
    first, second = shapes.thing("a", 0.2, 0.5, 0.06), shapes.thing("b", 0.45, 0.8, 0.05)
    gap = gap_between(first, second)
    assert gap.gap_m == pytest.approx(-0.05)
    assert gap.along
    assert 0.45 <= gap.station_m <= 0.5
    # Moved by that much along the axis they just touch; by a millimetre less they do not.
    assert gap_between(first, shapes.thing("b", 0.5, 0.85, 0.05)).gap_m == pytest.approx(0.0, abs=1e-12)
    assert gap_between(first, shapes.thing("b", 0.499, 0.85, 0.05)).gap_m == pytest.approx(-0.001)


def test_beside_one_another_the_move_is_across(shapes):
    gap = gap_between(
        shapes.thing("a", 0.2, 0.5, 0.06), shapes.thing("b", 0.2, 0.5, 0.05, offset_m=(0.0, 0.053))
    )
    assert gap.gap_m == pytest.approx(-0.002)
    assert not gap.along


def test_a_motor_lies_in_its_tube_and_not_beside_it(shapes):
    tube = shapes.thing("tube", 0.1, 0.5, 0.06, bore_m=0.056, kind=Kind.MOTOR_TUBE)
    assert gap_between(tube, shapes.thing("motor", 0.1, 0.5, 0.054)).gap_m == pytest.approx(0.001)
    assert gap_between(
        tube, shapes.thing("motor", 0.1, 0.5, 0.054, offset_m=(0.002, 0.0))
    ).gap_m == pytest.approx(-0.001)
    assert gap_between(tube, shapes.thing("motor", 0.1, 0.5, 0.058)).gap_m == pytest.approx(-0.001)


def test_a_box_in_a_tube_is_judged_by_its_corners(shapes):
    tube = shapes.thing("tube", 0.1, 0.5, 0.08, bore_m=0.076)
    box = shapes.thing("sled", 0.2, 0.4, 0.05, depth_m=0.05)
    assert gap_between(tube, box).gap_m == pytest.approx(0.038 - 0.05 / math.sqrt(2), abs=FACETS_M)


def test_a_leaning_motor_in_a_leaning_tube_is_clear(shapes):
    lean = {"tilt_rad": math.radians(8), "toward_rad": 0.7}
    tube = shapes.thing("tube", 0.1, 0.5, 0.06, bore_m=0.056, **lean)
    assert 0.0 < gap_between(tube, shapes.thing("motor", 0.12, 0.48, 0.054, **lean)).gap_m <= 0.001


def test_ends_on_the_axis_of_a_leaning_thing(shapes):
    long = lengthened(shapes.thing("a", 0.4, 0.6, 0.02, tilt_rad=0.3, toward_rad=1.0), 0.1, 0.9)
    assert long.span_m[0] == pytest.approx(0.1)
    assert long.span_m[1] == pytest.approx(0.9)
    # Its own axis is kept: the middle moved along it.
    shift = np.array([-long.middle_m, *long.offset_m]) - np.array([-0.5, 0.0, 0.0])
    assert np.linalg.norm(np.cross(shift, long.forward)) == pytest.approx(0.0, abs=1e-12)


def test_what_may_share_room(shapes):
    rod, plate = (
        shapes.thing("rod", 0.1, 0.9, 0.008, kind=Kind.ROD),
        shapes.thing("plate", 0.3, 0.31, 0.1, kind=Kind.BULKHEAD),
    )
    ballast, pack = (
        shapes.thing("steel", 0.1, 0.2, 0.08, kind=Kind.BALLAST),
        shapes.thing("main", 0.1, 0.2, 0.07, kind=Kind.PACK),
    )
    screw = shapes.thing("eye bolt", 0.1, 0.2, 0.008, kind=Kind.SCREW)
    assert may_share(rod, plate)
    assert may_share(plate, rod)
    assert not may_share(rod, ballast)
    assert may_share(screw, pack)
    assert not may_share(rod, pack)
    drilled = shapes.thing("steel", 0.1, 0.2, 0.08, kind=Kind.BALLAST, passes=("rod",))
    assert may_share(rod, drilled)
    assert may_share(shapes.thing("main", 0.1, 0.2, 0.07, kind=Kind.PACK, lies_in="steel"), ballast)
