"""The flight core against closed forms."""

import csv
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from finial.core.frames import rotation_from_quaternion
from finial.flight.example import example_inputs, plain_table
from finial.flight.fly import fly
from finial.flight.inputs import Air, MassHistory, Rail, Start, Thrust

_G = 9.80665
_GAS = 287.05287
_TOLERANCE = 1e-8
_UPRIGHT = np.array([math.sqrt(0.5), 0.0, -math.sqrt(0.5), 0.0])
_LATE = 1e3


def _air(density=0.0, wind_m_s=0.0):
    """Air of one density at all heights: the lapse at which cooling just makes up for the pressure."""
    return Air(
        ground_asl_m=0.0,
        pressure_pa=density * _GAS * 288.15,
        temperature_k=288.15,
        lapse_k_m=_G / _GAS,
        wind_heights_m=np.zeros(1),
        wind_east_m_s=np.array([wind_m_s]),
        wind_north_m_s=np.zeros(1),
    )


def _mass(mass_kg, inertia=(0.02, 1.5, 1.5)):
    return MassHistory(
        times_s=np.zeros(1),
        masses_kg=np.array([mass_kg]),
        centres_m=np.array([[-0.7, 0.0, 0.0]]),
        inertias_kg_m2=np.diag(inertia)[None],
    )


def _thrust(times=(0.0, _LATE), thrusts=(0.0, 0.0)):
    return Thrust(times_s=np.array(times), thrusts_n=np.array(thrusts), nozzle_station_m=1.2)


def _case(**changes):
    quiet = {
        "mass": _mass(10.0),
        "thrust": _thrust(),
        "air_table": plain_table(),
        "air": _air(),
        "canopies": (),
    }
    return replace(example_inputs(), **(quiet | changes))


def _start(velocity, height=0.0, rates=(0.0, 0.0, 0.0)):
    return Start(
        time_s=0.0,
        position_m=np.array([0.0, 0.0, height]),
        velocity_m_s=np.array(velocity, dtype=float),
        quaternion=_UPRIGHT,
        rates_rad_s=np.array(rates, dtype=float),
    )


@cache
def _ballistic():
    angle = math.radians(80.0)
    start = _start((100.0 * math.cos(angle), 0.0, 100.0 * math.sin(angle)))
    return fly(_case(), tolerance=_TOLERANCE, start=start)


@cache
def _coast():
    case = _case(air=_air(1.2), air_table=plain_table(drag_area_m2=0.02))
    return fly(case, tolerance=_TOLERANCE, start=_start((0.0, 0.0, 150.0)))


@cache
def _fall(seconds):
    # A knot of the (empty) thrust curve makes a step end at the very time.
    thrust = _thrust((0.0, seconds, _LATE), (0.0, 0.0, 0.0))
    case = _case(air=_air(1.2), air_table=plain_table(drag_area_m2=0.02), thrust=thrust)
    trace = fly(case, tolerance=_TOLERANCE, start=_start((0.0, 0.0, 0.0), height=3000.0))
    row = int(np.flatnonzero(trace.times_s == seconds)[0])
    return 3000.0 - trace.positions_m[row, 2], -trace.velocities_m_s[row, 2]


@cache
def _rocket(gravity):
    mass = MassHistory(
        times_s=np.array([0.0, 3.0]),
        masses_kg=np.array([12.0, 10.0]),
        centres_m=np.full((2, 3), [-0.7, 0.0, 0.0]),
        inertias_kg_m2=np.tile(np.diag([0.02, 1.5, 1.5]), (2, 1, 1)),
    )
    push = 200.0 * _G * 2.0 / 3.0
    thrust = _thrust((0.0, 3.0), (push, push))
    case = _case(mass=mass, thrust=thrust, gravity_m_s2=gravity)
    limited = replace(case, air=_air())
    trace = fly(limited, tolerance=_TOLERANCE, start=_start((0.0, 0.0, 0.0), height=0.0))
    return trace.event("burnout")


def _rail(push_n, mass_kg, travel_m, wind_m_s=0.0):
    rail = Rail(
        length_m=0.58 + travel_m,
        tilt_rad=0.0,
        bearing_rad=0.0,
        fore_button_m=0.62,
        aft_button_m=1.15,
        stand_m=1.2,
    )
    thrust = _thrust((0.0, 60.0), (push_n, push_n))
    case = _case(mass=_mass(mass_kg), thrust=thrust, rail=rail, air=_air(0.0, wind_m_s))
    return fly(case, tolerance=_TOLERANCE)


