"""What a shape shows by itself, and a tower's file drawn; on paper."""

import math
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import quantity

from finial.assemble.start import found, hollow, motors, photos, pieces, tower
from finial.core.errors import MeshError, MeshesError, OutsideRange, TowerError
from finial.files.tower import StoreyEntry, TowerBoreEntry, TowerPartEntry
from finial.inside.drawn import DrawnRoom, MotorRoom
from finial.shape.storeys import Roof

# ------------------------------------------------------------------------ pieces and rods


def cut(wall_m):
    return SimpleNamespace(wall_m=wall_m)


def test_a_piece_is_as_hollow_as_its_cuts_and_as_thick_as_the_middle_of_their_walls(monkeypatch):
    read = []
    walls = [0.002, 0.003, 0.010, math.nan, math.nan]
    monkeypatch.setattr(found, "own_cuts", lambda _mended, at: read.append(at) or [cut(one) for one in walls])
    part = SimpleNamespace(spec=SimpleNamespace(name="tower"), span_m=(0.2, 0.82), mended=None)
    piece = found._piece(part)
    assert (piece.name, piece.hollow_share, piece.wall_m) == ("tower", pytest.approx(0.6), 0.003)
    # Within the part, never at its very ends.
    assert (len(read[0]), read[0][0], read[0][-1]) == (30, pytest.approx(0.22), pytest.approx(0.80))
    walls[:] = [math.nan]
    assert math.isnan(found._piece(part).wall_m)
    assert found._piece(part).hollow_share == 0.0


@pytest.mark.parametrize(
    ("share", "wall_m", "is_shell"), [(0.51, 0.004, True), (0.5, 0.004, False), (0.9, 0.0041, False)]
)
def test_a_shell_is_hollow_for_more_than_half_and_thin(share, wall_m, is_shell):
    assert found.PieceShape(name="a", hollow_share=share, wall_m=wall_m).is_shell is is_shell


@pytest.mark.parametrize(
    ("across_mm", "metric", "name"),
    [
        (5.99, True, "M5"),
        (6.0, True, "M6"),
        (7.8, True, "M6"),
        (7.9, True, ""),
        (8.0, True, "M8"),
        (6.35, False, "1/4-20"),
        (8.3, False, "5/16-18"),
        (2.0, True, ""),
        (20.0, True, ""),
    ],
)
def test_the_thickest_thread_goes_through_a_hole_that_is_not_loose(across_mm, metric, name):
    assert found._thread(across_mm / 1e3, metric=metric) == name


# ------------------------------------------------------------------------------ openings


def room(fore_m, aft_m, across_m=0.08):
    return DrawnRoom(fore_m=fore_m, aft_m=aft_m, across_m=across_m, widest_m=across_m, is_round=True)


def bore(across_m=0.054, depth_m=0.4):
    stations = np.array([1.0, 1.0 - depth_m])
    return MotorRoom(across_m=across_m, is_bore=True, stations_m=stations, clear_m=np.full(2, across_m))


def placed(name, fore, aft, outside=True):
    return SimpleNamespace(spec=SimpleNamespace(name=name, outside=outside), span_m=(fore, aft))


def of_parts(*parts, length_m=1.0):
    return SimpleNamespace(parts=parts, skin=SimpleNamespace(length_m=length_m))


CAP, TOWER, FOOT = placed("cap", 0.0, 0.3), placed("tower", 0.29, 0.7), placed("foot", 0.7, 1.0)


def test_parts_meet_in_the_middle_of_what_they_share_and_what_lies_within_another_is_no_joint():
    inner, ring = placed("sled", 0.1, 0.9, outside=False), placed("ring", 0.4, 0.6)
    assert found._joints(of_parts(FOOT, ring, inner, TOWER, CAP)) == [
        (pytest.approx(0.295), "cap", "tower"),
        (pytest.approx(0.7), "tower", "foot"),
    ]


