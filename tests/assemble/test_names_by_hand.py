"""Names that some table must have, and hardware that fits no shape; on paper."""

from types import SimpleNamespace

import pytest
from made_by_hand import bay, canopy, cord, fin_entry, joint, quantity, rod

from finial.assemble.vehicle import known_names, misfits, nozzle, strength_names
from finial.core.errors import MissingData


def recovery(**given):
    return SimpleNamespace(**({"canopy": (), "cord": (), "bay": (), "joint": ()} | given))


def names(**given):
    return {
        ".".join(map(str, where)): name
        for where, name, _ in known_names._recovery_names(None, recovery(**given))
    }


def test_a_cord_needs_its_table_unless_it_tells_both_its_strength_and_its_stretch():
    own = {"breaking_load": "4 kN", "stretch_at_break": "20 %"}
    cords = (cord(), cord(**own), cord(breaking_load="4 kN"), cord(stretch_at_break="20 %"))
    webbing = "nylon webbing 1000 lbf"
    assert names(cord=cords) == {
        "recovery.cord.0.material": webbing, "recovery.cord.2.material": webbing,
        "recovery.cord.3.material": webbing,
    }  # fmt: skip


def test_bays_their_lips_and_pins_name_what_they_are_of():
    assert names(canopy=(canopy(),)) == {"recovery.canopy.0.kind": "flat circular"}
    plain = bay()
    ring = {"material": "steel", "wall": "1 mm", "edge_radius": "1 mm"}
    full = bay(material="PETG", lip={"material": "PLA", "ring": ring})
    assert names(bay=(plain, full)) == {
        "recovery.bay.1.material": "PETG",
        "recovery.bay.1.lip.material": "PLA",
        "recovery.bay.1.lip.ring.material": "steel",
    }
    pinned = joint(pins={"screw": "M3 nylon", "count": 2})
    assert names(joint=(joint(), pinned)) == {"recovery.joint.1.pins.screw": "M3 nylon"}


def test_switches_and_screws_are_those_of_their_tables():
    known_names.switch_kind(next(iter(known_names.switch_kinds())).upper())
    for look_up in (known_names.switch_kind, known_names.screw_named):
        with pytest.raises(MissingData):
            look_up("bent nail")


def test_a_name_nearly_right_is_guessed_and_the_list_is_told():
    source = SimpleNamespace(fault=lambda where, **told: SimpleNamespace(where=where, **told))
    fault = known_names.unknown(source, ("rod", 0, "thread"), "m66", strength_names.thread)
    assert (fault.where, fault.given) == (("rod", 0, "thread"), "'m66'")
    assert fault.likely_slip == 'did you mean "M6"?'
    assert "M8" in fault.accepted
    assert (
        known_names.unknown(source, ("rod", 0, "thread"), "bent nail", strength_names.thread).likely_slip
        == ""
    )
    assert known_names.unknown(source, ("rod", 0, "thread"), "M6", strength_names.thread) is None


def test_strength_asks_for_every_name_that_holds_something():
    told = SimpleNamespace
    fixed = fin_entry(kind="slot", glue="epoxy", material="PETG")
    item = told(material="steel", glue="epoxy", eye=told(thread="M6", material="steel"))
    motor = told(
        thrust_plate=told(material="birch plywood"), tube=told(glue="epoxy"),
        retainer=told(screw="M4", material="steel", holds_in="PETG"),
    )  # fmt: skip
    sheet = told(
        material=(told(like="PLA", name="mine"), told(like=None, name="PLA")),
        part=(told(dowels=None), told(dowels=told(material="PLA"))),
        item=(told(material=None, glue=None, eye=None), item),
        rod=(rod(), told(bears_on=told(material="birch plywood"))),
        fin=(fin_entry(), fixed),
        motor=motor,
        guide=told(screw="M5", holds_in="PETG"),
    )  # fmt: skip
    found = {".".join(map(str, where)): name for where, name, _ in strength_names.strength_names(sheet)}
    assert found == {
        "material.0.like": "PLA", "material.1.name": "PLA", "part.1.dowels.material": "PLA",
        "item.1.material": "steel", "item.1.glue": "epoxy", "item.1.eye.thread": "M6",
        "item.1.eye.material": "steel", "rod.1.bears_on.material": "birch plywood",
        "fin.1.fixing.material": "PETG", "fin.1.fixing.glue": "epoxy",
        "motor.thrust_plate.material": "birch plywood", "motor.tube.glue": "epoxy",
        "motor.retainer.screw": "M4", "motor.retainer.material": "steel", "motor.retainer.holds_in": "PETG",
        "guide.screw": "M5", "guide.holds_in": "PETG",
    }  # fmt: skip
    sheet.guide = None
    sheet.motor = told(thrust_plate=None, tube=None, retainer=None)
    fewer = {where[0] for where, _, _ in strength_names.strength_names(sheet)}
    assert fewer.isdisjoint({"guide", "motor"})


