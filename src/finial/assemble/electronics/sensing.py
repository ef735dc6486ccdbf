"""What each computer senses: its ports in the body's own flow, its heights, its clock, its lift-off."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.outline_pressure import clear_of_ledges, outline_pressure
from finial.assemble.day import day_at_pad, wind_at_ten_metres
from finial.assemble.electronics.results import (
    BackupTimer,
    FiredHeight,
    FirstMotion,
    NearMach,
    PortStudy,
    Sensing,
)
from finial.assemble.flights.corners import Flights
from finial.assemble.vehicle.loading import Vehicle
from finial.atmosphere.day import Day, air_over_pad
from finial.atmosphere.pressure_height import height_over_pad, pressure_height
from finial.atmosphere.standard import standard_air_geopotential
from finial.core.estimates import Estimate, KnownBy
from finial.electronics.sensing import (
    CROSSWIND_SIDES,
    gust_height,
    height_read,
    largest_fall,
    unevenness,
    wind_across,
)
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import ComputerEntry, IgniterEntry, PortEntry
from finial.flight.trace import EventKind, Trace
from finial.recovery.charges.ports import RULE_AREA_PER_VOLUME_M, Climb, lag_height, port_lag

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
DOUBT_SHARE, DOUBT_LEAST = 0.5, 0.05
"""Doubt about a pressure coefficient on a smooth side: half of it, and a twentieth; a judgement."""
HIGHEST_READ_M = 10_000.0
"""Height above the sea up to which a reading is followed [m]: where the air's lapse ends, less a hot day."""
SPOILT = (-0.8, 0.4)
"""Pressure coefficients that a place on or behind a ledge may have [-]; from memory of steps and bases."""


def sensing(vehicle: Vehicle, flights: Flights) -> Sensing:
    """Say what the computers of a vehicle sense in its flights."""
    electronics = vehicle.sheet.electronics
    names = dict.fromkeys(one.port for one in electronics.computer)
    length = vehicle.skin.length_m
    ports = {one.name: one for one in electronics.port if 0.0 <= one.station.value <= length}
    return Sensing(
        ports=tuple(_port(vehicle, flights, name, ports.get(name)) for name in names),
        fired=tuple(_fired(vehicle, flights, ports)),
        first_motion=tuple(_first_motion(vehicle, flights, one) for one in electronics.computer),
        timers=tuple(_timers(vehicle, flights)),
        near_mach=tuple(
            NearMach(computer=one.name, locked_out=one.mach_lockout) for one in electronics.computer
        ),
        fastest_mach=max(float(one.machs.max()) for one in flights.every),
    )


def _port(vehicle: Vehicle, flights: Flights, name: str, port: PortEntry | None) -> PortStudy:
    computers = tuple(one.name for one in vehicle.sheet.electronics.computer if one.port == name)
    if port is None:
        return PortStudy(port=name, computers=computers)
    air = AtPort.of(vehicle, port)
    return PortStudy(
        port=name,
        computers=computers,
        holes=len(port.holes),
        area=_area(port),
        least_area_m2=RULE_AREA_PER_VOLUME_M * port.bay_volume.high,
        uneven=air.uneven,
        clear=air.clear,
        coefficient=air.coefficient,
        lag_m=max(air.lag_m(one) for one in flights.every),
        early_fall=_early_fall(air, flights),
        opens_into=_opens_into(vehicle.sheet, port),
    )


def _opens_into(sheet: Sheet, port: PortEntry) -> str:
    """Name the bay that stands behind the holes, where no sled stands beside it at that station."""
    at = port.station.value
    sleds = [item for item in sheet.item if item.kind == "sled"]
    if any(abs(at - sled.station.value) <= (sled.length.value / 2 if sled.length else 0.0) for sled in sleds):
        return ""
    bays = (bay for bay in sheet.recovery.bay if bay.stations[0].value <= at <= bay.stations[1].value)
    return next((bay.name for bay in bays), "")