def test_it_opens_at_the_joint_next_to_the_longest_room_that_is_not_the_motor_s():
    vehicle = of_parts(CAP, TOWER, FOOT)
    rooms = (room(0.1, 0.28), room(0.32, 0.62), room(0.65, 1.0, 0.055))
    opening = found._opening(vehicle, rooms, bore())
    assert (opening.joint_m, opening.ahead, opening.behind) == (pytest.approx(0.295), "cap", "tower")
    assert opening.bay is rooms[1]
    # Behind six tenths of the length a motor usually stands; a room there is the last choice.
    aft = (room(0.1, 0.28), room(0.45, 0.8), room(0.85, 1.0, 0.055))
    assert found._opening(vehicle, aft, None).bay is aft[0]
    middle = (room(0.1, 0.28), room(0.45, 0.75), room(0.85, 1.0, 0.055))
    assert found._opening(vehicle, middle, None).bay is middle[1]
    only = (room(0.65, 0.99),)
    last = found._opening(vehicle, only, None)
    assert (last.bay, last.joint_m) == (only[0], pytest.approx(0.7))


@pytest.mark.parametrize(
    ("across_m", "long_m", "fits"), [(0.03, 0.0801, True), (0.0299, 0.0801, False), (0.03, 0.0799, False)]
)
def test_a_canopy_waits_in_a_room_of_30_by_80_mm_at_least(across_m, long_m, fits):
    opening = found._opening(of_parts(CAP, TOWER), (room(0.1, 0.1 + long_m, across_m),), None)
    assert (opening.bay is not None) is fits
    # Without a room it parts at the foremost joint.
    assert (opening.joint_m, opening.ahead) == (pytest.approx(0.295), "cap")


def test_one_part_alone_does_not_open():
    assert found._opening(of_parts(CAP), (room(0.1, 0.3),), None) is None


@pytest.mark.parametrize(
    ("aft_m", "across_m", "motor", "own"),
    [
        (1.0, 0.0556, bore(), True),
        (1.0, 0.0557, bore(), False),
        (0.61, 0.054, bore(), True),
        (0.59, 0.054, bore(), False),
        (1.0, 0.054, None, False),
        (1.0, 0.054, SimpleNamespace(is_bore=False), False),
    ],
)
def test_a_room_of_the_motor_s_width_at_the_base_is_its_bore(aft_m, across_m, motor, own):
    assert found._is_motors(room(0.5, aft_m, across_m), motor, 1.0) is own


def test_a_bay_is_as_near_as_its_nearer_end():
    assert found._away(0.25, room(0.3, 0.9)) == pytest.approx(0.05)
    assert found._away(1.0, room(0.3, 0.9)) == pytest.approx(0.1)


# ------------------------------------------------------------------------------- buttons


def fin(*rolls):
    return SimpleNamespace(rolls_rad=rolls)


def stand(monkeypatch, reach, *fins):
    monkeypatch.setattr(found, "_reach", lambda _skin, roll: reach(roll))
    return found._buttons(SimpleNamespace(length_m=2.0), fins)


def test_buttons_stand_where_they_usually_do_on_the_side_that_is_nearest(monkeypatch):
    flat = stand(monkeypatch, lambda roll: 0.05 if abs(roll - math.pi / 2) < 0.1 else 0.06)
    assert (flat.fore_m, flat.aft_m) == pytest.approx((1.1, 1.92))
    assert flat.at_rad == pytest.approx(math.pi / 2)
    # 3 mm stay between the body and the rail.
    assert flat.rail_from_axis_m == pytest.approx(0.053)
    assert stand(monkeypatch, lambda _roll: 0.05).at_rad == 0.0