def test_layers_are_those_of_parts_that_tell_them_and_the_nozzle_is_usual_unless_told():
    def part(name, layer_m):
        height = None if layer_m is None else quantity(layer_m)
        return SimpleNamespace(name=name, print=SimpleNamespace(layer_height=height))

    parts = (part("cap", 0.0002), part("tower", None), SimpleNamespace(name="board", print=None))
    sheet = SimpleNamespace(part=parts, print=SimpleNamespace(nozzle=quantity(0.0006)))
    vehicle = SimpleNamespace(sheet=sheet)
    (found,) = nozzle.layers_of_parts(vehicle)
    assert (found.part, found.layer_m, found.nozzle_m) == ("cap", 0.0002, 0.0006)
    for printer in (None, SimpleNamespace(nozzle=None)):
        sheet.print = printer
        assert (nozzle.nozzle_told(vehicle), nozzle.nozzle_m(vehicle)) == (None, 0.0004)


# ------------------------------------------------------------------------------ misfits


def test_the_axis_must_lie_inside_at_the_middle_of_a_root(monkeypatch):
    asked = []
    monkeypatch.setattr(misfits, "_radius", lambda skin, at, roll, off: asked.append((at, roll, off)) or 0.05)
    skin = SimpleNamespace(length_m=2.0)
    # A root from 10 to 210 mm behind 900: corners outward of it do not count.
    assert misfits._axis_inside(fin_entry(), skin)
    assert asked == [(pytest.approx(1.01), 0.0, (0.0, 0.0))]
    monkeypatch.setattr(misfits, "_radius", lambda skin, at, roll, off: asked.append(at))
    assert not misfits._axis_inside(fin_entry(), SimpleNamespace(length_m=0.95))
    assert asked[-1] == 0.95


@pytest.mark.parametrize(
    ("corners", "is_plate"),
    [
        ([(0, 0), (50, 90), (100, 0)], True),
        ([(0, 0), (50, 90), (0.9, 0)], False),
        ([(0, 0), (100, 90), (0, 90), (100, 0)], False),
        ([(0, 1), (50, 90), (100, 0)], False),
        ([(0, 0), (50, 90), (100, 1)], False),
        ([(0, 0), (50, 0.01), (100, 0)], False),
    ],
)
def test_a_plate_goes_once_round_an_area_from_root_to_root(corners, is_plate):
    outline = tuple((quantity(along / 1e3), quantity(out / 1e3)) for along, out in corners)
    assert misfits._is_plate(SimpleNamespace(outline=outline)) is is_plate


def test_a_fin_reaches_as_far_as_its_farthest_step():
    outline = (
        (quantity(0.0), quantity(0.0)),
        (quantity(-0.4), quantity(0.1)),
        (quantity(0.2), quantity(0.3)),
    )
    assert misfits._reach(SimpleNamespace(outline=outline)) == 0.4


