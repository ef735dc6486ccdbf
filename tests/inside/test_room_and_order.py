"""Room round things, ways in and ways out: by hand on posts with holes."""

import math

import numpy as np
import pytest

from finial.core.estimates import KnownBy, exact, spread
from finial.inside.order import Way, passage, ways_in
from finial.inside.room import wall_gap, widest_at
from finial.inside.things import Kind
from finial.inside.volumes import lump, room_of_mass

FACETS_M = 0.1e-3


@pytest.fixture
def bored(shapes):
    """A square post of 100 mm, 0.5 m long, with a bore of 60 mm from 200 mm to its base."""
    return shapes.inside_of(
        shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5)), shapes.hole(0.06, 0.2, 0.5))
    )


def test_room_beside_a_motor_in_its_bore(shapes, bored):
    gap = wall_gap(shapes.thing("motor", 0.25, 0.5, 0.054, kind=Kind.MOTOR), bored)
    assert gap.gap_m == pytest.approx(0.003, abs=FACETS_M)
    assert (gap.wall, gap.outside) == ("post", False)


@pytest.mark.parametrize(
    ("fore", "aft", "across", "deep", "station"),
    [
        (0.25, 0.5, 0.098, 0.019, None),  # too thick by 19 mm on the radius
        (0.15, 0.5, 0.054, 0.050, 0.2),  # 50 mm too long: moving aft is shorter than boring
        (0.19, 0.5, 0.054, 0.010, 0.2),
        (0.25, 0.49, 0.066, 0.003, None),
    ],
)
def test_how_far_a_thing_runs_into_print(shapes, bored, fore, aft, across, deep, station):
    gap = wall_gap(shapes.thing("motor", fore, aft, across, kind=Kind.MOTOR), bored)
    assert gap.gap_m == pytest.approx(-deep, abs=3 * FACETS_M)
    assert not gap.outside
    if station is not None:
        assert fore - 1e-9 <= gap.station_m <= station + 1e-9


def test_what_leaves_the_skin_is_said_to(shapes, bored):
    gap = wall_gap(shapes.thing("sled", 0.3, 0.4, 0.05, offset_m=(0.04, 0.0)), bored)
    assert gap.gap_m == pytest.approx(-0.035, abs=3 * FACETS_M)
    assert gap.outside
    ahead = wall_gap(shapes.thing("sled", -0.02, 0.1, 0.02), bored)
    assert (ahead.outside, ahead.station_m) == (True, 0.0)


def test_a_motor_may_stick_out_of_the_base_and_ballast_may_not(shapes, bored):
    assert wall_gap(shapes.thing("motor", 0.3, 0.52, 0.054, kind=Kind.MOTOR), bored).gap_m > 0.0
    gap = wall_gap(shapes.thing("steel", 0.3, 0.52, 0.054, kind=Kind.BALLAST), bored)
    assert (gap.gap_m, gap.outside) == (pytest.approx(-0.02), True)


def test_a_box_is_judged_by_its_corners(shapes, bored):
    fits = 0.0599 / math.sqrt(2)
    assert wall_gap(shapes.thing("sled", 0.3, 0.4, fits - 2e-4, depth_m=fits - 2e-4), bored).gap_m > 0.0
    turned = shapes.thing("sled", 0.3, 0.4, 0.05, depth_m=0.05, roll_rad=0.3)
    assert wall_gap(turned, bored).gap_m == pytest.approx(0.03 - 0.05 / math.sqrt(2), abs=3 * FACETS_M)


def test_a_leaning_thing_needs_more_room(shapes, bored):
    lean = shapes.thing("tube", 0.3, 0.4, 0.05, tilt_rad=math.radians(10), toward_rad=0.4)
    # Half the length times sin, and the radius times cos, against the bore.
    corner = 0.05 * math.sin(math.radians(10)) + 0.025 * math.cos(math.radians(10))
    assert wall_gap(lean, bored).gap_m == pytest.approx(0.03 - corner, abs=1.5e-3)


def test_a_post_in_a_tube_is_clear(shapes):
    mesh = shapes.joined(shapes.block(0.1, 0.5), shapes.room(0.09, 0.4, 0.05), shapes.block(0.01, 0.5))
    cavity = shapes.inside_of(shapes.printed("post", mesh))
    tube = shapes.thing("tube", 0.1, 0.3, 0.06, bore_m=0.056, kind=Kind.TUBE)
    assert wall_gap(tube, cavity).gap_m > 0.0
    assert wall_gap(shapes.thing("bar", 0.1, 0.3, 0.06), cavity).gap_m < 0.0


def test_rods_run_in_holes_of_their_own_but_inside_the_skin(shapes, bored):
    inside = shapes.thing("rod", 0.05, 0.45, 0.008, kind=Kind.ROD, offset_m=(0.04, 0.0))
    assert wall_gap(inside, bored).gap_m == pytest.approx(0.006, abs=1e-9)
    out = shapes.thing("rod", 0.05, 0.45, 0.008, kind=Kind.ROD, offset_m=(0.049, 0.0))
    assert wall_gap(out, bored).gap_m == pytest.approx(-0.003, abs=1e-9)


def test_a_thing_that_ends_on_a_ledge_ends_there(shapes):
    mesh = shapes.joined(shapes.block(0.1, 0.5), shapes.room(0.08, 0.05, 0.1, sides=0))
    cavity = shapes.inside_of(shapes.printed("post", mesh))
    assert wall_gap(shapes.thing("steel", 0.1, 0.15, 0.078), cavity).gap_m >= 0.0
    assert wall_gap(shapes.thing("steel", 0.099, 0.151, 0.078), cavity).gap_m < -0.5e-3


