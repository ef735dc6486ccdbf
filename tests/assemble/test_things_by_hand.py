"""Things inside as solids in place, each from a few entries of a sheet and worked out on paper."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import MOTOR, QUARTER, bay, fin_entry, item, tube_of

from finial.assemble.inside import fittings, things
from finial.assemble.inside.fasteners import rods_with_nuts
from finial.assemble.inside.placed import taken_size
from finial.assemble.inside.results import Size
from finial.assemble.inside.things import (
    button_screws,
    fin_tabs,
    item_in_place,
    motors_and_tubes,
    thrust_plate_ring,
)
from finial.assemble.vehicle.materials import density_of
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_body import GuideEntry, RodEntry
from finial.files.sheet_motor import MotorTubeEntry, ThrustPlateEntry
from finial.files.sheet_recovery import CanopyEntry
from finial.inside.things import Kind
from finial.shape.fin_set import FinSet


class Plain(SimpleNamespace):
    """A stand-in told apart by identity: what is kept between looks is kept by it."""

    __hash__ = object.__hash__


def canopy(**given):
    usual = {
        "name": "main",
        "bay": "bay",
        "kind": "flat circular",
        "diameter": "1.2 m",
        "diameter_measures": "nominal",
        "event": "apogee",
        "mass": "176 g",
        "station": "320 mm",
    }
    return CanopyEntry.model_validate({**usual, **given})


def sheet_of(*, bays=(), canopies=(), items=(), **more):
    recovery = Plain(bay=bays, canopy=canopies, charge=(), joint=(), **more.pop("recovery", {}))
    return Plain(recovery=recovery, item=items, rod=(), material=(), **more)


# ---------------------------------------------------------------- bays, tubes, packs


def test_a_bay_that_leans_is_as_long_as_its_stations_over_the_cosine():
    leaning = bay(stations=["200 mm +- 1 mm", "500 mm +- 3 mm"], tilt="30 deg", toward="90 deg",
                  diameter="80 mm +- 0.4 mm", offset=["10 mm", "-20 mm"])  # fmt: skip
    room = things.bay_room(leaning)
    assert (room.kind, room.middle_m) == (Kind.BAY, pytest.approx(0.35))
    assert room.length_m == pytest.approx(0.3 / math.cos(math.radians(30.0)))
    assert room.offset_m == pytest.approx((0.01, -0.02))
    # Half of what the diameter may be off, and the looser of its ends.
    assert room.slack_m == pytest.approx((0.0002, 0.003))


def test_the_tube_of_a_bay_has_its_wall_on_both_sides():
    (room, tube) = (one.thing for one in things._bays(sheet_of(bays=(bay(wall="1.5 mm +- 0.2 mm"),))))
    assert (tube.kind, tube.across_m, tube.bore_m) == (Kind.TUBE, pytest.approx(0.083), pytest.approx(0.08))
    assert tube.slack_m[0] == pytest.approx(room.slack_m[0] + 0.0002)
    # No wall said: a tenth of a millimetre all round, so that it is there at all.
    assert things.bay_tube(bay()).across_m == pytest.approx(0.0802)
    flat = list(things._bays(sheet_of(bays=(bay(wall="1.5 mm", round_tube=False),))))
    assert [one.thing.kind for one in flat] == [Kind.BAY]


@pytest.mark.parametrize(
    ("tube", "is_wall"),
    [
        ({}, True),
        ({"bore": "80.9 mm"}, True),
        ({"bore": "82 mm"}, False),
        ({"bore": "78 mm"}, False),
        ({"station": "100 mm"}, False),
        ({"station": "101 mm"}, True),  # 200 mm long: it reaches a millimetre into the bay
        ({"station": "599 mm"}, True),
        ({"station": "600 mm"}, False),
        ({"kind": "sled"}, False),
        ({"room_of": "motor tube"}, False),
        ({"length": None}, False),
    ],
)
def test_a_tube_as_wide_as_the_bay_and_beside_it_is_its_wall(tube, is_wall):
    usual = {"kind": "tube", "station": "350 mm", "across": "84 mm", "bore": "80 mm", "length": "200 mm"}
    one = item(**{key: value for key, value in {**usual, **tube}.items() if value is not None})
    sheet = sheet_of(bays=(bay(wall="2 mm"),), items=(one,))
    assert things.bay_tubes(sheet, sheet.recovery.bay[0]) == ((one,) if is_wall else ())
    drawn = [placed.thing.kind for placed in things._bays(sheet)]
    assert drawn == ([Kind.BAY] if is_wall else [Kind.BAY, Kind.TUBE])


def test_a_pack_is_as_long_as_its_cloth_takes_when_packed_by_hand():
    """22 lb/ft3, 352 kg/m3, Knacke: 176 g and 44 g of protector in 80 mm."""
    sheet = sheet_of(bays=(bay(),), canopies=(canopy(protector="44 g"), canopy(name="x", bay="other")))
    _, pack = things._bays(sheet)
    assert pack.thing.length_m == pytest.approx(0.220 / 352.0 / (QUARTER * 0.08**2))
    assert (pack.thing.across_m, pack.thing.middle_m, pack.thing.lies_in) == (0.08, 0.32, "bay")
    assert pack.thing.known_by is KnownBy.ASSUMED
    assert [one.size for one in pack.taken] == [Size.ACROSS, Size.LENGTH]
    assert [one.value.value for one in pack.taken] == pytest.approx([0.08, pack.thing.length_m])


def test_a_pack_whose_size_is_given_has_it_and_nothing_is_taken():
    sheet = sheet_of(bays=(bay(),), canopies=(canopy(packed_across="70 mm", packed_length="150 mm"),))
    _, pack = things._bays(sheet)
    assert (pack.thing.across_m, pack.thing.length_m, pack.taken) == (0.07, 0.15, ())
    assert pack.thing.known_by is KnownBy.MEASURED


@pytest.mark.parametrize(
    ("station", "ends"),
    [
        ("210 mm", (0.2, 0.2 + 0.1)),  # the bay runs from 200 to 500 mm, 80 mm wide
        ("320 mm", (0.27, 0.37)),
        ("490 mm", (0.4, 0.5)),
    ],
)
def test_a_pack_whose_length_nobody_gave_lies_between_the_ends_of_its_bay(station, ends):
    """Cloth of 0.1 m at 352 kg/m3, Knacke, from memory."""
    cloth = f"{1e3 * 352.0 * QUARTER * 0.08**2 * 0.1:.6f} g"
    _, pack = things._bays(sheet_of(bays=(bay(),), canopies=(canopy(mass=cloth, station=station),)))
    assert pack.thing.span_m == pytest.approx(ends, abs=1e-5)
    _, said = things._bays(
        sheet_of(bays=(bay(),), canopies=(canopy(station=station, packed_length="100 mm"),))
    )
    assert said.thing.middle_m == pytest.approx(float(station.split()[0]) / 1e3)


def test_a_pack_in_a_leaning_bay_lies_on_its_axis():
    """Its middle is 30 mm ahead of the bay's: at 45 degrees 30 mm further to where the fore end leans."""
    leaning = bay(tilt="45 deg", toward="90 deg", offset=["5 mm", "10 mm"])
    _, pack = things._bays(sheet_of(bays=(leaning,), canopies=(canopy(),)))
    assert pack.thing.offset_m == pytest.approx((0.005, 0.040))
    assert pack.thing.tilt_rad == pytest.approx(QUARTER)


