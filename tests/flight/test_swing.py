"""How a vehicle swings back: against the flight itself, which is told nothing of frequencies."""

import math
from dataclasses import replace

import numpy as np
import pytest

from finial.flight.example import example_inputs, example_table
from finial.flight.fly import fly
from finial.flight.inputs import Start
from finial.flight.steadiness import way_up
from finial.flight.swing import Swing, least_wavelength_m, swing
from finial.flight.trace import EventKind, FlightEvent, Trace

INERTIA, MASS = 1.0, 8.0


def swung(damping: float, least: float | None = None) -> tuple[Trace, Swing | None]:
    """A level flight without weight, drag or thrust that starts three degrees askew."""
    inputs = example_inputs()
    each = np.full(4, damping)
    table = replace(
        example_table(axial=0.0),
        pitch_damping=each,
        roll_damping=np.full(4, -50.0),
        least_damping=None if least is None else np.full(4, least),
    )
    mass = replace(
        inputs.mass,
        times_s=np.zeros(1),
        masses_kg=np.array([MASS]),
        centres_m=np.array([[-0.73, 0.0, 0.0]]),
        inertias_kg_m2=np.diag([0.02, INERTIA, INERTIA])[None],
    )
    half = math.radians(3.0) / 2
    start = Start(
        time_s=0.0,
        position_m=np.array([0.0, 0.0, 3000.0]),
        velocity_m_s=np.array([80.0, 0.0, 0.0]),
        quaternion=np.array([math.cos(half), 0.0, math.sin(half), 0.0]),
        rates_rad_s=np.zeros(3),
    )
    air = replace(inputs.air, wind_east_m_s=np.zeros(10), wind_north_m_s=np.zeros(10))
    silent = replace(inputs.thrust, thrusts_n=np.zeros_like(inputs.thrust.thrusts_n))
    still = replace(inputs, air_table=table, thrust=silent, mass=mass, air=air, gravity_m_s2=0.0, canopies=())
    trace = fly(still, start=start)
    left = FlightEvent(kind=EventKind.RAIL_EXIT, time_s=0.0, height_agl_m=0.0, speed_m_s=80.0)
    short = trace.times_s < 2.0
    columns = {
        name: getattr(trace, name)[short]
        for name in ("times_s", "machs", "airspeeds_m_s", "dynamic_pressures_pa", "masses_kg", "alphas_rad")
    }
    trace = replace(trace, events=(left,), **columns)
    return trace, swing(trace, table, mass)


def peaks(trace: Trace) -> tuple[np.ndarray, np.ndarray]:
    """Times and heights of the largest angles of a swing to either side."""
    fine = np.linspace(0.0, float(trace.times_s[-1]), 20_000)
    alpha = np.interp(fine, trace.times_s, trace.alphas_rad)
    tops = np.flatnonzero((alpha[1:-1] > alpha[:-2]) & (alpha[1:-1] >= alpha[2:])) + 1
    return fine[tops], alpha[tops]


@pytest.mark.parametrize("damping", [-20.0, -150.0])
def test_wavelength_and_damping_are_those_of_the_flight(damping: float) -> None:
    trace, found = swung(damping, damping)
    times, heights = peaks(trace)
    assert len(times) > 3
    period = 2.0 * float(np.diff(times)[:3].mean())
    decay = math.log(heights[0] / heights[3]) / (3.0 * math.pi)
    assert found is not None
    # At the worst roll angle this table holds 4 % less.
    assert found.wavelength_m == pytest.approx(80.0 * period, rel=0.07)
    assert found.damping_ratio == pytest.approx(decay / math.sqrt(1.0 + decay**2), rel=0.1)


def test_the_shortest_swing_is_the_one_told() -> None:
    inputs = example_inputs()
    trace = fly(inputs)
    found = swing(trace, inputs.air_table, inputs.mass)
    up = way_up(trace, inputs.air_table, inputs.mass, 0.0)
    assert found is not None
    assert up is not None
    density = 2.0 * trace.dynamic_pressures_pa[up.rows] / trace.airspeeds_m_s[up.rows] ** 2
    waves = 2.0 * math.pi * np.sqrt(2.0 * up.across_kg_m2 / (density * up.righting_m3))
    assert found.wavelength_m == pytest.approx(waves.min())
    assert waves[trace.times_s[up.rows] == found.time_s].item() > 1.01 * waves.min(), (
        "not where it fades least"
    )


@pytest.mark.parametrize(
    ("chord_m", "width_m", "least_m"), [(0.1, 0.1, 6.3), (0.2, 0.1, 12.6), (0.1, 0.4, 8.0), (0.0, 0.4, 8.0)]
)
def test_the_air_keeps_up_over_63_chords_and_20_widths(chord_m, width_m, least_m) -> None:
    """Reduced frequency pi c / lambda up to 0.05, and reduced velocity from 20 on."""
    assert least_wavelength_m(chord_m, width_m) == pytest.approx(least_m)
    assert math.pi * 0.1 / least_wavelength_m(0.1, 0.0) == pytest.approx(0.05, rel=0.005)


def test_the_low_end_may_grow_and_is_not_clipped() -> None:
    _, found = swung(-150.0, 300.0)
    assert found is not None
    assert found.least_ratio is not None
    assert found.least_ratio < 0.0 < found.damping_ratio


def test_what_is_not_known_stays_so() -> None:
    _, found = swung(-150.0)
    assert found is not None
    assert found.least_ratio is None
