"""What a flight accepts; everything else is refused with the slip it likely is."""

import math
from typing import cast

import numpy as np
from numpy.typing import NDArray

from finial.aero.table.record import AirTable
from finial.core.errors import OutsideRange
from finial.core.kept_parts import kept
from finial.core.record_fields import field_names, field_values
from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    AFTER_LIFT_OFF,
    APOGEE,
    Air,
    AirDepartures,
    CanopyEvent,
    FlightInputs,
    MassHistory,
    Rail,
    Start,
    Thrust,
)
from finial.flight.kernel.layout import MAX_CANOPIES


def refuse_bad_inputs(inputs: FlightInputs) -> None:
    """Raise unless the inputs can be flown.

    Parameters
    ----------
    inputs : FlightInputs
        One flight.

    Raises
    ------
    OutsideRange
        If a number is not finite, an array has the wrong shape, or a value makes no sense.
    """
    _refuse_not_finite(inputs, "inputs")
    _refuse_mass(inputs.mass)
    _refuse_thrust(inputs.thrust)
    _refuse_table(inputs.air_table)
    _refuse_rail(inputs.rail, inputs.thrust.nozzle_station_m)
    _refuse_air(inputs.air)
    _refuse_canopies(inputs.canopies)
    if inputs.tumbling_drag_area_m2 < 0.0:
        raise OutsideRange(f"tumbling drag area {inputs.tumbling_drag_area_m2} m2: accepted is 0 or more")
    if not (inputs.trim.axial_factor >= 0.0 and inputs.trim.across_factor >= 0.0):
        raise OutsideRange("trim: factors on the air loads must be 0 or more")
    if not inputs.gravity_m_s2 >= 0.0:
        raise OutsideRange(f"gravity {inputs.gravity_m_s2} m/s2: accepted is 0 or more")


def refuse_bad_start(start: Start) -> None:
    """Raise unless a flight can begin from this state.

    Parameters
    ----------
    start : Start
        The state.

    Raises
    ------
    OutsideRange
        If a number is not finite, an array has the wrong shape, or the quaternion has no length.
    """
    _refuse_not_finite(start, "start")
    for name, size in (("position_m", 3), ("velocity_m_s", 3), ("quaternion", 4), ("rates_rad_s", 3)):
        if getattr(start, name).shape != (size,):
            raise OutsideRange(f"start.{name}: accepted are {size} numbers")
    if not np.linalg.norm(start.quaternion) > 0.0:
        raise OutsideRange("start.quaternion has no length: (1, 0, 0, 0) turns nothing")


def _refuse_not_finite(record: object, path: str) -> None:
    if type(record) in _PARTS and _is_sound(record):
        return
    if names := field_names(type(record)):
        for name, part in zip(names, field_values(record), strict=True):
            _refuse_not_finite(part, f"{path}.{name}")
    elif isinstance(record, tuple):
        for index, part in enumerate(cast("tuple[object, ...]", record)):
            _refuse_not_finite(part, f"{path}[{index}]")
    elif not _is_finite(record):
        raise OutsideRange(f"{path} holds something that is not a finite number")


_PARTS = frozenset({AirTable, MassHistory, Thrust, Air, Rail, CanopyEvent, AirDepartures})


# One table, one thrust and one history of the mass are flown at many corners.
@kept(64)
def _is_sound(record: object) -> bool:
    return all(map(_is_sound_part, field_values(record)))


def _is_sound_part(part: object) -> bool:
    if isinstance(part, tuple):
        return all(map(_is_finite, cast("tuple[object, ...]", part)))
    return _is_finite(part)


def _is_finite(value: object) -> bool:
    if isinstance(value, float | int):
        return math.isfinite(value)
    return not isinstance(value, np.ndarray) or bool(np.isfinite(cast("NDArray[np.float64]", value)).all())


# What is refused is looked at anew each time it comes.
@kept(16)
def _refuse_mass(mass: MassHistory) -> None:
    count = mass.times_s.size
    shapes = (mass.masses_kg.shape, mass.centres_m.shape, mass.inertias_kg_m2.shape)
    if count < 1 or shapes != ((count,), (count, 3), (count, 3, 3)):
        raise OutsideRange(
            f"mass history: {count} times with shapes {shapes}: accepted are (n,), (n, 3), (n, 3, 3)"
        )
    if np.any(np.diff(mass.times_s) <= 0.0):
        raise OutsideRange("mass history: the times must rise strictly")
    if np.any(mass.masses_kg <= 0.0):
        raise OutsideRange("mass history: every mass must be above 0 kg")
    if np.any(np.linalg.eigvalsh(mass.inertias_kg_m2) <= 0.0):
        raise OutsideRange(
            "mass history: every inertia tensor must have three principal values above 0 kg m2"
        )