def test_of_sides_as_near_the_one_farthest_from_fins_is_taken(monkeypatch):
    four = fin(0.0, math.pi / 2, math.pi, -math.pi / 2)
    between = stand(monkeypatch, lambda _roll: 0.05, four)
    assert between.at_rad == pytest.approx(math.pi / 4)
    nearer = stand(monkeypatch, lambda roll: 0.05 if abs(roll - 5 * math.pi / 4) < 0.1 else 0.052, four)
    assert nearer.at_rad == pytest.approx(5 * math.pi / 4)
    # A side that stands beyond a twentieth is none of them, unless those are beside a fin.
    aside = stand(monkeypatch, lambda roll: 0.05 if roll > 6.2 or roll < 0.1 else 0.06, four)
    assert aside.at_rad == pytest.approx(math.pi / 4)
    assert aside.rail_from_axis_m == pytest.approx(0.063)
    by_a_fin = stand(monkeypatch, lambda roll: 0.05 if abs(roll - math.pi / 12) < 0.1 else 0.06, fin(0.0))
    assert by_a_fin.at_rad == pytest.approx(math.pi / 12)


@pytest.mark.parametrize(
    ("roll", "fins", "off"),
    [(0.1, [6.2], 0.1 + 2 * math.pi - 6.2), (3.0, [0.0, 2.5], 0.5), (1.0, [], math.pi)],
)
def test_nearness_to_a_fin_is_counted_round(roll, fins, off):
    assert found._nearest(roll, fins) == pytest.approx(off)


# -------------------------------------------------------------------------------- motors


def test_motors_beside_the_sheet_are_tried_by_size_alone(monkeypatch):
    def motor_file(name, across, length):
        told = across and SimpleNamespace(diameter=quantity(across), length=quantity(length))
        return SimpleNamespace(path=SimpleNamespace(name=name), motor=told or None)

    files = [
        motor_file("slim", 0.038, 0.3), motor_file("wide", 0.054, 0.3),
        motor_file("long", 0.054, 0.9), motor_file("torn", None, None),
    ]  # fmt: skip
    monkeypatch.setattr(motors, "motors_beside", lambda _vehicle: files)
    monkeypatch.setattr(motors, "room_inside", lambda _vehicle: None)
    takes = SimpleNamespace(takes=lambda across, length: length < 0.5)
    monkeypatch.setattr(motors, "motor_room", lambda _room: takes)
    fits = motors.motor_fits(None)
    assert (fits.fitting, fits.known, fits.room) == (("wide", "slim"), 3, takes)
    monkeypatch.setattr(motors, "motor_room", lambda _room: None)
    assert (motors.motor_fits(None).fitting, motors.motor_fits(None).room) == ((), None)


def test_without_a_folder_of_motors_there_are_none(tmp_path):
    vehicle = SimpleNamespace(files=SimpleNamespace(folder=tmp_path))
    assert motors.motors_beside(vehicle) == ()
    (tmp_path / "motors").mkdir()
    assert motors.motors_beside(vehicle) == ()
    (tmp_path / "motors" / "torn.toml").write_text("name = ")
    (torn,) = motors.motors_beside(vehicle)
    assert torn.motor is None


# --------------------------------------------------------------------------------- tower


def told_tower(*parts):
    return SimpleNamespace(part=parts)


def tower_part(name="foot", *, tiers=None, **given):
    tiers = tiers or [{"outline": "square", "across": "100 mm", "height": "200 mm"}]
    return TowerPartEntry.model_validate({"name": name, "tiers": tiers, **given})


class Source:
    path = None

    def fault(self, where, *, given, accepted):
        return SimpleNamespace(where=where, given=given, accepted=accepted)


def drawn(*parts):
    return tower.drawn_tower(told_tower(*parts), Source())


