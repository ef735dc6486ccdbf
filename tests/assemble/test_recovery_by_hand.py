"""Recovery of a few entries on paper: charges in time, pins, packs, vents, early pulls, when events come."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.recovery import bays, bursts, charges, halves, lip, moments, order, pack_exit, start
from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.records import Barometer, ExitWay, ShotPurpose, ShotSaid
from finial.assemble.recovery.results import EarlyPull, PackDoubtKind, PullKind
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import (
    BayEntry,
    CanopyEntry,
    CordEntry,
    EventEntry,
    GroundTestEntry,
    JointEntry,
    LipEntry,
    PowderChargeEntry,
)
from finial.flight.trace import EventKind
from finial.materials.material import material
from finial.recovery.charges.burst import BURN_TIME_S, HEAT_TO_WALLS_W_M2_K, burst
from finial.recovery.charges.powder import bay_pressure
from finial.recovery.joints.pins import pins_hold

QUARTER = math.pi / 4
AREA_M2 = QUARTER * 0.08**2


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="")


def bay(**given):
    usual = {"name": "bay", "joint": "joint", "stations": ["200 mm", "500 mm"], "diameter": "80 mm"}
    return BayEntry.model_validate({**usual, "round_tube": True, **given})


def joint(**given):
    return JointEntry.model_validate({"name": "joint", "station": "200 mm", **given})


def charge(**given):
    usual = {"name": "charge", "bay": "bay", "powder": "2 g +- 0.1 g", "event": "apogee"}
    return PowderChargeEntry.model_validate({**usual, **given})


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "350 mm"}
    usual |= {"diameter": "1.2 m", "diameter_measures": "nominal", "mass": "200 g", "protector": "50 g"}
    return CanopyEntry.model_validate({**usual, **given})


def cord(**given):
    usual = {"name": "cord", "joint": "joint", "material": "nylon webbing 1000 lbf", "length": "6 m"}
    return CordEntry.model_validate({**usual, "mass_per_length": "10 g/m", **given})


def sheet(*, bays=None, joints=None, charges=(), canopies=(), cords=()):
    recovery = SimpleNamespace(
        bay=bays or (bay(),), joint=joints or (joint(),), charge=charges, canopy=canopies, cord=cords
    )
    return SimpleNamespace(recovery=recovery, material=())


def states(**changes):
    usual = {
        "ground_density_kg_m3": exact(1.2),
        "ground_pressure_pa": 100e3,
        "out_pressure_pa": {"main": 90e3, "drogue": 80e3},
        "out_time_s": {"main": 20.0, "drogue": 10.0},
        "apart": {"joint": Apart(fore_kg=exact(2.0), aft_kg=exact(6.0))},
        "drag_ahead_n": {"joint": exact(10.0)},
        "drag_behind_n": {"joint": exact(60.0)},
        "last_thrust_n": 100.0,
        "rebound": about(0.4, 0.0, 0.5),
        "top_climb_m_s": 100.0,
        "top_pressure_pa": 95e3,
        "ground_temperature_k": 300.0,
    }
    return SimpleNamespace(**{**usual, **changes})


# ---------------------------------------------------------------- what a joint holds and what pulls at it


def test_a_joint_nobody_measured_rubs_with_thirty_newtons_or_any_less_or_twice_that():
    usual = charges.joint_friction(joint())
    assert (usual.low, usual.value, usual.high) == (0.0, 30.0, 60.0)
    assert charges.joint_friction(joint(friction="12 N +- 2 N")).high == 14.0


def test_free_room_is_the_sheet_s_or_the_tube_less_what_is_packed():
    assert charges.free_volume(sheet(), bay(free_volume="1.2 l +- 0.1 l")).value == pytest.approx(1.2e-3)
    tube = AREA_M2 * 0.3
    packed = charges.free_volume(sheet(canopies=(canopy(), canopy(name="x", bay="other"))), bay())
    # Between nothing and a pack as under a press taken off, 720 kg/m3 (Knacke).
    assert packed.low == pytest.approx(tube - 0.2 / 720.0, rel=0.02)
    assert packed.high == pytest.approx(tube, rel=0.02)
    full = charges.free_volume(sheet(canopies=(canopy(mass="5 kg"),)), bay())
    assert (full.low, full.value, full.high) == pytest.approx((0.01 * tube, 0.01 * tube, tube))
    assert full.inside_range is False


def test_pins_and_friction_resist_together_until_a_ground_test_narrows_them():
    pinned = joint(pins={"screw": "M2 nylon", "count": 2}, friction="12 N +- 2 N")
    pins, volume = pins_hold("M2 nylon", 2), exact(1e-3)
    found = charges.joint_resistance(sheet(joints=(pinned,)), bay(), volume)
    assert (found.low, found.value, found.high) == pytest.approx(
        (pins.low + 10, pins.value + 12, pins.high + 14)
    )
    unpinned = charges.joint_resistance(sheet(), bay(), volume)
    assert (unpinned.low, unpinned.high) == (0.0, 60.0)
    parted = charge(ground_test=[{"powder": "0.02 g", "parted": True}])
    fired = bay_pressure(exact(0.02e-3, known_by=KnownBy.WEIGHED), volume, 101325.0)
    narrowed = charges.joint_resistance(sheet(charges=(parted,)), bay(), volume)
    assert narrowed.high == pytest.approx(min(60.0, fired.high * AREA_M2), rel=1e-3)
    held = charge(ground_test=[{"powder": "0.02 g", "parted": False}])
    assert charges.joint_resistance(sheet(charges=(held,)), bay(), volume).low > 0.0
    elsewhere = charge(bay="other", ground_test=[{"powder": "0.02 g", "parted": False}])
    assert charges.joint_resistance(sheet(charges=(elsewhere,)), bay(), volume) == unpinned


def test_a_bay_opens_in_the_thinnest_air_that_its_canopies_come_out_in():
    both = sheet(canopies=(canopy(), canopy(name="drogue")))
    assert charges.pressure_out(bay(), both, states()) == 80e3
    assert charges.pressure_out(bay(), sheet(canopies=(canopy(),)), states()) == 90e3
    assert charges.pressure_out(bay(), sheet(), states()) == 100e3


def test_a_vent_takes_from_the_closed_form_and_a_tight_bay_takes_nothing():
    powder, volume = exact(2e-3), exact(1e-3)
    sealed = charges.vented_pressure(bay(), powder, volume, 90e3)
    assert sealed == bay_pressure(powder, volume, 90e3)
    some = charges.vented_pressure(bay(vent_area="20 mm2"), powder, volume, 90e3)
    more = charges.vented_pressure(bay(vent_area="80 mm2"), powder, volume, 90e3)
    assert 0.0 < more.value < some.value < sealed.value
    assert charges.vent_area(bay(vent_area="20 mm2")) == pytest.approx(20e-6)
    assert charges.vent_area(bay()) == 0.0


def test_a_bay_without_a_vent_has_no_lag_and_a_smaller_vent_lags_with_its_square():
    volume = exact(1e-3)
    assert charges.bay_lag(bay(), volume, states()) is None
    assert charges.bay_lag(bay(vent_area="0 mm2"), volume, states()) is None
    wide, narrow = (charges.bay_lag(bay(vent_area=area), volume, states()) for area in ("20 mm2", "10 mm2"))
    assert narrow / wide == pytest.approx(4.0, rel=1e-3)
    faster = charges.bay_lag(bay(vent_area="20 mm2"), volume, states(top_climb_m_s=200.0))
    assert faster / wide == pytest.approx(4.0, rel=1e-3)


def pulls(*canopies, results=(), **changes):
    found = charges.early_pulls(sheet(canopies=canopies), bay(), states(**changes), results)
    return {one.kind: one.force for one in found}


def test_the_heavier_drag_behind_parts_the_joint_and_trapped_air_comes_on_top():
    """(m_f D_a - m_a D_f) / (m_f + m_a): 2 kg and 10 N ahead, 6 kg and 60 N behind."""
    found = pulls()
    assert found[PullKind.DRAG].value == pytest.approx((2 * 60 - 6 * 10) / 8)
    # Thrust of 100 N that stops: 0.4 of it, times the share of the mass ahead.
    assert found[PullKind.SPRINGBACK].value == pytest.approx(0.4 * 100 * 2 / 8)
    assert found[PullKind.TRAPPED_AIR].high == pytest.approx(5e3 * AREA_M2)
    pressed = pulls(drag_ahead_n={"joint": exact(90.0)})
    assert (pressed[PullKind.DRAG].low, pressed[PullKind.DRAG].high) == (0.0, 0.0)


def test_only_a_canopy_of_another_bay_that_opens_before_jerks_the_lighter_side():
    other = SimpleNamespace(name="drogue", opening_load=exact(400.0))
    found = pulls(canopy(), results=(other,))
    # 400 N slow 8 kg by 50 m/s2; the 2 kg ahead want to fly on.
    assert found[PullKind.OPENING].value == pytest.approx(100.0)
    assert PullKind.OPENING not in pulls(
        canopy(), results=(other,), out_time_s={"main": 10.0, "drogue": 10.0}
    )
    assert PullKind.OPENING not in pulls(
        canopy(), results=(SimpleNamespace(name="main", opening_load=exact(9e3)),)
    )


def test_the_worst_pull_counts_with_the_air():
    def pull(kind, high):
        return EarlyPull(kind=kind, force=about(high / 2, 0.0, high))

    found = charges.early_load(
        (pull(PullKind.DRAG, 30.0), pull(PullKind.SPRINGBACK, 50.0), pull(PullKind.TRAPPED_AIR, 7.0))
    )
    assert (found.low, found.value, found.high) == (0.0, 28.5, 57.0)


def test_a_charge_is_told_with_what_its_bay_needs():
    pinned = joint(pins={"screw": "M2 nylon", "count": 3}, friction="12 N +- 2 N")
    entry = charge(backup_of="first")
    found = charges.charge_result(sheet(joints=(pinned,), charges=(entry,)), entry, states(), ())
    assert (found.pins, found.screw, found.joint, found.backup_of) == (3, "M2 nylon", "joint", "first")
    assert found.force_on_joint.value == pytest.approx(found.pressure.value * AREA_M2)
    # Ten psi at least, in an ideal gas of R T = 219.0 kJ/kg (the trade's constants for 4F powder).
    assert found.resistance.value / AREA_M2 < 68948.0
    assert found.needed_powder.value == pytest.approx(68948.0 * AREA_M2 * 0.3 / 219.0e3, rel=2e-3)
    vented = charges.charge_result(
        sheet(bays=(bay(vent_area="50 mm2"),), joints=(pinned,), charges=(entry,)), entry, states(), ()
    )
    assert vented.needed_powder.value > found.needed_powder.value
    unsaid = charge(powder=None)
    unknown = charges.charge_result(sheet(charges=(unsaid,)), unsaid, states(), ())
    assert (unknown.powder, unknown.pressure, unknown.force_on_joint, unknown.pins) == (None, None, None, 0)


# ---------------------------------------------------------------- charges in time


@pytest.fixture
def trio():
    entry = charge()
    vehicle = SimpleNamespace(
        sheet=sheet(
            charges=(entry,), joints=(joint(friction="10 N +- 5 N", pins={"screw": "M2 nylon", "count": 2}),)
        )
    )
    return bursts._ends(vehicle, bay(free_volume="1 l +- 0.1 l", vent_area="20 mm2"), states())


def test_every_doubt_stands_at_the_end_that_hurts_or_helps_the_charge(trio):
    weak, central, strong = trio
    pins = pins_hold("M2 nylon", 2)
    assert (weak.volume_m3, central.volume_m3, strong.volume_m3) == pytest.approx((1.1e-3, 1e-3, 0.9e-3))
    assert (weak.friction_n, central.friction_n, strong.friction_n) == (15.0, 10.0, 5.0)
    assert (weak.pins_n, central.pins_n, strong.pins_n) == (pins.high, pins.value, pins.low)
    heat, burn = HEAT_TO_WALLS_W_M2_K, BURN_TIME_S
    assert (weak.heat_w_m2_k, central.heat_w_m2_k, strong.heat_w_m2_k) == (heat.high, heat.value, heat.low)
    assert (weak.burn_time_s, central.burn_time_s, strong.burn_time_s) == (burn.high, burn.value, burn.low)
    # Walls and one end: pi d (L + d / 2); two sides of 2 and 6 kg move as 1.5 kg; half a bore of stroke.
    assert central.wall_area_m2 == pytest.approx(math.pi * 0.08 * 0.34)
    assert central.moved_kg == pytest.approx(1.5)
    assert central.stroke_m == pytest.approx(0.04)
    assert (central.vent_area_m2, central.ambient_pa, central.temperature_k) == (
        pytest.approx(20e-6),
        100e3,
        300.0,
    )
    assert strong.trapped_pa > 0.0 == weak.trapped_pa == central.trapped_pa


def test_a_shoulder_is_the_stroke_and_an_unpinned_joint_has_only_friction():
    vehicle = SimpleNamespace(sheet=sheet(joints=(joint(shoulder="30 mm"),)))
    weak, central, strong = bursts._ends(vehicle, bay(), states())
    assert {one.stroke_m for one in (weak, central, strong)} == {0.03}
    assert {one.pins_n for one in (weak, central, strong)} == {0.0}
    assert {one.vent_area_m2 for one in (weak, central, strong)} == {0.0}
    assert strong.trapped_pa == 0.0


def test_weak_shots_part_slower_and_strong_ones_faster(trio):
    shot = bursts._shot("charge", about(2e-3, 1.9e-3, 2.1e-3), trio, (None, (0.02, 0.04)))
    assert shot.speed.low < shot.speed.value < shot.speed.high
    assert shot.peak.low < shot.peak.value < shot.peak.high
    weakest, middle, strongest = shot.histories
    assert weakest.end_speed_m_s == pytest.approx(
        min(
            burst(replace(trio[0], powder_kg=1.9e-3, stroke_m=stroke)).end_speed_m_s
            for stroke in (0.02, 0.04)
        )
    )
    assert strongest.end_speed_m_s == pytest.approx(
        max(
            burst(replace(trio[2], powder_kg=2.1e-3, stroke_m=stroke)).end_speed_m_s
            for stroke in (0.02, 0.04)
        )
    )
    assert middle.peak_pa == pytest.approx(burst(replace(trio[1], powder_kg=2e-3)).peak_pa)
    assert shot.opens is True
    assert (shot.closed_form_pa.low < shot.closed_form_pa.value < shot.closed_form_pa.high) is True
    feeble = bursts._shot("charge", exact(1e-6), trio, (None, (0.04,)))
    assert feeble.opens is False


def test_a_share_that_was_tested_leaves_only_its_own_scatter(trio):
    tested = bursts._shot("charge", exact(2e-3), trio, (about(0.5, 0.4, 0.6), (0.04,)))
    for share, speed in ((0.4, tested.speed.low), (0.5, tested.speed.value), (0.6, tested.speed.high)):
        assert speed == pytest.approx(burst(replace(trio[1], powder_kg=2e-3 * share)).end_speed_m_s)


def test_a_ground_test_says_a_share_at_least_or_at_most(trio):
    def told(**given):
        return bursts._told_by(GroundTestEntry.model_validate({"powder": "2 g", **given}), trio[1])

    assert told(parted=False).said is ShotSaid.HOLDS_AT_LEAST
    assert told(parted=True).said is ShotSaid.HOLDS_AT_MOST
    on_ground = replace(trio[1], ambient_pa=101325.0, powder_kg=2e-3)
    full = burst(on_ground).end_speed_m_s
    seen = told(parted=True, speed=f"{full:.6f} m/s")
    assert (seen.said, seen.share.value) == (ShotSaid.POWDER_SHARE, pytest.approx(1.0, rel=0.02))
    slow = told(parted=True, speed=f"{0.7 * full:.6f} m/s")
    assert slow.share.value < 0.9
    tests = [
        {"powder": "2 g", "parted": True, "speed": f"{0.7 * full} m/s"},
        {"powder": "2 g", "parted": True, "speed": f"{full} m/s"},
    ]
    share, every = bursts._tested([charge(ground_test=tests)], trio)
    assert share.value == pytest.approx(1.0, rel=0.02)  # the last one goes
    assert len(every) == 2
    assert bursts._tested([charge(ground_test=[{"powder": "2 g", "parted": True}])], trio)[0] is None


def test_shots_are_each_alone_and_all_in_one_instant(trio):
    one, two = charge(), charge(name="backup", powder="3 g")
    told = list(bursts._shots([one, two], trio, (None, (0.04,))))
    assert [(shot.charge, shot.powder_kg) for shot in told] == [
        ("charge", pytest.approx(2e-3)),
        ("backup", pytest.approx(3e-3)),
        ("", pytest.approx(5e-3)),
    ]
    assert [shot.charge for shot in bursts._shots([one], trio, (None, (0.04,)))] == ["charge"]


def test_the_plan_is_twice_as_flown_then_a_fifth_less_then_each_backup():
    plan = bursts._plan([charge(), charge(name="unsaid", powder=None), charge(name="backup", powder="3 g")])
    assert [(one.purpose, one.charge, one.powder_kg) for one in plan] == [
        (ShotPurpose.AS_FLOWN, "charge", pytest.approx(2.0e-3)),
        (ShotPurpose.AGAIN, "charge", pytest.approx(2.0e-3)),
        (ShotPurpose.LESS, "charge", pytest.approx(1.6e-3)),
        (ShotPurpose.AS_FLOWN, "backup", pytest.approx(3.0e-3)),
    ]


def test_the_study_of_the_example_says_its_bay_s_numbers(lighthouse, answered):
    from finial.assemble.recovery.moments import recovery_moments

    (entry,) = lighthouse.sheet.recovery.bay
    study = bursts.burst_study(lighthouse, entry, recovery_moments(answered.basis))
    area = QUARTER * entry.diameter.value**2
    assert study.joint_peak_n == pytest.approx(area * max(shot.peak.high for shot in study.shots))
    assert [row[0] for row in study.by_height] == [0.0, 1000.0, 2000.0, 4000.0, 6000.0]
    # Standard atmosphere: about 89.9, 79.5, 61.6 and 47.2 kPa; the pad lies a little above the sea.
    assert [row[1] for row in study.by_height[1:]] == pytest.approx(
        [89.9e3, 79.5e3, 61.6e3, 47.2e3], rel=0.05
    )
    # The gas cools on the same walls and more of it is lost to thin air: a little slower the higher.
    speeds = [row[3] for row in study.by_height]
    assert speeds == sorted(speeds, reverse=True)
    assert speeds[-1] > 0.9 * speeds[0]
    # Air as at 20,000 ft of the standard day, over a pad a little above the sea.
    assert study.loose_powder_ends_m == pytest.approx(20_000 * 0.3048, rel=0.03)
    assert bursts._height_of(lighthouse, 50e3) == pytest.approx(5500.0, rel=0.07)  # half of the sea's: 5.5 km
    empty = lighthouse.sheet.recovery.model_copy(update={"charge": ()})
    bare = replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"recovery": empty}))
    assert bursts.burst_study(bare, entry, recovery_moments(answered.basis)) is None


# ---------------------------------------------------------------- packs, pins, vents


def test_a_pack_is_its_cloth_protector_and_cord_in_the_room_of_its_bay():
    own = sheet(canopies=(canopy(),), cords=(cord(),))
    study = bays.pack_study(own, own.recovery.bay[0])
    assert study.contents_kg == pytest.approx(0.2 + 0.05 + 6 * 0.01)
    assert study.density.value == pytest.approx(0.31 / (AREA_M2 * 0.3))
    assert (study.length_m, study.comes_out, study.doubts, study.mouth_share) == (
        pytest.approx(0.3),
        True,
        (),
        1.0,
    )
    assert bays.pack_study(sheet(), bay()) is None
    # At 352 kg/m3, as packed by hand (Knacke).
    assert study.room_m == pytest.approx(0.31 / 352.0 / AREA_M2, rel=1e-6)


def doubts_of(bay_given=None, **given):
    usual = {"canopies": (canopy(),), "cords": (cord(),)}
    own = sheet(bays=(bay(**(bay_given or {})),), **{**usual, **given})
    study = bays.pack_study(own, own.recovery.bay[0])
    return {one.kind: one for one in study.doubts}, study


@pytest.mark.parametrize(
    ("bay_given", "given", "kind", "number"),
    [
        ({"stations": ["100 mm", "430 mm"]}, {}, PackDoubtKind.SLENDER_BAY, 330 / 80),
        ({}, {"canopies": (canopy(protector=None),)}, PackDoubtKind.NO_PROTECTOR, None),
        ({}, {"cords": ()}, PackDoubtKind.NO_CORD, None),
        ({}, {"cords": (cord(length="0.7 m", canopy_at="20 %"),)}, PackDoubtKind.SHORT_INSIDE, 0.56),
        ({}, {"cords": (cord(mass_per_length=None, breaking_load="4 kN", stretch_at_break="20 %"),)},
         PackDoubtKind.CORD_NOT_WEIGHED, None),
    ],
)  # fmt: skip
def test_each_doubt_about_a_pack_is_told_alone(bay_given, given, kind, number):
    found, _ = doubts_of(bay_given, **given)
    assert set(found) == {kind}
    assert found[kind].number == (pytest.approx(number) if number else found[kind].number)


def test_four_diameters_and_two_bays_of_cord_are_no_doubt():
    assert doubts_of({"stations": ["100 mm", "420 mm"]})[0] == {}
    assert doubts_of(cords=(cord(length="0.8 m", canopy_at="20 %"),))[0] == {}


def test_a_mouth_narrower_than_the_rolled_pack_squeezes_it():
    """310 g by hand over 300 mm want a roll of 61.1 mm."""
    rolled = math.sqrt(0.31 / 352.0 / 0.3 / QUARTER)
    for mouth, squeezed in ((0.99 * rolled, True), (1.01 * rolled, False)):
        found, study = doubts_of({"mouth": f"{1e3 * mouth:.4f} mm"})
        assert (PackDoubtKind.NARROW_MOUTH in found) is squeezed
        assert study.comes_out is not squeezed
        assert study.mouth_share == pytest.approx(min(mouth / rolled, 1.0), rel=1e-3)


def test_the_size_of_a_pack_is_the_sheet_s_or_its_bay_s():
    said = bays.packed_size(sheet(), canopy(packed_across="70 mm", packed_length="150 mm"))
    assert (said.diameter_m, said.length_m, said.mouth_m) == (0.07, 0.15, 0.07)
    assert said.contents_kg.value == pytest.approx(0.25)
    unsaid = bays.packed_size(sheet(), canopy(protector=None))
    assert (unsaid.diameter_m, unsaid.length_m) == (0.08, pytest.approx(0.3))
    assert unsaid.contents_kg.value == pytest.approx(0.2)


def test_pins_are_set_beside_what_pulls_and_other_screws_by_the_fewest_that_hold():
    pinned = joint(pins={"screw": "M2 nylon", "count": 3}, friction="12 N +- 2 N")
    own = sheet(joints=(pinned,), charges=(charge(), charge(name="x", bay="other", powder="0.01 g")))
    study = bays.pin_study(own, bay(), states(), ())
    assert (study.screw, study.count, study.joint) == ("M2 nylon", 3, "joint")
    # A tight bay keeps all of the ground's pressure: 5 kPa over what is outside at the top.
    assert study.sealed_n == pytest.approx(5e3 * AREA_M2)
    worst = charges.early_load(study.pulls).high
    assert study.others
    weak = bays._weak_force(1.9e-3, charges.free_volume(own, bay()), bay())
    for one in study.others:
        assert 2 <= one.count <= 8
        assert one.holds == pins_hold(one.screw, one.count)
        assert one.holds.low >= 1.5 * worst * (1 - 1e-9)
        if one.count > 2:
            assert pins_hold(one.screw, one.count - 1).low < 1.5 * worst
        assert one.breaks is (weak >= 1.25 * (one.holds.high + 14.0))
    bare = bays.pin_study(sheet(), bay(), states(), ())
    assert (bare.screw, bare.count, bare.holds) == ("", 0, None)
    assert {one.breaks for one in bare.others} == {None}


def test_a_vent_is_set_beside_the_trade_s_rule():
    """A quarter inch for each 100 in3, common practice: one, three or four holes of the same area."""
    study = bays.vent_study(sheet(), bay(free_volume="1 l", vent_area="20 mm2"), states())
    assert (study.volume_m3, study.vent_m2) == (pytest.approx(1e-3), pytest.approx(20e-6))
    assert [count for count, _ in study.rule_holes] == [1, 3, 4]
    areas = [count * QUARTER * across**2 for count, across in study.rule_holes]
    by_rule = QUARTER * (0.25 * 0.0254) ** 2 * 1e-3 / (100 * 0.0254**3)
    assert areas == pytest.approx([by_rule] * 3, rel=1e-3)
    assert study.lag_m == pytest.approx(study.lag_pa / (1.2 * 9.80665))
    tight = bays.vent_study(sheet(), bay(), states())
    assert (tight.vent_m2, tight.lag_pa, tight.lag_m) == (None, None, None)


@pytest.mark.parametrize(
    ("behind", "cords", "forces", "ways"),
    [
        (None, True, True, {"pull", "push"}),
        (True, True, True, {"pull", "push"}),
        (False, True, True, {"pull"}),
        (None, False, True, {"push"}),
        (None, True, False, {"pull"}),
        (False, False, True, set()),
    ],
)
def test_a_pack_is_pulled_by_a_cord_and_pushed_by_a_charge_behind_it(behind, cords, forces, ways):
    entry = charge(**({} if behind is None else {"behind_pack": behind}))
    own = sheet(charges=(entry,), cords=(cord(),) if cords else ())
    pack = bays.pack_study(sheet(canopies=(canopy(),), cords=(cord(),)), bay())
    results = SimpleNamespace(
        charges=(SimpleNamespace(bay="bay", force_on_joint=exact(500.0) if forces else None),)
    )
    shot = SimpleNamespace(speed=about(8.0, 6.0, 10.0))
    blasts = (SimpleNamespace(bay="other", shots=()), SimpleNamespace(bay="bay", shots=(shot,)))
    study = pack_exit.exit_study(own, pack, states(), results, blasts)
    if not ways:
        assert study is None
        return
    assert {name for name in ("pull", "push") if getattr(study, name) is not None} == ways
    assert study.behind_told is (behind is True)
    assert pack_exit.exit_study(own, replace(pack, friction=None), states(), results, blasts) is None


def test_the_surer_way_out_is_the_one_with_the_higher_low_end():
    study = SimpleNamespace(pull=about(5.0, 1.0, 9.0), push=about(3.0, 2.0, 4.0))
    assert pack_exit.best_of(study) == (ExitWay.PUSHED, study.push)
    alone = SimpleNamespace(pull=study.pull, push=None)
    assert pack_exit.best_of(alone) == (ExitWay.PULLED, study.pull)


# ---------------------------------------------------------------- lips


def lip_entry(**given):
    return bay(wall="2 mm", material="PETG", lip=given or None)


@pytest.fixture(autouse=True)
def stuffs(monkeypatch):
    monkeypatch.setattr(lip, "sheet_material", lambda sheet, name: material(name))


def test_a_lip_is_the_bay_s_wall_and_stuff_unless_it_has_its_own():
    plain = lip.lip_of(None, lip_entry(), 0.025)
    assert (plain.wall_m, plain.cord_width_m, plain.layers_across_tube) == (0.002, 0.025, False)
    assert plain.strength_pa == material("PETG").yield_pa
    assert lip.lip_of(None, lip_entry(), None).cord_width_m == 0.010  # assumed
    own = lip.lip_of(None, lip_entry(wall="3 mm", edge_radius="1.5 mm", layers_stacked="across"), 0.025)
    assert (own.wall_m, own.edge_radius_m, own.layers_across_tube) == (0.003, 0.0015, True)
    assert lip.lip_of(None, bay(material="PETG"), 0.025) is None
    assert lip.lip_of(None, bay(wall="2 mm"), 0.025) is None
    tested = lip.lip_of(None, lip_entry(pull_test={"tension": "2400 N", "bend": "90 deg"}), 0.025)
    assert lip.lip_holds(tested, math.pi / 2).value == pytest.approx(2400.0, rel=0.02)


def test_a_lip_is_told_as_it_is_taken():
    sharp = lip_entry()
    told = lip.lip_study(sharp, lip.lip_of(None, sharp, 0.025))
    assert (told.material, told.ring, told.edge_as_cut, told.tested, told.bears_m) == (
        "PETG",
        False,
        True,
        False,
        0.025,
    )
    ringed = lip_entry(ring={"wall": "2 mm", "edge_radius": "2 mm", "material": "6061-T6"})
    told = lip.lip_study(ringed, lip.lip_of(None, ringed, 0.025))
    assert (told.material, told.ring, told.edge_as_cut) == ("6061-T6", True, False)
    rounded = lip_entry(edge_radius="1 mm")
    assert lip.lip_study(rounded, lip.lip_of(None, rounded, 0.025)).edge_as_cut is False
    assert LipEntry().layers_stacked != "across"


# ---------------------------------------------------------------- moments, halves, order, starts


class Flown(SimpleNamespace):
    def event(self, kind, canopy=None):
        found = (one for one in self.events if one.kind is kind and canopy in (None, one.canopy))
        return next(found, None)


def flown(**changes):
    """Up at 100 m/s for ten seconds and down at 20 m/s; airspeed 12 m/s, dynamic pressure by the time."""
    times = np.arange(0.0, 61.0)
    heights = np.where(times <= 10.0, 100.0 * times, np.maximum(1000.0 - 20.0 * (times - 10.0), 0.0))
    rates = np.where(times <= 10.0, 100.0, -20.0)
    zero = np.zeros_like(times)
    turned = np.tile([1.0, 0.0, 0.0, 0.0], (len(times), 1))
    usual = {
        "times_s": times,
        "positions_m": np.column_stack([zero, zero, heights]),
        "velocities_m_s": np.column_stack([3.0 + zero, 4.0 + zero, rates]),
        "airspeeds_m_s": 12.0 + times,
        "machs": 0.01 * times,
        "dynamic_pressures_pa": 1000.0 * times,
        "accelerations_m_s2": np.column_stack([zero, zero, 2 * 9.80665 + zero]),
        "rates_rad_s": np.zeros((len(times), 3)),
        "quaternions": turned,
        "events": (
            SimpleNamespace(kind=EventKind.LIFT_OFF, canopy="", time_s=0.5, height_agl_m=0.0),
            SimpleNamespace(kind=EventKind.BURNOUT, canopy="", time_s=2.5, height_agl_m=250.0),
            SimpleNamespace(kind=EventKind.APOGEE, canopy="", time_s=10.0, height_agl_m=1000.0),
            SimpleNamespace(kind=EventKind.OUT, canopy="main", time_s=11.0, height_agl_m=980.0),
        ),
    }
    return Flown(**{**usual, **changes})


@pytest.mark.parametrize(
    ("event", "time_s"),
    [
        ("apogee", 10.0),
        ({"after_lift_off": "9 s"}, 9.5),
        ({"falling_through": "300 m"}, 45.0),  # 700 m at 20 m/s after the top
        ({"falling_through": "2000 m"}, 11.0),  # below it at once
    ],
)
def test_an_event_comes_when_the_sheet_says(event, time_s):
    assert start.event_time(flown(), EventEntry.model_validate(event)) == pytest.approx(time_s)


def test_an_event_that_never_comes_is_the_end_of_the_flight():
    high = flown(positions_m=np.column_stack([np.zeros(61), np.zeros(61), np.full(61, 500.0)]), events=())
    assert start.event_time(high, EventEntry.model_validate("apogee")) == 60.0
    assert start.event_time(high, EventEntry.model_validate({"falling_through": "300 m"})) == 60.0
    assert start.event_time(high, EventEntry.model_validate({"after_lift_off": "9 s"})) == 9.0


@pytest.mark.parametrize(
    ("time_s", "index"), [(-5.0, 0), (0.0, 0), (10.0, 10), (10.9, 10), (11.0, 11), (99.0, 59)]
)
def test_the_sample_before_a_time_is_taken_inside_the_flight(time_s, index):
    assert start._index(flown(), time_s) == index


def test_a_joint_opens_at_the_first_event_of_a_charge_in_its_bays():
    late = charge(name="late", event={"after_lift_off": "9 s"})
    vehicle = SimpleNamespace(
        sheet=sheet(bays=(bay(), bay(name="other", joint="second")), charges=(charge(bay="other"), late))
    )
    assert start.joint_event(vehicle, joint()).after_lift_off.value == 9.0
    assert start.joint_event(vehicle, joint(name="second")).apogee
    assert start.joint_event(vehicle, joint(name="third")) is None


def test_a_start_is_how_it_moves_through_the_air_and_lies(monkeypatch):
    monkeypatch.setattr(start, "density_at", lambda vehicle, height: exact(1.0 - 1e-4 * height))
    monkeypatch.setattr(start, "pressure_at", lambda vehicle, height: 100e3 - 10.0 * height)
    trace = flown(rates_rad_s=np.tile([0.0, -0.5, 0.0], (61, 1)))
    wind = SimpleNamespace(
        wind_heights_m=np.array([0.0, 2000.0]),
        wind_east_m_s=np.array([6.0, 6.0]),
        wind_north_m_s=np.array([0.0, 0.0]),
    )
    shut = start.ShutFlights(traces={"day": trace}, airs={"day": wind})
    early, late = start.openings(None, shut, EventEntry.model_validate("apogee"), (-2.0, 5.0), ("day",))
    assert (early.wind, early.offset_s, late.offset_s) == ("day", -2.0, 5.0)
    # 3 - 6 east and 4 north through the air: 5 m/s.
    assert (early.along_m_s, early.up_m_s, late.up_m_s) == pytest.approx((5.0, 100.0, -20.0))
    assert early.speed_m_s == pytest.approx(math.hypot(5.0, 100.0))
    assert (early.height_m, late.height_m) == pytest.approx((800.0, 900.0))
    assert early.density_kg_m3 == pytest.approx(0.92)
    assert late.pressure_pa == pytest.approx(91e3)
    # The axis points east, the heading is (-3, 4) / 5: nose level, and seen from there backwards.
    assert abs(early.angle_rad) == pytest.approx(math.pi)
    # Body y is north. Turning about heading x up, (0.8, 0.6): -0.5 about y is -0.3.
    assert early.rate_rad_s == pytest.approx(-0.3)


def test_air_and_speed_at_an_event_are_read_off_the_flight():
    trace = flown()
    assert (moments._out_time(trace, "main"), moments._out_height(trace, "main")) == (11.0, 980.0)
    assert (moments._out_time(trace, "x"), moments._out_height(trace, "x")) == (math.inf, 0.0)
    assert moments._airspeed_at(trace, "main") == pytest.approx(23.0)
    assert moments._airspeed_at(trace, "x") == 0.0
    assert moments._at_burnout(trace) == pytest.approx(2500.0)
    assert moments._at_burnout(flown(events=())) == 0.0


def test_an_event_may_come_a_second_late_or_as_late_as_the_sheet_says():
    def late(event_delay=None, delay="0 s"):
        scatter = SimpleNamespace(event_delay=event_delay)
        return moments.late_s(
            SimpleNamespace(scatter=scatter, recovery=sheet(canopies=(canopy(delay=delay),)).recovery)
        )

    assert late() == 1.0
    assert late(SimpleNamespace(value=0.5, tolerance=0.2)) == 1.0
    assert late(SimpleNamespace(value=1.0, tolerance=0.4)) == pytest.approx(1.4)
    assert late(delay="2 s +- 1.5 s") == 1.5


def test_a_canopy_comes_out_as_fast_as_a_late_event_lets_it_fall(monkeypatch):
    monkeypatch.setattr(moments, "parts_bare", lambda recovery: False)
    vehicle = SimpleNamespace(
        sheet=SimpleNamespace(
            scatter=SimpleNamespace(event_delay=None), recovery=sheet(canopies=(canopy(),)).recovery
        )
    )
    flights = SimpleNamespace(nominal=flown(), windy=flown(airspeeds_m_s=np.full(61, 30.0)))
    found = moments._out_speed(vehicle, flights, canopy())
    assert (found.low, found.value, found.high) == pytest.approx((23.0, 23.0, math.hypot(30.0, 9.80665)))
    monkeypatch.setattr(moments, "parts_bare", lambda recovery: True)
    monkeypatch.setattr(moments, "parted_area", lambda vehicle: about(0.4, 0.1, 0.9))
    bare = moments._out_speed(vehicle, flights, canopy())
    # Steady speed goes with the inverse root of the area.
    assert (bare.low, bare.value, bare.high) == pytest.approx((23.0 * math.sqrt(4 / 9), 23.0, 60.0))


def test_the_push_at_burnout_and_the_top_are_taken_over_all_flights():
    flights = SimpleNamespace(
        every=(
            flown(),
            flown(dynamic_pressures_pa=np.full(61, 900.0)),
            flown(dynamic_pressures_pa=np.full(61, 4000.0)),
        )
    )
    air = SimpleNamespace(drag=SimpleNamespace(reference_area_m2=0.02))
    push = moments._burnout_push(air, flights)
    assert (push.low, push.value, push.high) == pytest.approx((18.0, 50.0, 80.0))
    drag = moments._times(push, about(0.5, 0.4, 0.6))
    assert (drag.low, drag.value, drag.high) == pytest.approx((7.2, 25.0, 48.0))
    top = moments._top(flights)
    assert (top.low, top.value, top.high) == (1000.0, 1000.0, 1000.0)


def test_thrust_that_stops_dead_swings_all_of_it_back_and_a_slow_end_next_to_nothing():
    dead = moments._rebound(0.0, 1.5)
    assert (dead.low, dead.high) == (0.0, 1.0)
    assert dead.value == pytest.approx(1.0)
    slow = moments._rebound(1.0, 1.5)
    # Twice the length at 300 m/s takes 10 ms: over a second at most 1 / (100 pi) of it is left.
    assert slow.high == pytest.approx(0.01 / math.pi)
    assert slow.value <= slow.high


def test_a_side_on_which_nothing_lies_weighs_as_a_bare_shell():
    assert moments._some(exact(0.3)).value == 0.3
    assert (moments._some(exact(0.0)).value, moments._some(exact(0.0)).known_by) == (0.05, KnownBy.ASSUMED)
    assert Apart(fore_kg=exact(2.0), aft_kg=exact(6.0)).moved_kg == pytest.approx(1.5)


def test_a_station_ahead_of_a_side_s_balance_lies_positive_on_its_piece():
    side = halves.Side(piece=None, station_m=0.7)
    assert side.along(0.4) == pytest.approx(0.3)
    vehicle = SimpleNamespace(
        sheet=sheet(
            canopies=(canopy(), canopy(name="x", bay="other")), cords=(cord(), cord(name="y", joint="second"))
        )
    )
    assert halves._let_out(vehicle, "joint") == {("canopy", "main"), ("cord", "cord")}


@pytest.mark.parametrize(
    ("climb", "mach", "sees"),
    [(100.0, 0.81, Barometer.SHOCKS), (100.0, 0.79, Barometer.RATE), (1.9, 0.1, Barometer.STEADY),
     (-1.9, 0.1, Barometer.STEADY), (2.1, 0.1, Barometer.RATE), (-2.1, 0.1, Barometer.RATE)],
)  # fmt: skip
def test_a_barometer_sees_shocks_steady_air_or_a_rate(climb, mach, sees):
    assert order._barometer(climb, mach) is sees


def test_pressure_falls_by_the_hydrostatic_balance(monkeypatch):
    """12 Pa for each metre at the ground: rho g, with rho by the ideal gas."""
    monkeypatch.setattr(order, "pressure_at", lambda vehicle, height: 100e3 - 10.0 * height)
    monkeypatch.setattr(order, "day_at_pad", lambda vehicle: SimpleNamespace(temperature_k=290.0))
    density = 100e3 / (287.05 * 290.0)
    assert order._pressure_rate(None, -5.0, 10.0) == pytest.approx(-density * 9.80665 * 10.0, rel=1e-4)
    assert order._pressure_rate(None, 1000.0, -10.0) == pytest.approx(
        0.9 * density * 9.80665 * 10.0, rel=1e-4
    )


def test_the_order_holds_flight_and_charges_with_what_each_sees(monkeypatch):
    monkeypatch.setattr(order, "_pressure_rate", lambda vehicle, height, climb: climb)
    monkeypatch.setattr(order, "parts_bare", lambda recovery: False)
    first = charge()
    backup = charge(name="backup", backup_of="charge", event={"after_lift_off": "12 s"})
    vehicle = SimpleNamespace(
        sheet=sheet(charges=(first, backup), canopies=(canopy(),)), skin=SimpleNamespace(length_m=1.6)
    )
    found = order.order_study(vehicle, flown(), 0.4)
    assert [(row.time_s, row.name) for row in found.rows] == [
        (0.5, ""), (2.5, ""), (10.0, ""), (10.0, "charge"), (11.0, "main"), (12.5, "backup"),
    ]  # fmt: skip
    assert (found.events, found.joints[0].share) == (1, pytest.approx(0.125))
    assert (found.burnout_s, found.apogee_s, found.top_mach) == (2.5, 10.0, pytest.approx(0.6))
    assert (found.backup_at_once, found.no_delay) == (False, True)
    burnout = found.rows[1]
    assert (burnout.height_m, burnout.speed_m_s) == pytest.approx((200.0, math.hypot(5.0, 100.0)))
    assert burnout.felt_g == pytest.approx(2.0)
    # A lag is worth a word on a fast climb alone, from a decimetre.
    assert [row.lag_m for row in found.rows] == [0.4, 0.4, 0.4, 0.4, 0.4, None]
    assert {row.lag_m for row in order.order_study(vehicle, flown(), 0.09).rows} == {None}
    assert {row.lag_m for row in order.order_study(vehicle, flown(), None).rows} == {None}
    at_once = charge(name="backup", backup_of="charge")
    vehicle.sheet = sheet(charges=(first, at_once), canopies=(canopy(delay="1 s"),))
    again = order.order_study(vehicle, flown(), None)
    assert (again.backup_at_once, again.no_delay) == (True, False)