# ---------------------------------------------------------------- items


def placed(free_m=0.09, **given):
    """An item in a room of 90 mm, unless another is said."""
    one = item(**given)
    return item_in_place(one, density_of(sheet_of(), one), free_m)


def test_an_item_of_which_all_is_said_is_as_said():
    one = placed(kind="sled", across="60 mm +- 1 mm", length="120 mm +- 4 mm", bore="9 mm",
                 station="600 mm +- 2 mm", offset=["3 mm +- 0.5 mm", "0 mm"], pressed_in="0.2 mm",
                 tilt="10 deg", toward="90 deg", turned="45 deg", passes=["rods"])  # fmt: skip
    thing = one.thing
    assert (one.others, one.taken, thing.known_by) == ((), (), KnownBy.MEASURED)
    assert (thing.kind, thing.across_m, thing.length_m, thing.bore_m) == (Kind.SLED, 0.06, 0.12, 0.009)
    assert (thing.middle_m, thing.offset_m, thing.depth_m) == (0.6, (0.003, 0.0), 0.0)
    # Across: half of what the diameter is off and all of the place; along: its station and half its length.
    assert thing.slack_m == pytest.approx((0.0010, 0.004))
    assert thing.pressed_in_m == pytest.approx(0.0001)
    assert (thing.tilt_rad, thing.toward_rad, thing.roll_rad) == pytest.approx(
        (math.radians(10.0), math.pi / 2, QUARTER)
    )
    assert thing.passes == ("rods",)


