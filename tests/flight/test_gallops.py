"""The angle from which a vehicle gallops, against a swing across the wind followed in time."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.aero.galloping import Galloping
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.gallops import NEVER_RAD, galloping_angles
from finial.flight.steadiness import way_up
from finial.flight.swing import fadings_m2_kg


@pytest.fixture(scope="module")
def flown():
    inputs = example_inputs()
    table = replace(inputs.air_table, least_damping=0.5 * inputs.air_table.pitch_damping)
    return fly(inputs), table, inputs.mass


def rod(area_m2: float, about_m: float, spread_m4: float = 0.0) -> Galloping:
    """A driving width about a station, at one roll; at the other as much that damps."""
    one = np.array([1.0, -1.0])
    return Galloping(
        areas_m2=area_m2 * one,
        moments_m3=area_m2 * about_m * one,
        inertias_m4=(area_m2 * about_m**2 + spread_m4) * one,
    )


def test_at_that_angle_drive_and_damping_of_the_motion_are_equal(flown) -> None:
    trace, table, mass = flown
    drive = rod(1.0, 0.7, 0.3)
    low, usual, high = galloping_angles(trace, table, mass, (rod(-1.0, 0.7), drive, drive))
    up = way_up(trace, table, mass, 0.0)
    # m y'' = -(damping - sin(a) drive) y' in half densities and speeds, and the same of the turn.
    rows = up.rows
    centres = -np.interp(trace.times_s[rows], mass.times_s, mass.centres_m[:, 0])
    slope = np.interp(trace.machs[rows], table.mach, table.along[0].min(axis=0)) * table.reference_area_m2
    turn = 400.0 * table.reference_area_m2 * table.width_m**2 / 2.0
    damped = slope / trace.masses_kg[rows] + turn / up.across_kg_m2
    driven = (0.3 + (centres - 0.7) ** 2) / up.across_kg_m2 + 1.0 / trace.masses_kg[rows]
    assert math.sin(usual) == pytest.approx(float((damped / driven).min()), rel=1e-6)
    assert low < usual < high
    weak = fadings_m2_kg(trace, table, up)[1]
    assert math.sin(low) == pytest.approx(float((weak / driven).min()), rel=1e-6)


def test_what_only_damps_never_gallops(flown) -> None:
    trace, table, mass = flown
    round_one = replace(rod(-1.0, 0.7), areas_m2=-np.ones(2), moments_m3=-0.7 * np.ones(2))
    round_one = replace(round_one, inertias_m4=-0.5 * np.ones(2))
    assert galloping_angles(trace, table, mass, (round_one,) * 3) == (NEVER_RAD,) * 3


def test_what_grows_by_itself_gallops_at_no_angle_too(flown) -> None:
    trace, table, mass = flown
    growing = replace(table, least_damping=np.full(table.mach.size, 5e4))
    low, usual, _ = galloping_angles(trace, growing, mass, (rod(0.1, 0.7),) * 3)
    assert low == 0.0 < usual


def test_without_the_low_end_of_the_damping_it_is_not_known(flown) -> None:
    trace, table, mass = flown
    assert galloping_angles(trace, replace(table, least_damping=None), mass, (rod(0.1, 0.7),) * 3) is None
    start = replace(trace, events=())
    assert galloping_angles(start, table, mass, (rod(0.1, 0.7),) * 3) is None
