"""Two rows that work as one answer as one; motors in places of their own push and weigh where they stand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.air.source import air_loads
from finial.assemble.looks.answer import answer
from finial.assemble.mass.rows import mass_history, mass_result, mass_rows, motor_row
from finial.assemble.strength.cuts import ROOM, rods_at
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.motors import line_of_thrust
from finial.assemble.vehicle.rods import rods_of
from finial.core.units import Quantity
from finial.files.sheet_motor import MoreMotorEntry
from finial.motors.cluster import clustered
from finial.motors.curve import total_impulse
from finial.structure.reserves import FailureMode


def with_sheet(vehicle, **update):
    return replace(vehicle, sheet=vehicle.sheet.model_copy(update=update))


def turned(angle_deg: float) -> Quantity:
    return Quantity(value=math.radians(angle_deg), text=f"{angle_deg} deg")


def mm(value: float) -> Quantity:
    return Quantity(value=value / 1e3, text=f"{value} mm")


@pytest.fixture(scope="module")
def rod_pairs(lighthouse):
    (four,) = lighthouse.sheet.rod
    rows = [four.model_copy(update={"count": 2, "first_at": turned(at)}) for at in (0.0, 90.0)]
    return with_sheet(lighthouse, rod=tuple(rows))


@pytest.fixture(scope="module")
def fin_pairs(lighthouse):
    (four,) = lighthouse.sheet.fin
    rows = [
        four.model_copy(update={"name": name, "count": 2, "first_at": turned(at)})
        for name, at in (("one pair", 45.0), ("other pair", 135.0))
    ]
    return with_sheet(lighthouse, fin=tuple(rows))


def test_two_rows_of_two_rods_hold_as_one_row_of_four(lighthouse, rod_pairs):
    one, two = rods_at(lighthouse, 0.7, ROOM), rods_at(rod_pairs, 0.7, ROOM)
    assert sorted(map(tuple, two.positions_m.round(9))) == sorted(map(tuple, one.positions_m.round(9)))
    assert replace(two, positions_m=one.positions_m) == one
    assert len(rods_of(rod_pairs.sheet)) == 1


def test_rods_by_their_places_weigh_and_hold_as_on_their_circle(lighthouse):
    (four,) = lighthouse.sheet.rod
    places = tuple((mm(47.5 * y), mm(47.5 * z)) for y, z in ((1, 0), (0, 1), (-1, 0), (0, -1)))
    placed = with_sheet(
        lighthouse, rod=(four.model_copy(update={"count": None, "on_circle": None, "places": places}),)
    )
    one, two = rods_at(lighthouse, 0.7, ROOM), rods_at(placed, 0.7, ROOM)
    assert two.positions_m == pytest.approx(one.positions_m, abs=1e-12)
    rows = [mass_rows(vehicle, fin_sets(vehicle)) for vehicle in (lighthouse, placed)]
    masses = [mass_result(lighthouse, each).lift_off for each in rows]
    assert masses[1].inertia_kg_m2 == pytest.approx(masses[0].inertia_kg_m2)


def test_rods_of_another_kind_do_not_join(lighthouse):
    (four,) = lighthouse.sheet.rod
    thin = four.model_copy(update={"thread": "M4", "first_at": turned(45.0)})
    both = with_sheet(lighthouse, rod=(thin, four))
    assert len(rods_of(both.sheet)) == 2
    # The stiffer set counts alone, whichever stands first.
    one, two = rods_at(lighthouse, 0.7, ROOM), rods_at(both, 0.7, ROOM)
    assert replace(two, positions_m=one.positions_m) == one


def test_two_rows_of_two_fins_lift_as_one_row_of_four(lighthouse, fin_pairs):
    one, two = air_loads(lighthouse, 0.65).result, air_loads(fin_pairs, 0.65).result
    assert two.slope_per_rad.value == pytest.approx(one.slope_per_rad.value, rel=1e-3)
    assert two.pressure_forward_m == pytest.approx(one.pressure_forward_m, abs=2e-3)
    assert two.table.roll_damping == pytest.approx(one.table.roll_damping, rel=1e-6)
    # Each row holds in one plane alone; together they hold in both.
    assert two.fins_slope_per_rad == pytest.approx(one.fins_slope_per_rad, rel=1e-3)
    assert min(row.slope_per_rad for row in two.fin_rows) > 0.0


def test_two_rows_of_two_fins_break_as_one_row_of_four(lighthouse, fin_pairs):
    (four,) = [one for one in answer(lighthouse).strength.reserves if one.mode is FailureMode.FIN_BREAKS]
    pairs = [one for one in answer(fin_pairs).strength.reserves if one.mode is FailureMode.FIN_BREAKS]
    assert len(pairs) == 2
    for pair in pairs:
        assert pair.load.value == pytest.approx(four.load.value, rel=2e-3)


def test_fins_in_one_plane_hold_in_one_plane_alone(lighthouse, fin_pairs):
    pair = with_sheet(fin_pairs, fin=fin_pairs.sheet.fin[:1])
    air = air_loads(pair, 0.65).result
    assert air.fins_slope_per_rad == pytest.approx(0.0, abs=1e-3 * air.fin_rows[0].slope_per_rad)


def test_fins_on_a_line_of_their_own_act_there(lighthouse):
    """A pair of fins 40 mm aside of the axis: same force, and roll damping as far out as it stands."""
    from finial.aero.fins.on_body import fin_air

    (four,) = fin_sets(lighthouse)
    up = replace(four, count=1, first_at_rad=0.0)
    aside = replace(up, offset_m=(0.0, 0.01))
    out = replace(up, offset_m=(0.01, 0.0))
    straight, moved, farther = (fin_air(lighthouse.body, [one])[0] for one in (up, aside, out))
    assert moved.roll_damping == pytest.approx(straight.roll_damping)
    assert farther.roll_damping < straight.roll_damping
    assert moved.slope_per_rad[1, 1] == pytest.approx(straight.slope_per_rad[1, 1], rel=0.1)


# ---------------------------------------------------------------- clusters


@pytest.fixture(scope="module")
def pair_of_motors(lighthouse):
    """Two of the lighthouse's motors, 40 mm either side of the axis."""
    mount = lighthouse.sheet.motor
    more = MoreMotorEntry(offset=(mm(-40.0), mm(0.0)))
    motor = mount.model_copy(update={"offset": (mm(40.0), mm(0.0)), "more": (more,)})
    motors = (lighthouse.motor, lighthouse.motor)
    return replace(with_sheet(lighthouse, motor=motor), motor=clustered(motors), motors=motors)


