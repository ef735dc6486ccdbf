"""Margins from a pressure band and a balance point made by hand."""

from dataclasses import replace

import numpy as np
import pytest

from finial.assemble.mass.rows import mass_history
from finial.assemble.stability import FlightMoment, MomentName, moments_of, stability_points

ANGLES = np.radians([0.0, 10.0, 20.0])
ROLLS = np.radians([0.0, 90.0])
FORWARD = np.array([[0.80, 0.82], [0.78, 0.70], [0.74, 0.60]])


@pytest.fixture(scope="module")
def air(answered):
    """Air whose band is 50 mm wide ahead of the middle and 100 mm behind it."""
    return replace(
        answered.air,
        angles_rad=ANGLES,
        rolls_rad=ROLLS,
        pressure_forward_m=FORWARD,
        pressure_central_m=FORWARD + 0.05,
        pressure_aft_m=FORWARD + 0.15,
        bare_forward_m=FORWARD - 0.5,
        bare_central_m=FORWARD - 0.45,
        bare_aft_m=FORWARD - 0.35,
    )


def point(answered, air, alpha_deg: float):
    moment = FlightMoment(
        name=MomentName.BURNOUT, time_s=3.05, speed_m_s=100.0, alpha_rad=np.radians(alpha_deg)
    )
    history = mass_history(answered.vehicle, answered.rows)
    return stability_points((moment,), answered.vehicle.skin, air, answered.mass, history)[0]


def test_the_margin_is_pressure_less_balance_at_the_bad_ends(answered, air) -> None:
    found = point(answered, air, 10.0)
    assert found.margin.value == pytest.approx(found.pressure.value - found.balance.value)
    assert found.margin.low == pytest.approx(found.pressure.low - found.balance.high)
    assert found.margin.high == pytest.approx(found.pressure.high - found.balance.low)


def test_the_worst_roll_angle_is_taken_and_named(answered, air) -> None:
    found = point(answered, air, 10.0)
    assert found.worst_roll_rad == pytest.approx(np.pi / 2)
    assert (found.pressure.low, found.pressure.value, found.pressure.high) == pytest.approx(
        (0.70, 0.75, 0.85)
    )


def test_between_angles_the_band_is_read_on_a_straight_line(answered, air) -> None:
    assert point(answered, air, 15.0).pressure.low == pytest.approx(0.65)


def test_every_angle_up_to_the_moments_own_is_looked_at(answered, air) -> None:
    calmer = replace(air, pressure_forward_m=FORWARD[::-1].copy())
    assert point(answered, calmer, 20.0).pressure.low == pytest.approx(0.60)


def test_beyond_the_last_angle_the_answer_says_so(answered, air) -> None:
    assert point(answered, air, 20.0).margin.inside_range
    assert not point(answered, air, 25.0).margin.inside_range


def test_without_fins_the_margin_is_told_beside_it(answered, air) -> None:
    found = point(answered, air, 10.0)
    assert found.margin.value - found.bare_margin.value == pytest.approx(0.5)


def test_the_angle_off_the_rail_is_the_strongest_wind_over_the_speed(answered) -> None:
    windy = answered.flights.windy
    off_rail = moments_of(answered.flights.nominal, windy, 40.0)[0]
    assert off_rail.time_s == pytest.approx(windy.event("rail exit").time_s)
    assert off_rail.alpha_rad == pytest.approx(np.arctan2(40.0, off_rail.speed_m_s))


def test_the_angle_is_never_less_than_the_flights_own(answered) -> None:
    moment = moments_of(answered.flights.nominal, answered.flights.windy, 0.0)[0]
    assert moment.alpha_rad > 0.0
