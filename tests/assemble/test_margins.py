"""Margins from a pressure band and a balance point made by hand."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.band.band import FLOOR_WIDTHS
from finial.aero.band.extremes import LEAST_FORCE
from finial.aero.band.load_parts import DoubtfulForce
from finial.assemble.mass.rows import mass_history
from finial.assemble.stability.points import moments_of, stability_points
from finial.assemble.stability.results import FlightMoment, MomentName

ANGLES = np.radians([0.0, 10.0, 20.0])
ROLLS = np.radians([0.0, 90.0])
FORWARD = np.array([[0.80, 0.82], [0.78, 0.70], [0.74, 0.60]])
WIDTH_M = 0.2


FORCE = 10.0
"""Normal force over sin(angle): large, so that the centre of pressure stands for itself."""


def parts(forward: np.ndarray, force: float = FORCE) -> tuple[DoubtfulForce, ...]:
    """A force at the middle of the band, and a couple that moves it 50 mm ahead and 100 mm behind."""
    whole = np.full_like(forward, force)
    sure = DoubtfulForce(
        name="sure", force=whole, moment=force * (forward + 0.05), low=1.0, central=1.0, high=1.0
    )
    ahead, behind = (force * (reach - FLOOR_WIDTHS * WIDTH_M) for reach in (0.05, 0.10))
    couple = DoubtfulForce(
        name="couple",
        force=np.zeros_like(forward),
        moment=np.ones_like(forward),
        low=-ahead,
        central=0.0,
        high=behind,
    )
    return sure, couple


@pytest.fixture(scope="module")
def air(answered):
    """Band 50 mm wide ahead of the middle and 100 mm behind it."""
    return replace(
        answered.basis.air.band,
        angles_rad=ANGLES,
        rolls_rad=ROLLS,
        width_m=WIDTH_M,
        finned=parts(FORWARD),
        bare=parts(FORWARD - 0.5),
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
    calmer = replace(air, finned=parts(FORWARD[::-1].copy()))
    assert point(answered, calmer, 20.0).pressure.low == pytest.approx(0.60)


def test_beyond_the_last_angle_the_answer_says_so(answered, air) -> None:
    assert point(answered, air, 20.0).margin.inside_range
    assert not point(answered, air, 25.0).margin.inside_range


def test_without_fins_the_margin_is_told_beside_it(answered, air) -> None:
    found = point(answered, air, 10.0)
    assert found.margin.value - found.bare_margin.value == pytest.approx(0.5)


def test_the_moment_is_told_beside_the_margin(answered, air) -> None:
    found = point(answered, air, 10.0)
    assert not found.by_moment
    assert found.least_force == pytest.approx(FORCE)
    scale = FORCE / answered.vehicle.skin.width_m
    assert found.moment_slope.low == pytest.approx(scale * (found.pressure.low - found.balance.value))
    assert found.moment_slope.high == pytest.approx(scale * (found.pressure.high - found.balance.value))


def test_a_small_force_is_judged_by_its_moment_about_the_balance_point(answered, air) -> None:
    """A tenth of the least force: the same distances count for a tenth."""
    small = replace(air, finned=parts(FORWARD, LEAST_FORCE / 10))
    whole, tenth = point(answered, air, 0.0), point(answered, small, 0.0)
    assert tenth.by_moment
    floor = FLOOR_WIDTHS * WIDTH_M
    ahead = whole.pressure.low + floor - whole.balance.value
    assert tenth.pressure.low - tenth.balance.value == pytest.approx(ahead / 10 - floor)


def test_the_angle_off_the_rail_is_the_strongest_wind_over_the_speed(answered) -> None:
    windy = answered.flights.windy
    off_rail = moments_of(answered.flights.nominal, windy, 40.0)[0]
    assert off_rail.time_s == pytest.approx(windy.event("rail exit").time_s)
    assert off_rail.alpha_rad == pytest.approx(np.arctan2(40.0, off_rail.speed_m_s))


def test_the_angle_is_never_less_than_the_flights_own(answered) -> None:
    moment = moments_of(answered.flights.nominal, answered.flights.windy, 0.0)[0]
    assert moment.alpha_rad > 0.0
