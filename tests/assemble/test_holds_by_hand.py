"""Rooms, roots, walls and joints, and what holds, closes and weighs; on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import MOTOR, QUARTER, bay, fin_entry, item, tube_of

from finial.assemble.inside import fittings, things
from finial.assemble.inside.results import ItemDensity
from finial.assemble.inside.rooms import joint_checks, root_checks, wall_checks
from finial.core.units import Quantity
from finial.files.sheet_body import GuideEntry, RodEntry
from finial.files.sheet_motor import MotorTubeEntry, ThrustPlateEntry
from finial.files.sheet_recovery import JointEntry
from finial.inside.things import Kind, Thing
from finial.inside.walls import DrawnWall
from finial.shape.fin_set import FinSet


def sheet_of(*, bays=(), canopies=(), items=(), **more):
    recovery = SimpleNamespace(bay=bays, canopy=canopies, charge=(), joint=(), **more.pop("recovery", {}))
    return SimpleNamespace(recovery=recovery, item=items, rod=(), material=(), **more)


def mounted(monkeypatch, *places):
    usual = {
        "motor": MOTOR,
        "nozzle_station_m": 1.2,
        "offset_m": (0.0, 0.0),
        "tilt_rad": 0.0,
        "toward_rad": 0.0,
    }
    found = tuple(SimpleNamespace(**{**usual, "mount": None, **place}) for place in places)
    monkeypatch.setattr(things, "motor_places", lambda vehicle: found)
    monkeypatch.setattr(fittings, "motor_places", lambda vehicle: found)


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


# ---------------------------------------------------------------- rooms, roots, walls, joints


def test_walls_are_compared_with_the_thinnest_that_the_sheet_allows():
    def part(name, wall):
        printed = (
            None if wall is None else SimpleNamespace(wall=Quantity(value=wall, tolerance=0.0002, text=""))
        )
        return SimpleNamespace(name=name, print=printed)

    sheet = SimpleNamespace(part=(part("tower", 0.0016), part("bought", None)))
    drawn = tuple(DrawnWall(part=name, thickness_m=0.0012, station_m=0.4) for name in ("tower", "bought"))
    (check,) = wall_checks(sheet, drawn)
    assert (check.part, check.drawn.value, check.station_m) == ("tower", 0.0012, 0.4)
    assert check.said_m == pytest.approx(0.0014)


@pytest.mark.parametrize(
    ("fixing", "holds_m"),
    [
        ({}, 0.001),  # glue fills a millimetre, common practice
        ({"kind": "fillet", "depth": "8 mm"}, 0.001),
        ({"kind": "tab", "depth": "20 mm"}, 0.010),
        ({"kind": "slot", "depth": "6 mm"}, 0.003),
        ({"kind": "slot", "depth": "1 mm"}, 0.001),
        ({"kind": "tab"}, 0.001),
    ],
)
def test_a_root_holds_as_far_off_the_skin_as_glue_or_half_of_what_reaches_in(monkeypatch, fixing, holds_m):
    from finial.assemble.inside import rooms

    asked = []
    found = SimpleNamespace(gap_m=0.0008, station_m=0.95)
    monkeypatch.setattr(rooms, "_root_gap", lambda skin, line: asked.append(line) or found)
    (check,) = root_checks(SimpleNamespace(fin=(fin_entry(**fixing),)), (FIN,), None)
    assert check.holds_m == pytest.approx(holds_m)
    # Known to half a usual layer, 0.2 mm.
    assert (check.gap.low, check.gap.value, check.gap.high) == pytest.approx((0.0006, 0.0008, 0.001))
    (line,) = asked
    assert line.stations_m == pytest.approx((0.91, 1.11))
    assert line.rolls_rad == pytest.approx([math.pi / 2 + 2 * math.pi * number / 3 for number in range(3)])


def stacked(*, glued=(False, False), rods=(), station="500 mm +- 1 mm", spans=((0.0, 0.5), (0.5, 1.2))):
    joint = JointEntry.model_validate({"name": "joint", "station": station})
    entries = tuple(
        SimpleNamespace(name=f"part {index}", outside=True, glued=one, dowels=None)
        for index, one in enumerate(glued)
    )
    sheet = SimpleNamespace(part=entries, rod=rods, recovery=SimpleNamespace(joint=(joint,)))
    cavity = SimpleNamespace(parts=[SimpleNamespace(span_m=one) for one in spans], length_m=1.2)
    (check,) = joint_checks(sheet, cavity)
    return check


def rod(fore, aft):
    return RodEntry.model_validate({"name": "rods", "thread": "M6", "material": "6061-T6", "count": 4,
                                    "on_circle": "84 mm", "stations": [fore, aft]})  # fmt: skip


def test_a_joint_between_two_parts_is_on_them_and_may_be_off_by_its_tolerance():
    check = stacked()
    assert (check.off.value, check.off.low, check.off.high) == pytest.approx((0.0, 0.0, 0.001))
    off = stacked(station="530 mm +- 10 mm").off
    assert (off.value, off.low, off.high) == pytest.approx((0.03, 0.02, 0.04))


@pytest.mark.parametrize(
    ("fore", "aft", "ties"),
    [
        ("300 mm", "900 mm", True),
        ("300 mm", "500 mm", False),
        ("500 mm", "900 mm", False),
        ("300 mm", "501.5 mm", True),
        ("300 mm", "500.5 mm", False),
        ("498.5 mm", "900 mm", True),
        ("499.5 mm", "900 mm", False),
    ],
)
def test_rods_tie_a_joint_only_where_they_run_across_it(fore, aft, ties):
    assert bool(stacked(rods=(rod(fore, aft),)).ties) is ties


@pytest.mark.parametrize(
    ("glued", "station", "spans", "stuck"),
    [
        ((True, False), "500 mm", ((0.0, 0.5), (0.5, 1.2)), True),
        ((False, True), "500 mm", ((0.0, 0.5), (0.5, 1.2)), False),  # the last is glued to nothing behind it
        ((True, False), "504 mm", ((0.0, 0.5), (0.5, 1.2)), True),
        ((True, False), "507 mm", ((0.0, 0.5), (0.5, 1.2)), False),
        ((True, False), "493 mm", ((0.0, 0.5), (0.5, 1.2)), False),
        ((True, False), "485 mm", ((0.0, 0.52), (0.48, 1.2)), True),  # a shoulder of 40 mm
        ((True, False), "474 mm", ((0.0, 0.52), (0.48, 1.2)), False),
    ],
)
def test_a_joint_is_glued_within_five_millimetres_of_a_glued_seam(glued, station, spans, stuck):
    assert stacked(glued=glued, station=station, spans=spans).glued is stuck


# ---------------------------------------------------------------- what holds, closes and weighs


def test_a_motor_is_held_over_what_its_tube_covers_and_leans_by_its_play(monkeypatch):
    tube = MotorTubeEntry.model_validate(
        {"stations": ["900 mm", "1300 mm"], "across": "60 mm", "bore": "55 mm +- 0.3 mm"}
    )
    mounted(monkeypatch, {"mount": tube})
    plate = ThrustPlateEntry.model_validate(
        {"thickness": "6 mm", "material": "birch plywood", "hole": "52 mm +- 0.2 mm", "held_at": "90 mm"}
    )
    vehicle = SimpleNamespace(sheet=SimpleNamespace(motor=SimpleNamespace(thrust_plate=plate, room=None)))
    (place,) = fittings.motor_places(None)
    hold = fittings._motor(vehicle, place, ())
    # The motor reaches from 800 to 1200 mm: 300 of its 400 mm are in the tube.
    assert hold.held.value == pytest.approx(0.75)
    assert hold.station_m == pytest.approx(1.0)
    assert (hold.play.low, hold.play.value, hold.play.high) == pytest.approx((0.0007, 0.001, 0.0013))
    assert hold.lean_rad == pytest.approx(math.atan(0.001 / 0.3))
    # A hole of 52 mm under a motor of 54: it cannot slip through by 2 mm.
    assert (hold.slips.low, hold.slips.value, hold.slips.high) == pytest.approx((-0.0022, -0.002, -0.0018))


@pytest.mark.parametrize(
    ("hole", "off_m"),
    [
        ("54 mm", 1.2 - 1.199),  # it goes through: its aft ring pushes on the aft face
        ("52.1 mm", 1.2 - 1.199),
        ("51.9 mm", 0.8 - 1.199),  # it does not: its fore end pushes
        ("30 mm", 0.8 - 1.199),
    ],
)
def test_the_end_that_pushes_is_measured_from_the_aft_face_of_the_plate(monkeypatch, hole, off_m):
    mounted(monkeypatch, {})
    plate = ThrustPlateEntry.model_validate(
        {
            "thickness": "6 mm",
            "material": "birch plywood",
            "hole": hole,
            "held_at": "90 mm",
            "station": "1196 mm +- 1 mm",
        }
    )
    vehicle = SimpleNamespace(sheet=SimpleNamespace(motor=SimpleNamespace(thrust_plate=plate, room=None)))
    (place,) = fittings.motor_places(None)
    off = fittings._motor(vehicle, place, ()).off_plate
    assert (off.low, off.value, off.high) == pytest.approx((off_m - 0.001, off_m, off_m + 0.001))


def test_a_motor_outside_its_tube_is_not_held_and_one_without_a_tube_is_not_known(monkeypatch):
    tube = tube_of("100 mm", "700 mm")
    vehicle = SimpleNamespace(sheet=SimpleNamespace(motor=SimpleNamespace(thrust_plate=None, room=None)))
    mounted(monkeypatch, {"mount": tube}, {})
    outside, bare = (fittings._motor(vehicle, place, ()) for place in fittings.motor_places(None))
    assert (outside.held.value, outside.lean_rad) == (0.0, pytest.approx(math.pi / 2))
    assert (bare.held, bare.lean_rad, bare.slips) == (None, 0.0, None)
    assert (bare.play.low, bare.play.value, bare.play.high) == (0.0005, 0.0005, 0.0005)


@pytest.mark.parametrize(
    ("stations", "share"),
    [((350.0,), 2 / 3), ((250.0, 450.0), 1.0), ((150.0,), 1 / 6), ((530.0,), 70 / 300)],
)
def test_tubes_cover_the_share_of_a_bay_beside_which_they_stand(stations, share):
    """Tubes of 200 mm at a bay from 200 to 500 mm."""
    tubes = tuple(
        item(
            name=f"tube {at}", kind="tube", station=f"{at} mm", across="84 mm", bore="80 mm", length="200 mm"
        )
        for at in stations
    )
    sheet = sheet_of(bays=(bay(),), items=tubes)
    cover = fittings._cover(sheet, sheet.recovery.bay[0])
    assert cover.share.value == pytest.approx(share)
    assert (cover.tube, cover.station_m) == (f"tube {stations[0]}", pytest.approx(stations[0] / 1e3))
    assert fittings._cover(sheet_of(bays=(bay(),)), bay()) is None


@pytest.mark.parametrize(
    ("across_m", "floor", "plate", "motor"),
    [
        (0.057, (), "motor", "motor"),  # as wide as a plate: it closes the bay
        (0.038, (), "", "motor"),  # the print closes the rest, and the charge pushes on it all the same
        (0.038, (0.503,), "floor", ""),  # a floor stands before it
        (0.057, (0.503,), "floor", ""),
    ],
)
def test_a_motor_at_the_end_of_a_bay_is_pushed_where_no_floor_stands_before_it(
    monkeypatch, across_m, floor, plate, motor
):
    monkeypatch.setattr(fittings, "_open_share", lambda room, near, cavity, at: 0.0)
    place = {"kind": Kind.MOTOR, "middle_m": 0.71, "length_m": 0.4}
    things = [Thing(name="motor", across_m=across_m, **place)]
    things += [
        Thing(name="floor", kind=Kind.BULKHEAD, middle_m=at, length_m=0.006, across_m=0.079) for at in floor
    ]
    fore, aft = fittings._ends(bay(), things, None)
    assert (aft.plate, aft.motor, aft.motor_across_m) == (plate, motor, across_m if motor else 0.0)
    assert (fore.plate, fore.motor, fore.motor_across_m) == ("", "", 0.0)


def test_ends_of_bays_with_a_charge_are_looked_at_and_a_plate_of_seven_tenths_takes_the_push(monkeypatch):
    def plate(name, across_m, middle_m, kind=Kind.BULKHEAD):
        return Thing(name=name, kind=kind, middle_m=middle_m, length_m=0.006, across_m=across_m)

    monkeypatch.setattr(fittings, "_open_share", lambda room, near, cavity, at: 0.1 * len(near))
    near, far = plate("ring", 0.055, 0.2), plate("wide", 0.0561, 0.513)
    others = [near, far, plate("sled", 0.08, 0.2, Kind.SLED), plate("away", 0.08, 0.35)]
    fore, aft = fittings._ends(bay(), others, None)
    assert (fore.station_m, aft.station_m) == (0.2, 0.5)
    assert (fore.plate, aft.plate) == ("", "wide")  # 0.7 of 80 mm is 56
    assert (fore.open_share.value, aft.open_share.value) == pytest.approx((0.1, 0.1))
    beyond = replace(far, middle_m=0.5181)  # its nearer face 15.1 mm away
    assert [end.plate for end in fittings._ends(bay(), [beyond], None)] == ["", ""]
    assert [end.motor for end in (fore, aft)] == ["", ""]
    sheet = sheet_of(bays=(bay(), bay(name="other")))
    sheet.recovery.charge = (SimpleNamespace(bay="other"),)
    assert [one.name for one in fittings._charged(sheet)] == ["other"]


EYE = {"eye": {"thread": "M6", "washer": "25 mm"}}


def test_an_item_that_is_the_motors_tubes_weighs_for_the_room_of_all_of_them():
    tubes = [
        Thing(name=name, kind=Kind.MOTOR_TUBE, middle_m=1.0, length_m=0.4, across_m=0.06, bore_m=0.055)
        for name in ("motor tube 1", "motor tube 2")
    ]
    sheet = sheet_of(items=(item(name="tubes", room_of="motor tube"),))
    found = fittings._density(sheet, sheet.item[0], tubes)
    assert found.found.value == pytest.approx(0.5 / (2 * QUARTER * (0.06**2 - 0.055**2) * 0.4))
    assert fittings._density(sheet, sheet.item[0], []) is None
    assert fittings._unweighed(sheet, tubes) == ()
    assert fittings._unweighed(sheet_of(), tubes) == ("motor tube 1", "motor tube 2")


@pytest.mark.parametrize(("material", "untubed"), [(None, False), ("PETG", False), ("G10", True)])
def test_a_bay_of_another_stuff_than_the_print_is_a_tube_that_must_stand_somewhere(material, untubed):
    tube = item(name="t", kind="tube", station="350 mm", across="84 mm", bore="80 mm", length="200 mm")
    walled = bay(material=material)
    for items, wanted in (((), untubed), ((tube,), False)):
        sheet = sheet_of(bays=(walled,), items=items)
        sheet.part = (SimpleNamespace(material="PETG"),)
        assert fittings._untubed(sheet, walled) is wanted


def test_mass_over_room_is_asked_only_of_items_whose_sizes_are_all_said():
    thing = Thing(name="it", kind=Kind.BALLAST, middle_m=0.6, length_m=0.1, across_m=0.05)
    sheet = sheet_of()
    full = {"across": "50 mm", "length": "100 mm"}
    found = fittings._density(sheet, item(**full), [thing])
    assert found.found.value == pytest.approx(0.5 / (QUARTER * 0.05**2 * 0.1))
    assert (found.named, found.station_m) == (False, 0.6)
    assert fittings._density(sheet, item(**full, density="900 kg/m3"), [thing]).named is True
    assert fittings._density(sheet, item(**full, material="PETG"), [thing]).named is True
    plain, eyed = (
        fittings._density(sheet, item(**full, **more), [thing])
        for more in (
            {"kind": "bulkhead", "material": "PETG"},
            {"kind": "bulkhead", "material": "PETG", **EYE},
        )
    )
    assert (plain.alone, plain.heaviest) == (True, plain.usual)
    # An eye of steel may make a plate of plastic as heavy as one of aluminium, and no lighter.
    assert (eyed.alone, eyed.usual, eyed.heaviest.high) == (False, plain.usual, 2700.0)
    for given in ({"across": "50 mm"}, {"length": "100 mm"}, {}):
        assert fittings._density(sheet, item(**given), [thing]) is None
    assert fittings._density(sheet, item(**full), []) is None


@pytest.mark.parametrize(
    ("at", "off_m"), [("400 mm", 0.1), ("500 mm", 0.0), ("560 mm", 0.0), ("700 mm", 0.05)]
)
def test_what_is_part_of_another_thing_lies_within_it_or_so_far_off(at, off_m):
    tube = Thing(name="motor tube", kind=Kind.MOTOR_TUBE, middle_m=0.575, length_m=0.15, across_m=0.06)
    sled = Thing(name="sled", kind=Kind.SLED, middle_m=0.575, length_m=0.15, across_m=0.06)
    for name, thing in (("motor tube", tube), ("sled", sled)):
        found = fittings._elsewhere(item(station=at, room_of=name), [thing])
        assert (found.room_of, found.off_m) == (name, pytest.approx(off_m, abs=1e-12))
    assert fittings._elsewhere(item(station=at), [tube]) is None
    assert fittings._elsewhere(item(station=at, room_of="nothing"), [tube, sled]) is None


def test_a_standoff_is_the_rail_s_distance_beyond_the_lowest_skin_under_a_button(monkeypatch):
    outs = {0.6: 0.05, 1.1: 0.06, 1.4: math.inf}
    monkeypatch.setattr(fittings, "skin_beside", lambda guide, skin, station_m: outs[station_m])

    def standoff(**given):
        guide = GuideEntry.model_validate({"buttons": ["600 mm", "1100 mm", "1400 mm"], **given})
        return fittings._standoff(SimpleNamespace(sheet=SimpleNamespace(guide=guide), skin=None))

    found = standoff(rail_from_axis="75 mm +- 1 mm")
    assert (found.low, found.value, found.high) == pytest.approx((0.024, 0.025, 0.026))
    assert standoff() is None


def test_of_two_plates_at_an_end_the_one_that_faces_the_bay_takes_the_push(monkeypatch):
    monkeypatch.setattr(fittings, "_open_share", lambda room, near, cavity, at: 0.0)
    places = {"outer": 0.494, "inner": 0.504, "near": 0.598, "far": 0.607}
    plates = [
        Thing(name=name, kind=Kind.BULKHEAD, middle_m=at, length_m=0.004, across_m=0.079)
        for name, at in places.items()
    ]
    short = bay(stations=["500 mm", "600 mm"])
    for told in (plates, plates[::-1]):
        assert [end.plate for end in fittings._ends(short, told, None)] == ["inner", "near"]


def test_a_density_beside_a_material_is_held_against_the_material_alone():
    told = item(name="rod", material="steel", density="7800 kg/m^3 +- 50 kg/m^3")
    found = fittings._density_said(SimpleNamespace(material=()), told)
    # Nothing else stands in what is told: it is held against its material alone.
    assert found == ItemDensity(
        item="rod", station_m=0.6, found=found.found, usual=found.usual, named=True, heaviest=found.usual,
        alone=True,
    )  # fmt: skip
    assert (found.found.low, found.found.value) == pytest.approx((7750.0, 7800.0))
    assert found.usual.value == pytest.approx(7850.0, rel=0.01)
    for part in ({"material": "steel"}, {"density": "7800 kg/m^3"}):
        assert fittings._density_said(SimpleNamespace(material=()), item(**part)) is None


@pytest.mark.parametrize(
    ("changes", "ahead", "run_m"),
    [
        ({}, "plate", 0.5),
        ({"kind": Kind.SLED}, "plate", 0.5),
        ({"kind": Kind.TUBE}, "", 1.2),
        ({"name": fittings.THRUST_PLATE}, "", 1.2),
        # Within the play of what is measured it still stands ahead of the motor, which begins at 800 mm.
        ({"middle_m": 0.7985}, "plate", 0.3985),
        ({"middle_m": 0.7995}, "", 1.2),
        # Beside the motor of 54 mm a thing of 40 mm is in its way within 47 mm of its axis.
        ({"across_m": 0.04, "offset_m": (0.0, 0.046)}, "plate", 0.5),
        ({"across_m": 0.04, "offset_m": (0.0, 0.048)}, "", 1.2),
    ],
)
def test_a_longer_motor_runs_as_far_as_the_last_thing_ahead_of_it(monkeypatch, changes, ahead, run_m):
    mounted(monkeypatch, {})
    usual = {"name": "plate", "kind": Kind.BULKHEAD, "middle_m": 0.697, "length_m": 0.006, "across_m": 0.08}
    farther = Thing(**(usual | {"name": "far", "middle_m": 0.3, "kind": Kind.TUBE}))
    told = Quantity(value=0.45, tolerance=0.01, text="")
    vehicle = SimpleNamespace(sheet=SimpleNamespace(motor=SimpleNamespace(thrust_plate=None, room=told)))
    (place,) = fittings.motor_places(None)
    found = fittings._motor(vehicle, place, [Thing(**(usual | changes)), farther])
    named = changes.get("name", "plate") if ahead else ""
    assert (found.ahead, found.run_m) == (named, pytest.approx(run_m))
    assert (found.room.low, found.room.value) == pytest.approx((0.44, 0.45))
