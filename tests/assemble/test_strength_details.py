"""Small things that let go, and load cases beyond the check's: how they move with what the sheet says."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.recovery.study import recovery_study
from finial.assemble.strength.cuts import ROOM, cuts_through
from finial.assemble.strength.details import DetailScene, detail_rows
from finial.assemble.strength.fins.build import fin_builds
from finial.assemble.strength.fins.plates import plate_of, root_of
from finial.assemble.strength.forces import AirForces
from finial.assemble.strength.further_cases import all_together
from finial.assemble.strength.heat import heat_cases, preload_rows, sunlit, wall_warmth
from finial.assemble.strength.pulls import followed_pulls, quick_pulls
from finial.assemble.strength.results import Place
from finial.assemble.strength.study import StrengthInputs, all_cases
from finial.assemble.vehicle.stays import crossing, stay_of, stay_run
from finial.core.units import Dimension, parse_quantity
from finial.files.sheet_body import DowelsEntry, FixingEntry, PlateEntry, StayEntry
from finial.structure.fins.root import HoldKind
from finial.structure.loads.case import Half, Load, Occasion
from finial.structure.loads.forces import LineForce, PointForce
from finial.structure.reserves import Because, FailureMode
from finial.structure.walls.body import body_reserves


def length(text):
    return parse_quantity(text, Dimension.LENGTH)


def with_sheet(vehicle, /, **tables):
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update=tables))


@pytest.fixture(scope="module")
def air(answered):
    return answered.basis.air


@pytest.fixture(scope="module")
def cuts(lighthouse):
    return cuts_through(lighthouse, ROOM)


@pytest.fixture(scope="module")
def followed(answered):
    return recovery_study(answered.basis, answered.recovery, lambda note: None)


@pytest.fixture(scope="module")
def cases(answered, cuts, followed):
    given = StrengthInputs(recovery=answered.recovery, followed=followed, ends=(), wanted_ratio=1.25)
    return all_cases(answered.basis, given, cuts.stack)


@pytest.fixture(scope="module")
def every_row_of(air, cuts, cases):
    grid = body_reserves(cuts.stack, [case.body for case in cases])

    def rows(vehicle):
        fins = fin_builds(vehicle, air.fins)
        return tuple(
            detail_rows(
                DetailScene(vehicle=vehicle, cuts=cuts, warmth=ROOM, cases=cases, grid=grid, fins=fins)
            )
        )

    return rows


@pytest.fixture(scope="module")
def rows_of(every_row_of):
    def rows(vehicle, occasion=Occasion.FLIGHT):
        found = [row for row in every_row_of(vehicle) if not row.case or row.case.occasion is occasion]
        return {row.mode: row for row in found}

    return rows


def the(cases, load, half=None):
    (found,) = (one for one in cases if one.case.load is load and one.case.half is half)
    return found


def test_drag_adds_up_to_the_build_up(lighthouse, air):
    total = 0.0
    for force in AirForces(vehicle=lighthouse, air=air).drag(5000.0):
        if isinstance(force, PointForce):
            total += force.aft_n
        elif isinstance(force, LineForce):
            total += float(np.trapezoid(force.aft_n_per_m, force.stations_m))
    wanted = 5000.0 * air.drag.reference_area_m2 * air.drag.power_on.value
    assert total == pytest.approx(wanted, rel=1e-6)


def test_blunt_fronts_push_where_they_stand(lighthouse, air):
    forces = AirForces(vehicle=lighthouse, air=air).all_at(5000.0, 0.0)
    points = [force for force in forces if isinstance(force, PointForce)]
    gallery = [force for force in points if abs(force.station_m - 0.25) < 1e-3]
    assert gallery
    assert gallery[0].aft_n == max(force.aft_n for force in points)


def test_on_the_rail_the_buttons_hold_everything(cases):
    motion = the(cases, Load.RAIL_WIND).body.loads.motion
    assert motion.cross_m_s2 == pytest.approx(0.0, abs=1e-9)
    assert motion.turn_rad_s2 == pytest.approx(0.0, abs=1e-9)
    assert motion.aft_m_s2 < -10.0


def test_lifted_at_one_end_stands_still_against_gravity(cases):
    motion = the(cases, Load.LIFTING).body.loads.motion
    assert motion.cross_m_s2 == pytest.approx(9.80665)
    assert motion.turn_rad_s2 == pytest.approx(0.0, abs=1e-9)


def test_a_charge_and_its_backup_squeeze_both_halves_together(answered, cases):
    both = sum(charge.force_on_joint.value for charge in answered.recovery.charges)
    together = all_together(answered.recovery.charges, "lantern bay", "force_on_joint")
    assert together.value == pytest.approx(both)
    for half in Half:
        loads = the(cases, Load.CHARGE_PUSHES, half).body.loads
        assert loads.axial_n.min() > -1e-6
        assert loads.axial_n.max() == pytest.approx(both, rel=1e-6)


def test_backups_add_to_the_charge_they_stand_in_for_alone(answered):
    first, backup = answered.recovery.charges
    other = replace(first, name="other", force_on_joint=first.force_on_joint.scaled(0.5))
    for charges, wanted in (
        ((first, backup, other), first.force_on_joint.value + backup.force_on_joint.value),
        ((first, other), first.force_on_joint.value),
        ((first, replace(backup, bay="elsewhere")), first.force_on_joint.value),
    ):
        assert all_together(charges, first.bay, "force_on_joint").value == pytest.approx(wanted)
    assert all_together((replace(first, force_on_joint=None),), first.bay, "force_on_joint") is None


def test_pulls_are_those_of_the_separation_that_was_followed(lighthouse, answered, followed, cases):
    (tether,) = followed.tethers
    on_time, late = followed_pulls(lighthouse.sheet, answered.recovery, followed)
    timely = [case for case in (*tether.cases, *tether.spread) if abs(case.offset_s) <= 1.0]
    others = [case for case in tether.cases if abs(case.offset_s) > 1.0]
    assert (on_time.load, late.load) == (Load.CORD_PULLS, Load.CORD_PULLS_LATE)
    for pull, some in ((on_time, timely), (late, others)):
        for half, side in ((Half.FORE, "on_fore"), (Half.AFT, "on_aft")):
            for part in ("along", "across"):
                found = getattr(pull.on[half], part)
                forces = [getattr(getattr(case, side), f"{part}_n") for case in some]
                assert (found.low, found.high) == (min(forces), max(forces))
                assert found.low <= found.value <= found.high
        assert pull.on[Half.AFT].along.high <= max(case.peak_n for case in some) * (1 + 1e-6)
    # The cord swings far off the axis of either half, and late it pulls harder than on time.
    assert on_time.on[Half.FORE].across.high > 0.5 * on_time.on[Half.FORE].along.high
    assert late.on[Half.AFT].along.high > on_time.on[Half.AFT].along.high
    pulled = the(cases, Load.CORD_PULLS, Half.AFT).body
    assert pulled.axial_factor.high == pytest.approx(
        on_time.on[Half.AFT].along.high / on_time.on[Half.AFT].along.value
    )
    assert pulled.loads.axial_n.min() == pytest.approx(-on_time.on[Half.AFT].along.value, rel=1e-6)
    assert abs(pulled.loads.shear_n).max() == pytest.approx(on_time.on[Half.AFT].across.value, rel=1e-6)


def test_pulls_that_nobody_followed_stand_half_way_between_along_and_across(lighthouse, answered):
    (pull,) = quick_pulls(lighthouse.sheet, answered.recovery)
    peak = max(answered.recovery.cords[0].peak_load.high, answered.recovery.canopies[0].opening_load.high)
    for half in Half:
        assert pull.on[half].along.high == pytest.approx(peak / math.sqrt(2))
        assert pull.on[half].across.high == pytest.approx(peak / math.sqrt(2))


def test_landing_counts_the_wind_and_what_the_ground_is(answered, cuts, cases):
    def blow(ground="any", recovery=answered.recovery):
        launch = answered.vehicle.sheet.launch.model_copy(update={"ground": ground})
        basis = replace(answered.basis, vehicle=with_sheet(answered.vehicle, launch=launch))
        given = StrengthInputs(recovery=recovery, followed=None, ends=(), wanted_ratio=1.25)
        return the(all_cases(basis, given, cuts.stack), Load.LANDING, Half.AFT).body

    def force(body):
        return float(abs(body.loads.axial_n).max())

    usual, hard, soft = blow(), blow("hard earth"), blow("soft turf")
    assert force(hard) > force(soft)
    assert usual.axial_factor.high * force(usual) >= hard.axial_factor.high * force(hard) * (1 - 1e-9)
    calm = blow(recovery=replace(answered.recovery, ground_speed=answered.recovery.landing_speed))
    wind = answered.recovery.ground_speed.value / answered.recovery.landing_speed.value
    assert wind > 1.1
    # Stopped over one and the same distance: force goes with the square of the speed.
    assert force(usual) / force(calm) == pytest.approx(wind**2, rel=1e-6)


@pytest.fixture(scope="module")
def on_plywood(lighthouse):
    """The lighthouse with washers of 30 mm on plywood of 8 mm under its nuts."""
    plate = PlateEntry.model_validate({"thickness": "8 mm", "material": "birch plywood"})
    rod = lighthouse.sheet.rod[0].model_copy(update={"washer": length("30 mm"), "bears_on": plate})
    return with_sheet(lighthouse, rod=(rod,))


def test_wider_washers_and_thicker_plates_hold_more(on_plywood, rows_of):
    lighthouse, rod = on_plywood, on_plywood.sheet.rod[0]
    usual = rows_of(lighthouse)
    wide = rows_of(with_sheet(lighthouse, rod=(rod.model_copy(update={"washer": length("40 mm")}),)))
    sinks, through = FailureMode.WASHER_SINKS, FailureMode.NUT_PULLS_THROUGH
    # Net area under the washer, with a hole a tenth wider than the rod; rim of the washer.
    assert wide[sinks].reserve.value / usual[sinks].reserve.value == pytest.approx(
        (40**2 - 8.8**2) / (30**2 - 8.8**2)
    )
    assert wide[through].reserve.value / usual[through].reserve.value == pytest.approx(40 / 30)
    thick = rod.bears_on.model_copy(update={"thickness": length("16 mm")})
    strong = rows_of(with_sheet(lighthouse, rod=(rod.model_copy(update={"bears_on": thick}),)))
    assert strong[through].reserve.value / usual[through].reserve.value == pytest.approx(2.0)


def test_plywood_is_squeezed_across_its_grain(on_plywood, rows_of):
    lighthouse = on_plywood
    usual = rows_of(lighthouse)
    # EN 14374 and handbooks on birch plywood: about 10 MPa across, not the 60 MPa in its plane.
    assert usual[FailureMode.WASHER_SINKS].strength.value == pytest.approx(10e6)
    assert usual[FailureMode.NUT_PULLS_THROUGH].strength.value == pytest.approx(9e6)
    steel = lighthouse.sheet.rod[0].bears_on.model_copy(update={"material": "6061-T6"})
    rod = lighthouse.sheet.rod[0].model_copy(update={"bears_on": steel})
    assert rows_of(with_sheet(lighthouse, rod=(rod,)))[FailureMode.WASHER_SINKS].strength.value > 100e6


def test_nuts_are_judged_in_flight_late_and_on_the_ground(lighthouse, rows_of):
    lows = [rows_of(lighthouse, one)[FailureMode.ROD_STRIPS].load.high for one in Occasion]
    assert lows[0] < lows[1] < lows[2]


def test_a_screw_in_plastic_strips_before_it_breaks(lighthouse, rows_of):
    keep = lighthouse.sheet.motor.retainer
    plastic = keep.model_copy(update={"holds_in": "PETG"})
    motor = lighthouse.sheet.motor.model_copy(update={"retainer": plastic})
    in_plastic = rows_of(with_sheet(lighthouse, motor=motor))[FailureMode.MOTOR_LEAVES].reserve
    in_metal = rows_of(lighthouse)[FailureMode.MOTOR_LEAVES].reserve
    assert in_plastic.value < 0.5 * in_metal.value


def test_what_is_not_said_is_not_known(lighthouse, rows_of):
    motor = lighthouse.sheet.motor.model_copy(update={"retainer": None, "thrust_plate": None})
    rows = rows_of(with_sheet(lighthouse, motor=motor))
    assert rows[FailureMode.MOTOR_LEAVES].reserve is None
    assert rows[FailureMode.MOTOR_LEAVES].because is Because.RETAINER_UNSAID
    assert rows[FailureMode.THRUST_UNSAID].reserve is None


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
    row = rows_of(replace(lighthouse, parts=parts))[FailureMode.DOWELS_SHEAR]
    assert row.subject == "upper tower"
    assert row.reserve.value > 0.0


def test_a_flat_front_is_a_lid_that_the_air_bends(lighthouse, every_row_of, cases):
    front, *rest = lighthouse.skin.sections
    flat = replace(front, area_m2=math.pi * 0.05**2)
    vehicle = replace(lighthouse, skin=replace(lighthouse.skin, sections=(flat, *rest)))
    pressure = max(case.dynamic_pressure_pa for case in cases)
    loads = []
    for infill in (0.0, 0.08):
        parts = tuple(
            replace(part, spec=part.spec.model_copy(update={"print": filled(part.spec.print, infill)}))
            for part in vehicle.parts
        )
        found = every_row_of(replace(vehicle, parts=parts))
        (row,) = (one for one in found if one.mode is FailureMode.WALL_PRESSED and one.subject == "dome")
        assert row.station_m == front.station_m
        loads.append(row.load)
    # Roark, clamped round plate: 3/4 q (a / t)^2, with 0.3 to 1 of the dynamic pressure on it.
    whole = 0.75 * pressure * (50 / 1.6) ** 2
    assert (loads[0].low, loads[0].high) == pytest.approx((0.3 * whole, whole))
    assert loads[1].high < 0.8 * loads[0].high


def filled(printed, share):
    return printed.model_copy(update={"infill": replace(printed.infill, value=share)})


def test_a_dark_skin_is_hotter_and_loses_more_preload(lighthouse):
    dark = with_sheet(lighthouse, vehicle=lighthouse.sheet.vehicle.model_copy(update={"colour": "black"}))
    white, black = wall_warmth(lighthouse), wall_warmth(dark)
    assert black.value > white.value + 5.0
    left = [next(iter(preload_rows(one, warm))).left for one, warm in ((lighthouse, white), (dark, black))]
    assert left[1].value < left[0].value < 1.0
    assert left[0].low < left[0].value < left[0].high
    sun = [case for case in heat_cases(dark, black) if case.place is Place.SUN]
    assert all(case.white_cools_k == pytest.approx(black.value - white.value) for case in sun)
    warm = cuts_through(dark, sunlit(dark, black)).stack.specs
    cold = cuts_through(lighthouse, ROOM).stack.specs
    assert warm[5].walls.modulus.value < cold[5].walls.modulus.value
    assert warm[5].warmth_left < cold[5].warmth_left == 1.0


def test_supports_give_rods_a_length_to_buckle_over(lighthouse):
    rod = lighthouse.sheet.rod[0].model_copy(update={"supports": (length("700 mm"),)})
    found = cuts_through(with_sheet(lighthouse, rod=(rod,)), ROOM)
    lengths = {round(spec.rods.free_length_m, 3) for spec in found.stack.specs if spec.rods}
    assert lengths <= {0.4, 0.511, 0.911}
    assert len(lengths) >= 2


@pytest.mark.parametrize(
    ("fixing", "kind", "softer"),
    [
        (None, HoldKind.UNSAID, False),
        ({"kind": "stiff"}, HoldKind.STIFF, False),
        ({"kind": "tab", "depth": "20 mm"}, HoldKind.TAB, True),
        ({"kind": "slot", "depth": "12 mm"}, HoldKind.SLOT, True),
        ({"kind": "fillet"}, HoldKind.WALL, True),
        ({"kind": "bolts", "bolts": ["30 mm", "200 mm"], "washer": "12 mm"}, HoldKind.BOLTS, True),
    ],
)
def test_every_way_to_hold_a_root_is_read(lighthouse, air, fixing, kind, softer):
    (build,) = fin_builds(lighthouse, air.fins)
    build = replace(build, fixing=FixingEntry.model_validate(fixing) if fixing else None)
    hold = root_of(lighthouse, build, plate_of(build))
    assert hold.kind is kind
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
