"""The nominal flight and its corners, as the numbers that are judged."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from finial.aero.body import BodyAir
from finial.aero.galloping import STEEPER, Galloping, galloping
from finial.aero.lopsided_vortices import lopsided_from, tip_half_angle
from finial.assemble.air.sections import AirLoads
from finial.assemble.flights.corners import Flights, trigger_of
from finial.assemble.flights.one_unlit import one_unlit
from finial.assemble.flights.results import (
    CanopyOpening,
    Deployment,
    DeploymentKind,
    FlightResult,
    LeavingRail,
    Loss,
    LostFlight,
    Spinning,
    Swinging,
)
from finial.assemble.flights.thrust_line import thrust_line
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import Row
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import thrust_spread
from finial.atmosphere.wind import WindProfile
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.files.sheet_recovery import EventEntry
from finial.flight.extremes import extremes
from finial.flight.gallops import galloping_angles
from finial.flight.rail_exit import RailExit, lean_by_play, rail_exit, two_button_travel, wind_angle
from finial.flight.steadiness import spin, steady_angle
from finial.flight.swing import Swing, least_wavelength_m, swing
from finial.flight.timing import trigger_time
from finial.flight.trace import EventKind, Trace
from finial.flight.under_thrust import thrust_ends, turned_over, under_thrust
from finial.motors.curve import average_thrust, letter_class, total_impulse
from finial.motors.lifting import thrust_to_weight

METHOD = "flights at the corners of thrust, mass, drag and wind"
MOST_RATIO = 100.0
"""Stands for a roll rate without any pitch frequency to compare with [-]."""


def flight_result(
    vehicle: LoadedVehicle, rows: tuple[Row, ...], mass: MassResult, air: AirLoads, flights: Flights
) -> FlightResult:
    """Numbers of the flight that are judged, each between its corners."""
    motor, trace = vehicle.motor, flights.nominal
    impulse = total_impulse(motor)
    stood_out = {name: extremes(one) for name, one in flights.named.items()}
    nominal = stood_out["nominal"]
    landed = trace.positions_m[-1]
    chord = max((fin.planform.mean_chord_m for fin in air.fins), default=0.0)
    return FlightResult(
        trace=trace,
        wind_over=_wind(flights),
        lift_off_mass_kg=mass.lift_off.mass_kg,
        motor_name=motor.name,
        impulse_n_s=impulse,
        motor_letter=letter_class(impulse),
        average_thrust_n=average_thrust(motor),
        thrust_to_weight=thrust_to_weight(motor, mass.lift_off_mass, thrust_spread(vehicle)),
        has_guide=vehicle.sheet.guide is not None,
        rail=_leaving_rail(vehicle, flights),
        thrust_line=thrust_line(vehicle, rows, air, flights),
        unlit=one_unlit(vehicle, flights),
        lean=_over(flights, _largest_lean),
        spinning=_spinning(flights),
        swinging=_swinging(flights),
        least_wavelength_m=least_wavelength_m(chord, vehicle.body.width_m),
        longest_chord_m=chord,
        galloping_angle=_galloping(vehicle, flights),
        lopsided_angle=lopsided_from(
            tip_half_angle(vehicle.body), vehicle.body.length_m / vehicle.body.width_m
        ),
        steady_angle=_steady(flights),
        lost=tuple(_lost(flights)),
        deployments=tuple(_deployments(vehicle, flights)),
        apogee_agl=_between([float(one.positions_m[:, 2].max()) for one in flights.every]),
        max_speed=_between([one.max_speed.value for one in stood_out.values()]),
        max_mach=max(one.max_mach.value for one in stood_out.values()),
        max_acceleration_m_s2=nominal.max_acceleration.value,
        max_dynamic_pressure_pa=nominal.max_dynamic_pressure.value,
        flight_time_s=float(trace.times_s[-1]),
        landing_east_m=float(landed[0]),
        landing_north_m=float(landed[1]),
        drift=_between([float(np.hypot(*one.positions_m[-1, :2])) for one in flights.every]),
        openings=tuple(canopy_opening(flights, canopy.name) for canopy in vehicle.sheet.recovery.canopy),
    )


def _wind(flights: Flights) -> WindProfile:
    air = flights.inputs["nominal"].air
    return WindProfile(heights_m=air.wind_heights_m, east_m_s=air.wind_east_m_s, north_m_s=air.wind_north_m_s)


def rail_exits(flights: Flights) -> list[RailExit | None]:
    """How each flight leaves the rail; ``None`` for one that never did."""
    return [
        rail_exit(trace, flights.inputs[name].rail, flights.inputs[name].air)
        for name, trace in flights.named.items()
    ]


def _leaving_rail(vehicle: LoadedVehicle, flights: Flights) -> LeavingRail | None:
    if vehicle.sheet.guide is None:
        return None
    exits = [one for one in rail_exits(flights) if one is not None]
    if len(exits) < len(flights.every):
        return None
    nominal = flights.inputs["nominal"]
    rail = nominal.rail
    return LeavingRail(
        fore_button_m=rail.fore_button_m,
        aft_button_m=rail.aft_button_m,
        speed=_between([one.speed_m_s for one in exits]),
        fore_speed=_between([one.fore_speed_m_s for one in exits]),
        aft_speed=_between([one.aft_speed_m_s for one in exits]),
        wind=_between([one.wind_m_s for one in exits]),
        wind_angle=_worst_pairs(exits),
        alpha_rad=exits[0].alpha_rad,
        turned=_between([one.turned_rad for one in exits]),
        lean_by_play=lean_by_play(rail.aft_button_m - rail.fore_button_m),
        two_button_travel=two_button_travel(rail, nominal.thrust.nozzle_station_m),
    )


def _worst_pairs(exits: list[RailExit]) -> Estimate:
    """Angle of the wind over every pair of a wind and a speed that were flown."""
    speed, wind = _between([one.speed_m_s for one in exits]), _between([one.wind_m_s for one in exits])
    return over_corners(wind_angle, {"speed_m_s": speed, "wind_m_s": wind}, method=METHOD)


def _largest_lean(trace: Trace) -> float | None:
    flown = under_thrust(trace)
    return flown.lean.angle_rad if flown else None


def _spinning(flights: Flights) -> Spinning | None:
    """Spin of every flight, and of the one whose fins stand askew."""
    pairs = [(trace, flights.inputs[name]) for name, trace in flights.named.items()]
    found = [
        spin(trace, given.air_table, given.mass, given.thrust.ignition_delay_s)
        for trace, given in (*pairs, (flights.askew, flights.askew_inputs))
    ]
    known = [one for one in found if one is not None]
    if len(known) < len(found):
        return None
    worst = max(known, key=lambda one: one.ratio)
    return Spinning(
        ratio=_between([min(one.ratio, MOST_RATIO) for one in known]),
        roll_rad_s=worst.roll_rad_s,
        pitch_rad_s=worst.pitch_rad_s,
        time_s=worst.time_s,
        fastest_rad_s=max(one.fastest_rad_s for one in known),
        passes=any(one.passes for one in known),
    )


def _steady(flights: Flights) -> Estimate | None:
    values = [steady_angle(trace) for trace in (*flights.every, flights.askew)]
    known = [value for value in values if value is not None]
    return _between(known) if len(known) == len(values) else None


def _swinging(flights: Flights) -> Swinging | None:
    """Swing of every flight; not known where one of them has none."""
    ratios: list[tuple[float, float]] = []
    found: list[Swing] = []
    for name, trace in flights.named.items():
        given = flights.inputs[name]
        one = swing(trace, given.air_table, given.mass, given.thrust.ignition_delay_s)
        if one is None or one.least_ratio is None:
            return None
        found.append(one)
        ratios.append((one.damping_ratio, one.least_ratio))
    worst = min(found, key=lambda one: one.damping_ratio)
    return Swinging(
        damping_ratio=Estimate(
            value=ratios[0][0],
            low=min(min(pair) for pair in ratios),
            high=max(max(pair) for pair in ratios),
            known_by=KnownBy.COMPUTED,
            method=METHOD,
        ),
        wavelength=_between([one.wavelength_m for one in found]),
        time_s=worst.time_s,
    )


@kept(8)
def _driving(body: BodyAir) -> tuple[Galloping, Galloping, Galloping]:
    least, usual, most = STEEPER
    return galloping(body, least), galloping(body, usual), galloping(body, most)


def _galloping(vehicle: LoadedVehicle, flights: Flights) -> Estimate | None:
    """Angle from which every flight gallops, the nominal one's with the least and the most of all."""
    driving = _driving(vehicle.body)
    found: list[tuple[float, float, float]] = []
    for name, trace in flights.named.items():
        given = flights.inputs[name]
        angles = galloping_angles(trace, given.air_table, given.mass, driving, given.thrust.ignition_delay_s)
        if angles is None:
            return None
        found.append(angles)
    return Estimate(
        value=found[0][1],
        low=min(angles[0] for angles in found),
        high=max(angles[2] for angles in found),
        known_by=KnownBy.COMPUTED,
        method=f"{METHOD}, slope of the side force from den Hartog's rule and EN 1991-1-4",
    )


