"""What a barometer behind holes, and a clock, take for height, apogee and lift-off."""

import math

import numpy as np
import pytest

from finial.aero.outline_pressure import FAR, clear_of_ledges, outline_pressure
from finial.aero.steps.ledges import Face
from finial.core.errors import OutsideRange
from finial.electronics.sensing import gust_height, height_read, largest_fall, unevenness, wind_across

THIRD = 2.0 * math.pi / 3.0


def added_mass_along(fineness: float) -> float:
    """Added mass of a prolate spheroid along its axis, over its own: Lamb, Hydrodynamics, article 114."""
    squash = math.sqrt(1.0 - 1.0 / fineness**2)
    alpha = 2.0 * (1.0 - squash**2) / squash**3 * (0.5 * math.log((1.0 + squash) / (1.0 - squash)) - squash)
    return alpha / (2.0 - alpha)


@pytest.mark.parametrize("fineness", [4.0, 6.0, 8.0])
def test_in_the_middle_of_a_spheroid_as_lamb_has_it(fineness: float) -> None:
    # The speed there is 1 + k over that of the flow, exactly.
    stations = np.linspace(0.0, 2.0 * fineness, 801)
    radii = np.sqrt(np.maximum(1.0 - ((stations - fineness) / fineness) ** 2, 0.0))
    exactly = 1.0 - (1.0 + added_mass_along(fineness)) ** 2
    found = outline_pressure(stations, math.pi * radii**2, fineness)
    assert found == pytest.approx(exactly, abs=0.03)
    assert found < -0.03


@pytest.mark.parametrize("at_radii", [2.0, 3.0, 4.0, 6.0])
def test_beside_a_half_body_as_one_source_makes_it(at_radii: float) -> None:
    # A source in a stream: radius sin(theta / 2) of the final one, pressure in closed form; any textbook.
    turn = np.linspace(1e-6, math.pi - 0.02, 4000)
    across = np.sin(turn / 2.0)
    along = -across / np.tan(turn)
    away = np.hypot(along, across)
    exactly = 1.0 - (1.0 + 0.25 * along / away**3) ** 2 - (0.25 * across / away**3) ** 2
    behind_tip = along + 0.5
    found = outline_pressure(behind_tip, math.pi * across**2, at_radii)
    assert found == pytest.approx(float(np.interp(at_radii, behind_tip, exactly)), abs=0.02)


def test_a_station_beside_the_body_is_refused() -> None:
    with pytest.raises(OutsideRange, match="reaches from 0 to 1 m"):
        outline_pressure(np.array([0.0, 1.0]), np.array([0.01, 0.01]), 1.2)


STEP = {"area_m2": 0.01, "height_m": 0.02, "steepness": 1.0}
LIP = Face(start_m=0.5, end_m=0.5, front=False, **STEP)
RISE = Face(start_m=0.5, end_m=0.5, front=True, **STEP)


@pytest.mark.parametrize(
    ("face", "at_m", "clear"),
    [
        (LIP, 0.48, 1.0),  # one height ahead of a lip
        (LIP, 0.62, 1.0),  # six behind it
        (LIP, 0.56, 0.5),
        (RISE, 0.46, 1.0),  # two ahead of a front
        (RISE, 0.58, 1.0),  # four behind its edge
        (RISE, 0.50, 0.0),
        (RISE, 5.00, FAR),
    ],
)
def test_reaches_of_a_ledge(face: Face, at_m: float, clear: float) -> None:
    assert clear_of_ledges([face], at_m) == pytest.approx(clear)


def test_a_taper_that_the_air_follows_is_no_ledge_and_the_nearest_ledge_decides() -> None:
    taper = Face(start_m=0.0, end_m=1.0, front=True, area_m2=0.01, height_m=0.02, steepness=0.002)
    assert clear_of_ledges([taper], 0.5) == FAR
    assert clear_of_ledges([], 0.5) == FAR
    assert clear_of_ledges([taper, LIP], 0.56) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("diameters", "angles", "uneven"),
    [
        ([0.003] * 3, [0.0, THIRD, 2 * THIRD], 0.0),
        ([0.003] * 4, [0.0, math.pi / 2, math.pi, 1.5 * math.pi], 0.0),
        ([0.003], [1.0], 1.0),
        ([0.003] * 2, [0.0, math.pi], 1.0),
        # Areas 4, 1, 1: the first harmonic leaves (4 - 1) / 6.
        ([0.004, 0.002, 0.002], [0.0, THIRD, 2 * THIRD], 0.5),
        ([0.003] * 3, [0.0, 0.0, 0.0], 1.0),
    ],
)
def test_holes_that_do_not_average_the_wind_out(diameters, angles, uneven: float) -> None:
    assert unevenness(diameters, angles) == pytest.approx(uneven, abs=1e-12)


@pytest.mark.parametrize(("diameters", "angles"), [([], []), ([0.003], []), ([0.0], [0.0])])
def test_holes_that_are_none_are_refused(diameters, angles) -> None:
    with pytest.raises(OutsideRange):
        unevenness(diameters, angles)


def test_three_holes_average_the_ideal_pressure_round_a_cylinder() -> None:
    # 1 - 4 sin^2: -1 on average over three evenly round, whichever way they are turned; any textbook.
    for turned in (0.0, 0.4, 1.1):
        round_it = turned + THIRD * np.arange(3)
        assert np.mean(1.0 - 4.0 * np.sin(round_it) ** 2) == pytest.approx(-1.0)
    low, high = wind_across(0.0)
    assert low <= -1.0 <= high
    assert wind_across(0.5)[0] < low
    assert wind_across(0.5)[1] > high


def test_a_port_in_suction_reads_too_high() -> None:
    # Pressure coefficient -0.1 at 100 m/s is 51 m (hydrostatics: C V^2 / 2 g).
    suction = np.array([-0.1 * 1.1 / 2 * 100.0**2])
    assert height_read(np.array([200.0]), suction, np.array([1.1])) == pytest.approx(251.0, abs=0.1)


def test_the_largest_fall_is_from_what_was_shown_before() -> None:
    assert largest_fall(np.array([0.0, 10.0, 4.0, 30.0, 26.0])) == 6.0
    assert largest_fall(np.array([0.0, 1.0, 2.0])) == 0.0
    for nothing in (np.array([]), np.array([0.0, np.nan])):
        with pytest.raises(OutsideRange):
            largest_fall(nothing)


def test_a_gust_looks_like_its_own_pressure_head() -> None:
    # v^2 / 2 g at the worst corner of a section, 1.6 times: 10 m/s over 2 x 9.80665.
    assert gust_height(10.0) == pytest.approx(1.6 * 100.0 / 19.6133)
    assert gust_height(0.0) == 0.0