def test_parts_of_a_tower_stand_on_one_another():
    foot = tower_part()
    two_storeys = [
        {"outline": "rectangle", "across": "80 mm", "deep": "60 mm", "height": "100 mm"},
        {"outline": "rectangle", "across": "80 mm", "deep": "60 mm", "height": "50 mm"},
    ]
    shaft = tower_part("shaft", tiers=two_storeys, shoulder={"across": "60 mm", "length": "20 mm"})
    cap = tower_part("cap", tiers=[{"outline": "square", "across": "50 mm", "height": "40 mm"}])
    first, second, third = drawn(foot, shaft, cap)
    assert first.heights_m == pytest.approx((0.0, 0.2))
    # The shoulder reaches down into the part below.
    assert second.heights_m == pytest.approx((0.18, 0.35))
    assert third.heights_m == pytest.approx((0.35, 0.39))
    assert first.sides_m == pytest.approx((0.1, 0.1))
    assert second.sides_m == pytest.approx((0.08, 0.06))
    assert first.volume_m3 == pytest.approx(0.1 * 0.1 * 0.2)


def test_every_part_that_makes_no_body_is_told_at_once():
    bad = tower_part("bad", tiers=[{"outline": "rectangle", "across": "80 mm", "height": "100 mm"}])
    with pytest.raises(TowerError) as refused:
        drawn(tower_part(), tower_part(), bad)
    assert [fault.where for fault in refused.value.faults] == [("part", 1), ("part", 2)]
    assert "second part of that name" in refused.value.faults[0].given


@pytest.mark.parametrize(
    ("low", "high"), [((0.0, 0.0, 0.0), (60.0, 1.0, 1.0)), ((0, 0, 5.0), (1e-5, 1e-5, 5.00001))]
)
def test_parts_are_drawn_between_the_smallest_and_the_largest_mesh(low, high):
    solid = SimpleNamespace(bounding_box=lambda: (*low, *high))
    with pytest.raises(OutsideRange, match="are drawn"):
        tower._drawn(tower_part(), solid)


def test_a_part_high_over_the_ground_is_as_long_as_it_is():
    solid = SimpleNamespace(bounding_box=lambda: (0.0, 0.0, 40.0, 0.1, 0.1, 40.2))
    with pytest.raises(AttributeError, match="volume"):
        # Its size is no fault: it goes on to its volume.
        tower._drawn(tower_part(), solid)


def storey(**given):
    usual = {"outline": "square", "across": "100 mm", "height": "200 mm"}
    return tower._storey(StoreyEntry.model_validate({**usual, **given}), Source())


def test_a_storey_is_as_the_file_says():
    plain = storey()
    assert (plain.height_m, plain.top, plain.twist_rad, plain.roof) == (0.2, 1.0, 0.0, Roof.FLAT)
    assert np.ptp(plain.outline_m, axis=0) == pytest.approx([0.1, 0.1])
    other = storey(across_top="40 mm", twist="30 deg")
    assert (other.top, other.twist_rad) == pytest.approx((0.4, math.radians(30)))
    assert storey(roof="dome").roof is Roof("dome")
    assert storey(across_top="0 mm").top == 0.0


def test_a_ledge_is_flush_with_the_top_unless_its_sill_is_told():
    flush = {"out": "10 mm", "height": "30 mm"}
    one, other = storey(ledges=[flush, {**flush, "sill": "50 mm"}]).ledges
    assert (one.out_m, one.from_m, one.height_m) == pytest.approx((0.01, 0.17, 0.03))
    assert other.from_m == pytest.approx(0.05)


def test_windows_are_pockets():
    told = {
        "count": 6,
        "width": "20 mm",
        "height": "40 mm",
        "sill": "60 mm",
        "depth": "4 mm",
        "first_at": "30 deg",
    }
    (plain,) = storey(windows=[told]).pockets
    assert (plain.count, plain.width_m, plain.height_m) == (6, 0.02, 0.04)
    assert (plain.sill_m, plain.depth_m, plain.first_rad) == pytest.approx((0.06, 0.004, math.radians(30)))
    assert not plain.is_arched
    assert storey(windows=[{**told, "arched": True}]).pockets[0].is_arched


