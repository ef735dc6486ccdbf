"""Which of the builder's own motors lifts a model of some height, and how it leaves the rail."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.assemble.day import air_of_day, wind_at_ten_metres
from finial.assemble.flights.corners import Corner, rail_of
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.flight.example import plain_table
from finial.flight.fly import fly
from finial.flight.inputs import Air, FlightInputs, MassHistory, Rail, Thrust
from finial.flight.rail_exit import rail_exit
from finial.motors.curve import total_impulse
from finial.motors.lifting import thrust_to_weight
from finial.motors.motor import Motor
from finial.motors.warmth import thrust_drift


@dataclass(frozen=True, slots=True, kw_only=True)
class Launched:
    """What the launch of the sheet is to a model of any height."""

    rail: Rail
    """Its buttons as drawn: they stand elsewhere on a larger model."""
    base_m: float
    """Station of the base as drawn, where the nozzle ends and the model stands [m]."""
    air: Air
    drag_area_m2: float
    """Drag coefficient under thrust times area, as drawn [m^2]."""
    thrust_drift: float = 0.0
    """Share by which the cold or heat of the day may move the thrust [-]."""


def launched(vehicle: LoadedVehicle, table: AirTable) -> Launched | None:
    """Read off what the launch of the sheet is to the vehicle; ``None`` without a launch or rail buttons."""
    if "launch" in vehicle.files.missing or vehicle.sheet.guide is None:
        return None
    day = Corner(wind_m_s=wind_at_ten_metres(vehicle).value)
    axial = float(table.axial_power_on[0, :, 0].mean())
    return Launched(
        rail=rail_of(vehicle, day),
        base_m=vehicle.skin.length_m,
        air=air_of_day(vehicle, day.wind_m_s),
        drag_area_m2=axial * table.reference_area_m2,
        thrust_drift=thrust_drift(vehicle.sheet.launch.temperature.estimate(KnownBy.MEASURED)),
    )


def lifting_motor(
    motors: Sequence[Motor], dry: Estimate, wanted: float, *, drift: float = 0.0
) -> Motor | None:
    r"""Motor of the least impulse that lifts a mass with the wanted thrust to weight.

    .. math::  \frac{(1 - s) \, \bar F}{g \, (m + m_{motor})} \ge n

    Parameters
    ----------
    motors : sequence of Motor
        Those to choose from.
    dry : Estimate
        Mass without a motor, :math:`m` [kg]; its heavy end counts.
    wanted : float
        Thrust to weight that is wanted, :math:`n` [-].
    drift : float
        On top of the scatter from motor to motor in :math:`s`, by the cold or heat of the day [-].

    Returns
    -------
    motor : Motor or None
        ``None`` where none of them does.

    Raises
    ------
    OutsideRange
        If a number is not above zero.

    Notes
    -----
    As the check of thrust to weight takes it. Says nothing of how high it flies.

    References
    ----------
    .. [1] :func:`finial.motors.lifting.thrust_to_weight`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> small, large = (
    ...     Motor(name=name, diameter_m=0.038, length_m=0.2, loaded_mass_kg=0.3, propellant_mass_kg=0.1,
    ...           times_s=np.array([0.0, 0.01, 1.0, 1.01]), thrusts_n=np.array([0.0, push, push, 0.0]))
    ...     for name, push in (("small", 100.0), ("large", 400.0))
    ... )
    >>> [getattr(lifting_motor((large, small), exact(kilo), 5.0), "name", None) for kilo in (1.0, 2.0, 9.0)]
    ['small', 'large', None]
    """
    require_positive(mass_kg=dry.high, wanted=wanted)
    lifting = [one for one in motors if lifted(one, dry, drift).low >= wanted]
    return min(lifting, key=total_impulse, default=None)


def lifted(motor: Motor, dry: Estimate, drift: float = 0.0) -> Estimate:
    """Thrust over weight of a mass without a motor, with this one in it; see ``thrust_to_weight``."""
    return thrust_to_weight(motor, dry.shifted(motor.loaded_mass_kg), motor.thrust_spread + drift)


def speed_off_rail(
    launch: Launched, motor: Motor, lift_off: Estimate, balance_m: float, scale: float
) -> Estimate | None:
    """Speed of a scaled model when the rail no longer holds it.

    Parameters
    ----------
    launch : Launched
        Rail, air and drag.
    motor : Motor
        What it flies with, its nozzle at the base.
    lift_off : Estimate
        Mass, the motor with it [kg].
    balance_m : float
        Station of the balance point [m].
    scale : float
        Over what is drawn [-]: buttons stand, and drag grows, by it.

    Returns
    -------
    speed : Estimate or None
        With the thrust and mass as they are, and at their two bad and good ends [m/s]; ``None`` where it
        does not leave the rail in each.

    Raises
    ------
    OutsideRange
        If the numbers cannot be flown.

    Notes
    -----
    Flown by the flight's own code, straight along the rail: no force but thrust, weight, friction and drag.
    The balance point is held; on a rail it moves by millimetres.

    References
    ----------
    .. [1] :func:`finial.flight.rail_exit.rail_exit`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.flight.example import example_inputs
    >>> one = example_inputs()
    >>> motor = Motor(name="flat", diameter_m=0.054, length_m=0.3, loaded_mass_kg=1.0,
    ...               propellant_mass_kg=0.35, times_s=one.thrust.times_s,
    ...               thrusts_n=one.thrust.thrusts_n, thrust_spread=0.0)
    >>> launch = Launched(rail=one.rail, base_m=1.205, air=one.air, drag_area_m2=0.0073)
    >>> flown = speed_off_rail(launch, motor, exact(8.35), 0.73, 1.0)
    >>> left = rail_exit(fly(one), one.rail, one.air)
    >>> abs(flown.value / left.speed_m_s - 1.0) < 1e-3
    True
    """
    off = motor.thrust_spread + launch.thrust_drift
    corners = ((1.0, lift_off.value), (1.0 - off, lift_off.high), (1.0 + off, lift_off.low))
    speeds: list[float] = []
    for thrust, mass_kg in corners:
        inputs = _along_the_rail(launch, motor, mass_kg, balance_m, scale)
        inputs = replace(inputs, thrust=replace(inputs.thrust, thrusts_n=thrust * motor.thrusts_n))
        left = rail_exit(fly(inputs), inputs.rail, inputs.air)
        if left is None:
            return None
        speeds.append(left.speed_m_s)
    return Estimate(
        value=speeds[0],
        low=min(speeds),
        high=max(speeds),
        known_by=KnownBy.COMPUTED,
        method="flown along the rail at the ends of thrust and mass",
    )


def _along_the_rail(
    launch: Launched, motor: Motor, mass_kg: float, balance_m: float, scale: float
) -> FlightInputs:
    rail = launch.rail
    stations = {"fore_button_m": scale * rail.fore_button_m, "aft_button_m": scale * rail.aft_button_m}
    return FlightInputs(
        mass=_burning(motor, mass_kg, balance_m),
        thrust=Thrust(
            times_s=motor.times_s,
            thrusts_n=motor.thrusts_n,
            nozzle_station_m=scale * launch.base_m,
            ignition_delay_s=motor.ignition_delay_s,
        ),
        air_table=plain_table(drag_area_m2=scale**2 * launch.drag_area_m2),
        rail=replace(rail, **stations),
        air=launch.air,
        canopies=(),
        tumbling_drag_area_m2=scale**2 * launch.drag_area_m2,
    )


def _burning(motor: Motor, mass_kg: float, balance_m: float) -> MassHistory:
    """Let the propellant go as the impulse does; how it turns counts for nothing on a rail."""
    times, thrusts = motor.times_s, motor.thrusts_n
    pushed: NDArray[np.float64] = np.concatenate(
        [[0.0], np.cumsum(np.diff(times) * (thrusts[1:] + thrusts[:-1]) / 2)]
    )
    masses = mass_kg - motor.propellant_mass_kg * pushed / pushed[-1]
    centres = np.zeros((times.size, 3))
    centres[:, 0] = -balance_m
    turning = np.broadcast_to(mass_kg * balance_m**2 * np.eye(3), (times.size, 3, 3))
    return MassHistory(times_s=times, masses_kg=masses, centres_m=centres, inertias_kg_m2=turning)
