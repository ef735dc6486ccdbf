"""More joins by hand: what stands by the rail, how a rig parts, what a canopy draws, what wires show."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.air import wires
from finial.assemble.inside.guide import has_skin, near_rail
from finial.assemble.inside.things import bay_room
from finial.assemble.recovery.scene import Rig, launch_of, rig_of
from finial.assemble.recovery.start import SeparationStart
from finial.assemble.recovery.zipper import TRIED_S, RemedyKind, other_rigs
from finial.assemble.spread.canopies import canopy_draws
from finial.assemble.vehicle.canopies import drag_area
from finial.inside.rail import RailGap
from finial.inside.things import Kind

FORE_KG, AFT_KG, PARTING = 2.0, 6.0, 8.0


def side(mass_kg, station_m):
    return SimpleNamespace(piece=SimpleNamespace(mass_kg=mass_kg, fore_m=0.3, aft_m=0.3), station_m=station_m)


@pytest.fixture(scope="module")
def rig(lighthouse) -> Rig:
    recovery = lighthouse.sheet.recovery
    return rig_of(
        (side(FORE_KG, 0.3), side(AFT_KG, 0.9)),
        recovery.joint[0].station.value,
        (recovery.bay[0], recovery.cord[0], recovery.canopy[0]),
        PARTING,
    )


def start(**changes) -> SeparationStart:
    calm = SeparationStart(
        wind="calm",
        offset_s=0.0,
        along_m_s=3.0,
        up_m_s=-1.0,
        angle_rad=math.radians(30.0),
        rate_rad_s=0.0,
        height_m=100.0,
        density_kg_m3=1.2,
        pressure_pa=1e5,
    )
    return replace(calm, **changes)


def test_two_sides_part_along_their_axis_at_the_speed_of_the_charge_and_keep_their_momentum(rig):
    launch = launch_of(rig, start(), 3)
    fore, aft = launch.speeds_m_s[:2]
    axis = np.array([math.cos(math.radians(30.0)), 0.5])
    assert fore - aft == pytest.approx(PARTING * axis)
    assert (FORE_KG * fore + AFT_KG * aft) / (FORE_KG + AFT_KG) == pytest.approx([3.0, -1.0])
    # The tip points along the axis: what is ahead lies further along it, as far as their stations differ.
    assert launch.places_m[0] - launch.places_m[1] == pytest.approx(0.6 * axis)


def test_turning_nose_up_moves_what_is_ahead_up_and_what_is_behind_down(rig):
    still, turning = (launch_of(rig, start(rate_rad_s=rate), 3) for rate in (0.0, 2.0))
    more = turning.speeds_m_s - still.speeds_m_s
    centre = (FORE_KG * 0.3 + AFT_KG * 0.9) / (FORE_KG + AFT_KG)
    # Rate times arm, square to the axis, which rises by 30 degrees: its upper side leans back.
    upper = np.array([-0.5, math.cos(math.radians(30.0))])
    assert more[0] == pytest.approx(2.0 * (centre - 0.3) * upper)
    assert more[1] == pytest.approx(2.0 * (centre - 0.9) * upper)
    assert turning.rates_rad_s.tolist() == [2.0, 2.0, 0.0]


def test_a_rig_holds_what_the_sheet_says_of_cord_canopy_and_bay(rig, lighthouse):
    recovery = lighthouse.sheet.recovery
    bay = recovery.bay[0]
    middle = (bay.stations[0].value + bay.stations[1].value) / 2
    assert rig.bay_is_aft is (middle >= recovery.joint[0].station.value)
    assert rig.cord_length_m == recovery.cord[0].length.value
    assert rig.canopy_area_m2 == pytest.approx(drag_area(recovery.canopy[0]).value)
    bare = rig_of((rig.fore, rig.aft), rig.joint_m, (bay, recovery.cord[0], None), PARTING)
    assert (bare.canopy_area_m2, bare.filling_m) == (0.0, 1.0)


def test_remedies_for_a_cut_lip_change_one_thing_each(rig):
    other = {kind: changed for kind, _, changed in other_rigs(rig)}
    assert other[RemedyKind.LONGER_CORD].cord_length_m == pytest.approx(2 * rig.cord_length_m)
    assert other[RemedyKind.LESS_CHARGE].parting_m_s < rig.parting_m_s
    assert other[RemedyKind.SLIDER].filling_m > rig.filling_m
    assert other[RemedyKind.SLIDER].canopy_area_m2 == rig.canopy_area_m2
    drogue = other[RemedyKind.DROGUE]
    # A canopy of a share of the area has the root of that share of the diameter to fill.
    share = drogue.canopy_area_m2 / rig.canopy_area_m2
    assert share < 1.0
    assert drogue.filling_m == pytest.approx(rig.filling_m * math.sqrt(share))


def test_late_and_early_are_tried_second_by_second():
    assert np.diff(TRIED_S) == pytest.approx(np.ones(8))
    assert (TRIED_S[0], TRIED_S[-1]) == (-3.0, 5.0)


def test_what_stands_far_from_the_rail_is_not_near_it():
    assert near_rail(RailGap(gap_m=1.2, station_m=0.5)) is None
    near = near_rail(RailGap(gap_m=0.004, station_m=0.5))
    assert (near.value, near.low, near.high) == (0.004, 0.004, 0.004)


def test_a_button_has_skin_behind_it_from_the_tip_to_the_base(lighthouse):
    guide, skin = lighthouse.sheet.guide, lighthouse.skin
    assert all(has_skin(guide, skin, button.value) is True for button in guide.buttons)
    assert has_skin(guide, skin, 0.0) is False
    # A button is 15 mm across: half of it stands behind its middle.
    assert has_skin(guide, skin, skin.length_m - 0.0076) is True
    assert has_skin(guide, skin, skin.length_m - 0.0074) is False


def test_a_canopys_factors_are_drawn_about_one(lighthouse):
    draws = list(canopy_draws(lighthouse, 4))
    opened = next(one for one in draws if one.name == "drag of the opened vehicle")
    assert opened.base == 1.0
    assert 0.0 < opened.below == opened.above < 1.0
    for canopy in lighthouse.sheet.recovery.canopy:
        area = drag_area(canopy)
        drag = next(one for one in draws if one.name == f"drag of {canopy.name}")
        assert drag.base == 1.0
        assert (drag.below, drag.above) == pytest.approx(
            (1 - area.low / area.value, area.high / area.value - 1)
        )


def test_the_pack_lies_in_the_middle_of_its_bay(answered, lighthouse):
    recovery = lighthouse.sheet.recovery
    for canopy in recovery.canopy:
        bay = next(one for one in recovery.bay if one.name == canopy.bay)
        pack = next(one for one in answered.inside.things if one.name == canopy.name)
        assert pack.kind is Kind.PACK
        fore, aft = bay_room(bay).span_m
        assert (fore, aft) == pytest.approx([end.value for end in bay.stations])
        assert fore - 1e-9 <= pack.span_m[0] < pack.span_m[1] <= aft + 1e-9


def test_a_slanting_wire_shows_its_sine_and_drags_with_its_square(monkeypatch):
    # 30 degrees off the flow: half of 1.5 mm by 400 mm, for eight wires.
    pair = SimpleNamespace(to="body", diameter_m=1.5e-3, along_m=0.1, anchor_along_m=0.3)
    line = SimpleNamespace(direction=np.array([math.cos(math.pi / 6), 0.5, 0.0]), length_m=0.4)
    fins = SimpleNamespace(name="fins", count=4, root_radius_m=0.05, station_m=0.8)
    monkeypatch.setattr(wires, "fin_sets", lambda vehicle: (fins,))
    monkeypatch.setattr(wires, "stay_of", lambda *given: pair)
    monkeypatch.setattr(wires, "stay_line", lambda *given: line)
    vehicle = SimpleNamespace(sheet=SimpleNamespace(fin=(SimpleNamespace(stays=("one",)),)))
    (part,) = wires.wire_parts(vehicle)
    assert part.frontal_area_m2 == pytest.approx(8 * 1.5e-3 * 0.4 * 0.5)
    assert part.drag_coefficient.value == pytest.approx(wires.WIRE_DRAG[1] / 4)
    assert part.stations_m == pytest.approx((0.9, 1.1))