def test_a_pair_pushes_twice_along_the_axis(lighthouse, pair_of_motors):
    line = line_of_thrust(pair_of_motors)
    assert line.offset_m == pytest.approx((0.0, 0.0), abs=1e-15)
    assert total_impulse(pair_of_motors.motor) == pytest.approx(2 * total_impulse(lighthouse.motor))
    rows = mass_rows(pair_of_motors, fin_sets(pair_of_motors))
    one, two = mass_history(lighthouse, rows), mass_history(pair_of_motors, rows)
    rest = sum(row.body.mass_kg for row in rows)
    assert two.masses_kg - rest == pytest.approx(2 * (one.masses_kg - rest))
    assert two.centres_m[:, 1] == pytest.approx(np.zeros(len(two.times_s)), abs=1e-12)
    # Each stands 40 mm out: roll inertia grows by m r^2.
    assert two.inertias_kg_m2[0, 0, 0] - one.inertias_kg_m2[0, 0, 0] > 2 * 1.48 * 0.04**2


def test_a_lopsided_pair_pushes_beside_the_axis(pair_of_motors):
    mount = pair_of_motors.sheet.motor
    more = mount.more[0].model_copy(update={"offset": (mm(-20.0), mm(0.0))})
    lopsided = with_sheet(pair_of_motors, motor=mount.model_copy(update={"more": (more,)}))
    assert line_of_thrust(lopsided).offset_m == pytest.approx((0.01, 0.0))
    assert motor_row(lopsided, 1.0).body.centre_m[1] == pytest.approx(0.01)


def test_a_motor_that_leans_pushes_along_its_lean(lighthouse):
    mount = lighthouse.sheet.motor.model_copy(update={"tilt": turned(2.0), "toward": turned(90.0)})
    line = line_of_thrust(with_sheet(lighthouse, motor=mount))
    assert line.tilt_rad == pytest.approx((0.0, math.radians(2.0)), abs=1e-12)


def set_apart(vehicle, offset_mm: float):
    mount = vehicle.sheet.motor
    more = mount.more[0].model_copy(update={"offset": (mm(-offset_mm), mm(0.0))})
    return with_sheet(
        vehicle, motor=mount.model_copy(update={"offset": (mm(offset_mm), mm(0.0)), "more": (more,)})
    )


def test_one_motor_unlit_is_held_where_the_others_stand_near_the_axis(pair_of_motors):
    near, far = (answer(set_apart(pair_of_motors, offset)).flight.unlit for offset in (0.5, 40.0))
    assert near.arm_m == pytest.approx(0.0005, abs=1e-5)
    assert far.arm_m == pytest.approx(0.040, abs=1e-5)
    # Moments of the air and of the thrust at rail exit are in balance: a small arm gives a small angle.
    assert near.held_angle.value < math.radians(3.0)
    assert far.held_angle.value > 10 * near.held_angle.value
