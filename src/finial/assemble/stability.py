"""Margin between balance point and pressure band at the moments that matter."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.results import AirResult
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import balance_at
from finial.core.estimates import Estimate, KnownBy
from finial.flight.inputs import MassHistory
from finial.flight.trace import EventKind, Trace
from finial.shape.skin import Skin


@dataclass(frozen=True, slots=True, kw_only=True)
class StabilityPoint:
    """Margin at one moment of the flight, judged at the bad end and the worst roll angle."""

    moment: str
    """``rail exit``, ``max speed``, ``burnout``."""
    time_s: float
    speed_m_s: float
    alpha_rad: float
    """Angle of attack it is judged at [rad]: the largest between 0 and this."""
    balance: Estimate
    pressure: Estimate
    """Pressure band at the worst roll angle: low is the forward, bad, end [m]."""
    worst_roll_rad: float
    margin: Estimate
    """Pressure minus balance station [m]; low is the bad end."""
    width_m: float
    length_m: float
    bare_margin: Estimate
    """The same without fins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightMoment:
    """A moment of the flight: when, how fast through the air, at what angle to it."""

    name: str
    time_s: float
    speed_m_s: float
    alpha_rad: float


def moments_of(trace: Trace, windy: Trace, wind_high_m_s: float) -> tuple[FlightMoment, ...]:
    """Rail exit in the strongest wind, top speed and burnout with the wind as a gust across."""
    return (
        _moment(windy, "rail exit", _event_time(windy, EventKind.RAIL_EXIT), wind_high_m_s),
        _moment(
            trace, "max speed", float(trace.times_s[np.argmax(trace.dynamic_pressures_pa)]), wind_high_m_s
        ),
        _moment(trace, "burnout", _event_time(trace, EventKind.BURNOUT), wind_high_m_s),
    )


def _event_time(trace: Trace, kind: EventKind) -> float:
    event = trace.event(kind)
    return event.time_s if event else 0.0


def _moment(trace: Trace, name: str, time_s: float, gust_m_s: float) -> FlightMoment:
    """Take the angle of the whole wind met at once, or the flight's own if that is larger."""
    speed = float(np.interp(time_s, trace.times_s, trace.airspeeds_m_s))
    flown = float(np.interp(time_s, trace.times_s, trace.alphas_rad))
    gust = float(np.arctan2(gust_m_s, max(speed, 1e-6)))
    return FlightMoment(name=name, time_s=time_s, speed_m_s=speed, alpha_rad=max(flown, gust))


def stability_points(
    moments: tuple[FlightMoment, ...], skin: Skin, air: AirResult, mass: MassResult, history: MassHistory
) -> tuple[StabilityPoint, ...]:
    """Judge each moment at the forward end of the band and the worst roll angle."""
    return tuple(_point(moment, skin, air, mass, history) for moment in moments)


def _point(
    moment: FlightMoment, skin: Skin, air: AirResult, mass: MassResult, history: MassHistory
) -> StabilityPoint:
    balance = balance_at(mass, history, moment.time_s)
    finned = (air.pressure_central_m, air.pressure_forward_m, air.pressure_aft_m)
    bare = (air.bare_central_m, air.bare_forward_m, air.bare_aft_m)
    pressure, roll = _worst(air, finned, moment.alpha_rad)
    bare_pressure, _ = _worst(air, bare, moment.alpha_rad)
    return StabilityPoint(
        moment=moment.name,
        time_s=moment.time_s,
        speed_m_s=moment.speed_m_s,
        alpha_rad=moment.alpha_rad,
        balance=balance,
        pressure=pressure,
        worst_roll_rad=roll,
        margin=_margin(pressure, balance),
        width_m=skin.width_m,
        length_m=skin.length_m,
        bare_margin=_margin(bare_pressure, balance),
    )


Band = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]
"""Centre of pressure over angle and roll: central, forward end, aft end [m]."""


def _worst(air: AirResult, band: Band, alpha_rad: float) -> tuple[Estimate, float]:
    """Band at the roll and angle, up to the moment's own, where its forward end is furthest forward."""
    angles = np.append(air.angles_rad[air.angles_rad < alpha_rad], min(alpha_rad, air.angles_rad[-1]))
    central, forward, aft = (_at_angles(air.angles_rad, values, angles) for values in band)
    angle, roll = np.unravel_index(int(np.argmin(forward)), forward.shape)
    estimate = Estimate(
        value=float(central[angle, roll]),
        low=float(forward[angle, roll]),
        high=float(aft[angle, roll]),
        known_by=KnownBy.COMPUTED,
        method="pressure band at the worst roll angle",
        inside_range=bool(alpha_rad <= air.angles_rad[-1]),
    )
    return estimate, float(air.rolls_rad[roll])


def _at_angles(
    grid_rad: NDArray[np.float64], values: NDArray[np.float64], angles_rad: NDArray[np.float64]
) -> NDArray[np.float64]:
    return np.stack([np.interp(angles_rad, grid_rad, column) for column in values.T], axis=1)


def _margin(pressure: Estimate, balance: Estimate) -> Estimate:
    """Pressure less balance; a guess only where the balance point's own guess is the wider interval."""
    guessed = balance.known_by is KnownBy.ASSUMED and balance.half_width > pressure.half_width
    return Estimate(
        value=pressure.value - balance.value,
        low=pressure.low - balance.high,
        high=pressure.high - balance.low,
        known_by=KnownBy.ASSUMED if guessed else KnownBy.COMPUTED,
        method="pressure band less balance point",
        inside_range=pressure.inside_range,
    )
