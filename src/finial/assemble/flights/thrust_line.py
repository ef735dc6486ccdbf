"""The balance point beside the line of thrust, as the rail lets go."""

import math

import numpy as np

from finial.assemble.air.sections import AirLoads
from finial.assemble.flights.corners import Flights
from finial.assemble.flights.results import UNHELD_RAD, ThrustLine
from finial.assemble.mass.rows import Row
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.usual import reach
from finial.core.estimates import Estimate, KnownBy
from finial.flight.inputs import FlightInputs
from finial.flight.steadiness import held_angles, righting_m3, thrust_arm
from finial.flight.trace import EventKind, Trace

_ONE_DEGREE = math.radians(1.0)


def thrust_line(
    vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads, flights: Flights
) -> ThrustLine | None:
    """How far the thrust passes beside the balance point, and the angle at which the air holds that."""
    rows_at_exit = {name: _row_at_exit(trace) for name, trace in flights.named.items()}
    left = {name: row for name, row in rows_at_exit.items() if row is not None}
    if len(left) < len(rows_at_exit):
        return None
    given = flights.inputs["nominal"]
    arm = _arm(vehicle, rows, given)
    forward_m = float(np.min(air.result.pressure_central_m[0]) - np.min(air.result.pressure_forward_m[0]))
    moments: list[float] = []
    angles: list[float] = []
    for name, row in left.items():
        trace, inputs = flights.named[name], flights.inputs[name]
        pushed = [float(trace.thrusts_n[row]) * one for one in (arm.value, arm.low, arm.high)]
        moments += pushed
        angles += _angles(inputs, trace, row, pushed, (0.0, 0.0, forward_m))
    balance, line = _across(vehicle, rows, given)
    return ThrustLine(
        balance_across=balance,
        thrust_across=line,
        arm=arm,
        moment=_span(moments, "thrust times its arm"),
        righting_n_m=_righting(given, flights.nominal, left["nominal"]),
        held_angle=_span(angles, "balance of moments as the rail lets go, forward end of the pressure band"),
    )


def _row_at_exit(trace: Trace) -> int | None:
    left = trace.event(EventKind.RAIL_EXIT)
    return None if left is None else int(np.searchsorted(trace.times_s, left.time_s))


def _angles(
    inputs: FlightInputs, trace: Trace, row: int, moments_n_m: list[float], shifts_m: tuple[float, ...]
) -> list[float]:
    balance = _balance_m(inputs, trace, row)
    held = held_angles(
        inputs.air_table,
        float(trace.machs[row]),
        [balance + shift for shift in shifts_m],
        moments_n_m,
        float(trace.dynamic_pressures_pa[row]),
    )
    return [UNHELD_RAD if one is None else one for one in held]


def _balance_m(inputs: FlightInputs, trace: Trace, row: int) -> float:
    time = float(trace.times_s[row]) - inputs.thrust.ignition_delay_s
    return -float(np.interp(time, inputs.mass.times_s, inputs.mass.centres_m[:, 0]))


def _righting(inputs: FlightInputs, trace: Trace, row: int) -> float:
    per_pressure = righting_m3(
        inputs.air_table, _ONE_DEGREE, float(trace.machs[row]), _balance_m(inputs, trace, row)
    )
    return float(trace.dynamic_pressures_pa[row] * per_pressure * math.sin(_ONE_DEGREE))


def _across(
    vehicle: LoadedVehicle, rows: tuple[Row, ...], inputs: FlightInputs
) -> tuple[tuple[Estimate, Estimate], tuple[Estimate, Estimate]]:
    """Balance point and line of thrust off the axis, along body y and z."""
    mass = float(inputs.mass.masses_kg[0])
    scatter, offsets = vehicle.sheet.scatter, vehicle.sheet.motor.offset
    items = {item.name: item.offset for item in vehicle.sheet.item}
    loose = [
        sum(row.mass.value * items[row.name][side].tolerance for row in rows if row.kind == "item") / mass
        for side in range(2)
    ]
    # Sums of bodies all round the axis leave rounding behind: a nanometre is on the axis.
    centre = inputs.mass.centres_m[0, 1:].round(9) + 0.0
    balance = tuple(_around(float(centre[side]), loose[side], "mass table") for side in range(2))
    line = tuple(
        _around(inputs.thrust.offset_m[side], reach(scatter, "thrust_offset", offsets[side]), "build sheet")
        for side in range(2)
    )
    return (balance[0], balance[1]), (line[0], line[1])


def _arm(vehicle: LoadedVehicle, rows: tuple[Row, ...], inputs: FlightInputs) -> Estimate:
    """Arm as drawn, and what tolerances and a line of thrust that leans a little may add to it."""
    centre = inputs.mass.centres_m[0]
    value = thrust_arm(inputs.thrust, centre)
    balance, line = _across(vehicle, rows, inputs)
    leaning = math.sin(reach(vehicle.sheet.scatter, "thrust_line")) * abs(
        inputs.thrust.nozzle_station_m + float(centre[0])
    )
    off = math.hypot(*(balance[side].half_width + line[side].half_width for side in range(2))) + leaning
    return Estimate(
        value=value,
        low=max(value - off, 0.0),
        high=value + off,
        known_by=KnownBy.COMPUTED,
        method="balance point to line of thrust, with the usual scatter of both",
    )


def _around(value: float, off: float, method: str) -> Estimate:
    return Estimate(value=value, low=value - off, high=value + off, known_by=KnownBy.COMPUTED, method=method)


def _span(values: list[float], method: str) -> Estimate:
    return Estimate(
        value=values[0], low=min(values), high=max(values), known_by=KnownBy.COMPUTED, method=method
    )
