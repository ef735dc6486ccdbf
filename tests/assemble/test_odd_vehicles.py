"""What sheets of odd shapes say: off the axis, leaning, in legs and towers, clusters, own places; by hand."""

import importlib.util
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.aero.fins.on_body import fin_air
from finial.assemble.flights.results import UNHELD_RAD
from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.mass.rows import mass_rows
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.vehicle.bays import bay_axis
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.rods import rod_places
from finial.core.estimates import exact
from finial.findings.check import load
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.range_stage import range_result
from finial.findings.rules.flight_rules import flight_findings
from finial.inside.things import Kind

FOOT_M = 0.3048


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, StageResults]:
    path = Path(__file__).parents[1] / "defects" / "odd_shapes.py"
    spec = importlib.util.spec_from_file_location("odd", path)
    odd_shapes = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(odd_shapes)
    return {
        name: answer(load(sheet))
        for name, sheet in odd_shapes.written(tmp_path_factory.mktemp("odd")).items()
    }


def thing(found: StageResults, name: str):
    return next(one for one in found.inside.things if one.name == name)


def test_a_thing_that_leans_weighs_and_stands_where_it_leans(told):
    beacon = thing(told["statue"], "beacon in the arm")
    # Leaning 34.3 degrees towards roll 0, 80 mm long and 24 across: its fore end lies out and ahead.
    assert beacon.forward == pytest.approx([math.cos(0.59865), math.sin(0.59865), 0.0], abs=1e-4)
    half = 0.040 * math.cos(0.59865) + 0.012 * math.sin(0.59865)
    assert beacon.span_m == pytest.approx((0.1265 - half, 0.1265 + half), abs=1e-4)
    rows = mass_rows(told["statue"].vehicle, fin_sets(told["statue"].vehicle))
    row = next(one for one in rows if one.name == "beacon in the arm")
    assert row.body.centre_m == pytest.approx([-0.1265, 0.1238, 0.0])


def test_motors_stand_in_their_legs_and_push_along_the_axis_together(told):
    found = told["arch"]
    motors = [one for one in found.inside.things if one.kind is Kind.MOTOR]
    assert [one.offset_m for one in motors] == [(-0.15, 0.0), (0.15, 0.0)]
    assert [one.span_m for one in motors] == [pytest.approx((0.525, 0.725))] * 2
    tubes = [one for one in found.inside.things if one.kind is Kind.MOTOR_TUBE]
    assert [one.offset_m for one in tubes] == [(-0.15, 0.0), (0.15, 0.0)]
    inputs = found.flights.inputs["nominal"]
    assert inputs.thrust.offset_m == pytest.approx((0.0, 0.0), abs=1e-12)


def test_a_bay_in_a_tower_is_where_its_tower_is(told):
    found = told["twin-towers"]
    [bay] = found.vehicle.sheet.recovery.bay
    assert bay_axis(bay, 0.45) == pytest.approx((-0.095, 0.0))
    assert thing(found, "bay").offset_m == (-0.095, 0.0)
    leaving = [way for way in found.inside.ways_out if way.occasion.value == "leaving"]
    # 84 mm through a mouth of 84 mm, towards the joint ahead of it.
    assert [(way.opening, round(way.width_m, 4)) for way in leaving] == [("joint", 0.084)]


def test_one_joint_parts_both_towers(told):
    found = told["twin-towers"]
    apart = recovery_moments(found.basis).apart["joint"]
    # Tops, both ballasts and the bulkhead; everything else, empty motors too, is behind.
    assert apart.fore_kg.value == pytest.approx(2.1 + 0.9 + 0.9 + 0.07, abs=1e-6)
    [joint] = found.inside.joints
    assert (joint.off.value, joint.glued, joint.ties) == (0.0, False, ())


def test_a_station_from_a_part_is_that_parts(told):
    # Tops end at 400 mm; 8 mm above that.
    assert thing(told["twin-towers"], "bulkhead and eye bolt").middle_m == pytest.approx(0.392)


def test_rods_by_coordinates_stand_there(told):
    [rods] = told["statue"].vehicle.sheet.rod
    places = {tuple(place) for place in (1e3 * rod_places(rods)).round(6).tolist()}
    assert places == {(60.0, 60.0), (-60.0, 60.0), (-60.0, -60.0), (60.0, -60.0)}
    drawn = [one.offset_m for one in told["statue"].inside.things if one.kind is Kind.ROD]
    assert sorted(drawn) == sorted({(y / 1e3, z / 1e3) for y, z in places})