def _lost(flights: Flights) -> Iterator[LostFlight]:
    for name, trace in flights.named.items():
        found = [*_losses(name, trace)]
        if found:
            yield min(found, key=lambda one: one.time_s)


def _losses(name: str, trace: Trace) -> Iterator[LostFlight]:
    """Everything that spoils one flight, each when it first does."""
    last, burnt_out = float(trace.times_s[-1]), thrust_ends(trace)
    if trace.event(EventKind.RAIL_EXIT) is None:
        yield LostFlight(flight=name, loss=Loss.NEVER_LEFT, time_s=last, under_thrust=True)
        return
    over, flown = turned_over(trace), under_thrust(trace)
    if over is not None:
        yield LostFlight(flight=name, loss=Loss.TURNED_OVER, time_s=over, under_thrust=over < burnt_out)
    for event in flown.early if flown else ():
        loss = {EventKind.OUT: Loss.EARLY_CANOPY, EventKind.GROUND: Loss.GROUND_UNDER_THRUST}.get(event.kind)
        if loss:
            yield LostFlight(flight=name, loss=loss, time_s=event.time_s, under_thrust=True)
    if not trace.landed:
        yield LostFlight(flight=name, loss=Loss.NOT_FOLLOWED, time_s=last, under_thrust=last <= burnt_out)