def test_a_box_has_its_sides_and_the_looser_of_their_tolerances():
    box = placed(sides=["40 mm +- 0.4 mm", "25 mm +- 1 mm"], length="100 mm").thing
    assert (box.across_m, box.depth_m, box.length_m) == (0.04, 0.025, 0.1)
    assert box.slack_m == pytest.approx((0.0005, 0.0))


@pytest.mark.parametrize(
    ("given", "across_m", "length_m", "size"),
    [
        # 0.5 kg at 5000 kg/m3 is 100 cm3.
        ({"across": "50 mm"}, 0.05, 1e-4 / (QUARTER * 0.05**2), Size.LENGTH),
        ({"across": "50 mm", "bore": "30 mm"}, 0.05, 1e-4 / (QUARTER * 0.0016), Size.LENGTH),
        ({"sides": ["40 mm", "25 mm"]}, 0.04, 0.1, Size.LENGTH),
        ({"length": "80 mm"}, math.sqrt(1e-4 / 0.08 / QUARTER), 0.08, Size.ACROSS),
        ({"length": "6 mm", "kind": "bulkhead"}, 0.999 * 0.09, 0.006, Size.ACROSS),
        ({}, 0.999 * 0.09, 1e-4 / (QUARTER * (0.999 * 0.09) ** 2), Size.ROOM),
    ],
)
def test_what_is_open_comes_from_the_room_that_the_mass_takes(given, across_m, length_m, size):
    one = placed(density="5000 kg/m3", **given)
    assert (one.thing.across_m, one.thing.length_m) == pytest.approx((across_m, length_m))
    (taken,) = one.taken
    assert (taken.thing, taken.size) == ("it", size)
    expected = {Size.LENGTH: length_m, Size.ACROSS: across_m, Size.ROOM: 1e-4}[size]
    assert taken.value.value == pytest.approx(expected)
    assert one.thing.known_by is KnownBy.COMPUTED or one.thing.known_by is taken.value.known_by


def test_a_density_with_a_width_gives_the_thing_at_both_ends():
    one = placed(across="50 mm", density="5000 kg/m3 +- 1000 kg/m3")
    middle = 1e-4 / (QUARTER * 0.05**2)
    assert [other.length_m for other in one.others] == pytest.approx([middle * 5 / 6, middle * 5 / 4])
    (taken,) = one.taken
    assert (taken.value.low, taken.value.high) == pytest.approx((middle * 5 / 6, middle * 5 / 4))
    assert placed(across="50 mm", density="5000 kg/m3").others == ()


def test_a_plate_of_unknown_stuff_is_as_thick_as_usual_and_of_known_stuff_by_its_mass():
    """6 mm, common practice: what nobody weighed against a material says nothing of its thickness."""
    assert placed(kind="bulkhead", across="80 mm").thing.length_m == 0.006
    known = placed(kind="bulkhead", across="80 mm", density="700 kg/m3")
    assert known.thing.length_m == pytest.approx(0.5 / 700.0 / (QUARTER * 0.08**2))
    assert placed(kind="ballast", across="80 mm").thing.length_m != 0.006


def test_where_there_is_no_room_to_measure_a_lump_is_as_long_as_wide():
    lump = placed(0.0, density="5000 kg/m3").thing
    assert lump.length_m == pytest.approx(lump.across_m)
    assert QUARTER * lump.across_m**2 * lump.length_m == pytest.approx(1e-4)
    plate = placed(0.0, density="5000 kg/m3", length="6 mm", kind="bulkhead").thing
    assert plate.across_m == pytest.approx(math.sqrt(1e-4 / 0.006 / QUARTER))


def test_density_is_the_item_s_own_then_its_material_s_then_its_kind_s():
    sheet = sheet_of()
    assert density_of(sheet, item(density="5000 kg/m3", material="PETG")).value == 5000.0
    assert density_of(sheet, item(density="5000 kg/m3")).known_by is KnownBy.MEASURED
    assert density_of(sheet, item(kind="ballast")).known_by is KnownBy.ASSUMED


@pytest.mark.parametrize(
    ("given", "has_room"),
    [({}, True), ({"kind": "spread"}, False), ({"room_of": "bay"}, False), ({"mass": "0 g"}, False)],
)
def test_only_what_weighs_and_takes_room_of_its_own_is_a_thing(given, has_room):
    assert things._has_room(item(**given)) is has_room


