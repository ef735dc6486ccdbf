"""Motors of a vehicle, each in its place, and the line that their thrust acts along together."""

import math
from dataclasses import dataclass

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import KnownBy
from finial.core.kept_parts import kept
from finial.files.fields import across_m
from finial.files.sheet_motor import MotorTubeEntry
from finial.mass.burn import Burning, MotorBody
from finial.motors.curve import checked_curve, total_impulse
from finial.motors.motor import Motor
from finial.motors.warmth import thrust_drift

WEAK_SHARE = 0.1
"""Share of the greatest thrust below which it no longer matters where it pushes [-]; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorPlace:
    """One motor in its mount."""

    motor: Motor
    nozzle_station_m: float
    offset_m: tuple[float, float]
    """Its aft end off the axis (y, z) [m]."""
    tilt_rad: float
    toward_rad: float
    mount: MotorTubeEntry | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SummedThrust:
    """Where the thrust of all motors together pushes, and along what, weighted by their impulse."""

    nozzle_station_m: float
    offset_m: tuple[float, float]
    tilt_rad: tuple[float, float]
    """Leaning towards y and z [rad]."""


def thrust_spread(vehicle: LoadedVehicle) -> float:
    """Share by which thrust may differ from its curve, on the sheet's day [-]."""
    air = vehicle.sheet.launch.temperature.estimate(KnownBy.MEASURED)
    return vehicle.motor.thrust_spread + thrust_drift(air)


def motor_places(vehicle: LoadedVehicle) -> tuple[MotorPlace, ...]:
    """Every motor of a vehicle, the sheet's first one first."""
    mount = vehicle.sheet.motor
    first = MotorPlace(
        motor=vehicle.motors[0],
        nozzle_station_m=mount.nozzle_station.value,
        offset_m=across_m(mount.offset),
        tilt_rad=mount.tilt.value,
        toward_rad=mount.toward.value,
        mount=mount.mount,
    )
    more = (
        MotorPlace(
            motor=motor,
            nozzle_station_m=(entry.nozzle_station or mount.nozzle_station).value,
            offset_m=across_m(entry.offset),
            tilt_rad=entry.tilt.value,
            toward_rad=entry.toward.value,
            mount=entry.mount,
        )
        for motor, entry in zip(vehicle.motors[1:], mount.more, strict=True)
    )
    return first, *more


def burning_motors(vehicle: LoadedVehicle) -> tuple[Burning, ...]:
    """Every motor as a body with its curve, counted from the first ignition of all."""
    return _burning(motor_places(vehicle), vehicle.motor.ignition_delay_s)


@kept(16)
def _burning(places: tuple[MotorPlace, ...], first_s: float) -> tuple[Burning, ...]:
    return tuple(
        Burning(
            body=MotorBody(
                diameter_m=place.motor.diameter_m,
                length_m=place.motor.length_m,
                loaded_mass_kg=place.motor.loaded_mass_kg,
                propellant_mass_kg=place.motor.propellant_mass_kg,
                nozzle_station_m=place.nozzle_station_m,
                offset_m=place.offset_m,
                tilt_rad=place.tilt_rad,
                toward_rad=place.toward_rad,
            ),
            times_s=place.motor.times_s + (place.motor.ignition_delay_s - first_s),
            thrusts_n=checked_curve(place.motor)[1],
        )
        for place in places
    )


def line_of_thrust(vehicle: LoadedVehicle) -> SummedThrust:
    """Line of the summed thrust; exact while all motors keep their shares of it, as equal ones do."""
    return _whole_line(motor_places(vehicle))


# Every corner of the flight pushes along one line.
@kept(16)
def _whole_line(places: tuple[MotorPlace, ...]) -> SummedThrust:
    return _line(places)


def line_without(vehicle: LoadedVehicle, number: int) -> SummedThrust:
    """Line of the thrust of a cluster of which one motor does not light, counted from 0."""
    places = motor_places(vehicle)
    return _line((*places[:number], *places[number + 1 :]))


def thrust_wander_m(vehicle: LoadedVehicle) -> float:
    r"""How far the summed thrust strays from its line while it burns [m]; 0 of motors in step.

    .. math::  \max_t \left| \frac{\sum_i F_i(t) \, r_i}{\sum_i F_i(t)} - r \right|,
               \qquad \sum_i F_i(t) \ge 0.1 \max_t \sum_i F_i
    """
    return _wander_m(motor_places(vehicle), vehicle.motor.ignition_delay_s)


@kept(16)
def _wander_m(places: tuple[MotorPlace, ...], first_s: float) -> float:
    burning = _burning(places, first_s)
    knots = np.unique(np.concatenate([one.times_s for one in burning]))
    thrusts = np.array([np.interp(knots, one.times_s, one.thrusts_n, left=0.0, right=0.0) for one in burning])
    whole = thrusts.sum(axis=0)
    pushing = whole >= WEAK_SHARE * whole.max()
    at = thrusts[:, pushing].T @ np.array([one.body.offset_m for one in burning])
    strayed = at / whole[pushing, None] - np.array(_whole_line(places).offset_m)
    return float(np.hypot(strayed[:, 0], strayed[:, 1]).max())


def _line(places: tuple[MotorPlace, ...]) -> SummedThrust:
    impulse = np.array([total_impulse(place.motor) for place in places])
    share = impulse / impulse.sum()
    lean = [
        (
            math.sin(place.tilt_rad) * math.cos(place.toward_rad),
            math.sin(place.tilt_rad) * math.sin(place.toward_rad),
        )
        for place in places
    ]
    tilt, offset = share @ np.array(lean), share @ np.array([place.offset_m for place in places])
    return SummedThrust(
        nozzle_station_m=float(share @ [place.nozzle_station_m for place in places]),
        offset_m=(float(offset[0]), float(offset[1])),
        tilt_rad=(math.asin(tilt[0]), math.asin(tilt[1])),
    )
