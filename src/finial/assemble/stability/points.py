"""Margin between balance point and pressure band at the moments that matter."""

import numpy as np

from finial.aero.band.band import PressureBand
from finial.aero.band.worst import margin_between, worst_up_to
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import balance_at
from finial.assemble.stability.results import FlightMoment, MomentName, StabilityPoint
from finial.flight.air_met import air_met
from finial.flight.inputs import MassHistory
from finial.flight.trace import EventKind, Trace
from finial.shape.skin import Skin


def moments_of(
    trace: Trace, windy: Trace, wind_high_m_s: float, *, guided: bool = True
) -> tuple[FlightMoment, ...]:
    """Rail exit in the strongest wind, top speed and burnout with the wind as a gust across.

    What a flight never came to is left out; so is the rail exit where no guide is known.
    """
    left, burnt = windy.event(EventKind.RAIL_EXIT), trace.event(EventKind.BURNOUT)
    found = [fastest_moment(trace, wind_high_m_s)]
    if left is not None and guided:
        found.insert(0, _moment(windy, MomentName.RAIL_EXIT, left.time_s, wind_high_m_s))
    if burnt is not None:
        found.append(_moment(trace, MomentName.BURNOUT, burnt.time_s, wind_high_m_s))
    return tuple(found)


def fastest_moment(trace: Trace, wind_high_m_s: float) -> FlightMoment:
    """Moment of the highest dynamic pressure, with the wind as a gust across."""
    time = float(trace.times_s[np.argmax(trace.dynamic_pressures_pa)])
    return _moment(trace, MomentName.MAX_SPEED, time, wind_high_m_s)


def _moment(trace: Trace, name: MomentName, time_s: float, gust_m_s: float) -> FlightMoment:
    speed, alpha = air_met(trace, time_s, gust_m_s)
    return FlightMoment(name=name, time_s=time_s, speed_m_s=speed, alpha_rad=alpha)


def stability_points(
    moments: tuple[FlightMoment, ...], skin: Skin, band: PressureBand, mass: MassResult, history: MassHistory
) -> tuple[StabilityPoint, ...]:
    """Judge each moment at the forward end of the band and the worst roll angle."""
    return tuple(_point(moment, skin, band, mass, history) for moment in moments)


def _point(
    moment: FlightMoment, skin: Skin, band: PressureBand, mass: MassResult, history: MassHistory
) -> StabilityPoint:
    balance = balance_at(mass, history, moment.time_s)
    pressure, roll = worst_up_to(band.about(balance.value), moment.alpha_rad)
    bare_pressure, _ = worst_up_to(band.about(balance.value, bare=True), moment.alpha_rad)
    righting, _ = worst_up_to(band.moments_about(balance.value), moment.alpha_rad)
    return StabilityPoint(
        moment=moment.name,
        time_s=moment.time_s,
        speed_m_s=moment.speed_m_s,
        alpha_rad=moment.alpha_rad,
        balance=balance,
        pressure=pressure,
        worst_roll_rad=roll,
        margin=margin_between(pressure, balance),
        width_m=skin.breadth_m,
        length_m=skin.length_m,
        bare_margin=margin_between(bare_pressure, balance),
        least_force=band.least_force_up_to(moment.alpha_rad),
        moment_slope=righting.scaled(1.0 / skin.width_m),
    )
