"""What a joint holds, what pulls at it, and charges in time; on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from made_by_hand import AREA_M2, QUARTER, bay, charge, joint, sheet

from finial.assemble.recovery import bursts, charges, lip
from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.records import ShotPurpose, ShotSaid
from finial.assemble.recovery.results import EarlyPull, PullKind
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import (
    CanopyEntry,
    GroundTestEntry,
)
from finial.materials.material import material
from finial.recovery.charges.burst import BURN_TIME_S, HEAT_TO_WALLS_W_M2_K, burst
from finial.recovery.charges.powder import bay_pressure
from finial.recovery.joints.pins import pins_hold


def about(value, low, high):
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method="")


def canopy(**given):
    usual = {"name": "main", "bay": "bay", "kind": "flat circular", "event": "apogee", "station": "350 mm"}
    usual |= {"diameter": "1.2 m", "diameter_measures": "nominal", "mass": "200 g", "protector": "50 g"}
    return CanopyEntry.model_validate({**usual, **given})


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
    plan = bursts.planned_shots(
        [charge(), charge(name="unsaid", powder=None), charge(name="backup", powder="3 g")]
    )
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


@pytest.fixture(autouse=True)
def stuffs(monkeypatch):
    monkeypatch.setattr(lip, "sheet_material", lambda sheet, name: material(name))
