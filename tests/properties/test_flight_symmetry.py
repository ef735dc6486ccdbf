"""A flight turned about the vertical, mirrored, or carried elsewhere is the same flight."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finial.flight.example import example_inputs
from finial.flight.fly import fly

# Rounding may shift a step across a kink of a table; what is left then is the step's own error.
_FINE = 1e-7
_MILLIMETRE_M = 1e-3


def _landing(inputs):
    return fly(inputs, tolerance=_FINE).positions_m[-1]


def _turned(inputs, angle_rad):
    """Wind and rail turned clockwise about the vertical."""
    air, cosine, sine = inputs.air, math.cos(angle_rad), math.sin(angle_rad)
    turned = replace(
        air,
        wind_east_m_s=cosine * air.wind_east_m_s + sine * air.wind_north_m_s,
        wind_north_m_s=cosine * air.wind_north_m_s - sine * air.wind_east_m_s,
    )
    rail = replace(inputs.rail, bearing_rad=inputs.rail.bearing_rad + angle_rad)
    return replace(inputs, air=turned, rail=rail)


def _mirrored(inputs):
    """Everything seen in a mirror that swaps east and west: wind, rail, and the vehicle's body z.

    The rail frame's third axis is the cross product of the first two, so in the mirror it points
    the other way: a mirrored vehicle has its z parts negated.
    """
    air, mass, thrust = inputs.air, inputs.mass, inputs.thrust
    flip = np.array([1.0, 1.0, -1.0])
    table = inputs.air_table
    odd = {
        name: -np.flip(getattr(table, name), axis=1) for name in ("across", "across_moment", "roll_moment")
    }
    even = {
        name: np.flip(getattr(table, name), axis=1)
        for name in ("along", "along_moment", "axial_power_on", "axial_power_off")
    }
    return replace(
        inputs,
        air=replace(air, wind_east_m_s=-air.wind_east_m_s),
        rail=replace(inputs.rail, bearing_rad=-inputs.rail.bearing_rad, roll_rad=-inputs.rail.roll_rad),
        mass=replace(
            mass,
            centres_m=mass.centres_m * flip,
            inertias_kg_m2=mass.inertias_kg_m2 * np.outer(flip, flip),
        ),
        thrust=replace(
            thrust,
            offset_m=(thrust.offset_m[0], -thrust.offset_m[1]),
            tilt_rad=(thrust.tilt_rad[0], -thrust.tilt_rad[1]),
        ),
        air_table=replace(table, **odd, **even),
    )


def _crooked(roll_rad):
    base = example_inputs()
    table = base.air_table
    return replace(
        base,
        rail=replace(base.rail, roll_rad=roll_rad),
        thrust=replace(base.thrust, offset_m=(0.001, 0.002), tilt_rad=(0.002, -0.003)),
        air_table=replace(table, roll_moment=np.full_like(table.roll_moment, 0.02)),
    )


@settings(max_examples=12, deadline=None)
@given(angle=st.floats(-math.pi, math.pi))
def test_a_flight_turned_about_the_vertical_lands_turned(angle):
    inputs = _crooked(0.3)
    east, north, _ = _landing(inputs)
    turned = _landing(_turned(inputs, angle))
    expected = (
        math.cos(angle) * east + math.sin(angle) * north,
        math.cos(angle) * north - math.sin(angle) * east,
    )
    assert turned[:2] == pytest.approx(expected, abs=_MILLIMETRE_M)


@settings(max_examples=12, deadline=None)
@given(roll=st.floats(-math.pi, math.pi))
def test_a_mirrored_flight_lands_mirrored(roll):
    inputs = _crooked(roll)
    east, north, _ = _landing(inputs)
    mirrored = _landing(_mirrored(inputs))
    assert mirrored[:2] == pytest.approx((-east, north), abs=_MILLIMETRE_M)


def test_a_flight_is_the_same_every_time():
    first, second = fly(example_inputs()), fly(example_inputs())
    assert np.array_equal(first.positions_m, second.positions_m)
    assert first.events == second.events


@settings(max_examples=10, deadline=None)
@given(scale=st.floats(0.5, 3.0))
def test_twice_as_much_of_everything_flies_the_same(scale):
    """Masses, inertias, thrust and areas scaled together leave every acceleration as it was."""
    base = example_inputs()
    mass, table = base.mass, base.air_table
    scaled = replace(
        base,
        mass=replace(mass, masses_kg=scale * mass.masses_kg, inertias_kg_m2=scale * mass.inertias_kg_m2),
        thrust=replace(base.thrust, thrusts_n=scale * base.thrust.thrusts_n),
        air_table=replace(table, reference_area_m2=scale * table.reference_area_m2),
        canopies=tuple(replace(canopy, drag_area_m2=scale * canopy.drag_area_m2) for canopy in base.canopies),
        tumbling_drag_area_m2=scale * base.tumbling_drag_area_m2,
    )
    assert _landing(scaled) == pytest.approx(_landing(base), abs=_MILLIMETRE_M)


def test_attitude_stays_a_rotation_and_time_never_falls():
    trace = fly(example_inputs())
    assert np.linalg.norm(trace.quaternions, axis=1) == pytest.approx(1.0, abs=1e-6)
    assert np.all(np.diff(trace.times_s) >= 0.0)
    assert np.all(np.diff(trace.masses_kg) <= 1e-12)