def test_pairs_of_fins_have_roots_and_planes_of_their_own(told):
    sets = {fin.name: fin for fin in fin_sets(told["arch"].vehicle)}
    left, outer = sets["fins of the left leg"], sets["outer fins"]
    assert left.root_radius_m == pytest.approx(0.055)  # half a leg, from the leg's own line
    assert left.offset_m == (-0.15, 0.0)
    assert outer.root_radius_m == pytest.approx(0.205)
    # The two fins of a leg stand square to the plane of the outer ones: together they hold in both planes.
    loads = fin_air(told["arch"].vehicle.body, list(sets.values()))
    assert [np.argmax(np.diag(np.abs(one.slope_per_rad))) for one in loads] in ([0, 0, 1], [1, 1, 0])


# ---------------------------------------------------------------- clusters


@pytest.mark.parametrize("layout", ["single", "complex"])
def test_a_cluster_is_a_complex_rocket_whatever_the_sheet_says(told, layout):
    found = told["arch"]
    launch = found.vehicle.sheet.launch.model_copy(update={"layout": layout})
    vehicle = replace(found.vehicle, sheet=found.vehicle.sheet.model_copy(update={"launch": launch}))
    result = range_result(replace(found, basis=replace(found.basis, vehicle=vehicle)))
    # 2 x 300 N s: NFPA 1127 table 4.16.3 prints 100 ft for one motor and 200 ft for a cluster.
    assert result.minimum_distance_m == pytest.approx(200 * FOOT_M)


def test_one_motor_keeps_the_layout_of_its_sheet(told):
    assert range_result(told["statue"]).minimum_distance_m == pytest.approx(100 * FOOT_M)


def test_a_motor_that_does_not_light_leaves_the_other_pushing_a_legs_width_aside(told):
    unlit = told["arch"].flight.unlit
    centre = told["arch"].flights.inputs["nominal"].mass.centres_m[0, 1]
    assert unlit.count == 2
    # What is left stands at 150 mm either side; the worse side is the one farther from the balance point.
    assert unlit.arm_m == pytest.approx(0.15 + abs(centre), abs=1e-3)
    assert unlit.held_angle.value == UNHELD_RAD


def cluster(found: StageResults, **update) -> list:
    flight = replace(found.flight, unlit=replace(found.flight.unlit, **update))
    every = flight_findings(flight, Limits(own={}), wind=exact(3.0))
    return [finding for finding in every if finding.key == "cluster-lights"]


def test_a_cluster_that_turns_over_is_no_go_and_one_that_the_air_holds_a_caution(told):
    held = Limits(own={})["thrust_held_angle"].value
    [over] = cluster(told["arch"])
    assert (over.verdict, [fix.key for fix in over.fixes]) == (Verdict.NO_GO, ["nearer-together"])
    [kept] = cluster(told["arch"], held_angle=exact(0.9 * held))
    assert (kept.verdict, [fix.key for fix in kept.fixes]) == (Verdict.CAUTION, ["test-igniters"])
    [not_kept] = cluster(told["arch"], held_angle=exact(1.1 * held))
    assert not_kept.verdict is Verdict.NO_GO


def test_a_single_motor_has_none_to_miss(told):
    assert told["statue"].flight.unlit is None
    assert told["teapot"].flight.unlit is None


# ---------------------------------------------------------------- margins in widths and in per cent of length


@pytest.mark.parametrize(
    ("own", "least_m"),
    [
        ({}, 0.2),  # one width, the usual
        ({"margin_widths": 0.5}, 0.1),
        ({"margin_length": 0.06}, 0.072),  # 6 per cent of 1.2 m
        ({"margin_widths": 0.5, "margin_length": 0.06}, 0.1),
        ({"margin_widths": 0.3, "margin_length": 0.06}, 0.072),
    ],
)
def test_the_margin_may_be_asked_for_in_widths_or_in_per_cent_of_the_length(own, least_m):
    assert Limits(own=own).margin(0.2, 1.2).value == pytest.approx(least_m)
