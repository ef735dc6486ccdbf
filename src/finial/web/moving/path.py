"""The nominal flight as a path in space, with attitude at its events and the wind."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.core.dimensions import Dimension
from finial.core.frames import rotation_from_quaternion
from finial.findings.readiness import Readiness
from finial.flight.trace import EventKind, FlightEvent, Trace
from finial.report.document import Table
from finial.report.pictures.axis_units import LONG, chosen
from finial.report.shown import NOT_KNOWN, Shown, bearing
from finial.web.moving.lines import rounded
from finial.web.moving.records import FlightPath, PathEvent, Point, WindArrow

_MOST_POINTS = 240
_ARROWS = 6


def flight_path(readiness: Readiness) -> FlightPath:
    """Thin the flight to what a picture shows; every event keeps its own place."""
    trace, shown = readiness.flight.trace, Shown(us_units=readiness.us_units)
    unit = chosen(LONG, readiness.us_units)
    events = tuple(_event(trace, event, unit.per_si, shown) for event in trace.events)
    kept = _kept(trace)
    return FlightPath(
        unit=unit.name,
        times_s=rounded(trace.times_s[kept], 3),
        points=[_point(trace.positions_m[row], unit.per_si) for row in kept],
        axes=[_axis(trace, int(row)) for row in kept],
        events=events,
        wind=tuple(_winds(readiness, unit.per_si, shown)),
        says=_says(readiness, shown),
        table=_table(trace, events, shown),
    )


def _kept(trace: Trace) -> list[int]:
    """Rows evenly over the way flown, so that the fast climb is as smooth as the slow fall."""
    steps = np.linalg.norm(np.diff(trace.positions_m, axis=0), axis=1)
    way: NDArray[np.float64] = np.concatenate([np.zeros(1), np.cumsum(steps)])
    wanted = np.linspace(0.0, float(way[-1]), _MOST_POINTS)
    return np.unique(np.searchsorted(way, wanted).clip(0, len(way) - 1)).tolist()


def _point(position_m: NDArray[np.float64], per_m: float) -> Point:
    east, north, up = (round(float(one) * per_m, 2) for one in position_m)
    return east, north, up


def _under_canopy_from(trace: Trace) -> float:
    """Time from which the attitude is not computed: the first canopy that comes out."""
    return min((event.time_s for event in trace.events if event.kind is EventKind.OUT), default=math.inf)


def _axis(trace: Trace, row: int) -> Point | None:
    if trace.times_s[row] >= _under_canopy_from(trace):
        return None
    east, north, up = (round(float(one), 4) for one in rotation_from_quaternion(trace.quaternions[row])[:, 0])
    return east, north, up


def _row_at(trace: Trace, time_s: float) -> int:
    """Row of a moment; where something changes at once the same time stands twice: the first is before."""
    return int(np.searchsorted(trace.times_s, time_s - 1e-9).clip(0, len(trace.times_s) - 1))


def _event(trace: Trace, event: FlightEvent, per_m: float, shown: Shown) -> PathEvent:
    row = _row_at(trace, event.time_s)
    return PathEvent(
        name=event.name,
        time_s=round(event.time_s, 2),
        at=_point(trace.positions_m[row], per_m),
        axis=_axis(trace, row),
        says=f"{event.name} at {event.time_s:.1f} s, {shown.height(event.height_agl_m)} up",
    )


def _winds(readiness: Readiness, per_m: float, shown: Shown) -> Iterator[WindArrow]:
    """Give the wind at even heights up to the top."""
    wind, top = readiness.flight.wind_over, float(readiness.flight.trace.positions_m[:, 2].max())
    if wind is None or top <= 0.0:
        return
    for height in (top * (number + 1) / _ARROWS for number in range(_ARROWS)):
        east, north = (
            float(np.interp(height, wind.heights_m, part)) for part in (wind.east_m_s, wind.north_m_s)
        )
        speed = math.hypot(east, north)
        yield WindArrow(
            height=round(height * per_m, 1),
            east=round(east, 2),
            north=round(north, 2),
            says=f"{shown.height(height)} up: {shown.wind(speed)} from {_from(east, north)}",
        )


def _from(east: float, north: float) -> str:
    return bearing(math.atan2(-east, -north))


def _says(readiness: Readiness, shown: Shown) -> str:
    flight = readiness.flight
    far = math.hypot(flight.landing_east_m, flight.landing_north_m)
    top = float(flight.trace.positions_m[:, 2].max())
    landed = (
        f"it comes down {shown.height(far)} from the pad, towards"
        f" {bearing(math.atan2(flight.landing_east_m, flight.landing_north_m))}"
        if flight.trace.landed
        else f"it was not followed to the ground: {flight.trace.ended}"
    )
    return f"The nominal flight in space: {shown.height(top)} up, and {landed}."


def _table(trace: Trace, events: tuple[PathEvent, ...], shown: Shown) -> Table:
    return Table(
        title="Events of the flight in space",
        columns=("event", "time", "east", "north", "above the pad", "speed", "nose above the horizon"),
        rows=tuple(_row(event, seen, trace, shown) for event, seen in zip(trace.events, events, strict=True)),
        numbers=(1, 2, 3, 4, 5, 6),
    )


def _row(event: FlightEvent, seen: PathEvent, trace: Trace, shown: Shown) -> tuple[str, ...]:
    east, north, up = trace.positions_m[_row_at(trace, event.time_s)].tolist()
    lifted = None if seen.axis is None else math.asin(min(max(seen.axis[2], -1.0), 1.0))
    return (
        event.name,
        f"{event.time_s:.2f} s",
        shown.height(east),
        shown.height(north),
        shown.height(up),
        shown.plain(event.speed_m_s, Dimension.SPEED),
        NOT_KNOWN if lifted is None else shown.angle(lifted),
    )
