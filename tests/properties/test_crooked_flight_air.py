"""A crooked shape flown by the compiled core settles at the angle that the moments foretell."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.body import BodyAir, body_air
from finial.aero.crooked import trim_of
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import ellipse, section_of, skin_of
from finial.aero.table.build import TableInputs, air_table, drag_at
from finial.flight.example import example_inputs
from finial.flight.fly import fly
from finial.flight.inputs import Start
from finial.shape.fin_set import FinSet

_UP = np.array([np.sqrt(0.5), 0.0, -np.sqrt(0.5), 0.0])
BALANCE_M = 0.55
INPUTS = TableInputs(damping_centre_m=BALANCE_M)


def leaning(side: tuple[float, float]) -> BodyAir:
    """Cone on a tube, bowed to one side by up to so much."""
    stations = np.concatenate([np.linspace(0.0, 0.3, 25), np.linspace(0.3, 1.0, 40)[1:]])
    across = np.maximum(np.minimum(stations / 3, 0.1), 1e-6)
    return body_air(
        skin_of(
            [
                section_of(float(x), [ellipse(d / 2, d / 2) + np.array(side) * x**2])
                for x, d in zip(stations, across, strict=True)
            ]
        )
    )


def fins() -> FinSet:
    outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    return FinSet(
        name="fins",
        outline_m=outline,
        station_m=0.82,
        root_radius_m=0.05,
        count=4,
        first_at_rad=0.0,
        thickness_m=0.003,
    )


def coasting(body: BodyAir, centre: tuple[float, float]):
    """Fly without thrust, gravity or wind from straight ahead, and let it settle."""
    base = example_inputs()
    count = base.mass.times_s.size
    still = replace(
        base.air, wind_east_m_s=0 * base.air.wind_east_m_s, wind_north_m_s=0 * base.air.wind_north_m_s
    )
    inputs = replace(
        base,
        air_table=air_table(body, fin_air(body, [fins()]), INPUTS),
        mass=replace(
            base.mass,
            masses_kg=np.full(count, 5.0),
            centres_m=np.tile([-BALANCE_M, *centre], (count, 1)),
            inertias_kg_m2=np.array([np.diag([0.02, 0.05, 0.05])] * count),
        ),
        air=still,
        canopies=(),
        thrust=replace(base.thrust, thrusts_n=0.0 * base.thrust.thrusts_n, ignition_delay_s=0.0),
        gravity_m_s2=0.0,
    )
    start = Start(
        time_s=5.0,
        position_m=np.zeros(3),
        velocity_m_s=np.array([0.0, 0.0, 90.0]),
        quaternion=_UP,
        rates_rad_s=np.zeros(3),
    )
    return fly(inputs, start=start)


@pytest.mark.parametrize(
    ("side", "centre"),
    [
        ((0.02, 0.0), (0.0, 0.0)),
        ((0.0, -0.03), (0.0, 0.0)),
        ((0.01, 0.02), (0.003, -0.002)),
        ((0.0, 0.0), (0.0, 0.004)),
    ],
)
def test_the_flight_settles_where_the_moments_vanish(
    side: tuple[float, float], centre: tuple[float, float]
) -> None:
    body = leaning(side)
    trace = coasting(body, centre)
    late = (trace.times_s > 7.0) & (trace.times_s < 8.0)
    mach = float(trace.machs[late].mean())
    drag = drag_at(body, fin_air(body, [fins()]), INPUTS, mach).power_off.value
    table = air_table(body, fin_air(body, [fins()]), INPUTS)
    trim = trim_of(body, fin_air(body, [fins()]), (BALANCE_M, *centre), (drag, table.drag_line_m))
    assert trim.angle_rad is not None
    assert float(trace.alphas_rad[late].mean()) == pytest.approx(trim.angle_rad, rel=0.08, abs=2e-4)
    blows = np.exp(1j * trace.rolls_rad[late]).mean()
    assert abs(np.angle(blows * np.exp(-1j * trim.roll_rad))) < np.radians(6.0)
