"""Load cases along the body, taken from the flight and the recovery."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.sections import AirLoads
from finial.assemble.mass.lumps import body_lumps, half_of, roll_lumps
from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability import FlightMoment
from finial.assemble.strength.forces import air_forces, roll_couples
from finial.assemble.vehicle.loading import Vehicle
from finial.core.estimates import Estimate, KnownBy, spread
from finial.flight.trace import Trace
from finial.mass.lumps import Lumps
from finial.structure.loads.along_body import BodyLoads, free_body_loads
from finial.structure.loads.forces import PointForce
from finial.structure.walls.torsion import torsion_along

CUTS = 48
MAX_SPEED = "max speed with a gust"
PULL_OFF_AXIS_RAD = np.radians(45.0)
"""How far off the axis the cord pulls [rad]; assumed: the halves swing before it comes taut."""
GUST_SPREAD = 0.25
"""Scatter of the air load's angle about the gust taken [-]; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """Loads along the body, or along one half of it, and how far they scatter."""

    name: str
    loads: BodyLoads
    axial_factor: Estimate
    bending_factor: Estimate
    dynamic_pressure_pa: float = 0.0
    angle_rad: float = 0.0
    speed_m_s: float = 0.0
    torsion_n_m: NDArray[np.float64] | None = None
    """About the axis, at the stations of the loads [N m]; ``None`` where nothing turns it."""
    judged_m: tuple[float, float] | None = None
    """Stations between which cuts are judged [m]; ``None`` for all that are loaded."""

    @property
    def ends_m(self) -> tuple[float, float]:
        """Stations between which cuts are judged [m]."""
        if self.judged_m is not None:
            return self.judged_m
        return float(self.loads.stations_m.min()), float(self.loads.stations_m.max())


def load_cases(
    vehicle: Vehicle,
    rows: Sequence[Row],
    air: AirLoads,
    flight: tuple[Trace, FlightMoment],
    recovery: RecoveryResult,
) -> tuple[LoadCase, ...]:
    """Max thrust, max dynamic pressure with a gust, and the pull of each cord on both halves."""
    trace, fastest = flight
    return (
        _max_thrust(vehicle, rows, air, trace),
        _max_pressure(vehicle, rows, air, trace, fastest),
        *_deployments(vehicle, rows, recovery),
    )


def _max_thrust(vehicle: Vehicle, rows: Sequence[Row], air: AirLoads, trace: Trace) -> LoadCase:
    index = int(np.argmax(trace.thrusts_n))
    pressure = float(trace.dynamic_pressures_pa[index])
    forces = air_forces(vehicle, air, pressure, float(trace.alphas_rad[index]))
    nozzle = vehicle.sheet.motor.nozzle_station.value
    forces.append(PointForce(station_m=nozzle, aft_n=-float(trace.thrusts_n[index])))
    body = body_lumps(vehicle.skin, [*rows, motor_row(vehicle, 1.0)])
    scatter = spread(1.0, vehicle.motor.thrust_spread, known_by=KnownBy.HANDBOOK, method="thrust scatter")
    return LoadCase(
        name="max thrust",
        loads=free_body_loads(body, forces, cuts_m=body_cuts(vehicle)),
        axial_factor=scatter,
        bending_factor=gust_scatter(),
        dynamic_pressure_pa=pressure,
    )


def _max_pressure(
    vehicle: Vehicle, rows: Sequence[Row], air: AirLoads, trace: Trace, fastest: FlightMoment
) -> LoadCase:
    pressure = float(trace.dynamic_pressures_pa.max())
    forces = air_forces(vehicle, air, pressure, fastest.alpha_rad)
    thrust = float(np.interp(fastest.time_s, trace.times_s, trace.thrusts_n))
    forces.append(PointForce(station_m=vehicle.sheet.motor.nozzle_station.value, aft_n=-thrust))
    empty = [*rows, motor_row(vehicle, 0.0)]
    loads = free_body_loads(body_lumps(vehicle.skin, empty), forces, cuts_m=body_cuts(vehicle))
    return LoadCase(
        name=MAX_SPEED,
        loads=loads,
        axial_factor=spread(1.0, 0.2, known_by=KnownBy.COMPUTED, method="drag interval"),
        bending_factor=gust_scatter(),
        dynamic_pressure_pa=pressure,
        angle_rad=fastest.alpha_rad,
        speed_m_s=fastest.speed_m_s,
        torsion_n_m=_torsion(vehicle, empty, roll_couples(vehicle, air, pressure), loads),
    )


def _torsion(
    vehicle: Vehicle, rows: Sequence[Row], couples: tuple[tuple[float, float], ...], loads: BodyLoads
) -> NDArray[np.float64] | None:
    body = roll_lumps(rows, (0.0, vehicle.skin.length_m))
    return torsion_along(body, couples, loads.stations_m) if couples and body else None


def gust_scatter() -> Estimate:
    """Scatter of bending about the gust taken [-]."""
    return spread(1.0, GUST_SPREAD, known_by=KnownBy.ASSUMED, method="gust taken as the whole wind across")


def _deployments(vehicle: Vehicle, rows: Sequence[Row], recovery: RecoveryResult) -> list[LoadCase]:
    """Pull of each cord on the halves it joins, off the axis."""
    empty = body_lumps(vehicle.skin, [*rows, motor_row(vehicle, 0.0)])
    openings = [canopy.opening_load for canopy in recovery.canopies]
    pulls = {
        cord.name: max([cord.peak_load, *openings], key=lambda load: load.high) for cord in recovery.cords
    }
    cases: list[LoadCase] = []
    for cord in vehicle.sheet.recovery.cord:
        station = next(
            joint for joint in vehicle.sheet.recovery.joint if joint.name == cord.joint
        ).station.value
        for half, sign in (("aft half", -1.0), ("fore half", 1.0)):
            case = _pulled(vehicle, empty, (station, sign, pulls[cord.name]), f"{cord.name} pulls the {half}")
            if case is not None:
                cases.append(case)
    return cases


def _pulled(
    vehicle: Vehicle, whole: Lumps, pull: tuple[float, float, Estimate], name: str
) -> LoadCase | None:
    """Load one half alone; ``sign`` is +1 for the half ahead of the joint, which is pulled aft.

    A half that is one lump has no length to bend over and gives no case.
    """
    station, sign, force = pull
    ends = (0.0, station) if sign > 0 else (station, vehicle.skin.length_m)
    body = half_of(whole, station, sign)
    if body is None:
        return None
    point = PointForce(
        station_m=station,
        aft_n=sign * force.value * float(np.cos(PULL_OFF_AXIS_RAD)),
        cross_n=force.value * float(np.sin(PULL_OFF_AXIS_RAD)),
    )
    cuts = np.linspace(*ends, CUTS // 2)
    scatter = replace(force.scaled(1 / force.value), known_by=KnownBy.COMPUTED)
    return LoadCase(
        name=name,
        loads=free_body_loads(body, [point], cuts_m=cuts),
        axial_factor=scatter,
        bending_factor=scatter,
    )


def body_cuts(vehicle: Vehicle) -> NDArray[np.float64]:
    """Stations at which loads are wanted [m]."""
    return np.linspace(0.0, vehicle.skin.length_m, CUTS)
