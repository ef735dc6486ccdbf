"""What each computer senses: its ports in the body's own flow, its heights, its clock, its lift-off."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.electronics.at_port import AtPort, holes_area
from finial.assemble.electronics.felt import felt_lift_offs, felt_ranges, seen_by_felt
from finial.assemble.electronics.results import (
    BackupTimer,
    FiredHeight,
    FirstMotion,
    NearMach,
    PortStudy,
    Sensing,
)
from finial.assemble.electronics.tops import sensed_tops
from finial.assemble.flights.corners import Flights
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import motor_places
from finial.atmosphere.day import Day
from finial.atmosphere.pressure_height import height_over_pad, pressure_height
from finial.atmosphere.standard import standard_air_geopotential
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.electronics.sensing import (
    CROSSWIND_SIDES,
    gust_height,
    largest_fall,
)
from finial.files.fields import across_m
from finial.files.sheet import Sheet
from finial.files.sheet_body import ItemEntry
from finial.files.sheet_recovery import ComputerEntry, IgniterEntry, PortEntry
from finial.flight.trace import EventKind, Trace
from finial.inside.cavity import Cavity
from finial.inside.room import widest_at
from finial.recovery.charges.ports import RULE_AREA_PER_VOLUME_M, lag_height

LIFT_OFF_M = Estimate(
    value=30.0,
    low=10.0,
    high=60.0,
    known_by=KnownBy.ASSUMED,
    method="height at which a computer takes the flight for begun, not entered",
    source="assumed: a few metres to two hundred feet over computers with a barometer",
)
GUST_OVER_MEAN = 1.5
"""Gust over the day's mean wind [-]; common practice for level ground."""
LEAST_ROOM_M = 2e-3
"""How much wider than what fills it a room must be for air to go on through it [m]; a judgement of this
project: play of half a millimetre all round is sealed by tape and glue."""
CLOSES_SHARE = 0.5
"""Share of the open room that a plate takes to close it [-]; a judgement of this project."""
HIGHEST_READ_M = 10_000.0
"""Height above the sea up to which a reading is followed [m]: where the air's lapse ends, less a hot day."""


def sensing(vehicle: LoadedVehicle, flights: Flights, room: Cavity) -> Sensing:
    """Say what the computers of a vehicle sense in its flights, through ports into the room inside."""
    electronics = vehicle.sheet.electronics
    names = dict.fromkeys(one.port for one in electronics.computer)
    length = vehicle.skin.length_m
    ports = {one.name: one for one in electronics.port if 0.0 <= one.station.value <= length}
    air = {name: AtPort.of(vehicle, ports[name]) for name in names if name in ports}
    left = [_left_s(one) for one in flights.every]
    return Sensing(
        ports=tuple(
            _port(vehicle, flights, air[name], ports[name], room) if name in air else _no_port(vehicle, name)
            for name in names
        ),
        fired=tuple(_fired(vehicle, flights, air)),
        first_motion=tuple(_first_motion(vehicle, flights, one) for one in electronics.computer),
        felt_lift_off=tuple(felt_lift_offs(vehicle, flights)),
        timers=tuple(_timers(vehicle, flights)),
        leaves_s=(min(left), max(left)),
        near_mach=tuple(
            NearMach(computer=one.name, locked_out=one.mach_lockout) for one in electronics.computer
        ),
        felt=tuple(felt_ranges(vehicle, flights)),
        tops=tuple(sensed_tops(vehicle, flights, air)),
        fastest_mach=max(float(one.machs.max()) for one in flights.every),
    )


def _no_port(vehicle: LoadedVehicle, name: str) -> PortStudy:
    """Say who reads a port that stands nowhere."""
    computers = tuple(one.name for one in vehicle.sheet.electronics.computer if one.port == name)
    return PortStudy(port=name, computers=computers)


def _port(vehicle: LoadedVehicle, flights: Flights, air: AtPort, port: PortEntry, room: Cavity) -> PortStudy:
    return replace(
        _no_port(vehicle, port.name),
        holes=len(port.holes),
        area=holes_area(port),
        least_area_m2=RULE_AREA_PER_VOLUME_M * port.bay_volume.high,
        air=port.bay_volume.estimate(KnownBy.MEASURED),
        room_m3=_room_m3(tuple(_plates(vehicle.sheet)), room, port.station.value),
        uneven=air.uneven,
        clear=air.clear,
        coefficient=air.coefficient,
        from_tunnel=air.from_tunnel,
        lag_m=max(air.lag_m(one) for one in flights.every),
        early_fall=_early_fall(air, flights),
        opens_into=_opens_into(vehicle.sheet, port),
        is_shut=_is_shut(vehicle, room, port.station.value),
    )


