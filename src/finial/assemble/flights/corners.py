"""The nominal flight and its corners: what thrust, mass, drag and wind may do to it."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from finial.aero.table.record import AirTable
from finial.assemble.air.sections import AirLoads
from finial.assemble.day import air_of_day, wind_at_ten_metres
from finial.assemble.flights.parted import PARTED, parted_area, parts_bare
from finial.assemble.flights.results import CanopyOpening, FlightResult
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import Row, mass_history
from finial.assemble.vehicle.canopies import drag_area, nominal, reefed_kind
from finial.assemble.vehicle.loading import Vehicle
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_recovery import CanopyEntry, EventEntry, RecoveryEntry
from finial.flight.fly import fly
from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    AFTER_LIFT_OFF,
    APOGEE,
    CanopyEvent,
    FlightInputs,
    Rail,
    Thrust,
)
from finial.flight.trace import EventKind, Trace
from finial.motors.curve import average_thrust, letter_class, total_impulse

FREE_TO_TURN = EventKind.FORE_LEAVES
"""From here on one button alone steadies it, and the wind can turn it: the speed that is judged."""
_BARE = CanopyEvent(
    name=PARTED,
    trigger=APOGEE,
    threshold=0.0,
    delay_s=0.0,
    drag_area_m2=1e-6,
    fill_constant=1.0,
    diameter_m=0.01,
    mass_kg=0.0,
)
"""Opens the vehicle at the top and adds no drag: what falls then is the pieces alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """Factors on thrust, mass and drag, and the wind at 10 m [m/s]."""

    thrust: float = 1.0
    mass: float = 1.0
    drag: float = 1.0
    wind_m_s: float
    canopy: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Flights:
    """Traces of the nominal flight and of the corners around it."""

    nominal: Trace
    weak: Trace
    """Little thrust, heavy, draggy."""
    strong: Trace
    windy: Trace
    """Strong wind and a canopy that carries."""
    calm: Trace

    @property
    def every(self) -> tuple[Trace, ...]:
        """All of them, the nominal one first."""
        return self.nominal, self.weak, self.strong, self.windy, self.calm


def fly_corners(vehicle: Vehicle, rows: tuple[Row, ...], air: AirLoads, mass: MassResult) -> Flights:
    """Fly the nominal vehicle and the four corners that bound what is judged."""
    wind = wind_at_ten_metres(vehicle)
    impulse = vehicle.motor.thrust_spread
    weight = mass.lift_off_mass
    drag = air.drag.power_off
    heavy, light = weight.high / weight.value, weight.low / weight.value
    draggy, slick = drag.high / drag.value, drag.low / drag.value
    corners = {
        "nominal": Corner(wind_m_s=wind.value),
        "weak": Corner(thrust=1 - impulse, mass=heavy, drag=draggy, wind_m_s=wind.value),
        "strong": Corner(thrust=1 + impulse, mass=light, drag=slick, wind_m_s=wind.value),
        "windy": Corner(thrust=1 + impulse, mass=light, drag=slick, wind_m_s=wind.high, canopy=1.1),
        "calm": Corner(thrust=1 - impulse, mass=heavy, drag=draggy, wind_m_s=wind.low, canopy=0.9),
    }

    def flown(corner: Corner) -> Trace:
        return fly(flight_inputs(vehicle, rows, air, corner))

    # The kernel lets go of the interpreter while it flies, so the next corner is made ready meanwhile.
    with ThreadPoolExecutor(max_workers=2) as pool:
        return Flights(**dict(zip(corners, pool.map(flown, corners.values()), strict=True)))


def flight_inputs(vehicle: Vehicle, rows: tuple[Row, ...], air: AirLoads, corner: Corner) -> FlightInputs:
    """One flight's numbers at a corner."""
    motor, mount = vehicle.motor, vehicle.sheet.motor
    return FlightInputs(
        mass=mass_history(vehicle, rows, corner.mass),
        thrust=Thrust(
            times_s=motor.times_s,
            thrusts_n=motor.thrusts_n * corner.thrust,
            nozzle_station_m=mount.nozzle_station.value,
            offset_m=(mount.offset[0].value, mount.offset[1].value),
            ignition_delay_s=motor.ignition_delay_s,
        ),
        air_table=_scaled_drag(air.result.table, corner.drag),
        rail=_rail(vehicle),
        air=air_of_day(vehicle, corner.wind_m_s),
        canopies=_canopies(vehicle.sheet.recovery, corner.canopy),
        tumbling_drag_area_m2=parted_area(vehicle).value,
    )


def _scaled_drag(table: AirTable, factor: float) -> AirTable:
    if factor == 1.0:
        return table
    return replace(
        table,
        axial_power_on=table.axial_power_on * factor,
        axial_power_off=table.axial_power_off * factor,
    )


def _rail(vehicle: Vehicle) -> Rail:
    launch, guide, length = vehicle.sheet.launch, vehicle.sheet.guide, vehicle.skin.length_m
    buttons = sorted(button.value for button in guide.buttons) if guide else [0.5 * length, 0.95 * length]
    return Rail(
        length_m=launch.rail_length.value,
        tilt_rad=launch.tilt.value,
        bearing_rad=launch.toward.value,
        fore_button_m=buttons[0],
        aft_button_m=buttons[-1],
        roll_rad=guide.at.value if guide else 0.0,
    )


