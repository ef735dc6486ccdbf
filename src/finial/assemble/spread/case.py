"""From a vehicle to many flights of it: the nominal flight, and everything that may differ."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.air.sections import AirLoads
from finial.assemble.air.source import air_loads
from finial.assemble.flights.corners import Corner, flight_inputs
from finial.assemble.mass.rows import Row, mass_result, mass_rows
from finial.assemble.spread.air import air_draws, crooked_trim
from finial.assemble.spread.canopies import canopy_draws
from finial.assemble.spread.day import day_draws, motor_draws, rail_draws
from finial.assemble.spread.masses import mass_draws, mass_parts, offset_draws
from finial.assemble.vehicle.field import field_radius_m, field_rings_m
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.units import Quantity
from finial.flight.fly import fly
from finial.flight.inputs import FlightInputs
from finial.flight.spread import Draw, Spread

GUST_STEP_M = 10.0
"""Heights between gusts [m]: shorter gusts are lost, closer ones cost steps."""
_SPARE = 1.4
"""Gusts reach this much higher than the nominal apogee."""
_WEAKEST_M_S = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightCase:
    """Everything a campaign needs, with no sheet behind it, so that it can run on another machine."""

    name: str
    inputs: FlightInputs
    spread: Spread
    ceiling_agl_m: float | None
    field_m: tuple[NDArray[np.float64], ...] | None
    """Rings of the field, metres east and north of the pad: outer edge, then holes."""
    pad_rad: tuple[float, float] | None
    """Latitude and longitude of the pad."""
    field_radius_m: float | None
    us_units: bool
    crowd_distance_m: float | None = None
    """Where people stand: how near, towards which compass bearing, how wide; ``None`` where not entered."""
    crowd_bearing_rad: float | None = None
    crowd_across_m: float | None = None


def flight_case(vehicle: LoadedVehicle) -> FlightCase:
    """Nominal flight and spread of a loaded vehicle."""
    rows = mass_rows(vehicle, fin_sets(vehicle))
    centre = mass_result(vehicle, rows).lift_off.centre_m.tolist()
    air = air_loads(vehicle, -centre[0], (centre[1], centre[2]))
    inputs, speed = _inputs(vehicle, rows, air)
    site, field, launch = vehicle.files.site, vehicle.files.field, vehicle.sheet.launch
    place = (field.pad_latitude_rad, field.pad_longitude_rad) if field else _place(vehicle)
    return FlightCase(
        name=vehicle.sheet.vehicle.name,
        inputs=inputs,
        spread=Spread(
            draws=tuple(_with_width(_draws(vehicle, rows, air))),
            masses=mass_parts(vehicle, rows),
            wind_speed_m_s=speed,
            gust_heights_m=_gust_heights(inputs) if vehicle.sheet.scatter.gusts else np.empty(0),
        ),
        ceiling_agl_m=site.ceiling_agl.value if site.ceiling_agl else None,
        field_m=field_rings_m(vehicle.files),
        pad_rad=place,
        field_radius_m=field_radius_m(vehicle.files),
        us_units=vehicle.us_units,
        crowd_distance_m=_given(launch.crowd_distance),
        crowd_bearing_rad=_given(launch.crowd_bearing),
        crowd_across_m=_given(launch.crowd_across),
    )


def _given(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.value


def _inputs(vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads) -> tuple[FlightInputs, float]:
    """Nominal flight, and the wind at 10 m that its column belongs to: never quite calm, to have a shape."""
    wind = vehicle.sheet.launch.wind.value
    speed = max(wind, _WEAKEST_M_S) if vehicle.files.wind_column is None else max(wind, 1e-3)
    inputs = flight_inputs(vehicle, rows, air, Corner(wind_m_s=speed))
    return replace(inputs, trim=crooked_trim(air)), speed


def _draws(vehicle: LoadedVehicle, rows: tuple[Row, ...], air: AirLoads) -> Iterator[Draw]:
    yield from day_draws(vehicle)
    if vehicle.sheet.launch.wind.value < _WEAKEST_M_S and not vehicle.sheet.launch.wind.tolerance:
        yield _calm(vehicle.sheet.launch.wind.value)
    yield from motor_draws(vehicle)
    yield from rail_draws(vehicle)
    yield from air_draws(vehicle, air)
    yield from mass_draws(rows)
    yield from offset_draws(vehicle, rows)
    yield from canopy_draws(vehicle, len(rows))


def _with_width(draws: Iterator[Draw]) -> Iterator[Draw]:
    """Leave out what has no width: it is the same in every flight."""
    return (draw for draw in draws if draw.below > 0.0 or draw.above > 0.0)


def _calm(wind_m_s: float) -> Draw:
    """Wind of a day entered as calm without a tolerance: a breath of it all the same."""
    from finial.flight.kernel import spread_layout as slots
    from finial.flight.spread import EVEN
    from finial.flight.uncertain import Drawn, Uncertain

    return Draw(
        number=Uncertain(kind=Drawn.WIND),
        slot=slots.WIND_SPEED,
        shape=EVEN,
        base=wind_m_s,
        below=0.0,
        above=0.1,
        unit="m/s",
    )


def _gust_heights(inputs: FlightInputs) -> NDArray[np.float64]:
    top = _SPARE * max(float(fly(inputs).positions_m[:, 2].max()), 100.0)
    return np.arange(0.0, top + GUST_STEP_M, GUST_STEP_M)


def _place(vehicle: LoadedVehicle) -> tuple[float, float] | None:
    site = vehicle.files.site
    if site.latitude is None or site.longitude is None:
        return None
    return site.latitude.value, site.longitude.value
