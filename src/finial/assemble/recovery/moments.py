"""What the flight tells the recovery: air and speeds where canopies come out."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from finial.aero.drag.sources import DragBuildUp, drag_ahead, drag_behind
from finial.assemble.air.sections import AirLoads
from finial.assemble.basis import Basis
from finial.assemble.day import day_at_pad, density_at, pressure_at, wind_at_ten_metres
from finial.assemble.flights.corners import Flights
from finial.assemble.flights.parted import parted_area, parts_bare
from finial.assemble.mass.lumps import masses_between
from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.recovery.halves import LEAST_KG
from finial.assemble.recovery.inputs import Apart, EventStates
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import CanopyEntry
from finial.flight.trace import EventKind, Trace
from finial.structure.loads.thrust_end import rebound_share, tail_off

BODY_WAVE_M_S = (300.0, 800.0, 2000.0)
"""Speed of a wave of compression along a body [m/s]: soft joints, printed shells, rods; assumed."""
LATE_S = 1.0
"""How late an event comes at least [s]; common practice for flight computers that sense apogee."""


def recovery_moments(basis: Basis) -> EventStates:
    """Collect masses, densities, pressures and speeds at each canopy's own event."""
    vehicle, air, flights = basis.vehicle, basis.air, basis.flights
    trace, rows = flights.nominal, [*basis.rows, motor_row(vehicle, 0.0)]
    canopies = vehicle.sheet.recovery.canopy
    heights = {canopy.name: _out_height(trace, canopy.name) for canopy in canopies}
    stations = {joint.name: joint.station.value for joint in vehicle.sheet.recovery.joint}
    push = _burnout_push(air, flights)
    fall_s, last_n = tail_off(vehicle.motor.times_s, vehicle.motor.thrusts_n)
    return EventStates(
        ground_density_kg_m3=density_at(vehicle, 0.0),
        ground_pressure_pa=day_at_pad(vehicle).pressure_pa,
        out_density_kg_m3={name: density_at(vehicle, height) for name, height in heights.items()},
        out_pressure_pa={name: pressure_at(vehicle, height) for name, height in heights.items()},
        out_speed_m_s={canopy.name: _out_speed(vehicle, flights, canopy) for canopy in canopies},
        apart={name: _apart(vehicle, rows, at) for name, at in stations.items()},
        pieces_kg=masses_between(vehicle.skin, rows, tuple(stations.values())),
        drag_ahead_n={name: _times(push, _drag_beside(air.drag, at)[0]) for name, at in stations.items()},
        drag_behind_n={name: _times(push, _drag_beside(air.drag, at)[1]) for name, at in stations.items()},
        last_thrust_n=last_n,
        rebound=_rebound(fall_s, vehicle.skin.length_m),
        top_climb_m_s=float(trace.velocities_m_s[:, 2].max()),
        top_pressure_pa=pressure_at(vehicle, max(float(trace.positions_m[:, 2].max()), 0.0)),
        ground_temperature_k=day_at_pad(vehicle).temperature_k,
        wind_m_s=wind_at_ten_metres(vehicle),
        out_time_s={canopy.name: _out_time(trace, canopy.name) for canopy in canopies},
        top_agl_m=_top(flights),
        parted_area_m2=parted_area(vehicle) if parts_bare(vehicle.sheet.recovery) else None,
    )


@kept(32)
def _drag_beside(drag: DragBuildUp, station_m: float) -> tuple[Estimate, Estimate]:
    """Drag coefficients ahead of a joint and behind it, the motor burnt out."""
    return drag_ahead(drag, station_m, burning=False), drag_behind(drag, station_m, burning=False)


def _apart(vehicle: LoadedVehicle, rows: Sequence[Row], station_m: float) -> Apart:
    fore, aft = masses_between(vehicle.skin, rows, (station_m,))
    return Apart(fore_kg=_some(fore), aft_kg=_some(aft))


def _some(mass: Estimate) -> Estimate:
    """Take a bare shell for a side on which nothing lies: a joint beyond the body is judged as no joint."""
    return mass if mass.low > 0.0 else replace(exact(LEAST_KG), known_by=KnownBy.ASSUMED)