@pytest.mark.parametrize(
    ("outline", "corners", "wide_m", "deep_m"),
    [("6-gon", 6, None, 0.1), ("hexagon", 6, None, 0.1), ("square", 4, 0.1, 0.1), ("octagon", 8, 0.1, 0.1)],
)
def test_polygons_are_as_wide_as_told(outline, corners, wide_m, deep_m):
    ring = storey(outline=outline).outline_m
    assert len(ring) == corners
    assert max(np.ptp(ring, axis=0)) >= 0.1 - 1e-9
    assert min(np.ptp(ring, axis=0)) == pytest.approx(0.1)
    assert len(storey(outline="circle").outline_m) > 30


def test_a_rectangle_has_two_sides_and_a_polygon_one():
    assert np.ptp(storey(outline="rectangle", deep="60 mm").outline_m, axis=0) == pytest.approx([0.1, 0.06])
    with pytest.raises(OutsideRange, match="without deep"):
        storey(outline="rectangle")
    with pytest.raises(OutsideRange, match="with deep"):
        storey(outline="hexagon", deep="60 mm")
    round_corners = storey(corner="20 mm").outline_m
    assert len(round_corners) > 4
    assert np.ptp(round_corners, axis=0) == pytest.approx([0.1, 0.1], rel=1e-3)


def test_an_outline_of_one_s_own_keeps_its_shape_unless_both_sizes_are_told(monkeypatch):
    corners = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]])
    monkeypatch.setattr(tower, "read_svg_outline", lambda _path: corners)
    source = SimpleNamespace(path=Path("tower.toml"))
    told = StoreyEntry.model_validate({"outline": "plan.svg", "across": "100 mm", "height": "1 m"})
    assert np.ptp(tower._own(told, source), axis=0) == pytest.approx([0.1, 0.05])
    both = told.model_copy(update={"deep": quantity(0.03)})
    assert np.ptp(tower._own(both, source), axis=0) == pytest.approx([0.1, 0.03])
    for flat in ([1.0, 0.0], [0.0, 1.0]):
        monkeypatch.setattr(tower, "read_svg_outline", lambda _path, flat=flat: corners * flat)
        with pytest.raises(OutsideRange, match="encloses nothing"):
            tower._own(told, source)


def bored(**given):
    return tower._bore(TowerBoreEntry.model_validate({"heights": ["0 mm", "80 mm"], **given}))


def test_a_bore_is_round_or_has_two_sides():
    through = bored(across="40 mm", offset=["5 mm", "-3 mm"])
    assert (through.heights_m, through.sides_m, through.is_round) == ((0.0, 0.08), (0.04, 0.04), True)
    assert through.offset_m == (0.005, -0.003)
    square = bored(sides=["20 mm", "30 mm"], offset=["0 mm", "1 mm"])
    assert (square.sides_m, square.is_round, square.offset_m) == ((0.02, 0.03), False, (0.0, 0.001))
    for wrong in ({}, {"across": "40 mm", "sides": ["20 mm", "30 mm"]}):
        with pytest.raises(OutsideRange, match="either across or two sides"):
            bored(**wrong)
    for heights in (["80 mm", "80 mm"], ["90 mm", "80 mm"]):
        with pytest.raises(OutsideRange, match="lower height first"):
            bored(across="40 mm", heights=heights)


# -------------------------------------------------------------------------------- pieces


def test_files_are_named_once_and_are_forty_at_most(tmp_path):
    paths = [tmp_path / f"{number}.stl" for number in range(41)]
    with pytest.raises(MeshesError, match="41 files"):
        pieces.read_pieces(paths, "mm")
    with pytest.raises(MeshesError, match="named twice"):
        pieces.read_pieces([paths[0], tmp_path / "." / "0.stl"], "mm")


