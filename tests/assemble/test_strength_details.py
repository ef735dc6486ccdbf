"""Small things that let go, and load cases beyond the check's: how they move with what the sheet says."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.air.source import air_loads
from finial.assemble.strength.cuts import State, cuts_through
from finial.assemble.strength.details import DetailScene, detail_rows
from finial.assemble.strength.fins.plates import root_of
from finial.assemble.strength.forces import air_forces, drag_forces
from finial.assemble.strength.further_cases import tail_off
from finial.assemble.strength.heat import heat_cases, preload_rows, sunlit_state, wall_warmth
from finial.assemble.strength.study import all_cases
from finial.assemble.vehicle.stays import crossing, stay_of, stay_run
from finial.core.units import Dimension, parse_quantity
from finial.files.sheet_body import DowelsEntry, StayEntry
from finial.structure.loads.forces import LineForce, PointForce


def length(text):
    return parse_quantity(text, Dimension.LENGTH)


def with_sheet(vehicle, /, **tables):
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update=tables))


@pytest.fixture(scope="module")
def air(answered):
    return air_loads(answered.vehicle, answered.mass.lift_off.station_m)


@pytest.fixture(scope="module")
def cuts(lighthouse):
    return cuts_through(lighthouse, State())


@pytest.fixture(scope="module")
def cases(answered, air, cuts):
    return all_cases(answered.basis, answered.recovery, cuts)


@pytest.fixture(scope="module")
def rows_of(answered, cuts, cases):
    def rows(vehicle):
        scene = DetailScene(vehicle=vehicle, rows=answered.rows, cuts=cuts, state=State(), cases=cases)
        return {row.what: row for row in detail_rows(scene)}

    return rows


def test_drag_adds_up_to_the_build_up(lighthouse, air):
    forces = drag_forces(lighthouse, air, 5000.0)
    total = 0.0
    for force in forces:
        if isinstance(force, PointForce):
            total += force.aft_n
        elif isinstance(force, LineForce):
            total += float(np.trapezoid(force.aft_n_per_m, force.stations_m))
    wanted = 5000.0 * air.drag.reference_area_m2 * air.drag.power_on.value
    assert total == pytest.approx(wanted, rel=1e-6)


def test_blunt_fronts_push_where_they_stand(lighthouse, air):
    points = [force for force in air_forces(lighthouse, air, 5000.0, 0.0) if isinstance(force, PointForce)]
    gallery = [force for force in points if abs(force.station_m - 0.25) < 1e-3]
    assert gallery
    assert gallery[0].aft_n == max(force.aft_n for force in points)


def test_on_the_rail_the_buttons_hold_everything(cases):
    rail = next(case for case in cases if "rail" in case.name)
    assert rail.loads.motion.cross_m_s2 == pytest.approx(0.0, abs=1e-9)
    assert rail.loads.motion.turn_rad_s2 == pytest.approx(0.0, abs=1e-9)
    assert rail.loads.motion.aft_m_s2 < -10.0


def test_lifted_at_one_end_stands_still_against_gravity(cases):
    lifted = next(case for case in cases if "lifted" in case.name)
    assert lifted.loads.motion.cross_m_s2 == pytest.approx(9.80665)
    assert lifted.loads.motion.turn_rad_s2 == pytest.approx(0.0, abs=1e-9)


def test_a_charge_squeezes_both_halves(cases):
    pushed = [case for case in cases if "charge pushes" in case.name]
    assert len(pushed) == 2
    for case in pushed:
        assert case.loads.axial_n.min() > -1e-6
        assert case.loads.axial_n.max() > 500.0


def test_a_thrust_that_stops_at_once_falls_from_its_mean():
    fall, last = tail_off(np.array([0.0, 0.01, 1.0, 1.001]), np.array([0.0, 200.0, 200.0, 0.0]))
    assert fall < 0.002
    assert last == pytest.approx(160.0, rel=0.01)


def test_wider_washers_and_thicker_plates_hold_more(lighthouse, rows_of):
    rod = lighthouse.sheet.rod[0]
    usual = rows_of(lighthouse)
    wide = rows_of(with_sheet(lighthouse, rod=(rod.model_copy(update={"washer": length("30 mm")}),)))
    for what in ("washer sinks in", "nut pulls through its plate"):
        assert wide[what].reserve.value > usual[what].reserve.value
    thick = rod.bears_on.model_copy(update={"thickness": length("16 mm")})
    strong = rows_of(with_sheet(lighthouse, rod=(rod.model_copy(update={"bears_on": thick}),)))
    ratio = (
        strong["nut pulls through its plate"].reserve.value
        / usual["nut pulls through its plate"].reserve.value
    )
    assert ratio == pytest.approx(2.0)


def test_a_screw_in_plastic_strips_before_it_breaks(lighthouse, rows_of):
    keep = lighthouse.sheet.motor.retainer
    plastic = keep.model_copy(update={"holds_in": "PETG"})
    motor = lighthouse.sheet.motor.model_copy(update={"retainer": plastic})
    in_plastic = rows_of(with_sheet(lighthouse, motor=motor))["motor retainer lets go"].reserve
    in_metal = rows_of(lighthouse)["motor retainer lets go"].reserve
    assert in_plastic.value < 0.5 * in_metal.value


def test_what_is_not_said_is_not_known(lighthouse, rows_of):
    motor = lighthouse.sheet.motor.model_copy(update={"retainer": None, "thrust_plate": None})
    rows = rows_of(with_sheet(lighthouse, motor=motor))
    assert rows["motor stays in"].reserve is None
    assert rows["thrust reaches the body"].reserve is None


def test_dowels_are_judged_where_parts_meet(lighthouse, rows_of):
    dowels = DowelsEntry.model_validate(
        {"count": 4, "diameter": "4 mm", "depth": "10 mm", "material": "birch plywood"}
    )
    parts = tuple(
        replace(part, spec=part.spec.model_copy(update={"dowels": dowels}))
        if part.spec.name == "upper tower"
        else part
        for part in lighthouse.parts
    )
    rows = rows_of(replace(lighthouse, parts=parts))
    assert rows["dowels of a joint shear"].reserve.value > 0.0


def test_a_dark_skin_is_hotter_and_loses_more_preload(lighthouse):
    dark = with_sheet(lighthouse, vehicle=lighthouse.sheet.vehicle.model_copy(update={"colour": "black"}))
    white, black = wall_warmth(lighthouse), wall_warmth(dark)
    assert black.value > white.value + 5.0
    left = [next(iter(preload_rows(one, warm))).left for one, warm in ((lighthouse, white), (dark, black))]
    assert left[1] < left[0] < 1.0
    advice = [case.advice for case in heat_cases(dark, black) if "pad" in case.where]
    assert any("White paint" in one for one in advice)
    warm = sunlit_state(dark, black)
    specs = cuts_through(dark, warm).specs
    cold = cuts_through(lighthouse, State()).specs
    assert specs[5].walls.modulus.value < cold[5].walls.modulus.value


def test_supports_give_rods_a_length_to_buckle_over(lighthouse):
    rod = lighthouse.sheet.rod[0].model_copy(update={"supports": (length("700 mm"),)})
    found = cuts_through(with_sheet(lighthouse, rod=(rod,)), State())
    lengths = {round(spec.rods.free_length_m, 3) for spec in found.specs if spec.rods}
    assert lengths <= {0.4, 0.5, 0.9}
    assert len(lengths) >= 2


@pytest.mark.parametrize(
    ("fixing", "softer"),
    [
        ({"kind": "stiff"}, False),
        ({"kind": "tab", "depth": "20 mm"}, True),
        ({"kind": "slot", "depth": "12 mm"}, True),
        ({"kind": "fillet"}, True),
        ({"kind": "bolts", "bolts": ["30 mm", "200 mm"], "washer": "12 mm"}, True),
    ],
)
def test_every_way_to_hold_a_root_is_read(lighthouse, air, fixing, softer):
    from finial.assemble.strength.fins.plates import plate_of
    from finial.files.sheet_body import FixingEntry

    given = lighthouse.sheet.fin[0].model_copy(update={"fixing": FixingEntry.model_validate(fixing)})
    fins = air.fins[0].fins
    hold = root_of(lighthouse, fins, given, plate_of(lighthouse, fins, given))
    assert bool(np.isfinite(hold.turning_n) or hold.pieces_m) is softer


def test_a_wire_past_the_far_side_crosses_the_body(lighthouse, air):
    fins = air.fins[0].fins
    beside, through = (
        StayEntry.model_validate(
            {
                "diameter": "1 mm",
                "along": "150 mm",
                "outward": "60 mm",
                "preload": "50 N",
                "anchor_turn": turn,
            }
        )
        for turn in ("40 deg", "130 deg")
    )
    clear, cut = (stay_of(lighthouse, fins, stay) for stay in (beside, through))
    assert crossing(lighthouse, fins, clear, stay_run(fins, clear)) is None
    assert crossing(lighthouse, fins, cut, stay_run(fins, cut)) == pytest.approx(
        fins.station_m + 0.15, abs=0.01
    )