@pytest.mark.parametrize(
    ("legs", "washer_mm", "plate_mm", "wide"),
    [(1, 64.0, 80.0, False), (1, 64.1, 80.0, True), (2, 32.0, 80.0, False), (2, 33.0, 80.0, True)],
)
def test_washers_leave_their_plate_a_rim_of_a_fifth(legs, washer_mm, plate_mm, wide):
    eye = SimpleNamespace(legs=legs, washer=quantity(washer_mm / 1e3))
    round_plate = SimpleNamespace(eye=eye, across=quantity(plate_mm / 1e3), sides=None)
    box = SimpleNamespace(eye=eye, across=None, sides=(quantity(0.3), quantity(plate_mm / 1e3)))
    for plate in (round_plate, box):
        assert bool(list(misfits._wide_washers(("item",), plate, str))) is wide
    assert not list(misfits._wide_washers(("item",), SimpleNamespace(eye=eye, across=None, sides=None), str))


@pytest.mark.parametrize(
    ("across_mm", "legs", "told"),
    [(15.1, 1, 0), (14.9, 1, 1), (47.9, 1, 0), (48.1, 1, 1), (48.1, 2, 0), (14.9, 2, 1)],
)
def test_an_eye_of_six_millimetres_is_15_to_48_across(across_mm, legs, told):
    eye = SimpleNamespace(thread="M6", legs=legs, across=quantity(across_mm / 1e3), washer=quantity(0.01))
    plate = SimpleNamespace(eye=eye, across=quantity(0.1), sides=None)
    sheet = SimpleNamespace(item=(SimpleNamespace(eye=None), plate))
    found = list(misfits._eyes(sheet, str))
    assert [where for where, *_ in found] == [("item", 1, "eye", "across")] * told
    untold = SimpleNamespace(**(vars(eye) | {"across": None}))
    unknown = SimpleNamespace(item=(SimpleNamespace(eye=untold, across=None, sides=None),))
    assert not list(misfits._eyes(unknown, str))


def test_buttons_ride_on_a_rail_that_holds_them():
    def told(stations, rail_m):
        sheet = SimpleNamespace(
            guide=SimpleNamespace(buttons=[quantity(at) for at in stations]),
            motor=SimpleNamespace(nozzle_station=quantity(1.2)),
            launch=SimpleNamespace(rail_length=quantity(rail_m)),
        )
        return [where for where, *_ in misfits._buttons(sheet, str)]

    assert told((0.6, 1.0), 1.5) == []
    assert told((0.6, 0.6), 1.5) == [("guide", "buttons")]
    # 600 mm from the nozzle up to the fore button.
    assert told((1.0, 0.6), 0.59) == [("launch", "rail_length")]
    assert told((1.0, 0.6), 0.61) == []
    assert not list(misfits._buttons(SimpleNamespace(guide=None), str))


@pytest.mark.parametrize(("tilt_rad", "told"), [(0.5, 0), (0.51, 1)])
def test_motors_push_along_the_vehicle(monkeypatch, tilt_rad, told):
    monkeypatch.setattr(misfits, "extents_m", lambda skin: (0.1, 0.2))
    more = (SimpleNamespace(tilt=quantity(0.0)), SimpleNamespace(tilt=quantity(tilt_rad)))
    motor = SimpleNamespace(nozzle_station=quantity(1.0), tilt=quantity(tilt_rad), more=more)
    file = SimpleNamespace(length=quantity(0.4), diameter=quantity(0.054))
    files = SimpleNamespace(sheet=SimpleNamespace(motor=motor), motor=file)
    skin = SimpleNamespace(length_m=1.0)
    found = [where for where, *_ in misfits._motor(files, skin, str)]
    assert found == [("motor", "tilt"), ("motor", "more", 1, "tilt")][: 2 * told]
    for limit, key in ((2.0, "nozzle_station"), (0.2, "data")):
        for off, wrong in ((0.001, True), (-0.001, False)):
            motor.nozzle_station = quantity(limit + off if key == "nozzle_station" else 1.0)
            file.diameter = quantity(limit + off if key == "data" else 0.054)
            at = [where for where, *_ in misfits._motor(files, skin, str)]
            assert (("motor", key) in at) is wrong
    file.diameter = quantity(0.054)
    file.length = quantity(2.001)
    assert ("motor", "data") in [where for where, *_ in misfits._motor(files, skin, str)]