# ---------------------------------------------------------------- motors, plates, rods, tabs, screws


def mounted(monkeypatch, *places):
    usual = {
        "motor": MOTOR,
        "nozzle_station_m": 1.2,
        "offset_m": (0.0, 0.0),
        "tilt_rad": 0.0,
        "toward_rad": 0.0,
    }
    found = tuple(Plain(**{**usual, "mount": None, **place}) for place in places)
    monkeypatch.setattr(things, "motor_places", lambda vehicle: found)
    monkeypatch.setattr(fittings, "motor_places", lambda vehicle: found)


def test_a_motor_that_leans_reaches_from_its_nozzle_along_its_lean(monkeypatch):
    tube = MotorTubeEntry.model_validate(
        {"stations": ["800 mm +- 1 mm", "1180 mm +- 2 mm"], "across": "60 mm +- 0.4 mm"}
    )
    mounted(
        monkeypatch,
        {"tilt_rad": math.radians(30.0), "toward_rad": math.pi / 2, "offset_m": (0.01, 0.0), "mount": tube},
    )
    motor, around = (one.thing for one in motors_and_tubes(None))
    assert (motor.name, motor.kind, motor.across_m, motor.length_m) == ("K1", Kind.MOTOR, 0.054, 0.4)
    # Half of 400 mm: 173.2 mm ahead of the nozzle and 100 mm to the side it leans to.
    assert motor.middle_m == pytest.approx(1.2 - 0.2 * math.cos(math.radians(30.0)))
    assert motor.offset_m == pytest.approx((0.01, 0.1))
    assert around.kind is Kind.MOTOR_TUBE
    assert around.middle_m == pytest.approx(0.99)
    assert around.length_m == pytest.approx(0.38 / math.cos(math.radians(30.0)))
    # On the same line: 210 mm ahead of the nozzle, by the tangent aside.
    assert around.offset_m == pytest.approx((0.01, 0.21 * math.tan(math.radians(30.0))))
    assert around.slack_m == pytest.approx((0.0002, 0.002))
    assert around.bore_m == pytest.approx(0.0545)  # half a millimetre of play, common practice


def test_a_motor_tube_s_own_bore_goes_first_and_never_eats_its_wall(monkeypatch):
    def around(**given):
        tube = tube_of("800 mm", "1180 mm", **given)
        mounted(monkeypatch, {"mount": tube})
        return list(motors_and_tubes(None))[1]

    assert (around(bore="55 mm").thing.bore_m, around(bore="55 mm").taken) == (0.055, ())
    assert around().thing.pressed_in_m == 0.0
    assert around(pressed_in="0.3 mm").thing.pressed_in_m == pytest.approx(0.00015)
    (taken,) = around().taken
    assert (taken.size, taken.value.value) == (Size.BORE, pytest.approx(0.0545))
    assert around(across="54 mm").thing.bore_m == pytest.approx(0.999 * 0.054)


def test_motors_are_numbered_only_where_there_are_several(monkeypatch):
    mounted(monkeypatch, {}, {})
    assert [one.thing.name for one in motors_and_tubes(None)] == ["K1 1", "K1 2"]
    mounted(monkeypatch, {})
    assert [one.thing.name for one in motors_and_tubes(None)] == ["K1"]


def test_a_thrust_plate_is_a_ring_where_the_sheet_puts_it():
    def plate(**given):
        usual = {"thickness": "6 mm", "material": "birch plywood", "hole": "52 mm", "held_at": "90 mm"}
        entry = ThrustPlateEntry.model_validate({**usual, **given})
        return list(thrust_plate_ring(Plain(motor=Plain(thrust_plate=entry, offset=bay().offset))))

    assert plate() == []  # it stands nowhere
    (ring,) = plate(station="790 mm +- 1 mm", across="98 mm +- 0.6 mm")
    assert (ring.thing.middle_m, ring.thing.length_m, ring.thing.bore_m) == (0.79, 0.006, 0.052)
    assert (ring.thing.across_m, ring.taken) == (0.098, ())
    assert ring.thing.slack_m == pytest.approx((0.0003, 0.001))
    (pressed,) = plate(station="790 mm", pressed_in="0.4 mm")
    assert (ring.thing.pressed_in_m, pressed.thing.pressed_in_m) == (0.0, pytest.approx(0.0002))
    (held,) = plate(station="790 mm")
    assert held.thing.across_m == 0.09
    assert [one.size for one in held.taken] == [Size.ACROSS]