def _plates(sheet: Sheet) -> Iterator[ItemEntry]:
    return (item for item in sheet.item if item.kind == "bulkhead" and item.across is not None)


@kept(16)
def _room_m3(plates: tuple[ItemEntry, ...], room: Cavity, station_m: float) -> float:
    """Room inside between the plates nearest to a station, whatever else stands in it [m^3].

    A plate that leaves most of the room open closes nothing.
    """
    areas = _free_areas(room)
    fore, aft = 0.0, room.length_m
    for item in plates:
        open_m2 = float(np.interp(item.station.value, room.stations_m, areas))
        if item.across is None or math.pi / 4 * item.across.value**2 < CLOSES_SHARE * open_m2:
            continue
        if item.station.value < station_m:
            fore = max(fore, item.station.value)
        else:
            aft = min(aft, item.station.value)
    stations = np.unique(np.clip(np.append(room.stations_m, (fore, aft)), fore, aft))
    return float(np.trapezoid(np.interp(stations, room.stations_m, areas), stations))


@kept(4)
def _free_areas(room: Cavity) -> NDArray[np.float64]:
    return np.array([free.area for free in room.free])


def _opens_into(sheet: Sheet, port: PortEntry) -> str:
    """Name the bay that stands behind the holes, where no sled stands beside it at that station."""
    at = port.station.value
    if any(_is_beside(sled, at) for sled in _sleds(sheet)):
        return ""
    bays = (bay for bay in sheet.recovery.bay if bay.stations[0].value <= at <= bay.stations[1].value)
    return next((bay.name for bay in bays), "")


def _sleds(sheet: Sheet) -> list[ItemEntry]:
    return [item for item in sheet.item if item.kind == "sled"]


def _is_beside(sled: ItemEntry, station_m: float) -> bool:
    return abs(station_m - sled.station.value) <= (sled.length.value / 2 if sled.length else 0.0)


def _is_shut(vehicle: LoadedVehicle, room: Cavity, station_m: float) -> bool:
    """Whether the room of no sled goes on to a station: print, or a motor's tube, fills it there."""
    sleds = _sleds(vehicle.sheet)
    return bool(sleds) and not any(
        _is_beside(sled, station_m) or _goes_on(vehicle, room, across_m(sled.offset), station_m)
        for sled in sleds
    )


def _goes_on(vehicle: LoadedVehicle, cavity: Cavity, offset_m: tuple[float, float], station_m: float) -> bool:
    """Whether a room is open at a station, beside the motors' tubes that stand there about its axis."""
    filled = [
        mount.across.value
        for place in motor_places(vehicle)
        if (mount := place.mount) is not None
        and mount.stations[0].value <= station_m <= mount.stations[1].value
        and math.dist(place.offset_m, offset_m) < mount.across.value / 2
    ]
    return widest_at(cavity, station_m, offset_m) - max(filled, default=0.0) > LEAST_ROOM_M


def _early_fall(air: AtPort, flights: Flights) -> Estimate:
    """How far the reading falls before the top, over the doubt about the air and the flights [m]."""
    falls = [largest_fall(shown) for trace in flights.every for shown in air.shown_in_doubt_m(trace)]
    return Estimate(
        value=falls[0],
        low=min(falls),
        high=max(falls),
        known_by=KnownBy.ASSUMED,
        method="barometer read along the flights",
        inside_range=air.coefficient.inside_range,
    )


def _fired(vehicle: LoadedVehicle, flights: Flights, air: dict[str, AtPort]) -> Iterator[FiredHeight]:
    """Heights at which falling vehicles really are when their computers fire at a set one."""
    electronics = vehicle.sheet.electronics
    computers = {one.name: one for one in electronics.computer}
    for igniter in electronics.igniter:
        if igniter.event.falling_through is not None:
            read = air.get(computers[igniter.computer].port)
            yield FiredHeight(
                igniter=igniter.name,
                computer=igniter.computer,
                set_m=igniter.event.falling_through.value,
                true=None if read is None else _true_height(vehicle, flights, igniter, read),
            )


def _true_height(
    vehicle: LoadedVehicle, flights: Flights, igniter: IgniterEntry, air: AtPort
) -> Estimate | None:
    set_m = igniter.event.falling_through
    falls = [_falling(one, set_m.value) for one in flights.every] if set_m is not None else []
    if set_m is None or None in falls or air.day.ground_asl_m + set_m.value > HIGHEST_READ_M:
        return None
    warmth = vehicle.sheet.launch.temperature
    days = [replace(air.day, temperature_k=kelvin) for kelvin in (warmth.value, warmth.low, warmth.high)]
    heights = [_on_the_day(day, set_m.value) for day in days]
    fastest = max(one for one in falls if one is not None)
    density = float(air.densities(np.array([set_m.value]))[0])
    blown = density / 2 * fastest**2
    lag = lag_height(air.lag_at_one * density * fastest**2, density)
    least, most = (lag_height(blown * abs(side), density) for side in CROSSWIND_SIDES)
    return Estimate(
        value=heights[0],
        low=min(heights) - least - lag,
        high=max(heights) + most,
        known_by=KnownBy.COMPUTED,
        method="height of a standard day in today's air, with the wind of the fall and the bay's lag",
    )


