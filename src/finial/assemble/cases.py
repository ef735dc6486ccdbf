"""Load cases along the body, taken from the flight and the recovery."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.air import AirLoads
from finial.assemble.loading import Vehicle
from finial.assemble.masses import Row, motor_row
from finial.assemble.results import RecoveryResult
from finial.assemble.stability import Moment
from finial.core.estimates import Estimate, KnownBy, spread
from finial.flight.trace import Trace
from finial.shape.skin import Skin
from finial.structure.forces import Force, LineForce, PointForce, axial_line_force, cross_air_force
from finial.structure.loads import BodyLoads, free_body_loads
from finial.structure.masses import Lumps, joined, leaning_bar, lumps

CUTS = 48
PART_LUMPS = 16
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


def load_cases(
    vehicle: Vehicle,
    rows: Sequence[Row],
    air: AirLoads,
    flight: tuple[Trace, Moment],
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
    forces = _air_forces(vehicle, air, pressure, float(trace.alphas_rad[index]))
    nozzle = vehicle.sheet.motor.nozzle_station.value
    forces.append(PointForce(station_m=nozzle, aft_n=-float(trace.thrusts_n[index])))
    body = _lumps(vehicle, [*rows, motor_row(vehicle, 1.0)])
    scatter = spread(1.0, vehicle.motor.thrust_spread, known_by=KnownBy.HANDBOOK, method="thrust scatter")
    return LoadCase(
        name="max thrust",
        loads=free_body_loads(body, forces, cuts_m=_cuts(vehicle)),
        axial_factor=scatter,
        bending_factor=_gust(),
        dynamic_pressure_pa=pressure,
    )


def _max_pressure(
    vehicle: Vehicle, rows: Sequence[Row], air: AirLoads, trace: Trace, fastest: Moment
) -> LoadCase:
    pressure = float(trace.dynamic_pressures_pa.max())
    forces = _air_forces(vehicle, air, pressure, fastest.alpha_rad)
    thrust = float(np.interp(fastest.time_s, trace.times_s, trace.thrusts_n))
    forces.append(PointForce(station_m=vehicle.sheet.motor.nozzle_station.value, aft_n=-thrust))
    body = _lumps(vehicle, [*rows, motor_row(vehicle, 0.0)])
    return LoadCase(
        name="max speed with a gust",
        loads=free_body_loads(body, forces, cuts_m=_cuts(vehicle)),
        axial_factor=spread(1.0, 0.2, known_by=KnownBy.COMPUTED, method="drag interval"),
        bending_factor=_gust(),
        dynamic_pressure_pa=pressure,
        angle_rad=fastest.alpha_rad,
        speed_m_s=fastest.speed_m_s,
    )


def _gust() -> Estimate:
    return spread(1.0, GUST_SPREAD, known_by=KnownBy.ASSUMED, method="gust taken as the whole wind across")


def _air_forces(vehicle: Vehicle, air: AirLoads, pressure_pa: float, angle_rad: float) -> list[Force]:
    area = vehicle.skin.reference_area_m2
    drag_n = pressure_pa * area * air.drag.power_on.value
    forces: list[Force] = [axial_line_force(vehicle.skin.stations_m[[0, -1]], drag_n)]
    forces.append(
        cross_air_force(
            air.result.load_stations_m,
            air.result.load_per_m,
            dynamic_pressure_pa=pressure_pa,
            reference_area_m2=area,
            angle_rad=angle_rad,
        )
    )
    for fin in air.fins:
        cross = fin_set_force(fin.slope_per_rad, pressure_pa * area, angle_rad)
        fore, aft = fin.fins.station_m, fin.fins.station_m + fin.planform.root_chord_m
        even = np.full(2, cross / (aft - fore))
        forces.append(
            LineForce(stations_m=np.array([fore, aft]), aft_n_per_m=np.zeros(2), cross_n_per_m=even)
        )
    return forces


def fin_set_force(slope_per_rad: np.ndarray, pressure_area_n: float, angle_rad: float) -> float:
    """Force of a fin set across the wind [N], at the roll where it is largest."""
    return pressure_area_n * float(np.linalg.eigvalsh((slope_per_rad + slope_per_rad.T) / 2)[-1]) * angle_rad


def _deployments(vehicle: Vehicle, rows: Sequence[Row], recovery: RecoveryResult) -> list[LoadCase]:
    """Pull of each cord on the halves it joins, off the axis."""
    empty = [*rows, motor_row(vehicle, 0.0)]
    openings = [canopy.opening_load for canopy in recovery.canopies]
    pulls = {
        cord.name: max([cord.peak_load, *openings], key=lambda load: load.high) for cord in recovery.cords
    }
    cases = []
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
    vehicle: Vehicle, rows: Sequence[Row], pull: tuple[float, float, Estimate], name: str
) -> LoadCase | None:
    """Load one half alone; ``sign`` is +1 for the half ahead of the joint, which is pulled aft.

    A half that is one lump has no length to bend over and gives no case.
    """
    station, sign, force = pull
    ends = (0.0, station) if sign > 0 else (station, vehicle.skin.length_m)
    body = _half(_lumps(vehicle, rows), station, sign)
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


def _cuts(vehicle: Vehicle) -> np.ndarray:
    return np.linspace(0.0, vehicle.skin.length_m, CUTS)


def _lumps(vehicle: Vehicle, rows: Sequence[Row]) -> Lumps:
    """Every row as lumps over its own span, or as a point."""
    return joined([_row_lumps(vehicle.skin, row) for row in rows])


def _half(body: Lumps, station_m: float, sign: float) -> Lumps | None:
    """Lumps on one side of a joint."""
    side = (body.stations_m < station_m) == (sign > 0)
    if len(np.unique(body.stations_m[side])) < 2:
        return None
    return Lumps(
        stations_m=body.stations_m[side],
        masses_kg=body.masses_kg[side],
        rotary_kg_m2=body.rotary_kg_m2[side],
        offsets_m=body.offsets_m[side],
    )


def _row_lumps(skin: Skin, row: Row) -> Lumps:
    span = row.span_m
    if span is None or span[1] - span[0] < 1e-3:
        return lumps([row.station.value], [row.body.mass_kg])
    if row.kind == "part":
        return _shell_lumps(skin, row.body.mass_kg, span)
    return leaning_bar(row.body.mass_kg, *span, row.station.value, count=12)


def _shell_lumps(skin: Skin, mass_kg: float, span: tuple[float, float]) -> Lumps:
    """Mass of a printed part where its walls are: in proportion to the outline's length."""
    edges = np.linspace(*span, PART_LUMPS + 1)
    middles = (edges[:-1] + edges[1:]) / 2
    outlines = np.interp(middles, skin.stations_m, [section.perimeter_m for section in skin.sections])
    shares = outlines / outlines.sum() if outlines.sum() > 0 else np.full(PART_LUMPS, 1 / PART_LUMPS)
    return lumps(middles, mass_kg * shares)
