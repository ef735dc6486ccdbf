"""The mass table as moments, and what may weigh more or stand elsewhere."""

from collections.abc import Iterator

import numpy as np

from finial.assemble.mass.row import MOTOR_MASS_SPREAD, Row
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import burning_motors
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, Draw, MassParts, either_way, factor_of, moments_of_body, row_slot
from finial.flight.uncertain import Drawn, Uncertain
from finial.mass.burn import motors_at
from finial.mass.properties import MassProperties


def mass_parts(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> MassParts:
    """Moments of every row about the tip, and of the motor at each knot of its curve."""
    times_s = vehicle.motor.times_s
    return MassParts(
        rows=np.array([_moments(row.body) for row in rows]),
        motor_times_s=times_s,
        motor=np.array([_moments(body) for body in motors_at(burning_motors(vehicle), times_s)]),
    )


def _moments(body: MassProperties) -> np.ndarray:
    return moments_of_body(body.mass_kg, body.centre_m, body.inertia_kg_m2)


def mass_draws(rows: tuple[Row, ...]) -> Iterator[Draw]:
    """Mass and station of every row between its ends, any value alike; and the motor's mass."""
    for index, row in enumerate(rows):
        mass, station = row.mass, row.station
        if mass.value > 0.0:
            yield factor_of(Uncertain(kind=Drawn.MASS, of=row.name), row_slot(index, "mass_factor"), mass)
        # Body x points forward: further aft is less x.
        yield Draw(
            number=Uncertain(kind=Drawn.STATION, of=row.name),
            slot=row_slot(index, "shift_x"),
            shape=EVEN,
            base=0.0,
            below=station.high - station.value,
            above=station.value - station.low,
            unit="m",
        )
    motor = Uncertain(kind=Drawn.MOTOR_MASS)
    yield either_way(motor, slots.MOTOR_MASS_FACTOR, MOTOR_MASS_SPREAD, "share", base=1.0, shape=BELL)


def offset_draws(vehicle: LoadedVehicle, rows: tuple[Row, ...]) -> Iterator[Draw]:
    """Items off the axis by their offsets' own tolerances: what moves the balance point aside."""
    offsets = {item.name: item.offset for item in vehicle.sheet.item}
    for index, row in enumerate(rows):
        if row.kind != "item":
            continue
        for part, side in zip(("shift_y", "shift_z"), offsets[row.name], strict=True):
            off = Uncertain(kind=Drawn.OFF_AXIS, of=row.name, side=part[-1])
            yield either_way(off, row_slot(index, part), side.tolerance, "m")
