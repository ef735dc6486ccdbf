"""How the vehicle moves and lies when a joint opens: at its time, early and late, in each wind."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.air.sections import AirLoads
from finial.assemble.day import air_of_day, density_at, pressure_at, wind_at_ten_metres
from finial.assemble.flights.corners import Corner, flight_inputs
from finial.assemble.mass.rows import Row
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate, KnownBy
from finial.core.frames import rotation_from_quaternion
from finial.files.sheet_recovery import EventEntry, JointEntry
from finial.flight.fly import fly
from finial.flight.inputs import Air
from finial.flight.trace import EventKind, Trace

DAY, WINDY, CALM = "day", "windy", "calm"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeparationStart:
    """State of the vehicle at an event, in the plane of its motion through the air."""

    wind: str
    offset_s: float
    along_m_s: float
    """Horizontal speed through the air [m/s]."""
    up_m_s: float
    angle_rad: float
    """Of the axis above the horizontal, positive with the nose up [rad]."""
    rate_rad_s: float
    height_m: float
    density_kg_m3: float
    pressure_pa: float
    hangs: bool = False
    """True under an earlier canopy: how it lies is then assumed, not flown."""

    @property
    def speed_m_s(self) -> float:
        """Speed through the air [m/s]."""
        return math.hypot(self.along_m_s, self.up_m_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShutFlights:
    """Flights with every bay kept shut, and the air of each."""

    traces: dict[str, Trace]
    airs: dict[str, Air]


def shut_flights(vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads) -> ShutFlights:
    """Fly the nominal vehicle past apogee without letting anything out, in three winds."""
    wind = wind_at_ten_metres(vehicle)
    winds = {DAY: wind.value, WINDY: wind.high, CALM: wind.low}
    traces: dict[str, Trace] = {}
    for name, speed in winds.items():
        inputs = flight_inputs(vehicle, rows, air, Corner(wind_m_s=speed))
        shut = tuple(replace(canopy, works=False) for canopy in inputs.canopies)
        traces[name] = fly(replace(inputs, canopies=shut))
    return ShutFlights(
        traces=traces, airs={name: air_of_day(vehicle, speed) for name, speed in winds.items()}
    )


def unopened_distance(flown: ShutFlights) -> Estimate | None:
    """Distance from the pad to where the vehicle comes down whole, over the three winds.

    Parameters
    ----------
    flown : ShutFlights
        Flights with every bay kept shut.

    Returns
    -------
    distance : Estimate or None
        The day's wind within the others [m]; ``None`` where a flight was not followed to the ground.
    """
    if not all(trace.landed for trace in flown.traces.values()):
        return None
    far = {name: math.hypot(*trace.positions_m[-1, :2]) for name, trace in flown.traces.items()}
    return Estimate(
        value=far[DAY],
        low=min(far.values()),
        high=max(far.values()),
        known_by=KnownBy.COMPUTED,
        method="flights with every bay kept shut, in the winds of the day",
    )


def event_time(trace: Trace, event: EventEntry) -> float:
    """When an event of the sheet comes in a flight, from ignition [s]."""
    apogee = trace.event(EventKind.APOGEE)
    top = apogee.time_s if apogee else float(trace.times_s[-1])
    if event.after_lift_off is not None:
        lift_off = trace.event(EventKind.LIFT_OFF)
        return (lift_off.time_s if lift_off else 0.0) + event.after_lift_off.value
    if event.falling_through is not None:
        below = (trace.times_s > top) & (trace.positions_m[:, 2] <= event.falling_through.value)
        return float(trace.times_s[below][0]) if below.any() else float(trace.times_s[-1])
    return top


def joint_event(vehicle: LoadedVehicle, joint: JointEntry) -> EventEntry | None:
    """First event at which a charge opens the joint; ``None`` without a charge."""
    recovery = vehicle.sheet.recovery
    bays = {bay.name for bay in recovery.bay if bay.joint == joint.name}
    events = [charge.event for charge in recovery.charge if charge.bay in bays]
    return events[0] if events else None


def openings(
    vehicle: LoadedVehicle,
    flown: ShutFlights,
    event: EventEntry,
    offsets_s: Sequence[float],
    winds: Sequence[str],
) -> list[SeparationStart]:
    """States at an event of the first joint, moved by each offset, in each wind."""
    found: list[SeparationStart] = []
    for wind in winds:
        trace = flown.traces[wind]
        planned = event_time(trace, event)
        found += [_opening(vehicle, flown, wind, planned, offset) for offset in offsets_s]
    return found


def _opening(
    vehicle: LoadedVehicle, flown: ShutFlights, wind: str, planned_s: float, offset_s: float
) -> SeparationStart:
    trace = flown.traces[wind]
    index = _index(trace, planned_s + offset_s)
    height = max(float(trace.positions_m[index, 2]), 0.0)
    air = flown.airs[wind]
    through = trace.velocities_m_s[index] - np.array(
        [
            np.interp(height, air.wind_heights_m, air.wind_east_m_s),
            np.interp(height, air.wind_heights_m, air.wind_north_m_s),
            0.0,
        ]
    )
    axis = rotation_from_quaternion(trace.quaternions[index])[:, 0]
    across = through[:2] if np.linalg.norm(through[:2]) > 0.1 else axis[:2]
    heading = across / max(float(np.linalg.norm(across)), 1e-9)
    return SeparationStart(
        wind=wind,
        offset_s=offset_s,
        along_m_s=float(through[:2] @ heading),
        up_m_s=float(through[2]),
        angle_rad=math.atan2(float(axis[2]), float(axis[:2] @ heading)),
        rate_rad_s=_rate(trace, index, heading),
        height_m=height,
        density_kg_m3=density_at(vehicle, height).value,
        pressure_pa=pressure_at(vehicle, height),
    )


def _index(trace: Trace, time_s: float) -> int:
    """Sample nearest before a time, inside the flight and off the ground."""
    last = len(trace.times_s) - 2
    return int(np.clip(np.searchsorted(trace.times_s, time_s, side="right") - 1, 0, last))


def _rate(trace: Trace, index: int, heading: np.ndarray) -> float:
    """Rate at which the axis turns upwards in the plane of the motion [rad/s]."""
    body = rotation_from_quaternion(trace.quaternions[index])
    spin = body @ trace.rates_rad_s[index]
    # Turning from the heading up to the vertical is a turn about heading x up.
    about = np.array([heading[1], -heading[0], 0.0])
    return float(spin @ about)
