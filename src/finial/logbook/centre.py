"""Where the centre of pressure lies, from how fast it swung."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flight.inputs import FlightInputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import Spread
from finial.flight.steadiness import righting_m3, way_up
from finial.flight.trace import EventKind, Trace
from finial.flown.swinging import swing_ratio
from finial.logbook.story import Story
from finial.logbook.unknowns import Unknown, UnknownKind, unknown_of

_INERTIA = 0.05
"""Assumed: how far the inertia across may be off, one deviation; it moves the frequency too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CentreFound:
    """The shift of the centre of pressure that swings of one log tell."""

    unknown: Unknown
    ratio: Estimate
    """Of the frequencies, log over model."""
    shift: Estimate
    """Aft of the model's, by the swings alone [m]."""


def centre_found(story: Story, trace: Trace, inputs: FlightInputs, spread: Spread) -> CentreFound | None:
    r"""Turn the swings of a log into a shift of the centre of pressure.

    .. math::  \Delta x = (r^2 - 1) \frac{k}{S\, C_{N\alpha}}

    ``trace`` is the flight of the model that fits the log. ``None`` without a gyroscope, where no swing
    stands clear, where no moment brings the vehicle back, or where the sheet has no doubt about the centre.
    """
    doubt = next((draw for draw in spread.draws if draw.slot == slots.STATION_SHIFT), None)
    delay = inputs.thrust.ignition_delay_s
    up = way_up(trace, inputs.air_table, inputs.mass, delay)
    if doubt is None or up is None or not story.reading.sensed.has_turning or np.any(up.righting_m3 <= 0.0):
        return None
    rows, lift_off = up.rows, trace.event(EventKind.LIFT_OFF)
    flown_s = trace.times_s[rows] - (lift_off.time_s if lift_off else 0.0)
    model = np.sqrt(trace.dynamic_pressures_pa[rows] * up.righting_m3 / up.across_kg_m2)
    sensed = story.reading.sensed
    inside = (sensed.times_s > flown_s[0]) & (sensed.times_s < flown_s[-1])
    if inside.sum() < 2:
        return None
    times = sensed.times_s[inside]
    ratio = swing_ratio(times, sensed.turning_rad_s[inside], np.interp(times, flown_s, model))
    if ratio is None:
        return None
    lever = _lever_m(inputs, trace, rows, up.righting_m3)
    return CentreFound(
        unknown=unknown_of(UnknownKind.CENTRE, 0.0, doubt), ratio=ratio, shift=_shift(ratio, lever)
    )


def _lever_m(
    inputs: FlightInputs, trace: Trace, rows: NDArray[np.intp], righting: NDArray[np.float64]
) -> float:
    """How far the centre lies behind the balance point by the model, meant over the way."""
    burnt = trace.times_s[rows] - inputs.thrust.ignition_delay_s
    balance = -np.interp(burnt, inputs.mass.times_s, inputs.mass.centres_m[:, 0])
    machs = trace.machs[rows]
    # A metre further aft it would right itself by so much less: the slope of the force across.
    less = righting_m3(inputs.air_table, np.zeros(len(rows)), machs, balance + 1.0)
    more = righting_m3(inputs.air_table, np.zeros(len(rows)), machs, balance)
    return float(np.median(righting / (more - less)))


def _shift(ratio: Estimate, lever_m: float) -> Estimate:
    value = (ratio.value**2 - 1.0) * lever_m
    half = lever_m * float(np.hypot(2.0 * ratio.value * ratio.half_width, NINETY * _INERTIA * ratio.value**2))
    return Estimate(
        value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED, method="swings"
    )
