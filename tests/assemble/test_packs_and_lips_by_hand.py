"""Packs, pins, vents and lips on paper."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from made_by_hand import AREA_M2, QUARTER, bay, charge, cord, joint, sheet

from finial.assemble.recovery import bays, charges, lip, pack_exit
from finial.assemble.recovery.inputs import Apart
from finial.assemble.recovery.records import ExitWay
from finial.assemble.recovery.results import PackDoubtKind
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import (
    CanopyEntry,
    LipEntry,
)
from finial.materials.material import material
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


@pytest.mark.parametrize(
    ("said", "behind"),
    [((), None), ((None, None), None), ((True, None), True), ((True, False), False), ((None, False), False)],
)
def test_one_charge_that_pushes_the_pack_in_may_be_the_one_that_fires(said, behind):
    charges = [charge(**({} if one is None else {"behind_pack": one})) for one in said]
    assert pack_exit._behind(charges) is behind


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
    assert told.layered is True
    ringed = lip_entry(ring={"wall": "2 mm", "edge_radius": "2 mm", "material": "6061-T6"})
    told = lip.lip_study(ringed, lip.lip_of(None, ringed, 0.025))
    assert (told.material, told.ring, told.edge_as_cut, told.layered) == ("6061-T6", True, False, False)
    rounded = lip_entry(edge_radius="1 mm")
    assert lip.lip_study(rounded, lip.lip_of(None, rounded, 0.025)).edge_as_cut is False
    assert LipEntry().layers_stacked != "across"