def _on_the_day(day: Day, set_m: float) -> float:
    """Find the true height where a computer that knows only the standard air reads a height [m]."""
    ground = float(pressure_height(day.pressure_pa))
    return float(height_over_pad(day, standard_air_geopotential(ground + set_m).pressure_pa))


def _falling(trace: Trace, height_m: float) -> float | None:
    """Airspeed as it falls through a height [m/s]; ``None`` where it never does."""
    heights = trace.positions_m[:, 2]
    top = int(np.argmax(heights))
    below = np.flatnonzero(heights[top:] <= height_m)
    if heights[top] <= height_m or below.size == 0:
        return None
    return float(trace.airspeeds_m_s[top + max(int(below[0]) - 1, 0)])


def _lift_off(computer: ComputerEntry) -> Estimate:
    return computer.lift_off_height.estimate(KnownBy.HANDBOOK) if computer.lift_off_height else LIFT_OFF_M


def _first_motion(vehicle: LoadedVehicle, flights: Flights, computer: ComputerEntry) -> FirstMotion:
    return FirstMotion(
        computer=computer.name,
        height=_lift_off(computer),
        gust_m=gust_height(GUST_OVER_MEAN * wind_at_ten_metres(vehicle).high),
        lowest_top_m=min(float(one.positions_m[:, 2].max()) for one in flights.every),
        felt=computer.accelerometer is not None and computer.accelerometer.lift_off is not None,
    )


def _timers(vehicle: LoadedVehicle, flights: Flights) -> Iterator[BackupTimer]:
    """Clocks beside the top of every flight: they start when the computer sees it leave."""
    electronics = vehicle.sheet.electronics
    computers = {one.name: one for one in electronics.computer}
    tops = [_top_s(one) for one in flights.every]
    for igniter in electronics.igniter:
        if igniter.event.after_lift_off is not None:
            seen = _seen(flights, computers[igniter.computer])
            after = igniter.event.after_lift_off
            low, high = ([getattr(after, end) + one for one in seen[end]] for end in ("low", "high"))
            value = after.value + seen["value"][0]
            yield BackupTimer(
                igniter=igniter.name,
                set_s=after.value,
                fires=_clock(value, min(low), max(high), "clock from the moment lift-off is seen"),
                after_top=_clock(
                    value - tops[0],
                    min(one - top for one, top in zip(low, tops, strict=True)),
                    max(one - top for one, top in zip(high, tops, strict=True)),
                    "clock beside the tops of flight and corners",
                ),
                earliest_top_s=min(tops),
                latest_top_s=max(tops),
            )


def _clock(value: float, low: float, high: float, method: str) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.COMPUTED, method=method)


def _seen(flights: Flights, computer: ComputerEntry) -> dict[str, list[float]]:
    """Return the times after lift-off at which a computer sees each flight begun, soonest, usual and latest.

    By whichever of its senses is first.
    """
    began = _lift_off(computer)
    return {
        end: [
            by_height if by_felt is None else min(by_height, by_felt)
            for by_height, by_felt in zip(
                _seen_s(flights.every, getattr(began, end)), seen_by_felt(flights, computer, end), strict=True
            )
        ]
        for end in ("low", "value", "high")
    }


def _left_s(trace: Trace) -> float:
    """Time from ignition to lift-off [s]."""
    left = trace.event(EventKind.LIFT_OFF)
    return left.time_s if left else 0.0


def _top_s(trace: Trace) -> float:
    """Time of the highest point after lift-off [s]."""
    return float(trace.times_s[int(np.argmax(trace.positions_m[:, 2]))]) - _left_s(trace)


def _seen_s(traces: Sequence[Trace], height_m: float) -> list[float]:
    """Time after lift-off until each flight has climbed so high [s]; its top where it never does."""
    found: list[float] = []
    for trace in traces:
        heights = trace.positions_m[:, 2]
        top = int(np.argmax(heights))
        above = np.flatnonzero(heights[: top + 1] >= height_m)
        when = int(above[0]) if above.size else top
        found.append(float(trace.times_s[when]) - _left_s(trace))
    return found
