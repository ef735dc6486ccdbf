"""Load cases beyond those of every check: rail, thrust that stops, parting, opening, landing, lifting."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.sections import AirLoads
from finial.assemble.mass.lumps import body_lumps, half_of, roll_lumps
from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability import StabilityPoint
from finial.assemble.strength.cases import LoadCase, body_cuts, gust_scatter
from finial.assemble.strength.forces import air_forces, drag_forces
from finial.assemble.vehicle.loading import Vehicle
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy, spread
from finial.flight.trace import EventKind, Trace
from finial.mass.lumps import Lumps
from finial.shape.measures import section_at
from finial.shape.skin import Skin
from finial.structure.loads.along_body import free_body_loads
from finial.structure.loads.forces import PointForce
from finial.structure.loads.impacts import (
    Touchdown,
    axial_period,
    rebound_share,
    touchdown_force,
    two_supports,
)
from finial.structure.walls.torsion import torsion_along

STOP_M = Estimate(
    value=0.04,
    low=0.02,
    high=0.08,
    known_by=KnownBy.ASSUMED,
    method="way that turf and a crushed edge give",
    source="assumed: turf and a crushed edge; hard earth gives half, ploughed soil more",
)
DENT_SHARE = 0.05
"""Share of the length next to the blow that counts as the edge itself [-]; chosen."""
LANDING_TILT_RAD = math.radians(45.0)
"""Angle between the body's axis and the blow when it lands on an edge [rad]; assumed."""
SCUFF = 0.4
"""Sideways drag of the ground over the blow [-]; assumed: turf on plastic."""
JERK = Estimate(
    value=1.5, low=1.0, high=2.0, known_by=KnownBy.ASSUMED, method="jerk when lifted over the weight"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseInputs:
    """What the further load cases are made from."""

    vehicle: Vehicle
    rows: tuple[Row, ...]
    air: AirLoads
    trace: Trace
    rail_exit: StabilityPoint | None
    recovery: RecoveryResult
    axial_stiffness_n: float
    """Mean axial stiffness of walls and rods [N]."""


def further_cases(given: CaseInputs) -> tuple[LoadCase, ...]:
    """Every further case that the sheet says enough for."""
    return (
        *_on_the_rail(given),
        _thrust_stops(given),
        *_partings(given),
        *_openings(given),
        *_landings(given),
        _lifted(given),
    )


def _on_the_rail(given: CaseInputs) -> Iterator[LoadCase]:
    """Wind across at the end of the rail, both buttons still on it."""
    guide, point = given.vehicle.sheet.guide, given.rail_exit
    if guide is None or point is None or len(guide.buttons) < 2:
        return
    vehicle, trace = given.vehicle, given.trace
    pressure = float(np.interp(point.time_s, trace.times_s, trace.dynamic_pressures_pa))
    forces = air_forces(vehicle, given.air, pressure, point.alpha_rad)
    thrust = float(np.interp(point.time_s, trace.times_s, trace.thrusts_n))
    forces.append(PointForce(station_m=vehicle.sheet.motor.nozzle_station.value, aft_n=-thrust))
    body = body_lumps(vehicle.skin, [*given.rows, motor_row(vehicle, 1.0)])
    free = free_body_loads(body, forces).motion
    cross = free.cross_m_s2 * body.mass_kg
    turn = free.turn_rad_s2 * body.inertia_kg_m2
    fore, aft = min(b.value for b in guide.buttons), max(b.value for b in guide.buttons)
    # Buttons take the whole cross force and moment, so the body neither moves across nor turns.
    at_aft = (turn + cross * (body.centre_m[0] - fore)) / (aft - fore)
    forces.append(PointForce(station_m=aft, cross_n=-at_aft))
    forces.append(PointForce(station_m=fore, cross_n=at_aft - cross))
    yield LoadCase(
        name="on the rail in the wind",
        loads=free_body_loads(body, forces, cuts_m=body_cuts(vehicle)),
        axial_factor=_thrust_scatter(vehicle),
        bending_factor=gust_scatter(),
        dynamic_pressure_pa=pressure,
    )


def _thrust_scatter(vehicle: Vehicle) -> Estimate:
    return spread(1.0, vehicle.motor.thrust_spread, known_by=KnownBy.HANDBOOK, method="thrust scatter")


def _thrust_stops(given: CaseInputs) -> LoadCase:
    """Thrust falls away and the squeezed body springs back, drag still on it."""
    vehicle, trace = given.vehicle, given.trace
    fall_s, last_n = tail_off(vehicle.motor.times_s, vehicle.motor.thrusts_n)
    rows = [*given.rows, motor_row(vehicle, 0.0)]
    body = body_lumps(vehicle.skin, rows)
    period = axial_period(given.axial_stiffness_n, vehicle.skin.length_m, body.mass_kg)
    burnout = trace.event(EventKind.BURNOUT)
    pressure = float(np.interp(burnout.time_s if burnout else 0.0, trace.times_s, trace.dynamic_pressures_pa))
    forces = drag_forces(vehicle, given.air, pressure, burning=False)
    pull = rebound_share(fall_s, period) * last_n
    forces.append(PointForce(station_m=vehicle.sheet.motor.nozzle_station.value, aft_n=pull))
    return LoadCase(
        name="thrust stops, body springs back",
        loads=free_body_loads(body, forces, cuts_m=body_cuts(vehicle)),
        axial_factor=spread(1.0, 0.5, known_by=KnownBy.ASSUMED, method="how fast the thrust falls"),
        bending_factor=gust_scatter(),
        dynamic_pressure_pa=pressure,
    )


def tail_off(times_s: NDArray[np.float64], thrusts_n: NDArray[np.float64]) -> tuple[float, float]:
    """Time in which the thrust falls from 80 to 10 % of its mean [s], and the thrust it falls from [N].

    Examples
    --------
    >>> fall, last = tail_off(np.array([0.0, 0.1, 2.0, 2.2]), np.array([0.0, 100.0, 100.0, 0.0]))
    >>> round(fall, 2), round(last)
    (0.13, 75)
    """
    burn = float(times_s[-1] - times_s[0])
    mean = float(np.trapezoid(thrusts_n, times_s)) / burn
    fine = np.linspace(float(times_s[0]), float(times_s[-1]), 2000)
    thrust = np.interp(fine, times_s, thrusts_n)
    high = fine[np.flatnonzero(thrust >= 0.8 * mean)[-1]]
    low = fine[np.flatnonzero(thrust >= 0.1 * mean)[-1]]
    return max(float(low - high), 0.0), 0.8 * mean


def _partings(given: CaseInputs) -> Iterator[LoadCase]:
    """Each charge pushes the two halves of its joint apart."""
    vehicle = given.vehicle
    joints = {joint.name: joint.station.value for joint in vehicle.sheet.recovery.joint}
    bays = {bay.name: bay for bay in vehicle.sheet.recovery.bay}
    strongest: dict[str, Estimate] = {}
    for charge in given.recovery.charges:
        force, held = charge.force_on_joint, strongest.get(charge.bay)
        if force is not None and (held is None or force.high > held.high):
            strongest[charge.bay] = force
    for bay_name, force in strongest.items():
        station = joints[bays[bay_name].joint]
        for half, sign in (("aft half", -1.0), ("fore half", 1.0)):
            # The charge pushes the half ahead forward and the half behind aft.
            push = PointForce(station_m=station, aft_n=-sign * force.value)
            yield from _half_case(
                given, (station, sign), [push], (f"{bay_name} charge pushes the {half}", force)
            )


def _openings(given: CaseInputs) -> Iterator[LoadCase]:
    """Each canopy opens and pulls the half it hangs from, along and across."""
    vehicle = given.vehicle
    bays = {bay.name: bay for bay in vehicle.sheet.recovery.bay}
    joints = {joint.name: joint.station.value for joint in vehicle.sheet.recovery.joint}
    for canopy in given.recovery.canopies:
        sheet = next(one for one in vehicle.sheet.recovery.canopy if one.name == canopy.name)
        if canopy.opening_load.value <= 0:
            continue
        station = joints[bays[sheet.bay].joint]
        for half, sign in (("aft half", -1.0), ("fore half", 1.0)):
            load = canopy.opening_load.value
            pull = PointForce(
                station_m=station,
                aft_n=sign * load * math.cos(LANDING_TILT_RAD),
                cross_n=load * math.sin(LANDING_TILT_RAD),
            )
            named = (f"{canopy.name} opens, pulls the {half}", canopy.opening_load)
            yield from _half_case(given, (station, sign), [pull], named)


def _half_case(
    given: CaseInputs, side: tuple[float, float], forces: list[PointForce], named: tuple[str, Estimate]
) -> Iterator[LoadCase]:
    station, sign = side
    name, force = named
    vehicle = given.vehicle
    body = half_of(body_lumps(vehicle.skin, [*given.rows, motor_row(vehicle, 0.0)]), station, sign)
    if body is None:
        return
    ends = (0.0, station) if sign > 0 else (station, vehicle.skin.length_m)
    scatter = force.scaled(1 / force.value)
    yield LoadCase(
        name=name,
        loads=free_body_loads(body, forces, cuts_m=np.linspace(*ends, 24)),
        axial_factor=scatter,
        bending_factor=scatter,
    )


def _landings(given: CaseInputs) -> Iterator[LoadCase]:
    """Each half touches down on the edge that hangs lowest, leaning."""
    speed = given.recovery.landing_speed
    if speed is None or speed.value <= 0:
        return
    vehicle = given.vehicle
    whole = body_lumps(vehicle.skin, [*given.rows, motor_row(vehicle, 0.0)])
    joints = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    length = vehicle.skin.length_m
    if not joints:
        yield from _landing(given, whole, (0.0, length), length, speed)
        return
    station = max(joints, key=lambda joint: min(joint, length - joint))
    halves = (("aft half", -1.0, (station, length), length), ("fore half", 1.0, (0.0, station), 0.0))
    for name, sign, ends, edge in halves:
        body = half_of(whole, station, sign)
        if body is not None:
            yield from _landing(given, body, ends, edge, speed, name)


def _landing(
    given: CaseInputs,
    body: Lumps,
    ends: tuple[float, float],
    edge_m: float,
    speed: Estimate,
    name: str = "vehicle",
) -> Iterator[LoadCase]:
    skin = given.vehicle.skin
    radius = _edge_radius(skin, edge_m)
    up = -1.0 if edge_m >= ends[1] - 1e-9 else 1.0
    station, offset = body.centre_m
    along, across = math.cos(LANDING_TILT_RAD), math.sin(LANDING_TILT_RAD)
    # Moment of the blow about the balance point, over the blow.
    arm = (edge_m - station) * across - (radius - offset) * up * along

    def force(speed_m_s: float, stop_m: float) -> float:
        return touchdown_force(
            Touchdown(
                mass_kg=body.mass_kg,
                inertia_kg_m2=body.inertia_kg_m2,
                arm_m=arm,
                speed_m_s=speed_m_s,
                stop_m=stop_m,
            )
        )

    value = force(speed.value, STOP_M.value)
    scatter = Estimate(
        value=1.0,
        low=force(max(speed.low, 1e-3), STOP_M.high) / value,
        high=force(speed.high, STOP_M.low) / value,
        known_by=KnownBy.ASSUMED,
        method="touchdown on an edge",
        source=STOP_M.source,
    )
    blow = PointForce(station_m=edge_m, aft_n=up * value * along, cross_n=value * across, offset_m=radius)
    loads = free_body_loads(body, [blow], cuts_m=np.linspace(*ends, 24))
    rows = [*given.rows, motor_row(given.vehicle, 0.0)]
    roll = roll_lumps(rows, ends)
    scuff = ((edge_m, SCUFF * value * radius),)
    yield LoadCase(
        name=f"{name} lands on an edge",
        loads=loads,
        axial_factor=scatter,
        bending_factor=scatter,
        torsion_n_m=torsion_along(roll, scuff, loads.stations_m) if roll else None,
        judged_m=_beyond_the_dent(ends, edge_m, max(radius, DENT_SHARE * skin.length_m)),
    )


def _beyond_the_dent(ends: tuple[float, float], edge_m: float, radius_m: float) -> tuple[float, float]:
    """Stations further from the blow than a radius: nearer by, the edge is crushed, as it should be."""
    fore, aft = ends
    if edge_m >= aft:
        return fore, max(aft - radius_m, fore)
    return min(fore + radius_m, aft), aft


def _edge_radius(skin: Skin, station_m: float) -> float:
    """Radius of the edge that touches [m]: of the section a little inside the end."""
    inside = min(max(station_m, 0.03 * skin.length_m), 0.97 * skin.length_m)
    return math.sqrt(section_at(skin, inside).area_m2 / math.pi)


def _lifted(given: CaseInputs) -> LoadCase:
    """Lying down, lifted at one end while the other rests on the ground."""
    vehicle = given.vehicle
    body = body_lumps(vehicle.skin, [*given.rows, motor_row(vehicle, 1.0)])
    ends = (0.02 * vehicle.skin.length_m, 0.98 * vehicle.skin.length_m)
    supports = two_supports(body.mass_kg, body.centre_m[0], ends, STANDARD_GRAVITY_M_S2)
    forces = [
        PointForce(station_m=station, cross_n=force) for station, force in zip(ends, supports, strict=True)
    ]
    return LoadCase(
        name="lifted at one end",
        loads=free_body_loads(body, forces, cuts_m=body_cuts(vehicle)),
        axial_factor=JERK,
        bending_factor=JERK,
    )
