"""What the day, the motor, the rail and the events may do differently."""

from collections.abc import Iterator

from finial.assemble.day import day_at_pad
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.motors import line_of_thrust, thrust_spread
from finial.assemble.vehicle.usual import reach
from finial.atmosphere.day import WEATHER_SPREAD
from finial.atmosphere.wind import terrain_named
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, Draw
from finial.flight.uncertain import Drawn, Uncertain


def day_draws(vehicle: Vehicle) -> Iterator[Draw]:
    """Wind, its bearing and its growth with height; temperature and pressure."""
    launch, scatter, day = vehicle.sheet.launch, vehicle.sheet.scatter, day_at_pad(vehicle)
    wind = launch.wind
    yield Draw(
        number=Uncertain(kind=Drawn.WIND),
        slot=slots.WIND_SPEED,
        shape=BELL,
        base=wind.value,
        below=min(wind.tolerance, wind.value / 2.0),
        above=wind.tolerance,
        unit="m/s",
    )
    yield _bell(
        Uncertain(kind=Drawn.WIND_DIRECTION),
        slots.WIND_TURN,
        reach(scatter, "wind_from", launch.wind_from),
        "rad",
    )
    # The exponent itself stays at zero or above: in a mixed layer the wind no longer grows.
    growth = reach(scatter, "wind_exponent")
    least = min(growth, terrain_named(launch.terrain).exponent)
    yield Draw(
        number=Uncertain(kind=Drawn.WIND_GROWTH),
        slot=slots.EXPONENT_CHANGE,
        shape=EVEN,
        base=0.0,
        below=least,
        above=growth,
        unit="exponent",
    )
    yield _even(Drawn.TEMPERATURE, slots.TEMPERATURE, day.temperature_k, launch.temperature.tolerance, "K")
    weather = launch.pressure.tolerance if launch.pressure else WEATHER_SPREAD * day.pressure_pa
    yield _even(Drawn.PRESSURE, slots.PRESSURE_AT_PAD, day.pressure_pa, weather, "Pa")


def motor_draws(vehicle: Vehicle) -> Iterator[Draw]:
    """Impulse, burn time, ignition, and where and along what the motor pushes."""
    motor, scatter, mount = vehicle.motor, vehicle.sheet.scatter, vehicle.sheet.motor
    given = vehicle.files.motor.ignition_delay
    delay, late = motor.ignition_delay_s, reach(scatter, "ignition_delay", given)
    yield _share(Drawn.IMPULSE, slots.THRUST_FACTOR, thrust_spread(vehicle))
    yield _share(Drawn.BURN_TIME, slots.BURN_TIME_FACTOR, reach(scatter, "burn_time"))
    yield Draw(
        number=Uncertain(kind=Drawn.IGNITION),
        slot=slots.IGNITION_DELAY,
        shape=EVEN,
        base=delay,
        below=min(delay, late),
        above=late,
        unit="s",
    )
    line, leaning = line_of_thrust(vehicle), reach(scatter, "thrust_line")
    for axis, side in enumerate("yz"):
        lean = Uncertain(kind=Drawn.THRUST_LEAN, side=side)
        yield _bell(lean, slots.LEAN + axis, leaning, "rad", line.tilt_rad[axis])
        aside = reach(scatter, "thrust_offset", mount.offset[axis])
        off = Uncertain(kind=Drawn.THRUST_ASIDE, side=side)
        yield _bell(off, slots.NOZZLE_OFFSET + axis, aside, "m", line.offset_m[axis])


def rail_draws(vehicle: Vehicle) -> Iterator[Draw]:
    """How the rail stands."""
    launch, scatter = vehicle.sheet.launch, vehicle.sheet.scatter
    tilt = reach(scatter, "rail_tilt", launch.tilt)
    toward = reach(scatter, "rail_toward", launch.toward)
    yield _even(Drawn.RAIL_TILT, slots.RAIL_TILT, launch.tilt.value, tilt, "rad")
    yield _even(Drawn.RAIL_BEARING, slots.RAIL_BEARING, launch.toward.value, toward, "rad")


def _bell(number: Uncertain, slot: int, ends: float, unit: str, base: float = 0.0) -> Draw:
    return Draw(number=number, slot=slot, shape=BELL, base=base, below=ends, above=ends, unit=unit)


def _share(kind: Drawn, slot: int, ends: float) -> Draw:
    return Draw(
        number=Uncertain(kind=kind), slot=slot, shape=BELL, base=1.0, below=ends, above=ends, unit="share"
    )


def _even(kind: Drawn, slot: int, base: float, ends: float, unit: str) -> Draw:
    return Draw(
        number=Uncertain(kind=kind), slot=slot, shape=EVEN, base=base, below=ends, above=ends, unit=unit
    )