@kept(16)
def _refuse_thrust(thrust: Thrust) -> None:
    if thrust.times_s.size < 2 or thrust.times_s.shape != thrust.thrusts_n.shape:
        raise OutsideRange("thrust: two columns of the same length and two rows or more are needed")
    if np.any(np.diff(thrust.times_s) <= 0.0) or np.any(thrust.thrusts_n < 0.0):
        raise OutsideRange("thrust: the times must rise strictly and no thrust may be below 0 N")
    if thrust.ignition_delay_s < 0.0:
        raise OutsideRange(f"ignition delay {thrust.ignition_delay_s} s: accepted is 0 or more")
    if max(map(abs, thrust.tilt_rad)) > 0.5:
        raise OutsideRange(f"thrust line leaning by {thrust.tilt_rad} rad: accepted is up to 0.5; degrees?")


@kept(16)
def _refuse_table(table: AirTable) -> None:
    shape = (table.alpha_rad.size, table.roll_rad.size, table.mach.size)
    named = ("along", "across", "along_moment", "across_moment", "roll_moment")
    for name in (*named, "axial_power_on", "axial_power_off"):
        if getattr(table, name).shape != shape:
            raise OutsideRange(f"air table: {name} has shape {getattr(table, name).shape}, not {shape}")
    for name in ("pitch_damping", "yaw_damping", "yaw_by_pitch", "roll_damping"):
        given = getattr(table, name)
        if given is not None and given.shape != shape[2:]:
            raise OutsideRange(f"air table: {name} has shape {getattr(table, name).shape}, not {shape[2:]}")
    for name in ("alpha_rad", "roll_rad", "mach"):
        if np.any(np.diff(getattr(table, name)) <= 0.0):
            raise OutsideRange(f"air table: {name} must rise strictly")
    if shape[0] < 2 or table.alpha_rad[0] != 0.0 or not math.isclose(table.alpha_rad[-1], math.pi):
        raise OutsideRange("air table: alpha_rad must run from 0 to pi; was it given in degrees?")
    full_turn = table.roll_rad[0] == 0.0 and math.isclose(table.roll_rad[-1], 2.0 * math.pi)
    if shape[1] > 1 and not full_turn:
        raise OutsideRange("air table: roll_rad must run from 0 to 2 pi with both ends given")
    if not (table.reference_area_m2 > 0.0 and table.width_m > 0.0):
        raise OutsideRange("air table: reference area and width must be above 0")


def _refuse_rail(rail: Rail, nozzle_station_m: float) -> None:
    stand = nozzle_station_m if rail.stand_m is None else rail.stand_m
    if not rail.fore_button_m < rail.aft_button_m:
        raise OutsideRange(
            f"rail buttons at {rail.fore_button_m} and {rail.aft_button_m} m aft of the tip: "
            "the fore button must be nearer to the tip"
        )
    if rail.length_m <= stand - rail.fore_button_m:
        raise OutsideRange(
            f"a rail of {rail.length_m} m ends below the fore button, which stands "
            f"{stand - rail.fore_button_m:.3f} m above its foot"
        )
    if not 0.0 <= rail.tilt_rad < math.pi / 2.0:
        raise OutsideRange(f"rail tilt {rail.tilt_rad} rad from vertical: accepted are 0 to pi/2; degrees?")
    if rail.friction < 0.0:
        raise OutsideRange(f"rail friction {rail.friction}: accepted is 0 or more")


@kept(16)
def _refuse_air(air: Air) -> None:
    count = air.wind_heights_m.size
    winds = [air.wind_east_m_s, air.wind_north_m_s]
    if air.wind_up_m_s is not None:
        winds.append(air.wind_up_m_s)
    if count < 1 or any(wind.shape != (count,) for wind in winds):
        raise OutsideRange("wind: every column must be as long as the heights")
    if np.any(np.diff(air.wind_heights_m) <= 0.0):
        raise OutsideRange("wind: the heights must rise strictly")
    if air.pressure_pa < 0.0 or air.temperature_k <= 0.0:
        raise OutsideRange(
            f"air at the pad: {air.pressure_pa} Pa, {air.temperature_k} K; was it given in degC?"
        )


@kept(16)
def _refuse_canopies(canopies: tuple[CanopyEvent, ...]) -> None:
    if len(canopies) > MAX_CANOPIES:
        raise OutsideRange(f"{len(canopies)} canopies: accepted are up to {MAX_CANOPIES}")
    for canopy in canopies:
        _refuse_canopy(canopy)


def _refuse_canopy(canopy: CanopyEvent) -> None:
    if canopy.trigger not in (APOGEE, AFTER_APOGEE_ALTITUDE, AFTER_LIFT_OFF):
        raise OutsideRange(
            f"canopy {canopy.name}: trigger {canopy.trigger!r}; accepted are "
            f"{APOGEE!r}, {AFTER_APOGEE_ALTITUDE!r}, {AFTER_LIFT_OFF!r}"
        )
    if canopy.delay_s < 0.0 or (canopy.trigger == AFTER_LIFT_OFF and canopy.threshold < 0.0):
        raise OutsideRange(f"canopy {canopy.name}: times must be 0 s or more")
    if not (canopy.drag_area_m2 > 0.0 and canopy.diameter_m > 0.0 and canopy.fill_constant > 0.0):
        raise OutsideRange(f"canopy {canopy.name}: drag area, diameter and filling constant must be above 0")
