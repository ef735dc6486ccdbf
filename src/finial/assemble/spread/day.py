"""What the day, the motor, the rail and the events may do differently."""

from collections.abc import Iterator

from finial.assemble.day import day_at_pad
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import line_of_thrust, thrust_spread
from finial.assemble.vehicle.usual import reach
from finial.atmosphere.day import WEATHER_SPREAD
from finial.atmosphere.wind import terrain_named
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, Draw, either_way
from finial.flight.uncertain import Drawn, Uncertain


def day_draws(vehicle: LoadedVehicle) -> Iterator[Draw]:
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
    turned = reach(scatter, "wind_from", launch.wind_from)
    yield either_way(Uncertain(kind=Drawn.WIND_DIRECTION), slots.WIND_TURN, turned, "rad", shape=BELL)
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
    warmth, kelvin = Uncertain(kind=Drawn.TEMPERATURE), launch.temperature.tolerance
    yield either_way(warmth, slots.TEMPERATURE, kelvin, "K", base=day.temperature_k)
    weather = launch.pressure.tolerance if launch.pressure else WEATHER_SPREAD * day.pressure_pa
    pressure = Uncertain(kind=Drawn.PRESSURE)
    yield either_way(pressure, slots.PRESSURE_AT_PAD, weather, "Pa", base=day.pressure_pa)


def motor_draws(vehicle: LoadedVehicle) -> Iterator[Draw]:
    """Impulse, burn time, ignition, and where and along what the motor pushes."""
    motor, scatter, mount = vehicle.motor, vehicle.sheet.scatter, vehicle.sheet.motor
    given = vehicle.files.motor.ignition_delay
    delay, late = motor.ignition_delay_s, reach(scatter, "ignition_delay", given)
    for kind, slot, ends in (
        (Drawn.IMPULSE, slots.THRUST_FACTOR, thrust_spread(vehicle)),
        (Drawn.BURN_TIME, slots.BURN_TIME_FACTOR, reach(scatter, "burn_time")),
    ):
        yield either_way(Uncertain(kind=kind), slot, ends, "share", base=1.0, shape=BELL)
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
        yield either_way(lean, slots.LEAN + axis, leaning, "rad", base=line.tilt_rad[axis], shape=BELL)
        aside = reach(scatter, "thrust_offset", mount.offset[axis])
        off = Uncertain(kind=Drawn.THRUST_ASIDE, side=side)
        yield either_way(off, slots.NOZZLE_OFFSET + axis, aside, "m", base=line.offset_m[axis], shape=BELL)


def rail_draws(vehicle: LoadedVehicle) -> Iterator[Draw]:
    """How the rail stands, and how it rubs where the sheet tells that."""
    launch, scatter, guide = vehicle.sheet.launch, vehicle.sheet.scatter, vehicle.sheet.guide
    tilt = reach(scatter, "rail_tilt", launch.tilt)
    toward = reach(scatter, "rail_toward", launch.toward)
    leans, looks = Uncertain(kind=Drawn.RAIL_TILT), Uncertain(kind=Drawn.RAIL_BEARING)
    yield either_way(leans, slots.RAIL_TILT, tilt, "rad", base=launch.tilt.value)
    yield either_way(looks, slots.RAIL_BEARING, toward, "rad", base=launch.toward.value)
    if guide is not None and guide.friction is not None:
        rubs = Uncertain(kind=Drawn.RAIL_FRICTION)
        ends, value = guide.friction.tolerance, guide.friction.value
        yield either_way(rubs, slots.RAIL_FRICTION, ends, "coefficient", base=value)