def test_every_file_that_cannot_be_used_is_told(monkeypatch, tmp_path):
    def torn(path, *_):
        raise MeshError(f"{path}: torn")

    monkeypatch.setattr(pieces, "read_mesh", torn)
    monkeypatch.setattr(pieces, "longest_in_file", torn)
    paths = [tmp_path / "a.stl", tmp_path / "b.stl"]
    for look in (lambda: pieces.read_pieces(paths, "mm"), lambda: pieces.size_in_files(paths)):
        with pytest.raises(MeshesError) as refused:
            look()
        assert [(fault.given, fault.file) for fault in refused.value.faults] == [
            ("torn", str(one)) for one in paths
        ]


def test_the_longest_side_is_asked_of_files_without_a_unit(monkeypatch, tmp_path):
    sizes = {"a": 120.0, "b": 300.0, "c": None}
    monkeypatch.setattr(pieces, "longest_in_file", lambda path: sizes[path.stem])
    assert pieces.size_in_files([tmp_path / "a", tmp_path / "b", tmp_path / "c"]) == 300.0
    assert pieces.size_in_files([tmp_path / "c"]) is None


def test_objects_of_one_file_are_a_piece_each_unless_all_is_one(monkeypatch, tmp_path):
    objects = [
        SimpleNamespace(raw="first", name="cap", colour="#ff0000"),
        SimpleNamespace(raw="second", name="", colour=""),
    ]
    made = pieces.MeshPiece(path=tmp_path, name="file", objects=1, bodies=1, mended=None, drawn=None)
    monkeypatch.setattr(pieces, "_piece", lambda path, raw: made if raw != "whole" else "whole")
    monkeypatch.setattr(pieces, "read_mesh", lambda _path, _unit: "whole")
    monkeypatch.setattr(pieces, "read_objects", lambda _path, most: objects)
    path = tmp_path / "all.3MF"
    first, second = pieces._pieces(path, None, joined=False)
    assert (first.name, first.colour, first.is_object) == ("cap", "#ff0000", True)
    assert (second.name, second.colour) == ("all", "")
    assert pieces._pieces(path, None, joined=True) == ["whole"]
    assert pieces._pieces(tmp_path / "all.stl", "mm", joined=False) == ["whole"]
    del objects[1]
    assert pieces._pieces(path, None, joined=False) == [made]
    assert not made.is_object


def test_what_stays_open_or_has_no_room_is_refused_by_its_file(monkeypatch, tmp_path):
    path = tmp_path / "scan.stl"
    piece = SimpleNamespace(mended=None, bodies=1)
    monkeypatch.setattr(hollow, "read_pieces", lambda paths, unit, joined: (piece,))
    monkeypatch.setattr(hollow, "united", lambda _mended: None)
    monkeypatch.setattr(hollow, "why_no_solid", lambda _mended: "open")
    with pytest.raises(MeshesError, match="open"):
        hollow.hollow_piece(path, "mm", 0.002)

    def no_room(_solid, _wall):
        raise OutsideRange("no room")

    monkeypatch.setattr(hollow, "united", lambda _mended: "solid")
    monkeypatch.setattr(hollow, "hollowed", no_room)
    with pytest.raises(MeshesError, match="no room"):
        hollow.hollow_piece(path, "mm", 0.002)


# ---------------------------------------------------------------------------- what is found


@pytest.mark.parametrize(
    ("rooms", "station_m"),
    [
        ((), 0.12),
        # Near the tip it stands in the foremost room: 20 mm behind its fore end, or amid a short one.
        ((room(0.23, 0.4), room(0.0, 0.2)), 0.25),
        ((room(0.1, 0.13),), 0.115),
        ((room(0.25, 0.4),), 0.12),
    ],
)
def test_ballast_stands_in_the_foremost_room_near_the_tip(rooms, station_m):
    assert found._ballast(1.0, rooms) == pytest.approx(station_m)