def _rebound(fall_s: float, length_m: float) -> Estimate:
    """Share of the last thrust that swings back, over how stiff a printed body may be [-]."""
    softest, middle, _ = BODY_WAVE_M_S
    return Estimate(
        value=rebound_share(fall_s, 2 * length_m / middle),
        low=0.0,
        # The share swings with the ratio of times: between two of its zeros it may be as large as its hull,
        # the inverse of the half turn.
        high=min(1.0, 2 * length_m / softest / (math.pi * max(fall_s, 1e-9))),
        known_by=KnownBy.ASSUMED,
        method="thrust that stops, on a body that carries waves as assumed",
    )


def _burnout_push(air: AirLoads, flights: Flights) -> Estimate:
    """Dynamic pressure at burnout times the area of the drag coefficients [N], over the flights."""
    pushes = [_at_burnout(one) * air.drag.reference_area_m2 for one in flights.every]
    return Estimate(
        value=pushes[0],
        low=min(pushes),
        high=max(pushes),
        known_by=KnownBy.COMPUTED,
        method="flight and its corners",
    )


def _at_burnout(trace: Trace) -> float:
    burnout = trace.event(EventKind.BURNOUT)
    return float(np.interp(burnout.time_s if burnout else 0.0, trace.times_s, trace.dynamic_pressures_pa))


def _times(push_n: Estimate, coefficient: Estimate) -> Estimate:
    return over_corners(
        lambda push, coefficient: push * coefficient,
        {"push": push_n, "coefficient": coefficient},
        method=coefficient.method,
    )


def _top(flights: Flights) -> Estimate:
    tops = [float(one.positions_m[:, 2].max()) for one in flights.every]
    return Estimate(
        value=tops[0],
        low=min(tops),
        high=max(tops),
        known_by=KnownBy.COMPUTED,
        method="flight and its corners",
    )


def _out_time(trace: Trace, name: str) -> float:
    event = trace.event(EventKind.OUT, name)
    return event.time_s if event else math.inf


def _out_height(trace: Trace, name: str) -> float:
    event = trace.event(EventKind.OUT, name)
    return max(event.height_agl_m, 0.0) if event else 0.0


def late_s(sheet: Sheet) -> float:
    """How late an event may come by the sheet, and a second at least [s]."""
    own = sheet.scatter.event_delay
    delays = [canopy.delay.tolerance for canopy in sheet.recovery.canopy]
    return max([LATE_S, *delays, *([own.high] if own else [])])


def _out_speed(vehicle: LoadedVehicle, flights: Flights, canopy: CanopyEntry) -> Estimate:
    """Airspeed as the canopy comes out, in the nominal and the windy flight, as late as it may."""
    speeds = [_airspeed_at(one, canopy.name) for one in (flights.nominal, flights.windy)]
    if parts_bare(vehicle.sheet.recovery):
        return _tumbling(parted_area(vehicle), speeds)
    late = math.hypot(max(speeds), STANDARD_GRAVITY_M_S2 * late_s(vehicle.sheet))
    return Estimate(
        value=speeds[0],
        low=min(speeds),
        high=max(late, *speeds),
        known_by=KnownBy.COMPUTED,
        method="flight, with the event as late as it may come",
    )


def _tumbling(area: Estimate, speeds: list[float]) -> Estimate:
    """Speed of pieces that fall at a steady speed, over the doubt about their drag."""
    return Estimate(
        value=speeds[0],
        low=min(speeds) * math.sqrt(area.value / area.high),
        high=max(speeds) * math.sqrt(area.value / area.low),
        known_by=KnownBy.ASSUMED,
        method="parted pieces falling without a canopy, drag on their planform",
    )


def _airspeed_at(trace: Trace, name: str) -> float:
    event = trace.event(EventKind.OUT, name)
    return float(np.interp(event.time_s, trace.times_s, trace.airspeeds_m_s)) if event else 0.0