def test_rods_run_forward_to_aft_within_reach_of_the_axis():
    skin = SimpleNamespace(length_m=1.0)

    def told(**given):
        return [where[-1] for where, *_ in misfits._rods(SimpleNamespace(rod=(rod(**given),)), skin, str)]

    assert told() == []
    assert told(stations=["900 mm", "900 mm"]) == ["stations"]
    assert told(stations=["200 mm", "2.01 m"]) == ["stations"]
    assert told(stations=["200 mm", "1.99 m"]) == []
    assert told(on_circle="2.01 m") == ["on_circle"]
    assert told(on_circle="1.99 m") == []
    assert told(on_circle="0 mm") == ["on_circle"]
    assert told(on_circle="0 mm", count=1) == []


def test_a_shape_that_lies_on_its_side_is_told_by_its_stations(monkeypatch):
    def told(nozzle_m, across_m):
        monkeypatch.setattr(misfits, "extents_m", lambda skin: (0.1, across_m))
        sheet = SimpleNamespace(
            motor=SimpleNamespace(nozzle_station=quantity(nozzle_m)), vehicle=SimpleNamespace(up="+x")
        )
        return bool(list(misfits._lying(sheet, SimpleNamespace(length_m=0.4), str)))

    # Farther aft than five fourths of its length, and within five fourths of its width.
    assert told(1.0, 1.0)
    assert not told(0.5, 1.0)
    assert told(0.51, 1.0)
    assert not told(1.26, 1.0)
    assert told(1.24, 1.0)


def test_joints_lie_ahead_of_the_base_and_small_things_within_two_lengths():
    skin = SimpleNamespace(length_m=1.0)
    joints = tuple(joint(station=at) for at in ("999 mm", "1 m"))
    sheet = SimpleNamespace(recovery=SimpleNamespace(joint=joints))
    assert [where[2] for where, *_ in misfits._joints(sheet, skin, str)] == [1]

    def at(metres):
        return SimpleNamespace(station=quantity(metres))

    bays = tuple(SimpleNamespace(stations=(quantity(0.2), quantity(end))) for end in (1.9, 2.1))
    sheet = SimpleNamespace(
        item=(at(1.99), at(2.01)),
        recovery=SimpleNamespace(canopy=(at(2.01),), bay=bays),
        guide=SimpleNamespace(buttons=(quantity(2.01),)),
    )
    assert [where for where, *_ in misfits._stations(sheet, skin, str)] == [
        ("item", 1, "station"), ("recovery", "canopy", 0, "station"), ("recovery", "bay", 1, "stations"),
        ("guide", "buttons"),
    ]  # fmt: skip
    sheet.guide = None
    assert len(list(misfits._stations(sheet, skin, str))) == 3


@pytest.mark.parametrize(("across_m", "told"), [(0.0099, 1), (0.01, 0), (1.0, 0), (1.001, 1)])
def test_a_bay_is_as_wide_as_a_fist_of_cloth_and_no_wider_than_the_vehicle_is_long(across_m, told):
    sheet = SimpleNamespace(recovery=SimpleNamespace(bay=(SimpleNamespace(diameter=quantity(across_m)),)))
    assert len(list(misfits._bays(sheet, SimpleNamespace(length_m=1.0), str))) == told


@pytest.mark.parametrize(
    ("weighed", "took_s", "says_nothing"),
    [(None, None, True), (None, 0.0, True), (None, 60.0, False), (0.1, None, False), (0.1, 0.0, False)],
)
def test_a_made_piece_says_what_it_weighs_or_how_long_it_took(weighed, took_s, says_nothing):
    """No time at all is none that anything took."""
    took = None if took_s is None else SimpleNamespace(value=took_s)
    made = SimpleNamespace(part="hull", weighed=weighed, took=took)
    sheet = SimpleNamespace(part=(SimpleNamespace(name="hull"),), print=SimpleNamespace(made=(made,)))
    assert bool(list(misfits._made(SimpleNamespace(sheet=sheet)))) is says_nothing