def _deployments(vehicle: LoadedVehicle, flights: Flights) -> Iterator[Deployment]:
    recovery, wired = vehicle.sheet.recovery, vehicle.sheet.electronics
    for canopy in recovery.canopy:
        after = _after_burnout(flights, canopy.event, canopy.delay.value)
        yield Deployment(kind=DeploymentKind.CANOPY, name=canopy.name, after_burnout=after)
    for charge in recovery.charge:
        after = _after_burnout(flights, charge.event)
        yield Deployment(kind=DeploymentKind.CHARGE, name=charge.name, after_burnout=after)
    for igniter in wired.igniter:
        after = _after_burnout(flights, igniter.event)
        yield Deployment(kind=DeploymentKind.IGNITER, name=igniter.name, after_burnout=after)


def _after_burnout(flights: Flights, event: EventEntry, delay_s: float = 0.0) -> Estimate | None:
    """From the end of the thrust to the event, over the flights that came to it [s]."""
    trigger, threshold = trigger_of(event)
    times = [(trigger_time(trace, trigger, threshold), thrust_ends(trace)) for trace in flights.every]
    known = [time + delay_s - burnt_out for time, burnt_out in times if time is not None]
    return _between(known) if known else None


def canopy_opening(flights: Flights, canopy: str) -> CanopyOpening:
    """Height at which a canopy stands open, if it does so in every flight."""
    found = [trace.event(EventKind.OPEN, canopy) for trace in flights.every]
    heights = [event.height_agl_m for event in found if event is not None]
    return CanopyOpening(canopy=canopy, height_agl=_between(heights) if len(heights) == len(found) else None)


def _over(flights: Flights, measure: Callable[[Trace], float | None]) -> Estimate | None:
    """Measure every flight; nothing where one of them cannot be measured."""
    values = [measure(trace) for trace in flights.every]
    known = [value for value in values if value is not None]
    return _between(known) if len(known) == len(values) else None


def _between(values: Sequence[float]) -> Estimate:
    """Values of the flights, the nominal one first."""
    return Estimate(
        value=values[0], low=min(values), high=max(values), known_by=KnownBy.COMPUTED, method=METHOD
    )
