"""Doubt about the air loads, and fins that do not stand straight."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from finial.aero.fins.on_body import FinAir, fin_air
from finial.assemble.air.sections import AirLoads
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.usual import reach
from finial.core.estimates import Estimate
from finial.flight.inputs import AirDepartures
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, Draw


def air_draws(vehicle: Vehicle, air: AirLoads) -> Iterator[Draw]:
    """Drag, normal force and centre of pressure between the ends of their bands; fin angles."""
    yield _factor("drag", slots.AXIAL_FACTOR, air.drag.power_off)
    yield _factor("normal force slope", slots.ACROSS_FACTOR, air.result.slope_per_rad)
    central, forward, aft = (
        float(values[0].mean())
        for values in (
            air.result.pressure_central_m,
            air.result.pressure_forward_m,
            air.result.pressure_aft_m,
        )
    )
    yield Draw(
        name="centre of pressure",
        slot=slots.STATION_SHIFT,
        shape=EVEN,
        base=0.0,
        below=max(central - forward, 0.0),
        above=max(aft - central, 0.0),
        unit="m",
    )
    yield from _fin_draws(vehicle, air)


def _factor(name: str, slot: int, band: Estimate) -> Draw:
    below, above = (band.value - band.low) / band.value, (band.high - band.value) / band.value
    return Draw(name=name, slot=slot, shape=EVEN, base=1.0, below=below, above=above, unit="share")


def _fin_draws(vehicle: Vehicle, air: AirLoads) -> Iterator[Draw]:
    """Fins each at their own angle: their mean twists, their sum pushes aside.

    With n fins of independent angles of deviation s the mean has deviation s / sqrt(n), and
    each component of the sum of their forces s sqrt(n / 2) times the force of one fin.
    """
    off = reach(vehicle.sheet.scatter, "fin_angle")
    rolls = zip(_roll_per_rad(vehicle, air), air.fins, strict=True)
    roll = math.sqrt(sum(per_rad**2 / fin.fins.count for per_rad, fin in rolls)) * off
    side = math.sqrt(sum((_side_per_rad(fin) ** 2 * fin.fins.count / 2.0) for fin in air.fins)) * off
    yield _bell("fins twisted together", slots.ROLL_MOMENT, roll)
    yield _bell("fins crooked, y", slots.SIDE, side)
    yield _bell("fins crooked, z", slots.SIDE + 1, side)


def _bell(name: str, slot: int, ends: float) -> Draw:
    return Draw(name=name, slot=slot, shape=BELL, base=0.0, below=ends, above=ends, unit="coefficient")


def _side_per_rad(fin: FinAir) -> float:
    """Force coefficient of one fin per radian of its angle: the tensor's trace holds all of them."""
    return float(np.trace(fin.felt_slope_per_rad)) / fin.fins.count


def _roll_per_rad(vehicle: Vehicle, air: AirLoads) -> list[float]:
    """Roll moment coefficient of each whole set per radian of cant: that of the same fins canted by one."""
    canted = fin_air(vehicle.body, [replace(fin.fins, cant_rad=1.0) for fin in air.fins])
    return [fin.factor[1] * fin.cant_moment for fin in canted]


def crooked_trim(air: AirLoads) -> AirDepartures:
    """Trim whose side force acts where the fins' forces do."""
    weights = [float(np.trace(fin.felt_slope_per_rad)) for fin in air.fins]
    if not weights or sum(weights) <= 0.0:
        return AirDepartures()
    station = sum(w * fin.centre_m for w, fin in zip(weights, air.fins, strict=True)) / sum(weights)
    return AirDepartures(side_station_m=station)
