"""What holds each thing inside, from a few entries of a sheet."""

from types import SimpleNamespace

import pytest
from made_by_hand import item

from finial.assemble.inside.holding import loose_things
from finial.assemble.inside.placed import Placed
from finial.assemble.inside.results import Meeting
from finial.core.estimates import exact
from finial.inside.things import Kind, Thing


def thing(name="sled", kind=Kind.SLED, **given):
    sizes = {"middle_m": 0.5, "length_m": 0.08, "across_m": 0.05}
    return Thing(name=name, kind=kind, **{**sizes, **given})


def met(first, second, gap_mm, with_part=False):
    return Meeting(first=first, second=second, gap=exact(gap_mm / 1e3), station_m=0.5, with_part=with_part)


def loose(*things, meetings=(), glued_tube=None, spans_m=None, **given):
    sheet = SimpleNamespace(item=(item(name="sled", **given),), motor=SimpleNamespace(tube=glued_tube))
    return loose_things(sheet, [Placed(thing=one) for one in things], meetings, spans_m or {})


def test_the_nearest_print_or_thing_is_told():
    meetings = (met("sled", "tower", 4.0, with_part=True), met("floor", "sled", 1.0))
    (found,) = loose(thing(), thing("floor", Kind.BULKHEAD, middle_m=0.6), meetings=meetings)
    assert (found.thing, found.beside, found.gap.value) == ("sled", "floor", 0.001)
    (alone,) = loose(thing())
    assert (alone.gap, alone.beside, alone.station_m) == (None, "", 0.5)


@pytest.mark.parametrize("kind", [Kind.BAY, Kind.PACK, Kind.MOTOR, Kind.NUT, Kind.EYE, Kind.SCREW])
def test_room_cloth_motors_and_ends_of_what_holds_something_else_hold_nothing(kind):
    meetings = (met("sled", "beside", 0.0), met("sled", "tower", 4.0, with_part=True))
    (found,) = loose(thing(), thing("beside", kind, middle_m=0.7), meetings=meetings)
    assert (found.beside, found.gap.value) == ("tower", 0.004)


@pytest.mark.parametrize(
    "given",
    [
        {"held_by": ["floor"]},
        {"holds": "2 kN"},
        {"passes": ["rods"]},
        {"put_in": "while printing"},
        {"kind": "screw"},
    ],
)
def test_what_the_sheet_says_holds_is_not_asked_again(given):
    assert loose(thing(), **given) == ()


def test_what_is_said_to_hold_must_reach_it():
    """The sled lies from 460 to 540 mm; a print that ends 51 mm ahead of it does not hold it, 49 mm does."""
    near, far = {"tower": (0.1, 0.411)}, {"tower": (0.1, 0.409)}
    assert loose(thing(), spans_m=near, held_by=["tower"]) == ()
    (found,) = loose(thing(), spans_m=far, held_by=["tower"])
    assert found.out_of_reach
    floor = thing("floor", Kind.BULKHEAD, middle_m=0.7)
    (found,) = loose(thing(), floor, held_by=["floor"])
    assert found.out_of_reach


@pytest.mark.parametrize("given", [{"glue": "epoxy on print"}, {"pressed_in": "0.2 mm"}])
def test_glue_and_a_tight_fit_hold_only_what_they_touch(given):
    """Glue fills a gap of a millimetre; over one of eight it holds nothing, whatever is entered."""
    (found,) = loose(thing(), meetings=(met("sled", "tower", 8.0, with_part=True),), **given)
    assert (found.out_of_reach, found.gap.value) == (True, 0.008)
    (found,) = loose(thing(), **given)
    assert (found.out_of_reach, found.gap) == (True, None)
    assert found.glued == ("glue" in given)
    assert loose(thing(), holds="2 kN", **given) == ()


def test_a_rod_through_it_holds_it_and_one_beside_it_does_not():
    rod = thing("rods", Kind.ROD, across_m=0.006, length_m=0.9)
    assert loose(thing(), rod) == ()
    beside = thing("rods", Kind.ROD, across_m=0.006, length_m=0.9, offset_m=(0.0281, 0.0))
    assert [one.thing for one in loose(thing(), beside)] == ["sled"]


def test_a_motor_s_tube_is_asked_for_unless_its_glue_is_said():
    tube = thing("motor tube", Kind.MOTOR_TUBE)
    assert [one.thing for one in loose(tube)] == ["motor tube"]
    assert loose(tube, glued_tube=object()) == ()
    assert loose(thing("motor tube", Kind.MOTOR_TUBE, pressed_in_m=1e-4)) == ()
