import math
from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.mass.burn import Burning, MotorBody, burn_knots, motor_at, motors_at, propellant_left
from finial.mass.properties import MassProperties

TIMES = np.array([0.0, 0.05, 1.5, 2.0])
THRUSTS = np.array([0.0, 400.0, 400.0, 0.0])
MOTOR = MotorBody(
    diameter_m=0.054, length_m=0.4, loaded_mass_kg=1.48, propellant_mass_kg=0.76, nozzle_station_m=1.205
)
REST = MassProperties(
    mass_kg=6.0, centre_m=np.array([-0.6, 0.0, 0.0]), inertia_kg_m2=np.diag([0.02, 0.6, 0.6])
)


def burning(body: MotorBody, late_s: float = 0.0) -> Burning:
    return Burning(body=body, times_s=TIMES + late_s, thrusts_n=THRUSTS)


def placed(offset_m: tuple[float, float], **more: float) -> MotorBody:
    return replace(MOTOR, offset_m=offset_m, **more)


def test_propellant_leaves_in_proportion_to_impulse():
    # The trapezoids hold 10, 580 and 100 of 690 N s.
    assert propellant_left(TIMES, THRUSTS) == pytest.approx([1.0, 680 / 690, 100 / 690, 0.0])


def test_the_vehicle_ends_lighter_by_its_propellant_and_its_centre_moves_forward():
    knots = burn_knots(REST, [burning(MOTOR)], TIMES)
    assert knots.masses_kg[0] - knots.masses_kg[-1] == pytest.approx(0.76)
    assert (np.diff(knots.masses_kg) < 0).all()
    assert (np.diff(knots.centres_m[:, 0]) > 0).all()
    start = (6.0 * 0.6 + 1.48 * 1.005) / 7.48
    assert -knots.centres_m[0, 0] == pytest.approx(start)


def test_inertia_is_about_the_moving_centre():
    knots = burn_knots(REST, [burning(MOTOR)], TIMES)
    reduced = 6.0 * 0.72 / 6.72
    motor = 0.72 * (3 * 0.027**2 + 0.4**2) / 12
    assert knots.inertias_kg_m2[-1, 1, 1] == pytest.approx(0.6 + motor + reduced * 0.405**2)


def test_a_motor_off_the_axis_pulls_the_centre_sideways():
    aside = MotorBody(
        diameter_m=0.054,
        length_m=0.4,
        loaded_mass_kg=1.48,
        propellant_mass_kg=0.76,
        nozzle_station_m=1.205,
        offset_m=(0.01, 0.0),
    )
    assert burn_knots(REST, [burning(aside)], TIMES).centres_m[0, 1] == pytest.approx(0.01 * 1.48 / 7.48)


def test_a_pair_of_motors_weighs_twice_and_balances_between_them():
    pair = [burning(placed((0.04, 0.0))), burning(placed((-0.04, 0.0)))]
    knots, one = burn_knots(REST, pair, TIMES), burn_knots(REST, [burning(MOTOR)], TIMES)
    assert knots.masses_kg - REST.mass_kg == pytest.approx(2 * (one.masses_kg - REST.mass_kg))
    assert knots.centres_m[:, 1:] == pytest.approx(np.zeros((4, 2)), abs=1e-15)
    # Parallel axes: each weighs 1.48 kg and stands 40 mm out.
    spin = 2 * 1.48 * (0.027**2 / 2 + 0.04**2)
    assert knots.inertias_kg_m2[0, 0, 0] == pytest.approx(0.02 + spin)


def test_motors_of_a_cluster_burn_by_their_own_curves():
    late = motors_at([burning(placed((0.04, 0.0))), burning(placed((-0.04, 0.0)), late_s=0.5)], [1.5])[0]
    left = propellant_left(TIMES, THRUSTS)
    # The late one has burnt for 1.0 s: between the knots at 0.05 and 1.5 s.
    share = np.interp(1.0, TIMES, left)
    first, second = 0.72 + 0.76 * left[2], 0.72 + 0.76 * share
    assert late.mass_kg == pytest.approx(first + second)
    assert late.centre_m[1] == pytest.approx(0.04 * (first - second) / (first + second))


def test_a_motor_that_leans_turns_about_its_nozzle():
    lean = motor_at(placed((0.03, 0.0), tilt_rad=math.radians(10), toward_rad=math.pi / 2), 1.0)
    assert lean.centre_m == pytest.approx(
        [-1.205 + 0.2 * math.cos(math.radians(10)), 0.03, 0.2 * math.sin(math.radians(10))]
    )
    # Turned, its moments of inertia keep their sum and their values about its own axes.
    straight = motor_at(MOTOR, 1.0)
    assert np.linalg.eigvalsh(lean.inertia_kg_m2) == pytest.approx(np.linalg.eigvalsh(straight.inertia_kg_m2))
    along = np.array([math.cos(math.radians(10)), 0.0, math.sin(math.radians(10))])
    assert along @ lean.inertia_kg_m2 @ along == pytest.approx(straight.inertia_kg_m2[0, 0])


def test_curves_and_motors_that_cannot_be_are_refused():
    with pytest.raises(OutsideRange, match="rising times"):
        propellant_left(np.array([0.0, 1.0, 1.0]), np.array([0.0, 1.0, 0.0]))
    with pytest.raises(OutsideRange, match="rising times"):
        propellant_left(np.array([0.0, 1.0]), np.array([0.0, np.nan]))
    with pytest.raises(OutsideRange, match="above zero"):
        propellant_left(np.array([0.0, 1.0]), np.array([0.0, 0.0]))
    all_powder = MotorBody(
        diameter_m=0.054, length_m=0.4, loaded_mass_kg=0.7, propellant_mass_kg=0.76, nozzle_station_m=1.2
    )
    with pytest.raises(OutsideRange, match="less than the loaded motor"):
        motor_at(all_powder, 1.0)