def test_rods_stand_between_their_stations_on_their_circle():
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "count": 4, "on_circle": "84 mm",
                                   "stations": ["180 mm +- 1 mm", "1150 mm +- 2 mm"]})  # fmt: skip
    found = [one.thing for one in rods_with_nuts((rod,)) if one.thing.kind is Kind.ROD]
    assert [one.span_m for one in found] == [pytest.approx((0.18, 1.15))] * 4
    assert [math.hypot(*one.offset_m) for one in found] == pytest.approx([0.042] * 4)
    assert {one.across_m for one in found} == {0.006}
    assert found[0].slack_m == pytest.approx((0.0, 0.002))


def test_nuts_are_flush_with_the_ends_of_their_rods_and_washers_lie_under_them():
    """M6: 10 mm across flats, 5.2 mm high, its washer 1.8 mm at most; ISO 4032 and 7089, from memory."""
    rod = RodEntry.model_validate({"thread": "M6", "material": "6061-T6", "washer": "18 mm +- 0.4 mm",
                                   "places": [["50 mm", "0 mm"]], "name": "studs",
                                   "stations": ["180 mm +- 1 mm", "1150 mm +- 2 mm"]})  # fmt: skip
    found = {(one.thing.name, one.thing.span_m[0] > 0.5): one.thing for one in rods_with_nuts((rod,))[1:]}
    spans = {key: pytest.approx(one.span_m) for key, one in found.items()}
    assert spans == {
        ("nuts of studs", False): (0.18, 0.1852),
        ("washers of studs", False): (0.1852, 0.187),
        ("washers of studs", True): (1.143, 1.1448),
        ("nuts of studs", True): (1.1448, 1.15),
    }
    nut, washer = found["nuts of studs", True], found["washers of studs", True]
    assert nut.across_m == pytest.approx(0.010 / math.cos(math.pi / 6))
    assert (washer.across_m, washer.slack_m) == (0.018, pytest.approx((0.0002, 0.002)))
    for one in found.values():
        assert (one.kind, one.offset_m, one.known_by) == (Kind.NUT, (0.05, 0.0), KnownBy.HANDBOOK)
        assert (one.moves_with, one.passes) == ("studs", ("studs",))


def test_bare_nuts_have_no_washers_and_every_rod_has_two_nuts():
    rod = RodEntry.model_validate({"thread": "1/4-20", "material": "steel", "count": 3, "on_circle": "80 mm",
                                   "stations": ["180 mm", "300 mm"]})  # fmt: skip
    assert [one.thing.kind for one in rods_with_nuts((rod,))] == [Kind.ROD] * 3 + [Kind.NUT] * 6


FIN = FinSet(
    name="fins",
    outline_m=np.array([[0.01, 0.0], [0.1, 0.12], [0.2, 0.12], [0.21, 0.0]]),
    station_m=0.9,
    root_radius_m=0.05,
    count=3,
    first_at_rad=math.pi / 2,
    thickness_m=0.004,
    offset_m=(0.002, 0.0),
)


def test_tabs_reach_from_the_root_inward_every_third_of_a_turn():
    sheet = Plain(fin=(fin_entry(kind="tab", depth="20 mm +- 0.5 mm"),))
    tabs = [one.thing for one in fin_tabs(sheet, (FIN,))]
    assert [tab.span_m for tab in tabs] == [pytest.approx((0.91, 1.11))] * 3
    assert [(tab.across_m, tab.depth_m) for tab in tabs] == [(0.02, 0.004)] * 3
    assert tabs[0].slack_m == pytest.approx((0.0005, 0.001))
    rolls = [math.pi / 2 + 2 * math.pi * number / 3 for number in range(3)]
    assert [tab.roll_rad for tab in tabs] == pytest.approx(rolls)
    # 40 mm out from the line of offset, at each roll angle.
    places = [(0.002 + 0.04 * math.cos(roll), 0.04 * math.sin(roll)) for roll in rolls]
    assert np.array([tab.offset_m for tab in tabs]) == pytest.approx(np.array(places))
    for fixing in ({"kind": "fillet", "depth": "5 mm"}, {"kind": "tab"}, {}):
        assert list(fin_tabs(Plain(fin=(fin_entry(**fixing),)), (FIN,))) == []


