"""The order of events, and what each sensor sees of it."""

import math
from collections.abc import Iterator

import numpy as np

from finial.assemble.day import day_at_pad, pressure_at
from finial.assemble.flights.parted import PARTED, parts_bare
from finial.assemble.recovery.records import EventRow, OrderStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.recovery.start import event_time
from finial.assemble.vehicle.loading import Vehicle
from finial.core.constants import GAS_CONSTANT_AIR_J_KG_K, STANDARD_GRAVITY_M_S2
from finial.flight.trace import EventKind, Trace

HEAD_END = 0.4
"""A joint ahead of this share of the length is called head-end, one behind it mid-body [-]."""
LEAST_LAG_M, FAST_CLIMB_M_S, SLOW_M_S = 0.1, 50.0, 2.0
"""Lags, climbs and speeds that are worth a word."""
TUMBLES = "parts; falls tumbling from here"
FAST_MACH = 0.8
"""Above this a barometer behind a port reads shock waves [-]; common practice."""


def order_study(
    vehicle: Vehicle, trace: Trace, lag_m: float | None, recovery_found: RecoveryResult
) -> OrderStudy:
    """Everything that happens from lift-off to the ground, in order."""
    moments = [
        (event.time_s, TUMBLES if event.canopy == PARTED else event.name)
        for event in trace.events
        if (event.kind, event.canopy) != (EventKind.OPEN, PARTED)
    ]
    recovery = vehicle.sheet.recovery
    for charge in recovery.charge:
        moments.append((event_time(trace, charge.event), f"{charge.name} fires ({charge.event.words})"))
    rows = [_row(vehicle, trace, time, what, lag_m) for time, what in sorted(moments, key=lambda one: one[0])]
    return OrderStudy(
        kind=_kind(vehicle), rows=tuple(rows), notes=(*_tumbling(recovery_found), *_notes(vehicle, trace))
    )


def _row(vehicle: Vehicle, trace: Trace, time_s: float, what: str, lag_m: float | None) -> EventRow:
    index = int(np.clip(np.searchsorted(trace.times_s, time_s) - 1, 0, len(trace.times_s) - 1))
    height = float(trace.positions_m[index, 2])
    climb = float(trace.velocities_m_s[index, 2])
    felt = float(np.linalg.norm(trace.accelerations_m_s2[index])) / STANDARD_GRAVITY_M_S2
    mach = float(trace.machs[index])
    return EventRow(
        time_s=time_s,
        what=what,
        height_m=height,
        speed_m_s=float(np.linalg.norm(trace.velocities_m_s[index])),
        pressure_rate_pa_s=_pressure_rate(vehicle, height, climb),
        barometer_note=_barometer_note(climb, mach),
        lag_m=lag_m if lag_m is not None and lag_m >= LEAST_LAG_M and climb > FAST_CLIMB_M_S else None,
        accelerometer=_accelerometer(what, felt),
    )


def _pressure_rate(vehicle: Vehicle, height_m: float, climb_m_s: float) -> float:
    """Change of the air pressure on the way [Pa/s], by the hydrostatic balance."""
    pressure = pressure_at(vehicle, max(height_m, 0.0))
    temperature = day_at_pad(vehicle).temperature_k
    return -pressure * STANDARD_GRAVITY_M_S2 * climb_m_s / (GAS_CONSTANT_AIR_J_KG_K * temperature)


def _barometer_note(climb_m_s: float, mach: float) -> str:
    if mach > FAST_MACH:
        return "shock waves: not to be trusted"
    return "steady, the top or the ground" if abs(climb_m_s) < SLOW_M_S else ""


def _accelerometer(what: str, felt_g: float) -> str:
    if "fires" in what:
        return f"{felt_g:.1f} g, then the kick of the charge"
    if what.endswith(" open") or what.endswith(" out"):
        return f"{felt_g:.1f} g; jerks of the cord come on top"
    return f"{felt_g:.1f} g"


def _kind(vehicle: Vehicle) -> str:
    """Say what kind of recovery the sheet describes."""
    recovery = vehicle.sheet.recovery
    events = {charge.event.words for charge in recovery.charge if not charge.backup_of}
    count = {0: "no event", 1: "single event", 2: "two events"}.get(len(events), f"{len(events)} events")
    places: list[str] = []
    for joint in recovery.joint:
        share = joint.station.value / vehicle.skin.length_m
        places.append(f"{joint.name}, {'head-end' if share < HEAD_END else 'mid-body'}")
    bare = parts_bare(recovery)
    told = [count, *(["drogue-less: the first event only breaks the body apart"] if bare else [])]
    return "; ".join([*told, *places])


def _tumbling(found: RecoveryResult) -> Iterator[str]:
    """Say how the parted pieces fall, and how each canopy then opens."""
    fall = found.tumbling_speed
    if fall is None:
        return
    yield (
        f"The parted vehicle falls tumbling at {fall.value:.0f} m/s ({fall.low:.0f} to {fall.high:.0f}) near "
        "the ground, by an assumed drag on its planform: watch a drop or a first flight before trusting it."
    )
    for canopy in found.canopies:
        load = canopy.opening_load
        yield (
            f"{canopy.name} opens out of that fall at {canopy.opening_speed_m_s:.0f} m/s and pulls with "
            f"{load.value:.0f} N ({load.low:.0f} to {load.high:.0f})."
        )


def _notes(vehicle: Vehicle, trace: Trace):
    apogee = trace.event(EventKind.APOGEE)
    burnout = trace.event(EventKind.BURNOUT)
    if apogee and burnout:
        yield (
            f"Between burnout at {burnout.time_s:.1f} s and the top at {apogee.time_s:.1f} s nothing may "
            "fire; computers lock out until the speed has fallen."
        )
    if float(trace.machs.max()) > FAST_MACH:
        yield "It passes Mach 0.8: a barometric computer needs its lock-out set beyond that."
    late = [one for one in vehicle.sheet.recovery.charge if one.event.apogee and one.backup_of]
    if late:
        yield (
            "The backup has the same event as the first charge: set it a second later in its computer, or "
            "both may fire in the same instant."
        )
    times = [canopy.delay.value for canopy in vehicle.sheet.recovery.canopy]
    if times and math.isclose(max(times), 0.0):
        yield "No delay is entered between charge and canopy: it takes some tenths of a second."
