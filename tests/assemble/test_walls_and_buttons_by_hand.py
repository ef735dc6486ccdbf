"""Walls where the body is cut, what lets go of small things, and pulls on rail buttons; on paper."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import BOARD, PLASTIC, QUARTER, STEEL, about, quantity

from finial.assemble.strength import build, buttons, lets_go
from finial.core.estimates import KnownBy, exact
from finial.files.sheet_body import CutEntry, GuideEntry
from finial.shape.skin import Section
from finial.structure.reserves import Because, FailureMode

SQUARE = np.array([[-0.05, -0.05], [0.05, -0.05], [0.05, 0.05], [-0.05, 0.05]])
SECTION = Section(station_m=0.5, loops=(SQUARE,), area_m2=0.01, perimeter_m=0.4, centroid_m=(0.0, 0.0))


def placed(name="tower", span_m=(0.0, 1.0), *, outside=True, wall_m=0.0016, infill=0.2, cuts=()):
    printed = wall_m and SimpleNamespace(wall=quantity(wall_m), infill=quantity(infill))
    spec = SimpleNamespace(name=name, outside=outside, print=printed or None, cuts=cuts, material="PETG")
    return SimpleNamespace(spec=spec, span_m=span_m, mended=name)


def vehicle(*parts, joints=(), length_m=1.0):
    recovery = SimpleNamespace(joint=[SimpleNamespace(station=quantity(at)) for at in joints])
    sheet = SimpleNamespace(
        recovery=recovery, material=("own",), rod=("rod",), vehicle=SimpleNamespace(up="+z")
    )
    return SimpleNamespace(parts=parts, sheet=sheet, skin=SimpleNamespace(length_m=length_m))


@pytest.fixture
def square(monkeypatch):
    """A square of 100 mm with ledges at 300 and 700 mm; its own mesh is as thick as is said."""
    drawn = SimpleNamespace(wall_m=math.nan, outlines={}, at=[])

    def own_cuts(mended, stations):
        drawn.at += stations
        return [
            SimpleNamespace(wall_m=drawn.wall_m, outline_m2=drawn.outlines.get(mended, 0.01))
            for _ in stations
        ]

    monkeypatch.setattr(build, "section_at", lambda _skin, _station: SECTION)
    monkeypatch.setattr(build, "between_ledges", lambda _skin, _station: (0.3, 0.7))
    monkeypatch.setattr(build, "own_cuts", own_cuts)
    return drawn


def test_a_part_drawn_solid_has_the_wall_and_the_infill_that_it_is_printed_with(square):
    cut = build._wall_cut(vehicle(), 0.5, placed(), True)
    assert cut.area.wall_m == pytest.approx(0.0016)
    assert (cut.infill, cut.sandwich, cut.joint) == (0.2, None, True)
    assert cut.infill_depth_m == pytest.approx(max(cut.area.round_radius_m, 0.0016))
    # A ring of 1.6 mm; infill of a fifth bears as a twenty-fifth of its room.
    assert cut.area.area_m2 == pytest.approx(0.01 - 0.0968**2 + 0.2**2 * 0.0968**2, rel=1e-3)
    assert not build._wall_cut(vehicle(), 0.5, placed(), False).joint


@pytest.mark.parametrize(
    ("span_m", "flat_m"),
    [((0.0, 1.0), 0.4), ((0.4, 1.0), 0.3), ((0.0, 0.6), 0.3), ((0.4999, 0.5001), 0.0016)],
)
def test_flats_reach_from_ledge_to_ledge_within_their_part_and_are_a_wall_long_at_least(
    square, span_m, flat_m
):
    assert build._wall_cut(vehicle(), 0.5, placed(span_m=span_m), False).flat_length_m == pytest.approx(
        flat_m
    )


@pytest.mark.parametrize(("drawn_m", "core_m"), [(0.005, 0.0018), (0.0031, None), (0.0032, None)])
def test_a_hollow_mesh_is_skins_and_a_core_where_it_is_thicker_than_two_walls(square, drawn_m, core_m):
    square.wall_m = drawn_m
    cut = build._wall_cut(vehicle(), 0.5, placed(), False)
    if core_m is None:
        assert (cut.sandwich, cut.infill) == (None, 0.0)
    else:
        assert (cut.sandwich.skin_m, cut.sandwich.core_m) == pytest.approx((0.0016, core_m))
        assert (cut.infill, cut.infill_depth_m) == (0.2, pytest.approx(core_m))


def test_what_is_not_printed_is_as_thick_as_it_is_drawn_and_has_no_infill(square):
    square.wall_m = 0.003
    cut = build._wall_cut(vehicle(), 0.5, placed(wall_m=None), False)
    assert (cut.sandwich, cut.infill) == (None, 0.0)
    assert cut.area.wall_m == pytest.approx(0.003)
    square.wall_m = math.nan
    solid = build._wall_cut(vehicle(), 0.5, placed(wall_m=None), False)
    assert (solid.infill, solid.area.area_m2) == (0.0, pytest.approx(0.01))


@pytest.mark.parametrize(("station_m", "read_m"), [(0.1, 0.216), (0.5, 0.5), (1.0, 0.984)])
def test_a_drawn_wall_is_read_a_hair_inside_the_ends_of_its_part(square, station_m, read_m):
    build._drawn_wall(placed(span_m=(0.2, 1.0)), station_m)
    assert square.at == [pytest.approx(read_m)]


def test_a_cut_goes_through_the_outside_part_with_the_largest_outline_there(square):
    cap, tower = placed("cap", (0.0, 0.4)), placed("tower", (0.3, 1.0))
    sled = placed("sled", (0.0, 1.0), outside=False)
    square.outlines = {"cap": 0.008, "tower": 0.009, "sled": 1.0}
    both = vehicle(cap, tower, sled)
    found = [build.part_at(both, at) for at in (0.0, 0.29, 0.3, 0.4, 0.41, 1.0, 1.01)]
    assert found == [cap, cap, tower, tower, tower, tower, None]
    square.outlines["cap"] = 0.01
    assert build.part_at(both, 0.35) is cap


def test_parts_meet_at_a_joint_but_not_where_they_separate():
    cap, tower, foot = placed("cap", (0.0, 0.3)), placed("tower", (0.3005, 0.7)), placed("foot", (0.68, 1.0))
    sled = placed("sled", (0.1, 0.2), outside=False)
    meeting = list(build.part_joints(vehicle(foot, sled, tower, cap)))
    # A millimetre into the part behind at most; where one slides over the other, where that begins.
    assert meeting == [(pytest.approx(0.3), cap), (pytest.approx(0.681), tower)]
    for at, left in ((0.329, 1), (0.271, 1), (0.331, 2), (0.269, 2)):
        assert len(list(build.part_joints(vehicle(cap, tower, foot, joints=(at,))))) == left


def test_every_cut_is_made_evenly_at_joints_and_at_seams(square):
    seam = CutEntry.model_validate({"station": "450 mm", "held_by": "glue"})
    inner = placed("sled", (0.1, 0.9), outside=False, cuts=(seam,))
    told = vehicle(placed("cap", (0.0, 0.3)), placed("tower", (0.3, 2.0), cuts=(seam,)), inner, length_m=2.0)
    cuts = build.wall_cuts.__wrapped__(build.build_of(told))
    evenly, others = cuts[: build.SECTIONS], cuts[build.SECTIONS :]
    assert [one.station_m for one in evenly] == pytest.approx(np.linspace(0.04, 1.96, 20))
    assert not any(one.joint or one.seam for one in evenly)
    assert [(one.station_m, one.joint, one.seam) for one in others] == [
        (pytest.approx(0.3), True, None), (pytest.approx(0.45), True, seam),
    ]  # fmt: skip
    assert build.SECTIONS == 20


def test_cuts_depend_on_shape_materials_rods_and_joints_alone():
    told = vehicle(placed(), joints=(0.4,))
    found = build.build_of(told)
    assert (found.parts, found.own_materials, found.rods, found.up) == (told.parts, ("own",), ("rod",), "+z")
    assert (found.joints, found.skin) == (told.sheet.recovery.joint, told.skin)


# ------------------------------------------------------------------- what lets go


def test_a_reserve_is_strength_over_load_of_what_lets_go():
    one = lets_go.LetsGo(
        mode=FailureMode.WALL_PULLED, station_m=0.3, case=None, subject="rod", warmth_left=0.8
    )
    row = one.judged(about(100.0, 80.0, 120.0), about(300.0, 240.0, 360.0))
    assert (row.reserve.value, row.reserve.low, row.reserve.high) == pytest.approx((3.0, 2.0, 4.5))
    assert (row.station_m, row.subject, row.warmth_left, row.because) == (0.3, "rod", 0.8, None)
    blank = lets_go.unknown_row(FailureMode.WALL_PULLED, 0.3, next(iter(Because)), "rod")
    assert (blank.reserve, blank.because, blank.subject) == (None, next(iter(Because)), "rod")


def test_boards_bear_through_their_thickness_and_prints_by_their_layers():
    assert lets_go.bearing_strength(BOARD) == BOARD.through_pa
    assert lets_go.bearing_strength(STEEL).value == pytest.approx(1.5 * 240e6)
    assert lets_go.punching_strength(BOARD) == BOARD.punched_pa
    assert lets_go.punching_strength(STEEL).value == pytest.approx(400e6 / math.sqrt(3), rel=0.05)
    assert lets_go.layers_of(PLASTIC) == PLASTIC.upright_pa
    assert lets_go.layers_of(STEEL) == STEEL.ultimate_pa
    assert lets_go.bending_strength(PLASTIC) == PLASTIC.upright_pa
    assert lets_go.bending_strength(STEEL) == STEEL.yield_pa
    # ISO 4032: M8 is 13 mm wide, M10 16 mm; ISO 273: 9 mm for M8, 11 mm for M10.
    assert lets_go.ACROSS_NUT == pytest.approx(13 / 8, rel=0.1)
    assert lets_go.ACROSS_NUT == pytest.approx(16 / 10, rel=0.1)
    assert lets_go.CLEARANCE_HOLE == pytest.approx(11 / 10, rel=0.03)


# ----------------------------------------------------------------------- buttons


def guide(**given):
    usual = {"buttons": ["600 mm", "1000 mm"], "screw": "M5", "engagement": "10 mm", "holds_in": "steel"}
    return GuideEntry.model_validate({**usual, **given})


def basis(monkeypatch, **given):
    """A side force at 700 to 900 mm, and 2 kg balanced at 700 mm on a rail that leans by 30 degrees."""
    monkeypatch.setattr(buttons, "density_at", lambda _vehicle, _height: exact(1.2))
    monkeypatch.setattr(
        buttons, "sheet_material", lambda _sheet, name: {"steel": STEEL, "PETG": PLASTIC}[name]
    )
    monkeypatch.setattr(buttons, "part_at", lambda _vehicle, _at: None)
    told = given.pop("guide", guide())
    sheet = SimpleNamespace(guide=told, launch=SimpleNamespace(tilt=quantity(math.radians(30.0))))
    return SimpleNamespace(
        vehicle=SimpleNamespace(sheet=sheet, skin=SimpleNamespace(length_m=1.1, reference_area_m2=0.02)),
        moments=[SimpleNamespace(speed_m_s=20.0, alpha_rad=given.pop("alpha_rad", math.radians(30.0)))],
        stability=[SimpleNamespace(pressure=about(0.8, 0.7, 0.9))],
        air=SimpleNamespace(result=SimpleNamespace(slope_per_rad=about(10.0, 8.0, 12.0))),
        mass=SimpleNamespace(lift_off=SimpleNamespace(mass_kg=2.0, station_m=0.7)),
    )


def test_the_harder_pulled_button_bears_wind_and_weight(monkeypatch):
    found = buttons.button_hold(basis(monkeypatch))
    # 240 Pa on 0.02 m2 at the sine of 30 degrees: 2.4 N for each of slope; half the weight leans on the rail.
    side, leaning = 2.4, 2.0 * 9.80665 / 2
    fore = [abs(side * slope * (1.0 - at) / 0.4) + leaning * 0.75 for slope in (8, 12) for at in (0.7, 0.9)]
    aft = [abs(side * slope * (at - 0.6) / 0.4) + leaning * 0.25 for slope in (8, 12) for at in (0.7, 0.9)]
    assert max(fore) > max(aft)
    assert found.station_m == 0.6
    assert (found.load.low, found.load.high) == pytest.approx((min(fore), max(fore)))
    assert found.load.value == pytest.approx(side * 10.0 * 0.5 + leaning * 0.75)


def test_wind_from_beside_pushes_with_all_of_it(monkeypatch):
    beside = buttons.button_hold(basis(monkeypatch, alpha_rad=math.pi / 2))
    turned = buttons.button_hold(basis(monkeypatch, alpha_rad=2.5))
    assert turned.load == beside.load


@pytest.mark.parametrize("told", [None, guide(buttons=["600 mm", "600 mm"])])
def test_without_two_buttons_there_is_nothing_to_judge(monkeypatch, told):
    assert buttons.button_hold(basis(monkeypatch, guide=told)) is None


def test_a_button_is_held_by_its_test_before_its_thread(monkeypatch):
    by_thread = buttons.button_hold(basis(monkeypatch, guide=guide(engagement="4 mm")))
    # Half of the thread's cylinder shears.
    cut = math.pi * 0.005 * 0.004 / 2
    assert by_thread.holds.value == pytest.approx(buttons.SHEAR_OF_TENSION * 400e6 * cut)
    assert (by_thread.tested, by_thread.holds.value) == (None, by_thread.by_thread_n)
    tested = buttons.button_hold(basis(monkeypatch, guide=guide(pull_out="500 N +- 50 N")))
    assert (tested.holds.low, tested.holds.value, tested.holds.known_by) == (450.0, 500.0, KnownBy.MEASURED)
    assert tested.tested == tested.holds
    # ISO 898-1: a screw of class 8.8 tears at 800 MPa, at its pitch diameter at the most.
    deep = buttons.button_hold(basis(monkeypatch, guide=guide(engagement="90 mm")))
    assert deep.by_thread_n == pytest.approx(800e6 * QUARTER * 0.004361**2)


@pytest.mark.parametrize("told", [{"screw": None}, {"engagement": None}])
def test_what_holds_a_button_is_not_known_without_thread_and_depth(monkeypatch, told):
    found = buttons.button_hold(basis(monkeypatch, guide=guide(**told)))
    assert (found.holds, found.by_thread_n) == (None, None)


def test_a_thread_cut_into_the_print_parts_its_layers(monkeypatch):
    asked = []
    far, told = guide(holds_in=None, buttons=["600 mm", "1200 mm"]), basis(monkeypatch).vehicle
    monkeypatch.setattr(buttons, "part_at", lambda _vehicle, at: asked.append(at) or placed())
    found = buttons._by_thread(told, far, 1.2)
    assert found.value == pytest.approx(buttons.SHEAR_OF_TENSION * 20e6 * math.pi * 0.005 * 0.010 / 2)
    assert asked == [1.1]
    monkeypatch.setattr(buttons, "part_at", lambda _vehicle, _at: None)
    assert buttons._by_thread(told, far, 1.2) is None
