"""The nominal flight and its corners: what thrust, mass, drag and wind may do to it."""

import math
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cache

from finial.aero.fins.askew import askew_fins
from finial.aero.table.record import AirTable
from finial.assemble.air.sections import AirLoads
from finial.assemble.day import air_of_day, wind_at_ten_metres
from finial.assemble.flights.parted import PARTED, parted_area, parts_bare
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import Row, mass_history
from finial.assemble.vehicle.canopies import drag_area, nominal, reefed_kind
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import SummedThrust, line_of_thrust, thrust_spread
from finial.assemble.vehicle.usual import reach
from finial.core.kept_parts import kept
from finial.files.fields import MOST_RAIL_TILT_RAD
from finial.files.sheet_body import GuideEntry
from finial.files.sheet_recovery import CanopyEntry, EventEntry, RecoveryEntry
from finial.flight.fly import fly
from finial.flight.inputs import (
    AFTER_APOGEE_ALTITUDE,
    AFTER_LIFT_OFF,
    APOGEE,
    AirDepartures,
    CanopyEvent,
    FlightInputs,
    Rail,
    Thrust,
)
from finial.flight.trace import Trace
from finial.motors.motor import Motor

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
    """Factors on thrust, mass and drag, the wind at 10 m [m/s], how much more the rail leans [rad]."""

    thrust: float = 1.0
    mass: float = 1.0
    drag: float = 1.0
    wind_m_s: float
    canopy: float = 1.0
    lean: float = 0.0
    friction: float = 0.0
    """On top of the sheet's own, in parts of its tolerance."""


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
    inputs: Mapping[str, FlightInputs]
    """What each was flown with, by its name."""
    askew: Trace
    """The nominal flight with fins as far askew as they may stand: how it spins and leans, nothing else."""
    askew_inputs: FlightInputs

    @property
    def named(self) -> dict[str, Trace]:
        """All of them by name, the nominal one first."""
        return {name: getattr(self, name) for name in self.inputs}

    @property
    def every(self) -> tuple[Trace, ...]:
        """All of them, the nominal one first."""
        return tuple(self.named.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Aloft:
    """Flights that were begun, and what each flies with."""

    inputs: Mapping[str, FlightInputs]
    askew_inputs: FlightInputs
    traces: Mapping[str, Future[Trace]]

    def landed(self) -> Flights:
        """Wait for all of them."""
        flown = {name: one.result() for name, one in self.traces.items()}
        return Flights(inputs=self.inputs, askew_inputs=self.askew_inputs, **flown)


def fly_corners(vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads, mass: MassResult) -> Flights:
    """Fly the nominal vehicle and the four corners that bound what is judged."""
    return take_off(vehicle, rows, air, mass).landed()


def take_off(vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads, mass: MassResult) -> Aloft:
    """Begin the nominal flight and its four corners: whoever asks has the time until they land."""
    wind, lean = wind_at_ten_metres(vehicle), vehicle.sheet.launch.tilt.tolerance
    impulse = thrust_spread(vehicle)
    weight = mass.lift_off_mass
    drag = air.drag.power_off
    heavy, light = weight.high / weight.value, weight.low / weight.value
    draggy, slick = drag.high / drag.value, drag.low / drag.value
    corners = {
        "nominal": Corner(wind_m_s=wind.value),
        "weak": Corner(
            thrust=1 - impulse, mass=heavy, drag=draggy, wind_m_s=wind.value, lean=lean, friction=1.0
        ),
        "strong": Corner(
            thrust=1 + impulse, mass=light, drag=slick, wind_m_s=wind.value, lean=-lean, friction=-1.0
        ),
        "windy": Corner(
            thrust=1 + impulse,
            mass=light,
            drag=slick,
            wind_m_s=wind.high,
            canopy=1.1,
            lean=lean,
            friction=-1.0,
        ),
        "calm": Corner(
            thrust=1 - impulse,
            mass=heavy,
            drag=draggy,
            wind_m_s=wind.low,
            canopy=0.9,
            lean=-lean,
            friction=1.0,
        ),
    }

    inputs = {name: flight_inputs(vehicle, rows, air, corner) for name, corner in corners.items()}
    askew = replace(inputs["nominal"], trim=askew_trim(vehicle, air))
    pilots = _pilots()
    traces = {name: pilots.submit(fly, given) for name, given in (("askew", askew), *inputs.items())}
    return Aloft(inputs=inputs, askew_inputs=askew, traces=traces)


@cache
def _pilots() -> ThreadPoolExecutor:
    """Two threads that stay: the kernel lets go of the interpreter while it flies."""
    return ThreadPoolExecutor(max_workers=2, thread_name_prefix="flight")


def askew_trim(vehicle: LoadedVehicle, air: AirLoads) -> AirDepartures:
    """Let fins stand off as far as each may, twisting and pushing as chance adds them up."""
    found = askew_fins(air.fins, reach(vehicle.sheet.scatter, "fin_angle"))
    if found.station_m is None:
        return AirDepartures()
    return AirDepartures(side=(found.side, 0.0), side_station_m=found.station_m, roll_moment=found.roll)


def flight_inputs(
    vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads, corner: Corner
) -> FlightInputs:
    """One flight's numbers at a corner."""
    return FlightInputs(
        mass=mass_history(vehicle, rows, corner.mass),
        thrust=_thrust(vehicle.motor, line_of_thrust(vehicle), corner.thrust),
        air_table=_scaled_drag(air.result.table, corner.drag),
        rail=rail_of(vehicle, corner),
        air=air_of_day(vehicle, corner.wind_m_s),
        canopies=_canopies(vehicle.sheet.recovery, corner.canopy),
        tumbling_drag_area_m2=parted_area(vehicle).value,
    )


# Two corners push hard, and two feebly.
@kept(16)
def _thrust(motor: Motor, line: SummedThrust, factor: float) -> Thrust:
    return Thrust(
        times_s=motor.times_s,
        thrusts_n=motor.thrusts_n * factor,
        nozzle_station_m=line.nozzle_station_m,
        offset_m=line.offset_m,
        tilt_rad=line.tilt_rad,
        ignition_delay_s=motor.ignition_delay_s,
    )


# Two corners have the most drag, and two the least.
@kept(8)
def _scaled_drag(table: AirTable, factor: float) -> AirTable:
    if factor == 1.0:
        return table
    return replace(
        table,
        axial_power_on=table.axial_power_on * factor,
        axial_power_off=table.axial_power_off * factor,
    )


def rail_of(vehicle: LoadedVehicle, corner: Corner) -> Rail:
    """Rail of the launch, and where the buttons ride on it."""
    launch, guide, length = vehicle.sheet.launch, vehicle.sheet.guide, vehicle.skin.length_m
    buttons = sorted(button.value for button in guide.buttons) if guide else [0.5 * length, 0.95 * length]
    # A rail that leans by less than nothing leans to the other side; none leans to the level.
    tilt = launch.tilt.value + corner.lean
    return Rail(
        length_m=launch.rail_length.value,
        tilt_rad=min(abs(tilt), MOST_RAIL_TILT_RAD),
        bearing_rad=launch.toward.value + (math.pi if tilt < 0.0 else 0.0),
        fore_button_m=buttons[0],
        aft_button_m=buttons[-1],
        friction=_friction(guide, corner.friction),
        roll_rad=guide.at.value if guide else 0.0,
    )


def _friction(guide: GuideEntry | None, ends: float) -> float:
    """Friction coefficient on the rail: none where the sheet does not tell it."""
    if guide is None or guide.friction is None:
        return 0.0
    return guide.friction.value + ends * guide.friction.tolerance


@kept(16)
def _canopies(recovery: RecoveryEntry, factor: float) -> tuple[CanopyEvent, ...]:
    """Canopies of the sheet, and the bare opening at the top where there is one."""
    own = tuple(_canopy(canopy, factor) for canopy in recovery.canopy)
    return (*own, _BARE) if parts_bare(recovery) else own


def _canopy(canopy: CanopyEntry, factor: float) -> CanopyEvent:
    trigger, threshold = trigger_of(canopy.event)
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


def trigger_of(event: EventEntry) -> tuple[str, float]:
    """Trigger of an event of the sheet and its threshold: a height [m] or a time [s]."""
    if event.falling_through is not None:
        return AFTER_APOGEE_ALTITUDE, event.falling_through.value
    if event.after_lift_off is not None:
        return AFTER_LIFT_OFF, event.after_lift_off.value
    return APOGEE, 0.0