def test_the_widest_free_circle(bored):
    assert widest_at(bored, 0.4, (0.0, 0.0)) == pytest.approx(0.06, abs=3 * FACETS_M)
    assert widest_at(bored, 0.4, (0.01, 0.0)) == pytest.approx(0.04, abs=3 * FACETS_M)
    assert widest_at(bored, 0.1, (0.0, 0.0)) == 0.0


def test_steel_needs_its_room():
    """1.9 kg at 7850 kg/m3 (steel; any handbook): 242 cm3, and half a per cent either way."""
    found = room_of_mass(spread(1.9, 0.005, known_by=KnownBy.WEIGHED), exact(7850.0))
    assert found.value == pytest.approx(242.04e-6, rel=1e-4)
    assert found.low == pytest.approx(0.995 * found.value)
    across, length = lump(found.value, 0.05)
    assert across == 0.05
    assert math.pi / 4 * across**2 * length == pytest.approx(found.value)


def test_ways_into_a_cup_and_none_into_a_closed_room(shapes):
    cup = shapes.inside_of(
        shapes.printed("cup", shapes.joined(shapes.block(0.1, 0.3)), shapes.hole(0.06, 0.2, 0.3))
    )
    weight = shapes.thing("steel", 0.21, 0.25, 0.05)
    (way,) = ways_in(weight, cup)
    assert (way.part, way.way) == ("cup", Way.AFT)
    closed = shapes.inside_of(
        shapes.printed("post", shapes.joined(shapes.block(0.1, 0.5), shapes.room(0.06, 0.1, 0.2, sides=0)))
    )
    (way,) = ways_in(weight, closed)
    assert way.way is Way.SHUT
    assert way.short_m > 0.02


def test_a_narrow_neck_shuts_the_way_and_says_by_how_much(shapes):
    neck = [shapes.hole(0.06, 0.2, 0.3), shapes.hole(0.04, 0.3, 0.5)]
    bottle = shapes.inside_of(shapes.printed("bottle", shapes.joined(shapes.block(0.1, 0.5)), *neck))
    (way,) = ways_in(shapes.thing("steel", 0.21, 0.25, 0.05), bottle)
    assert way.way is Way.SHUT
    assert way.short_m == pytest.approx(0.005, abs=FACETS_M)
    assert way.station_m > 0.3


def test_half_shells_are_put_round_it(shapes):
    """One half of a split box: shut at both ends, open on one side."""
    import numpy as np

    shell = shapes.joined(shapes.block(0.1, 0.3))
    half = shapes.printed("left", shell, shapes.hole(0.06, 0.1, 0.2, depth_m=0.3, roll_rad=0.0))
    other = shapes.printed("right", shapes.joined(shapes.block(0.1, 0.3) + np.array([0.0, 0.0, 0.2])))
    ways = {
        way.part: way.way
        for way in ways_in(shapes.thing("sled", 0.11, 0.19, 0.05), shapes.inside_of(half, other))
    }
    assert ways["left"] is Way.SIDE


def test_a_passage_past_prints_and_things(shapes, bored):
    motor = shapes.thing("motor", 0.25, 0.4, 0.054, kind=Kind.MOTOR)
    way = passage(motor, bored, 0.5)
    assert way.gap_m == pytest.approx(0.003, abs=FACETS_M)
    ring = shapes.thing("ring", 0.45, 0.455, 0.06, bore_m=0.05, kind=Kind.BULKHEAD)
    blocked = passage(motor, bored, 0.5, [ring])
    assert (blocked.blocker, blocked.gap_m) == ("ring", pytest.approx(-0.002))
    wide = shapes.thing("ring", 0.45, 0.455, 0.06, bore_m=0.055, kind=Kind.BULKHEAD)
    assert passage(motor, bored, 0.5, [wide]).gap_m == pytest.approx(0.0005)
    assert passage(motor, bored, 0.1).gap_m == pytest.approx(-0.027)


def test_between_legs_a_motor_may_stick_out_of_the_body_as_out_of_a_base(shapes):
    """A block of 400 mm on two feet of 200 mm: its nozzle stands free between them, two diameters at most."""
    feet = [np.add(shapes.block(0.02, 0.2, 0.4), (0.0, side, 0.0)) for side in (-0.04, 0.04)]
    mesh = shapes.joined(shapes.block(0.1, 0.4), *feet)
    cavity = shapes.inside_of(shapes.printed("stool", mesh, shapes.hole(0.056, 0.1, 0.4)))
    for aft_m, clear in ((0.41, True), (0.50, True), (0.52, False)):
        motor = shapes.thing("motor", 0.15, aft_m, 0.054, kind=Kind.MOTOR)
        assert (wall_gap(motor, cavity).gap_m >= 0.0) is clear
    assert wall_gap(shapes.thing("motor", 0.15, 0.52, 0.054, kind=Kind.MOTOR), cavity).outside
    ballast = shapes.thing("ballast", 0.15, 0.41, 0.054)
    assert wall_gap(ballast, cavity).gap_m < 0.0
    # It hangs in the air where it is not in the body at all.
    hung = shapes.thing("motor", 0.45, 0.50, 0.04, kind=Kind.MOTOR)
    assert wall_gap(hung, cavity).gap_m < 0.0