def _area(port: PortEntry) -> Estimate:
    low, value, high = (
        sum(math.pi / 4 * getattr(hole, end) ** 2 for hole in port.holes) for end in ("low", "value", "high")
    )
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.MEASURED, method="holes together")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AtPort:
    """The air at one set of holes; equal only to itself."""

    day: Day
    clear: float
    coefficient: Estimate
    """In straight flow [-]."""
    uneven: float
    across: tuple[float, float]
    """Of a crosswind, least and largest [-]."""
    lag_at_one: float
    """Lag in air of 1 kg/m^3 at 1 m/s [Pa]; it grows with the square of the climb, and the density."""

    @classmethod
    def of(cls, vehicle: Vehicle, port: PortEntry) -> "AtPort":
        """Work out what a vehicle's shape does to one set of holes."""
        day, skin = day_at_pad(vehicle), vehicle.skin
        at = min(port.station.value, float(skin.stations_m[-1]))
        clear = clear_of_ledges(vehicle.body.outside.faces, at)
        uneven = unevenness([hole.value for hole in port.holes], _angles(port))
        climb = Climb(
            volume_m3=port.bay_volume.high,
            port_area_m2=_area(port).low,
            climb_m_s=1.0,
            density_kg_m3=1.0,
            temperature_k=day.temperature_k,
        )
        found = outline_pressure(skin.stations_m, skin.areas_m2, at)
        return cls(
            day=day,
            clear=clear,
            coefficient=_doubted(found, clear),
            uneven=uneven,
            across=wind_across(uneven),
            lag_at_one=port_lag(climb),
        )

    def densities(self, heights_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Density of the day's air at heights above the pad [kg/m^3]."""
        return np.asarray(air_over_pad(self.day, np.maximum(heights_m, 0.0)).density_kg_m3, dtype=float)

    def lag_m(self, trace: Trace) -> float:
        """Lag at the fastest climb, as a height [m]."""
        fastest = int(np.argmax(trace.velocities_m_s[:, 2]))
        density = float(self.densities(trace.positions_m[fastest : fastest + 1, 2])[0])
        climb = max(float(trace.velocities_m_s[fastest, 2]), 0.0)
        return lag_height(self.lag_at_one * density * climb**2, density)

    def shown_m(self, trace: Trace, flows: Sequence[tuple[float, float]]) -> list[NDArray[np.float64]]:
        """Say what a barometer in the bay shows on the way up.

        Parameters
        ----------
        trace : Trace
            One flight.
        flows : sequence of (float, float)
            Pairs of pressure coefficients, in straight flow and in the wind across [-].

        Returns
        -------
        heights_m : list of ndarray, shape (rows until the top,)
            Heights shown [m], one for each pair.

        Notes
        -----
        Holds as :func:`~finial.electronics.sensing.height_read` does, for bays whose lag is small.

        References
        ----------
        .. [1] As :func:`~finial.electronics.sensing.height_read`.
        """
        up = slice(0, int(np.argmax(trace.positions_m[:, 2])) + 1)
        heights, climbs = trace.positions_m[up, 2], trace.velocities_m_s[up, 2]
        pressures, sines = trace.dynamic_pressures_pa[up], np.sin(trace.alphas_rad[up]) ** 2
        densities = self.densities(heights)
        lag = self.lag_at_one * densities * climbs * np.abs(climbs)
        pushed = (pressures * (straight * (1.0 - sines) + across * sines) for straight, across in flows)
        return [height_read(heights, push + lag, densities) for push in pushed]


def _angles(port: PortEntry) -> list[float]:
    if port.at is not None:
        return [angle.value for angle in port.at]
    return [2 * math.pi * number / len(port.holes) for number in range(len(port.holes))]


def _doubted(found: float, clear: float) -> Estimate:
    """Give a computed coefficient its doubt: on or near a ledge anything that such places have."""
    doubt = DOUBT_LEAST + DOUBT_SHARE * abs(found)
    low, high = found - doubt, found + doubt
    if clear < 1.0:
        low, high = min(low, SPOILT[0]), max(high, SPOILT[1])
    return Estimate(
        value=found,
        low=low,
        high=high,
        known_by=KnownBy.ASSUMED,
        method="sources along the axis, its doubt assumed",
        inside_range=clear >= 1.0,
    )


def _early_fall(air: AtPort, flights: Flights) -> Estimate:
    """How far the reading falls before the top, over the doubt about the air and the flights [m]."""
    flow, (low, high) = air.coefficient, air.across
    flows = (flow.value, (low + high) / 2), (flow.low, low), (flow.high, high)
    falls = [largest_fall(shown) for trace in flights.every for shown in air.shown_m(trace, flows)]
    return Estimate(
        value=falls[0],
        low=min(falls),
        high=max(falls),
        known_by=KnownBy.ASSUMED,
        method="barometer read along the flights",
        inside_range=flow.inside_range,
    )


def _fired(vehicle: Vehicle, flights: Flights, ports: dict[str, PortEntry]) -> Iterator[FiredHeight]:
    """Heights at which falling vehicles really are when their computers fire at a set one."""
    electronics = vehicle.sheet.electronics
    computers = {one.name: one for one in electronics.computer}
    for igniter in electronics.igniter:
        if igniter.event.falling_through is not None:
            port = ports.get(computers[igniter.computer].port)
            air = None if port is None else AtPort.of(vehicle, port)
            yield FiredHeight(
                igniter=igniter.name,
                computer=igniter.computer,
                set_m=igniter.event.falling_through.value,
                true=None if air is None else _true_height(vehicle, flights, igniter, air),
            )


def _true_height(vehicle: Vehicle, flights: Flights, igniter: IgniterEntry, air: AtPort) -> Estimate | None:
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


def _first_motion(vehicle: Vehicle, flights: Flights, computer: ComputerEntry) -> FirstMotion:
    return FirstMotion(
        computer=computer.name,
        height=_lift_off(computer),
        gust_m=gust_height(GUST_OVER_MEAN * wind_at_ten_metres(vehicle).high),
        lowest_top_m=min(float(one.positions_m[:, 2].max()) for one in flights.every),
    )


def _timers(vehicle: Vehicle, flights: Flights) -> Iterator[BackupTimer]:
    """Clocks beside the top of every flight: they start when the computer sees it leave."""
    electronics = vehicle.sheet.electronics
    computers = {one.name: one for one in electronics.computer}
    tops = [_top_s(one) for one in flights.every]
    for igniter in electronics.igniter:
        if igniter.event.after_lift_off is not None:
            began = _lift_off(computers[igniter.computer])
            after = igniter.event.after_lift_off
            low, value, high = (
                _seen_s(flights.every, getattr(began, end)) for end in ("low", "value", "high")
            )
            yield BackupTimer(
                igniter=igniter.name,
                set_s=after.value,
                after_top=Estimate(
                    value=after.value + value[0] - tops[0],
                    low=min(after.low + seen - top for seen, top in zip(low, tops, strict=True)),
                    high=max(after.high + seen - top for seen, top in zip(high, tops, strict=True)),
                    known_by=KnownBy.COMPUTED,
                    method="clock beside the tops of flight and corners",
                ),
                earliest_top_s=min(tops),
                latest_top_s=max(tops),
            )


def _top_s(trace: Trace) -> float:
    """Time of the highest point after lift-off [s]."""
    left = trace.event(EventKind.LIFT_OFF)
    start = left.time_s if left else 0.0
    return float(trace.times_s[int(np.argmax(trace.positions_m[:, 2]))]) - start


def _seen_s(traces: Sequence[Trace], height_m: float) -> list[float]:
    """Time after lift-off until each flight has climbed so high [s]; its top where it never does."""
    found: list[float] = []
    for trace in traces:
        heights = trace.positions_m[:, 2]
        top = int(np.argmax(heights))
        left = trace.event(EventKind.LIFT_OFF)
        above = np.flatnonzero(heights[: top + 1] >= height_m)
        when = int(above[0]) if above.size else top
        found.append(float(trace.times_s[when]) - (left.time_s if left else 0.0))
    return found