def test_the_body_reaches_as_far_as_a_rail_of_usual_width_meets_it(monkeypatch):
    asked = []

    def body_gap(_skin, line, from_m):
        asked.append((line.roll_rad, line.face_m, line.width_m, from_m))
        return SimpleNamespace(gap_m=-0.06)

    monkeypatch.setattr(found, "body_gap", body_gap)
    assert found._reach(None, 0.3) == 0.06
    assert asked == [(0.3, 0.0, 0.04, 0.0)]


@pytest.mark.parametrize(("us_units", "thread"), [(False, "M8"), (True, "5/16-18")])
def test_everything_that_the_meshes_show_is_told(monkeypatch, us_units, thread):
    holes = SimpleNamespace(across_m=0.0083)
    rooms = (room(0.1, 0.28),)
    monkeypatch.setattr(found, "room_inside", lambda _vehicle: "cavity")
    monkeypatch.setattr(found, "rooms_on_axis", lambda cavity: rooms)
    monkeypatch.setattr(found, "motor_room", lambda cavity: "motor")
    monkeypatch.setattr(found, "holes_beside_axis", lambda cavity: (holes,))
    monkeypatch.setattr(found, "_piece", lambda part: part.spec.name)
    monkeypatch.setattr(found, "_opening", lambda *given: given[1:])
    monkeypatch.setattr(found, "_buttons", lambda *given: given[1])
    vehicle = SimpleNamespace(
        parts=(CAP, TOWER), mesh_fins=("fins",), us_units=us_units,
        skin=SimpleNamespace(length_m=1.0, width_m=0.2, notes=("mended",)),
    )  # fmt: skip
    told = found.found_in(vehicle)
    assert (told.length_m, told.width_m, told.notes, told.pieces) == (1.0, 0.2, ("mended",), ("cap", "tower"))
    assert (told.rods[0].holes, told.rods[0].thread) == (holes, thread)
    assert (told.opening, told.buttons, told.fins) == ((rooms, "motor"), ("fins",), ("fins",))
    assert told.ballast_m == pytest.approx(0.12)


def box_file(tmp_path, *sizes_mm):
    """Boxes within or beside one another as one binary STL; a negative size is turned inside out."""
    import trimesh

    made = []
    for number, size in enumerate(sizes_mm):
        one = trimesh.creation.box((abs(size),) * 3)
        if size < 0:
            one.invert()
        elif number:
            one.apply_translation((100.0 * number, 0.0, 0.0))
        made.append(one)
    trimesh.util.concatenate(made).export(tmp_path / "post.stl")
    return tmp_path / "post.stl"


@pytest.mark.parametrize(("sizes", "bodies"), [((30,), 1), ((30, 20), 2), ((30, -10), 1), ((30, -10, 20), 2)])
def test_bodies_of_a_file_are_counted_without_their_cavities(tmp_path, sizes, bodies):
    (piece,) = pieces.read_pieces((box_file(tmp_path, *sizes),), "mm")
    assert (piece.name, piece.bodies, piece.is_object, piece.colour) == ("post", bodies, False, "")
    assert len(piece.drawn.faces) == 12 * len(sizes)


def test_a_piece_made_hollow_tells_what_it_was_and_is(tmp_path):
    """30 mm cubed with walls of 3 mm: a cavity of 24 mm cubed."""
    made = hollow.hollow_piece(box_file(tmp_path, 30), "mm", 0.003)
    assert (made.bodies, made.before_m3) == (1, pytest.approx(27e-6))
    assert float(made.made.solid.volume()) == pytest.approx(27e-6 - 13.824e-6, rel=0.02)
    # As its file holds it: in millimetres.
    assert np.ptp(made.sound.vertices_mm, axis=0) == pytest.approx([30.0] * 3, abs=1e-3)


def test_a_drawn_part_s_file_is_in_millimetres_in_its_place():
    foot, cap = drawn(tower_part(), tower_part("cap"))
    for one, low in ((foot, 0.0), (cap, 200.0)):
        corners = one.sound.vertices_mm
        assert np.ptp(corners, axis=0) == pytest.approx([100.0, 100.0, 200.0])
        assert corners[:, 2].min() == pytest.approx(low)


