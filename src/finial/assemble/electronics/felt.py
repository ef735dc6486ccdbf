"""What accelerometers feel of a flight: whether they read it all, and whether they take it for begun."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.electronics.results import FeltLiftOff, FeltRange
from finial.assemble.flights.corners import Flights
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate, KnownBy
from finial.electronics.accelerometer import (
    Accelerometer,
    first_held,
    largest_felt,
    longest_held,
    longest_knock,
)
from finial.files.sheet_recovery import AccelerometerEntry, ComputerEntry, LiftOffFeltEntry
from finial.flight.trace import EventKind, Trace

DROP_M = 0.2
"""Height from which a drop is as hard as a knock on the pad [m]: set down, slid onto its stop; assumed."""
LONGEST_KNOCK_S = 0.1
"""Longest that one knock pushes [s]: onto grass or into a sling; on a rail it is hundredths; assumed."""


def felt_up(trace: Trace) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return times from lift-off to the top, and what is felt then in body axes [s, m/s^2]."""
    left = trace.event(EventKind.LIFT_OFF)
    first = int(np.searchsorted(trace.times_s, left.time_s)) if left else 0
    up = slice(first, int(np.argmax(trace.positions_m[:, 2])) + 1)
    return trace.times_s[up], trace.accelerations_m_s2[up]


def perfect_and_worst(told: AccelerometerEntry) -> tuple[Accelerometer, Accelerometer]:
    """Return an accelerometer without errors, and one with all that the sheet allows it."""
    return (
        Accelerometer(range_m_s2=told.range.low),
        Accelerometer(range_m_s2=told.range.low, offset_m_s2=told.offset.high, tilt_rad=told.tilt.high),
    )


def felt_ranges(vehicle: LoadedVehicle, flights: Flights) -> Iterator[FeltRange]:
    """Compare what every accelerometer feels at most on the way up with what it reads at most."""
    for computer in vehicle.sheet.electronics.computer:
        told = computer.accelerometer
        if told is not None:
            felts = [largest_felt(felt_up(one)[1], told.tilt.high) for one in flights.every]
            yield FeltRange(
                computer=computer.name,
                felt=Estimate(
                    value=felts[0],
                    low=min(felts),
                    high=max(felts),
                    known_by=KnownBy.COMPUTED,
                    method="largest along its axis on the way up, over flight and corners",
                ),
                range_m_s2=told.range.low,
                decides=told.finds_top,
            )


def felt_lift_offs(vehicle: LoadedVehicle, flights: Flights) -> Iterator[FeltLiftOff]:
    """Compare what accelerometers must feel to take the flight for begun with what flights and hands do."""
    for computer in vehicle.sheet.electronics.computer:
        told = computer.accelerometer
        if told is not None and told.lift_off is not None:
            over = _really_felt(told.lift_off, told.offset.high)
            knock_s = longest_knock(over.low, DROP_M)
            yield FeltLiftOff(
                computer=computer.name,
                held_level=_held_level(flights, told, told.lift_off),
                asked_m_s2=told.lift_off.over.high,
                over=over,
                held=told.lift_off.held.estimate(KnownBy.HANDBOOK),
                longest_knock_s=knock_s if knock_s == np.inf else min(knock_s, LONGEST_KNOCK_S),
            )


def _really_felt(lift_off: LiftOffFeltEntry, offset_m_s2: float) -> Estimate:
    """Widen a threshold by what the accelerometer shows at rest beside gravity [m/s^2]."""
    over = lift_off.over.estimate(KnownBy.HANDBOOK)
    return replace(over, low=over.low - offset_m_s2, high=over.high + offset_m_s2)


def _held_level(flights: Flights, told: AccelerometerEntry, lift_off: LiftOffFeltEntry) -> Estimate:
    """Over flights and errors; the middle is the sheet's flight with none."""
    perfect, worst = perfect_and_worst(told)
    levels = [longest_held(*felt_up(one), worst, lift_off.held.high) for one in flights.every]
    middle = longest_held(*felt_up(flights.nominal), perfect, lift_off.held.value)
    best = [longest_held(*felt_up(one), perfect, lift_off.held.low) for one in flights.every]
    return Estimate(
        value=middle,
        low=min(levels),
        high=max(best),
        known_by=KnownBy.COMPUTED,
        method="what its axis feels without a break, over flight and corners",
    )


def seen_by_felt(flights: Flights, computer: ComputerEntry, end: str) -> list[float | None]:
    """When its accelerometer takes each flight for begun, after lift-off [s]; ``None`` where it never does.

    ``end`` is the end of its numbers, "low" for the soonest, "value" or "high".
    """
    told = computer.accelerometer
    if told is None or told.lift_off is None:
        return [None] * len(flights.every)
    over = getattr(_really_felt(told.lift_off, told.offset.high), end)
    held = getattr(told.lift_off.held, end)
    return [first_held(*felt_up(one), over, held) for one in flights.every]