def _rail_speed(push_over_weight, travel_m):
    trace = _rail(push_over_weight * 15.0 * _G, 15.0, travel_m)
    return trace.event("fore button leaves").speed_m_s


def _wind_angle(wind_m_s, speed_m_s):
    trace = _rail(3.0 * 15.0 * _G, 15.0, speed_m_s**2 / (4.0 * _G), wind_m_s)
    row = int(np.searchsorted(trace.times_s, trace.event("fore button leaves").time_s))
    return math.degrees(trace.alphas_rad[row])


@cache
def _top():
    """Rates and attitude of a spinning body whose axis stands 5 degrees off its momentum."""
    axial, transverse, spin = 0.02, 1.5, 20.0
    across = math.tan(math.radians(5.0)) * axial * spin / transverse
    start = _start((0.0, 0.0, 0.0), height=500.0, rates=(spin, across, 0.0))
    return fly(_case(), tolerance=1e-9, start=start)


def _slope_of_angle(times, cosines, sines):
    return abs(np.polyfit(times, np.unwrap(np.arctan2(sines, cosines)), 1)[0])


def _body_cone_rate():
    trace = _top()
    return _slope_of_angle(trace.times_s, trace.rates_rad_s[:, 1], trace.rates_rad_s[:, 2])


def _momentum(trace):
    inertia = np.diag([0.02, 1.5, 1.5])
    turns = np.array([rotation_from_quaternion(quaternion) for quaternion in trace.quaternions])
    return turns, np.einsum("nij,nj->ni", turns, trace.rates_rad_s @ inertia)


def _precession_rate():
    trace = _top()
    turns, momentum = _momentum(trace)
    pole = momentum[0] / np.linalg.norm(momentum[0])
    side = np.cross(pole, [1.0, 0.0, 0.0])
    side /= np.linalg.norm(side)
    axes = turns[:, :, 0]
    return _slope_of_angle(trace.times_s, axes @ side, axes @ np.cross(pole, side))


QUANTITIES = {
    "ballistic range": lambda: _ballistic().positions_m[-1, 0],
    "ballistic apex": lambda: _ballistic().event("apogee").height_agl_m,
    "ballistic time": lambda: _ballistic().times_s[-1],
    "coast height": lambda: _coast().event("apogee").height_agl_m,
    "coast time": lambda: _coast().event("apogee").time_s,
    "fall speed at 2 s": lambda: _fall(2.0)[1],
    "fall speed at 5 s": lambda: _fall(5.0)[1],
    "fall speed at 10 s": lambda: _fall(10.0)[1],
    "fall at 2 s": lambda: _fall(2.0)[0],
    "fall at 5 s": lambda: _fall(5.0)[0],
    "fall at 10 s": lambda: _fall(10.0)[0],
    "rocket speed without gravity": lambda: _rocket(0.0).speed_m_s,
    "rocket speed": lambda: _rocket(_G).speed_m_s,
    "rocket height": lambda: _rocket(_G).height_agl_m,
    "rail speed": _rail_speed,
    "wind angle in degrees": _wind_angle,
    "body cone rate": _body_cone_rate,
    "precession rate": _precession_rate,
}


def _rows():
    with (Path(__file__).parent / "flight.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(line for line in stream if not line.startswith("#")))


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['id']} {row['inputs']}")
def test_published_flight(row):
    quantity, _, given = row["inputs"].partition(": ")
    answer = float(QUANTITIES[quantity](*map(float, given.split())))
    expected, tolerance = float(row["expected"]), row["tolerance"]
    if tolerance.endswith("%"):
        assert answer == pytest.approx(expected, rel=float(tolerance.rstrip(" %")) / 100.0)
    else:
        assert answer == pytest.approx(expected, abs=float(tolerance))


def test_momentum_of_the_free_top_stays_where_it_was():
    # FLT-09: the momentum vector is fixed, to 1e-8 of its length per second of flight.
    trace = _top()
    momentum = _momentum(trace)[1]
    moved = np.linalg.norm(momentum - momentum[0], axis=1) / np.linalg.norm(momentum[0])
    assert moved.max() < 1e-8 * trace.times_s[-1]


def test_body_cone_turns_the_right_way():
    # wy + i wz = w0 exp(i Om t) with Om = (Ixx - It) / It wx: textbook mechanics, from memory.
    trace = _top()
    phase = np.unwrap(np.arctan2(trace.rates_rad_s[:, 2], trace.rates_rad_s[:, 1]))
    expected = (0.02 - 1.5) / 1.5 * 20.0 * trace.times_s
    assert phase == pytest.approx(expected, abs=1e-5 * abs(expected[-1]))
