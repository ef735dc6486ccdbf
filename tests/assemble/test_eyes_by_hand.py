"""Eyes of bolts with their nuts and washers as solids, each from a few entries and worked out on paper."""

import math
from types import SimpleNamespace

import pytest
from made_by_hand import bay, item

from finial.assemble.inside.fasteners import eye_things
from finial.assemble.inside.meetings import meeting_of
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import Size
from finial.core.estimates import KnownBy
from finial.inside.clearance import gap_between
from finial.inside.things import Kind, Thing

M6 = {"thread": "M6", "washer": "25 mm +- 0.4 mm"}
"""Nut 5.2 mm high, washer 1.8 mm thick at most; ISO 4032 and 7089, from memory."""
U_OF_M4 = {"thread": "M4", "washer": "25 mm", "legs": 2}
"""Nut 3.2 mm high, washer 0.9 mm thick at most; the same."""


def found_on(plate, *, bays=("bay",), cords=(), **eye):
    """Things of an eye on a plate, by what they are."""
    spans = {"bay": ["304 mm", "660 mm"], "other": ["100 mm", "280 mm"]}
    sheet = SimpleNamespace(
        recovery=SimpleNamespace(
            bay=tuple(bay(name=name, joint=name, stations=spans[name]) for name in bays), cord=cords
        )
    )
    things = [one.thing for one in eye_things(sheet, item(name="plate", eye=eye), plate)]
    return {what: [one for one in things if one.name.startswith(what)] for what in ("eye", "nuts", "washers")}


def plate(middle_m=0.3, **given):
    return Thing(name="plate", kind=Kind.BULKHEAD, middle_m=middle_m, length_m=0.01, across_m=0.076, **given)


def test_an_eye_stands_in_its_bay_and_its_nut_behind_the_plate():
    """Plate from 295 to 305 mm, the bay aft of it: an eye of five diameters, and the rest ahead."""
    found = found_on(plate(slack_m=(0.0, 0.001)), **M6)
    ((eye,), (nut,), (washer,)) = found["eye"], found["nuts"], found["washers"]
    assert eye.span_m == pytest.approx((0.305, 0.335))
    assert (eye.length_m, eye.across_m, eye.kind) == (0.006, pytest.approx(0.03), Kind.EYE)
    assert washer.span_m == pytest.approx((0.2932, 0.295))
    assert nut.span_m == pytest.approx((0.288, 0.2932))
    assert nut.across_m == pytest.approx(0.010 / math.cos(math.pi / 6))
    assert (washer.across_m, washer.slack_m) == (0.025, pytest.approx((0.0002, 0.001)))
    assert {one.known_by for one in (eye, nut, washer)} == {KnownBy.HANDBOOK}
    assert nut.kind is washer.kind is Kind.NUT


def test_on_the_floor_of_a_bay_all_is_the_other_way_round():
    found = found_on(plate(0.665), **M6)
    ((eye,), (nut,), (washer,)) = found["eye"], found["nuts"], found["washers"]
    assert eye.span_m == pytest.approx((0.63, 0.66))
    assert washer.span_m == pytest.approx((0.67, 0.6718))
    assert nut.span_m == pytest.approx((0.6718, 0.677))


def test_between_two_bays_an_eye_looks_where_its_cord_is_tied():
    """At 292 mm both bays end 12 mm off; a cord that names the plate says which."""
    between = plate(0.2921)
    (eye,) = found_on(between, bays=("bay", "other"), **M6)["eye"]
    assert eye.span_m[0] > between.middle_m
    tied = SimpleNamespace(joint="other", tied_to=("plate", "nothing"))
    (eye,) = found_on(between, bays=("bay", "other"), cords=(tied,), **M6)["eye"]
    assert eye.span_m[1] < between.middle_m
    elsewhere = SimpleNamespace(joint="other", tied_to=("another", "nothing"))
    (eye,) = found_on(between, bays=("bay", "other"), cords=(elsewhere,), **M6)["eye"]
    assert eye.span_m[0] > between.middle_m


def test_without_a_bay_an_eye_is_still_there():
    assert [len(found) for found in found_on(plate(), bays=(), **M6).values()] == [1, 1, 1]


