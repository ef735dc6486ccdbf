"""The two charts: margin against the wind's angle, height against time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.dimensions import Dimension, find_unit
from finial.core.units import show
from finial.findings.readiness import Readiness
from finial.web.numbers import worst_point

_MOST_POINTS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginChart:
    """Margin over all roll angles at each angle of attack, in ``unit``."""

    unit: str
    angles_deg: list[float]
    low: list[float]
    middle: list[float]
    high: list[float]
    bare_low: list[float]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartEvent:
    """A numbered dot on the height curve."""

    name: str
    time_s: float
    height: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightChart:
    """Height above the pad over time, in ``unit``."""

    unit: str
    times_s: list[float]
    heights: list[float]
    events: tuple[ChartEvent, ...]
    sentence: str


def margin_chart(readiness: Readiness) -> MarginChart:
    """Margin at the balance point of the worst moment, with and without fins."""
    air, balance = readiness.air, worst_point(readiness).balance
    unit, unit_m = _length_unit("in" if readiness.us_units else "mm")
    low_m = air.pressure_forward_m.min(axis=1) - balance.high
    worst = int(low_m.argmin())
    worst_deg = float(np.degrees(air.angles_rad[worst]))
    return MarginChart(
        unit=unit,
        angles_deg=np.degrees(air.angles_rad).round(2).tolist(),
        low=_listed(low_m, unit_m),
        middle=_listed(air.pressure_central_m.min(axis=1) - balance.value, unit_m),
        high=_listed(air.pressure_aft_m.max(axis=1) - balance.low, unit_m),
        bare_low=_listed(air.bare_forward_m.min(axis=1) - balance.high, unit_m),
        sentence=(
            f"Thick line: the bad end, which is judged; it is smallest at {worst_deg:.0f}°, with"
            f" {show(float(low_m[worst]), Dimension.LENGTH, readiness.us_units)}. Dashed: the middle."
            " Shaded: the whole band over every roll angle. Dotted: the bad end without fins."
            " Below zero the vehicle turns round."
        ),
    )


def height_chart(readiness: Readiness) -> HeightChart:
    """Height of the nominal flight, with its events."""
    flight, us = readiness.flight, readiness.us_units
    unit, unit_m = _length_unit("ft" if us else "m")
    trace = flight.trace
    kept = np.unique(np.linspace(0, len(trace.times_s) - 1, _MOST_POINTS).round().astype(int))
    events = tuple(
        ChartEvent(
            name=event.name,
            time_s=round(event.time_s, 3),
            height=round(event.height_agl_m / unit_m, 2),
            text=f"{event.time_s:.1f} s, {abs(event.height_agl_m / unit_m):.0f} {unit}",
        )
        for event in trace.events
    )
    return HeightChart(
        unit=unit,
        times_s=trace.times_s[kept].round(3).tolist(),
        heights=_listed(trace.positions_m[kept, 2], unit_m),
        events=events,
        sentence=(
            f"Apogee {show(flight.apogee_agl.value, Dimension.LENGTH, us)} above the pad;"
            f" the flight takes {flight.flight_time_s:.0f} s."
        ),
    )


def _listed(values_m: NDArray[np.float64], unit_m: float) -> list[float]:
    return (values_m / unit_m).round(2).tolist()


def _length_unit(symbol: str) -> tuple[str, float]:
    unit = find_unit(symbol, Dimension.LENGTH)
    assert unit is not None, f"the unit table has no {symbol}"
    return unit.symbol, float(unit.factor)