# -------------------------------------------------------------------------------- photos


def photo(**given):
    known = SimpleNamespace(length=quantity(2.0, 0.01), ends=((0, 0), (100, 0)))
    usual = {
        "name": "front",
        "size": (3000, 4000),
        "corners": ((0, 0), (1, 0), (1, 1), (0, 1)),
        "known": known,
    }
    usual |= {"click": 2.0, "focal_35mm": None, "straight": (), "wanted": (), "storeys": ()}
    return SimpleNamespace(**(usual | given))


def test_a_focal_length_goes_by_the_longer_side_of_the_picture():
    plain = photos._marks(photo())
    assert (plain.size_px, plain.click_px, plain.focal_px) == ((3000.0, 4000.0), 2.0, None)
    assert (plain.known_m.low, plain.known_m.high) == pytest.approx((1.99, 2.01))
    # 36 mm of film to 4000 pixels.
    assert photos._marks(photo(focal_35mm=quantity(0.018))).focal_px == pytest.approx(2000.0)


@pytest.mark.parametrize(
    ("bows", "worst", "bent"), [((), None, False), ((3.9, 1.0), 3.9, False), ((1.0, 4.1), 4.1, True)]
)
def test_a_lens_is_told_by_the_edge_that_bows_by_two_marks(monkeypatch, bows, worst, bent):
    left = iter(bows)
    monkeypatch.setattr(photos, "bowed_px", lambda _edge: next(left))
    monkeypatch.setattr(photos, "facade_view", lambda marks: marks)
    seen = photos._seen(photo(straight=((0.0, 0.0, 1.0, 1.0),) * len(bows)), "marks")
    assert (seen.name, seen.view, seen.bowed_px, seen.is_bent) == ("front", "marks", worst, bent)


def test_a_storey_agrees_where_foot_top_and_height_do():
    for wrong in (None, "foot", "top", "height"):
        parts = {name: SimpleNamespace(agree=name != wrong) for name in ("foot", "top", "height")}
        storey = photos.FacadeStorey(name="base", outline="square", photos=2, **parts)
        assert storey.agree is (wrong is None)


def test_photos_of_nothing_and_storeys_told_otherwise_are_faults():
    def level(name, outline):
        return SimpleNamespace(name=name, outline=outline)

    told = SimpleNamespace(
        photo=(
            photo(storeys=(level("base", "square"), level("top", "circle"))),
            photo(),
            photo(wanted=("door",)),
            photo(storeys=(level("base", "square"), level("top", "square"))),
        )
    )
    faults = list(photos._unfit(told, Source()))
    assert [fault.where for fault in faults] == [("photo", 1), ("photo", 3, "storeys", 1, "outline")]
    assert (faults[1].given, faults[1].accepted) == ("top: square", "circle, as in the photo before")


def test_a_storey_s_edges_go_round_from_its_foot(monkeypatch):
    asked = []

    def measured(_marks, ends, proud):
        asked.append((ends.tolist(), proud))
        return len(asked)

    monkeypatch.setattr(photos, "measured_length", measured)
    monkeypatch.setattr(photos, "storey_height", lambda foot, top, sides: (foot, top, sides))
    corners = ((0, 0), (4, 0), (4, 3), (0, 3))
    one = SimpleNamespace(corners=corners, proud=quantity(0.1), outline="square")
    edges = photos._edges(one, None)
    assert [ends for ends, _ in asked] == [
        [[0, 0], [4, 0]], [[4, 0], [4, 3]], [[4, 3], [0, 3]], [[0, 3], [0, 0]],
    ]  # fmt: skip
    assert (edges.foot, edges.top, edges.height, edges.outline) == (1, 3, (1, 3, (4, 2)), "square")