def guided(monkeypatch, **given):
    monkeypatch.setattr(things, "section_at", lambda skin, station_m: station_m)
    monkeypatch.setattr(
        "finial.inside.rail.side_radius",
        lambda station_m, roll, across, aside: 0.05 if station_m < 1.0 else math.inf,
    )
    guide = GuideEntry.model_validate({"buttons": ["600 mm", "1100 mm"], "at": "90 deg", **given})
    return list(button_screws(guide, Plain(length_m=1.5)))


def test_a_button_s_screw_goes_from_the_skin_inward_and_only_where_there_is_skin(monkeypatch):
    (screw,) = guided(monkeypatch, aside="7 mm", screw="M4", engagement="12 mm")
    thing = screw.thing
    assert (thing.kind, thing.middle_m, thing.across_m, thing.length_m) == (Kind.SCREW, 0.6, 0.004, 0.012)
    # On the side at a quarter turn: half of its length inside the skin, and aside a quarter turn further.
    assert thing.offset_m == pytest.approx((-0.007, 0.05 - 0.006))
    assert (thing.tilt_rad, thing.toward_rad) == pytest.approx((math.pi / 2, math.pi / 2))
    assert screw.taken == ()


@pytest.mark.parametrize("given", [{}, {"screw": "M5"}, {"engagement": "10 mm"}])
def test_a_screw_of_which_not_all_is_said_is_usual_and_said_so(monkeypatch, given):
    """M5, 10 mm deep; common practice."""
    (screw,) = guided(monkeypatch, **given)
    assert (screw.thing.across_m, screw.thing.length_m) == (0.005, 0.01)
    assert [one.size for one in screw.taken] == [Size.SCREW]


def test_everything_of_the_example_is_there_once(lighthouse, answered):
    """Motor, tube, ring, bays, packs, items with room, rods, tabs, screws: as many as the sheet has."""
    sheet = lighthouse.sheet
    kinds = [one.kind for one in answered.inside.things]
    assert kinds.count(Kind.MOTOR) == 1
    assert kinds.count(Kind.BAY) == len(sheet.recovery.bay)
    assert kinds.count(Kind.PACK) == len(sheet.recovery.canopy)
    assert kinds.count(Kind.ROD) == sum(rod.count for rod in sheet.rod)
    legs = [item.eye.legs for item in sheet.item if item.eye]
    assert kinds.count(Kind.EYE) == len(legs) > 0
    # Two nuts and two washers each, and one of either on each leg of an eye.
    assert kinds.count(Kind.NUT) == 4 * kinds.count(Kind.ROD) + 2 * sum(legs)
    assert kinds.count(Kind.TAB) == sum(fin.count for fin in sheet.fin)
    assert kinds.count(Kind.SCREW) >= len(sheet.guide.buttons)
    assert kinds[0] is Kind.MOTOR
    names = {one.name for one in answered.inside.things}
    assert {one.name for one in sheet.item if things._has_room(one)} <= names
    assert not {one.name for one in sheet.item if one.kind == "spread"} & names


def test_a_length_that_was_taken_is_as_wide_as_the_room_it_came_from():
    size = next(iter(Size))
    wide = taken_size(
        "pack", size, 0.2, Estimate(value=0.1, low=0.08, high=0.13, known_by=KnownBy.HANDBOOK)
    ).value
    assert (wide.value, wide.low, wide.high) == pytest.approx((0.2, 0.16, 0.26))
    assert wide.known_by is KnownBy.HANDBOOK
    for room in (None, exact(0.0)):
        bare = taken_size("pack", size, 0.2, room).value
        assert (bare.low, bare.high, bare.known_by) == (0.2, 0.2, KnownBy.ASSUMED)


def test_what_tells_no_size_across_has_no_slack_of_it():
    """Half of a tolerance lies at either side or end; that of a station or an offset is whole."""
    open_size = item(length="100 mm +- 4 mm", station="600 mm +- 1 mm", density="2000 kg/m^3")
    assert things._sized(open_size, 1e-4, 0.05).slack_m == pytest.approx((0.0, 0.003))
    told = item(across="40 mm +- 2 mm", offset=["0 mm +- 3 mm", "5 mm +- 1 mm"])
    assert things._sized(told, 1e-4, 0.05).slack_m == pytest.approx((0.004, 0.0))
    box = item(sides=["40 mm +- 1 mm", "30 mm +- 4 mm"])
    assert things._sized(box, 1e-4, 0.05).slack_m == pytest.approx((0.002, 0.0))
