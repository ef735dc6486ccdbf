"""What a log may correct in the model, how well it was known before, and the flight with it changed."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    Air,
    CanopyEvent,
    FlightInputs,
    Thrust,
)
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, Draw, Spread, canopy_slot


class UnknownKind(StrEnum):
    """Numbers of the model that a log tells something about."""

    DRAG = "drag"
    """Factor on the computed drag of the closed vehicle."""
    THRUST = "thrust"
    """Factor on the thrust curve, and so on the impulse."""
    BURN_TIME = "burn time"
    """Factor on the times of the thrust curve; the impulse stays."""
    FRICTION = "friction"
    """Of the buttons on the rail [-]."""
    CENTRE = "centre"
    """How far aft of the computed the centre of pressure lies [m]; only where swings tell it."""
    WIND = "wind"
    """At 10 m [m/s]."""
    WIND_TURN = "wind turn"
    """Of the wind's bearing, clockwise seen from above [rad]; only where places tell it."""
    CANOPY = "canopy"
    """Factor on a canopy's drag area."""
    DELAY = "delay"
    """From a canopy's event until it is out [s]."""
    HEIGHT = "height"
    """At which a canopy's event is, above ground [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """One number, and what was known of it before the flight."""

    kind: UnknownKind
    canopy: str = ""
    value: float
    sigma: float
    """Standard deviation of what was known before."""
    low: float
    """Values below this are not tried."""
    high: float

    @property
    def key(self) -> str:
        """Name among the others, such as ``delay main``."""
        return f"{self.kind} {self.canopy}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Least:
    """Least doubt about a kind: what no sheet is sure of before it flew; and the ends of what is tried."""

    sigma: float
    low: float
    high: float


_LEAST = {
    UnknownKind.DRAG: _Least(sigma=0.05, low=0.3, high=3.0),
    UnknownKind.THRUST: _Least(sigma=0.015, low=0.5, high=1.5),
    UnknownKind.BURN_TIME: _Least(sigma=0.015, low=0.5, high=2.0),
    UnknownKind.FRICTION: _Least(sigma=0.1, low=0.0, high=2.0),
    UnknownKind.CENTRE: _Least(sigma=0.002, low=-5.0, high=5.0),
    UnknownKind.WIND: _Least(sigma=0.5, low=0.0, high=40.0),
    UnknownKind.WIND_TURN: _Least(sigma=0.1, low=-math.pi, high=math.pi),
    UnknownKind.CANOPY: _Least(sigma=0.05, low=0.1, high=5.0),
    UnknownKind.DELAY: _Least(sigma=0.5, low=0.0, high=30.0),
    UnknownKind.HEIGHT: _Least(sigma=5.0, low=1.0, high=20_000.0),
}


def unknowns_of(inputs: FlightInputs, spread: Spread, *, places: bool = False) -> tuple[Unknown, ...]:
    """Say what may be corrected of a flight, as well known as the sheet's scatter says, and no better.

    ``places`` says whether a log tells where it was: nothing else tells where the wind came from.
    """
    draws = {draw.slot: draw for draw in spread.draws}
    rows = len(spread.masses.rows)
    found = [
        unknown_of(UnknownKind.DRAG, 1.0, draws.get(slots.AXIAL_FACTOR)),
        unknown_of(UnknownKind.THRUST, 1.0, draws.get(slots.THRUST_FACTOR)),
        unknown_of(UnknownKind.BURN_TIME, 1.0, draws.get(slots.BURN_TIME_FACTOR)),
        unknown_of(UnknownKind.FRICTION, inputs.rail.friction, draws.get(slots.RAIL_FRICTION)),
        unknown_of(UnknownKind.WIND, spread.wind_speed_m_s, draws.get(slots.WIND_SPEED)),
    ]
    if places:
        found.append(unknown_of(UnknownKind.WIND_TURN, 0.0, draws.get(slots.WIND_TURN)))
    for index, canopy in enumerate(inputs.canopies):
        told = {
            part: draws.get(canopy_slot(rows, index, part))
            for part in ("drag_factor", "delay_s", "threshold")
        }
        if canopy.mass_kg == 0.0:
            continue  # the bare opening at the top: nothing that the sheet could be corrected in
        found.append(unknown_of(UnknownKind.CANOPY, 1.0, told["drag_factor"], canopy.name))
        found.append(unknown_of(UnknownKind.DELAY, canopy.delay_s, told["delay_s"], canopy.name))
        if canopy.trigger == AFTER_APOGEE_ALTITUDE:
            found.append(unknown_of(UnknownKind.HEIGHT, canopy.threshold, told["threshold"], canopy.name))
    return tuple(found)


def changed_inputs(inputs: FlightInputs, told: Mapping[str, float], wind_m_s: float) -> FlightInputs:
    """Put other values into a flight; ``wind_m_s`` is the wind at 10 m that the inputs were made for."""
    trim = replace(
        inputs.trim,
        axial_factor=inputs.trim.axial_factor * told.get("drag", 1.0),
        station_shift_m=inputs.trim.station_shift_m + told.get("centre", 0.0),
    )
    stretch = told.get("burn time", 1.0)
    mass = replace(inputs.mass, times_s=inputs.mass.times_s * stretch)
    return replace(
        inputs,
        trim=trim,
        rail=replace(inputs.rail, friction=told.get("friction", inputs.rail.friction)),
        mass=mass,
        thrust=_thrust(inputs.thrust, told.get("thrust", 1.0), stretch),
        air=_air(inputs.air, told.get("wind", wind_m_s) / wind_m_s, told.get("wind turn", 0.0)),
        canopies=tuple(_canopy(canopy, told) for canopy in inputs.canopies),
    )


def _thrust(thrust: Thrust, factor: float, stretch: float) -> Thrust:
    return replace(thrust, times_s=thrust.times_s * stretch, thrusts_n=thrust.thrusts_n * (factor / stretch))


def _air(air: Air, factor: float, turn_rad: float) -> Air:
    """Make the wind stronger by a factor, and turn it clockwise seen from above."""
    east, north = factor * air.wind_east_m_s, factor * air.wind_north_m_s
    along, aside = math.cos(turn_rad), math.sin(turn_rad)
    return replace(
        air, wind_east_m_s=along * east + aside * north, wind_north_m_s=along * north - aside * east
    )


def _canopy(canopy: CanopyEvent, told: Mapping[str, float]) -> CanopyEvent:
    return replace(
        canopy,
        drag_area_m2=canopy.drag_area_m2 * told.get(f"canopy {canopy.name}", 1.0),
        delay_s=told.get(f"delay {canopy.name}", canopy.delay_s),
        threshold=told.get(f"height {canopy.name}", canopy.threshold),
    )


def unknown_of(kind: UnknownKind, value: float, draw: Draw | None, canopy: str = "") -> Unknown:
    """Say what is known of a number before a flight: as its draw says, no better than its kind ever is."""
    least = _LEAST[kind]
    sigma = max(least.sigma, sigma_of(draw)) if draw is not None else least.sigma
    return Unknown(kind=kind, canopy=canopy, value=value, sigma=sigma, low=least.low, high=least.high)


def sigma_of(draw: Draw) -> float:
    """Deviation of a draw by its wider side: a bell's end stands at two, an even one's at root three."""
    return max(draw.below, draw.above) / (2.0 if draw.shape == BELL else math.sqrt(3.0))