def _canopies(recovery: RecoveryEntry, factor: float) -> tuple[CanopyEvent, ...]:
    """Canopies of the sheet, and the bare opening at the top where there is one."""
    own = tuple(_canopy(canopy, factor) for canopy in recovery.canopy)
    return (*own, _BARE) if parts_bare(recovery) else own


def _canopy(canopy: CanopyEntry, factor: float) -> CanopyEvent:
    trigger, threshold = _trigger(canopy.event)
    return CanopyEvent(
        name=canopy.name,
        trigger=trigger,
        threshold=threshold,
        delay_s=canopy.delay.value,
        drag_area_m2=drag_area(canopy).value * factor,
        fill_constant=reefed_kind(canopy).fill_constant.value,
        diameter_m=nominal(canopy).value,
        mass_kg=canopy.mass.value,
    )


def _trigger(event: EventEntry) -> tuple[str, float]:
    if event.falling_through is not None:
        return AFTER_APOGEE_ALTITUDE, event.falling_through.value
    if event.after_lift_off is not None:
        return AFTER_LIFT_OFF, event.after_lift_off.value
    return APOGEE, 0.0


def flight_result(vehicle: Vehicle, mass: MassResult, flights: Flights) -> FlightResult:
    """Numbers of the flight that are judged, each between its corners."""
    motor, trace = vehicle.motor, flights.nominal
    impulse = total_impulse(motor)
    exit_ = trace.event(FREE_TO_TURN)
    landed = trace.positions_m[-1]
    return FlightResult(
        trace=trace,
        lift_off_mass_kg=mass.lift_off.mass_kg,
        motor_name=motor.name,
        impulse_n_s=impulse,
        motor_letter=letter_class(impulse),
        average_thrust_n=average_thrust(motor),
        thrust_to_weight=_thrust_to_weight(vehicle, mass),
        rail_exit_speed=_between(flights, lambda trace: _event_speed(trace, FREE_TO_TURN)),
        rail_exit_alpha_rad=_at(trace, trace.alphas_rad, exit_.time_s) if exit_ else 0.0,
        apogee_agl=_between(flights, lambda trace: float(trace.positions_m[:, 2].max())),
        max_speed=_between(flights, _top_speed),
        max_mach=max(float(trace.machs.max()) for trace in (flights.nominal, flights.strong, flights.windy)),
        max_acceleration_m_s2=float(np.abs(trace.accelerations_m_s2[_powered(trace)]).max()),
        max_dynamic_pressure_pa=float(trace.dynamic_pressures_pa.max()),
        flight_time_s=float(trace.times_s[-1]),
        landing_east_m=float(landed[0]),
        landing_north_m=float(landed[1]),
        drift=_between(flights, lambda trace: float(np.hypot(*trace.positions_m[-1, :2]))),
        openings=tuple(_opening(flights, canopy.name) for canopy in vehicle.sheet.recovery.canopy),
    )


def _opening(flights: Flights, canopy: str) -> CanopyOpening:
    """Height at which a canopy stands open, if it does so in every flight."""
    if any(trace.event(EventKind.OPEN, canopy) is None for trace in flights.every):
        return CanopyOpening(canopy=canopy, height_agl=None)
    return CanopyOpening(
        canopy=canopy, height_agl=_between(flights, lambda trace: _open_height(trace, canopy))
    )


def _open_height(trace: Trace, canopy: str) -> float:
    event = trace.event(EventKind.OPEN, canopy)
    return event.height_agl_m if event else 0.0


def _thrust_to_weight(vehicle: Vehicle, mass: MassResult) -> Estimate:
    thrust, spread = average_thrust(vehicle.motor), vehicle.motor.thrust_spread
    weight = mass.lift_off_mass
    ratio = thrust / (weight.value * STANDARD_GRAVITY_M_S2)
    return Estimate(
        value=ratio,
        low=ratio * (1 - spread) * weight.value / weight.high,
        high=ratio * (1 + spread) * weight.value / weight.low,
        known_by=KnownBy.COMPUTED,
        method="average thrust over weight at lift-off",
    )


def _between(flights: Flights, measure) -> Estimate:
    values = [measure(trace) for trace in flights.every]
    return Estimate(
        value=values[0],
        low=min(values),
        high=max(values),
        known_by=KnownBy.COMPUTED,
        method="flights at the corners of thrust, mass, drag and wind",
    )


def _event_speed(trace: Trace, kind: EventKind) -> float:
    event = trace.event(kind)
    return event.speed_m_s if event else 0.0


def _top_speed(trace: Trace) -> float:
    return float(np.linalg.norm(trace.velocities_m_s[_before_canopy(trace)], axis=1).max())


def _before_canopy(trace: Trace) -> np.ndarray:
    """Mark the samples up to apogee."""
    apogee = trace.event(EventKind.APOGEE)
    return trace.times_s <= (apogee.time_s if apogee else trace.times_s[-1])


def _powered(trace: Trace) -> np.ndarray:
    burnout = trace.event(EventKind.BURNOUT)
    return trace.times_s <= (burnout.time_s if burnout else trace.times_s[-1])


def _at(trace: Trace, values: np.ndarray, time_s: float) -> float:
    return float(np.interp(time_s, trace.times_s, values))
