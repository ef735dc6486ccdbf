"""Mass table of Skerry Light against sums done by hand."""

import numpy as np
import pytest

from finial.assemble.mass.results import MassRow
from finial.assemble.mass.row import _motors
from finial.assemble.mass.rows import balance_at, mass_history, motor_row
from finial.mass.burn import Burning, MotorBody

M8_STRESS_AREA_MM2 = 36.6
"""ISO 898-1, coarse thread M8."""
ALUMINIUM_KG_M3 = 2700.0
"""Density of 6061; from memory of aluminium handbooks, not re-read."""
GRAM = 0.0005


def row(answered, name: str) -> MassRow:
    return next(row for row in answered.mass.rows if row.name == name)


def test_the_total_is_the_sum_of_the_rows(answered) -> None:
    mass = answered.mass
    assert mass.lift_off.mass_kg == pytest.approx(sum(row.mass.value for row in mass.rows), rel=1e-12)
    assert mass.lift_off_mass.low == pytest.approx(sum(row.mass.low for row in mass.rows))
    assert mass.lift_off_mass.high == pytest.approx(sum(row.mass.high for row in mass.rows))


def test_the_balance_point_is_the_mean_of_the_stations_weighted_by_mass(answered) -> None:
    mass = answered.mass
    moment = sum(row.mass.value * row.station_m for row in mass.rows)
    by_hand = moment / sum(row.mass.value for row in mass.rows)
    assert mass.lift_off_balance.value == pytest.approx(by_hand, rel=1e-9)
    assert mass.lift_off.station_m == pytest.approx(by_hand, rel=1e-9)


def test_a_weighed_part_has_the_mass_of_the_scale_and_its_tolerance(answered) -> None:
    dome = row(answered, "dome").mass
    assert (dome.low, dome.value, dome.high) == pytest.approx((0.163, 0.165, 0.167))


def test_rods_weigh_stress_area_times_length(answered) -> None:
    by_hand = 4 * M8_STRESS_AREA_MM2 * 1e-6 * (1.211 - 0.300) * ALUMINIUM_KG_M3
    assert row(answered, "4 rods M8 6061-T6").mass.value == pytest.approx(by_hand, rel=5e-3)


def test_fins_weigh_area_times_thickness_times_density(answered) -> None:
    # Trapezoid of the sheet by hand: parallel sides 250 mm and 165 mm, 190 mm apart; polycarbonate of
    # 1200 kg/m3, from memory of plastics handbooks, not re-read.
    by_hand = 4 * (0.250 + 0.165) / 2 * 0.190 * 6.5e-3 * 1200.0
    assert row(answered, "fins").mass.value == pytest.approx(by_hand, abs=GRAM)


def test_burnout_is_lift_off_without_the_propellant(answered) -> None:
    mass = answered.mass
    assert mass.lift_off.mass_kg - mass.burnout.mass_kg == pytest.approx(0.76)


def test_history_runs_from_lift_off_to_burnout(answered) -> None:
    history = mass_history(answered.vehicle, answered.rows)
    assert history.masses_kg[0] == pytest.approx(answered.mass.lift_off.mass_kg)
    assert history.masses_kg[-1] == pytest.approx(answered.mass.burnout.mass_kg)
    assert np.all(np.diff(history.masses_kg) <= 1e-12)


def test_a_factor_on_the_mass_leaves_the_motor_alone(answered) -> None:
    motor = motor_row(answered.vehicle, 1.0).mass.value
    rest = answered.mass.lift_off.mass_kg - motor
    heavy = mass_history(answered.vehicle, answered.rows, 1.1)
    assert heavy.masses_kg[0] == pytest.approx(1.1 * rest + motor)


def test_the_balance_point_on_the_way_lies_between_lift_off_and_burnout(answered) -> None:
    mass, history = answered.mass, mass_history(answered.vehicle, answered.rows)
    half_way = balance_at(mass, history, 1.5)
    assert mass.burnout_balance.value < half_way.value < mass.lift_off_balance.value
    assert half_way.low < half_way.value < half_way.high


def test_the_inertia_tensor_is_symmetric_and_obeys_the_triangle_rule(answered) -> None:
    for inertia in (answered.mass.lift_off.inertia_kg_m2, answered.mass.burnout.inertia_kg_m2):
        assert inertia == pytest.approx(inertia.T)
        one, two, three = np.linalg.eigvalsh(inertia)
        assert one > 0.0
        assert one + two >= three


def test_motors_reach_from_the_foremost_end_to_the_aftmost_nozzle():
    def motor(nozzle_m, length_m):
        body = MotorBody(
            diameter_m=0.054, length_m=length_m, loaded_mass_kg=1.4, propellant_mass_kg=0.7,
            nozzle_station_m=nozzle_m,
        )  # fmt: skip
        return Burning(body=body, times_s=np.array([0.0, 1.0]), thrusts_n=np.array([500.0, 500.0]))

    pair = (motor(1.2, 0.4), motor(1.1, 0.5))
    whole = _motors.__wrapped__(pair, "K1", 1.0)
    assert (whole.name, whole.kind, whole.span_m) == ("K1", "motor", (pytest.approx(0.6), 1.2))
    assert whole.body.mass_kg == pytest.approx(2.8)
    # A motor's mass scatters by two in a hundred about its data sheet.
    assert (whole.mass.low, whole.mass.high) == pytest.approx((0.98 * 2.8, 1.02 * 2.8))
    burnt = _motors.__wrapped__(pair, "K1", 0.0)
    assert (burnt.mass.value, burnt.station.value) == pytest.approx((1.4, 0.925))
    assert burnt.share_alone == burnt.share
