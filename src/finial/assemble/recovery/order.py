"""The order of events, and what each sensor sees of it."""

from collections.abc import Iterator

import numpy as np

from finial.assemble.day import day_at_pad, pressure_at
from finial.assemble.electronics.wiring import moment_of
from finial.assemble.flights.parted import PARTED, parts_bare
from finial.assemble.recovery.records import Barometer, EventRow, Happening, JointPlace, OrderStudy
from finial.assemble.recovery.start import event_time
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.constants import GAS_CONSTANT_AIR_J_KG_K, STANDARD_GRAVITY_M_S2
from finial.electronics.wiring import Moment
from finial.flight.trace import EventKind, Trace

LEAST_LAG_M, FAST_CLIMB_M_S, SLOW_M_S = 0.1, 50.0, 2.0
"""Lags, climbs and speeds that are worth a word."""
FAST_MACH = 0.8
"""Above this a barometer behind a port reads shock waves [-]; common practice."""
_Happened = tuple[float, EventKind | Happening, str, Moment | None]
"""Time [s], what, of which canopy or charge, and when by the sheet."""


def order_study(vehicle: LoadedVehicle, trace: Trace, lag_m: float | None) -> OrderStudy:
    """Everything that happens from lift-off to the ground, in order."""
    recovery = vehicle.sheet.recovery
    happened = sorted(_happened(vehicle, trace), key=lambda one: one[0])
    apogee, burnout = trace.event(EventKind.APOGEE), trace.event(EventKind.BURNOUT)
    return OrderStudy(
        events=len({moment_of(charge.event) for charge in recovery.charge if not charge.backup_of}),
        parts_bare=parts_bare(recovery),
        joints=tuple(
            JointPlace(name=joint.name, share=joint.station.value / vehicle.skin.length_m)
            for joint in recovery.joint
        ),
        rows=tuple(_row(vehicle, trace, one, lag_m) for one in happened),
        burnout_s=burnout.time_s if burnout else None,
        apogee_s=apogee.time_s if apogee else None,
        top_mach=float(trace.machs.max()),
        backup_at_once=any(one.event.apogee and one.backup_of for one in recovery.charge),
        no_delay=bool(recovery.canopy) and all(one.delay.value == 0.0 for one in recovery.canopy),
    )


def _happened(vehicle: LoadedVehicle, trace: Trace) -> Iterator[_Happened]:
    """Events of the flight, parting without a canopy among them, and charges at their planned times."""
    for event in trace.events:
        if event.canopy != PARTED:
            yield event.time_s, event.kind, event.canopy, None
        elif event.kind is not EventKind.OPEN:
            yield event.time_s, Happening.TUMBLES, "", None
    for charge in vehicle.sheet.recovery.charge:
        yield event_time(trace, charge.event), Happening.CHARGE, charge.name, moment_of(charge.event)


def _row(vehicle: LoadedVehicle, trace: Trace, happened: _Happened, lag_m: float | None) -> EventRow:
    time, kind, name, moment = happened
    index = int(np.clip(np.searchsorted(trace.times_s, time) - 1, 0, len(trace.times_s) - 1))
    height = float(trace.positions_m[index, 2])
    climb = float(trace.velocities_m_s[index, 2])
    return EventRow(
        time_s=time,
        kind=kind,
        name=name,
        moment=moment,
        height_m=height,
        speed_m_s=float(np.linalg.norm(trace.velocities_m_s[index])),
        pressure_rate_pa_s=_pressure_rate(vehicle, height, climb),
        barometer=_barometer(climb, float(trace.machs[index])),
        lag_m=lag_m if lag_m is not None and lag_m >= LEAST_LAG_M and climb > FAST_CLIMB_M_S else None,
        felt_g=float(np.linalg.norm(trace.accelerations_m_s2[index])) / STANDARD_GRAVITY_M_S2,
    )


def _barometer(climb_m_s: float, mach: float) -> Barometer:
    if mach > FAST_MACH:
        return Barometer.SHOCKS
    return Barometer.STEADY if abs(climb_m_s) < SLOW_M_S else Barometer.RATE


def _pressure_rate(vehicle: LoadedVehicle, height_m: float, climb_m_s: float) -> float:
    """Change of the air pressure on the way [Pa/s], by the hydrostatic balance."""
    pressure = pressure_at(vehicle, max(height_m, 0.0))
    temperature = day_at_pad(vehicle).temperature_k
    return -pressure * STANDARD_GRAVITY_M_S2 * climb_m_s / (GAS_CONSTANT_AIR_J_KG_K * temperature)