def test_the_legs_of_a_u_bolt_stand_apart_along_the_angle_that_its_plate_is_turned_by():
    """Washers of 25 mm beside one another: 29 mm over both legs, 25 mm from middle to middle."""
    found = found_on(plate(roll_rad=math.pi / 2), **U_OF_M4)
    (bow,) = found["eye"]
    assert bow.across_m == pytest.approx(0.029)
    for what in ("nuts", "washers"):
        assert sorted(one.offset_m[1] for one in found[what]) == pytest.approx([-0.0125, 0.0125])
        assert [one.offset_m[0] for one in found[what]] == pytest.approx([0.0, 0.0])
    assert found["nuts"][0].span_m == pytest.approx((0.2909, 0.2941))
    assert bow.forward == pytest.approx([0.0, -1.0, 0.0]) or bow.forward == pytest.approx([0.0, 1.0, 0.0])
    (wide,) = found_on(plate(), **U_OF_M4, across="45 mm")["eye"]
    assert wide.across_m == 0.045


def test_what_is_taken_of_an_eye_is_said():
    sheet = SimpleNamespace(recovery=SimpleNamespace(bay=(), cord=()))
    bare, said = (
        eye_things(sheet, item(name="plate", eye={**M6, **given}), plate())[0]
        for given in ({}, {"across": "36 mm"})
    )
    assert [(one.thing, one.size, one.value.value) for one in bare.taken] == [
        ("eye of plate", Size.ACROSS, pytest.approx(0.03))
    ]
    assert (said.taken, said.thing.across_m) == ((), 0.036)


def test_on_a_plate_that_leans_eye_and_nut_stand_square_to_it():
    """At 30 degrees a nut 5.2 mm high on its washer ends 12 mm from the middle, along the plate's axis."""
    leaning = plate(tilt_rad=math.radians(30), toward_rad=0.0)
    found = found_on(leaning, **M6)
    ((nut,), (eye,)) = found["nuts"], found["eye"]
    away = 0.005 + 0.0018 + 0.0026
    assert nut.middle_m == pytest.approx(0.3 - away * math.cos(math.radians(30)))
    assert nut.offset_m == pytest.approx((away * 0.5, 0.0))
    assert nut.tilt_rad == leaning.tilt_rad
    assert eye.forward @ leaning.forward == pytest.approx(0.0, abs=1e-12)
    assert eye.middle_m == pytest.approx(0.3 + 0.02 * math.cos(math.radians(30)))


def test_an_eye_meets_the_tube_of_its_bay_and_neither_its_room_nor_its_plate():
    (eye,) = found_on(plate(), **M6, across="80 mm")["eye"]
    room = Thing(name="bay", kind=Kind.BAY, middle_m=0.48, length_m=0.356, across_m=0.076)
    tube = Thing(name="bay tube", kind=Kind.TUBE, middle_m=0.48, length_m=0.356, across_m=0.079, bore_m=0.076)
    for one, other in ((eye, room), (eye, plate())):
        assert gap_between(one, other).gap_m < 1e-9
        assert meeting_of(Placed(thing=one), Placed(thing=other)) is None
    assert meeting_of(Placed(thing=eye), Placed(thing=tube)).gap.value == pytest.approx(-0.002, abs=3e-4)


def test_nuts_meet_what_stands_behind_their_plate():
    (nut,) = found_on(plate(), **M6)["nuts"]
    sled = Thing(name="sled", kind=Kind.SLED, middle_m=0.265, length_m=0.05, across_m=0.06, depth_m=0.04)
    assert meeting_of(Placed(thing=nut), Placed(thing=sled)).gap.value == pytest.approx(-0.002)


def test_the_nut_of_a_floor_between_two_bays_may_stand_in_the_other():
    """Cloth gives way to a nut; the bay of its own joint is not asked."""
    (nut,) = found_on(plate(0.299), bays=("bay", "other"), **M6)["nuts"]
    other = Thing(name="other", kind=Kind.BAY, middle_m=0.2, length_m=0.188, across_m=0.076)
    assert gap_between(nut, other).gap_m < 0.0
    assert meeting_of(Placed(thing=nut), Placed(thing=other)) is None
