"""A cluster of which one motor does not light: what is left pushes beside the balance point."""

import math
from dataclasses import replace

import numpy as np

from finial.assemble.flights.corners import Flights
from finial.assemble.flights.results import UNHELD_RAD, UnlitMotor
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import line_without
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy
from finial.flight.inputs import FlightInputs
from finial.flight.steadiness import held_angles, thrust_arm
from finial.flight.trace import EventKind, Trace
from finial.motors.curve import total_impulse


def one_unlit(vehicle: LoadedVehicle, flights: Flights) -> UnlitMotor | None:
    """Find the motor of a cluster that turns it most by not lighting; none of a single motor.

    The others keep their thrust; the pressure of the air at the end of the rail falls with what accelerates
    it along the rail. One that then does not lift off turns nothing over.
    """
    if len(vehicle.motors) < 2 or any(trace.event(EventKind.RAIL_EXIT) is None for trace in flights.every):
        return None
    every = [_without(vehicle, flights, number) for number in range(len(vehicle.motors))]
    return max(every, key=lambda one: one.held_angle.high)


def _without(vehicle: LoadedVehicle, flights: Flights, number: int) -> UnlitMotor:
    impulses = np.array([total_impulse(motor) for motor in vehicle.motors])
    kept = float(1.0 - impulses[number] / impulses.sum())
    line = line_without(vehicle, number)
    found: list[tuple[float, float]] = []
    for name, trace in flights.named.items():
        given = flights.inputs[name]
        thrust = replace(
            given.thrust,
            nozzle_station_m=line.nozzle_station_m,
            offset_m=line.offset_m,
            tilt_rad=line.tilt_rad,
        )
        arm = thrust_arm(thrust, given.mass.centres_m[0])
        found.append((_angle(given, trace, kept, arm), arm))
    angles = [angle for angle, _ in found]
    return UnlitMotor(
        motor=vehicle.motors[number].name,
        number=number + 1,
        count=len(vehicle.motors),
        arm_m=found[0][1],
        held_angle=Estimate(
            value=angles[0],
            low=min(angles),
            high=max(angles),
            known_by=KnownBy.COMPUTED,
            method="balance of moments as the rail lets go, one motor unlit",
        ),
    )


def _angle(given: FlightInputs, trace: Trace, kept: float, arm_m: float) -> float:
    """Angle at which the air holds what is left of the thrust, as the rail lets go [rad]."""
    left = trace.event(EventKind.RAIL_EXIT)
    assert left is not None, "asked of flights that left the rail"
    row = int(np.searchsorted(trace.times_s, left.time_s))
    weight = float(given.mass.masses_kg[0]) * STANDARD_GRAVITY_M_S2
    thrust = float(trace.thrusts_n[row])
    pushes = kept * thrust - weight
    if pushes <= 0.0:
        return 0.0
    slower = min(pushes / max(thrust - weight, 1e-9), 1.0)
    (held,) = held_angles(
        given.air_table,
        float(trace.machs[row]) * math.sqrt(slower),
        [-float(given.mass.centres_m[0, 0])],
        [kept * thrust * arm_m],
        float(trace.dynamic_pressures_pa[row]) * slower,
    )
    return UNHELD_RAD if held is None else held
