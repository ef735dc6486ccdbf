import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.mass.burn import MotorBody, burn_knots, motor_at, propellant_left
from finial.mass.properties import MassProperties

TIMES = np.array([0.0, 0.05, 1.5, 2.0])
THRUSTS = np.array([0.0, 400.0, 400.0, 0.0])
MOTOR = MotorBody(
    diameter_m=0.054, length_m=0.4, loaded_mass_kg=1.48, propellant_mass_kg=0.76, nozzle_station_m=1.205
)
REST = MassProperties(
    mass_kg=6.0, centre_m=np.array([-0.6, 0.0, 0.0]), inertia_kg_m2=np.diag([0.02, 0.6, 0.6])
)


def test_propellant_leaves_in_proportion_to_impulse():
    # The trapezoids hold 10, 580 and 100 of 690 N s.
    assert propellant_left(TIMES, THRUSTS) == pytest.approx([1.0, 680 / 690, 100 / 690, 0.0])


def test_the_vehicle_ends_lighter_by_its_propellant_and_its_centre_moves_forward():
    knots = burn_knots(REST, MOTOR, TIMES, THRUSTS)
    assert knots.masses_kg[0] - knots.masses_kg[-1] == pytest.approx(0.76)
    assert (np.diff(knots.masses_kg) < 0).all()
    assert (np.diff(knots.centres_m[:, 0]) > 0).all()
    start = (6.0 * 0.6 + 1.48 * 1.005) / 7.48
    assert -knots.centres_m[0, 0] == pytest.approx(start)


def test_inertia_is_about_the_moving_centre():
    knots = burn_knots(REST, MOTOR, TIMES, THRUSTS)
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
    assert burn_knots(REST, aside, TIMES, THRUSTS).centres_m[0, 1] == pytest.approx(0.01 * 1.48 / 7.48)


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
