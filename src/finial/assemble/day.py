"""The day's air at the site: pressure, temperature, wind over height."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from finial.atmosphere.day import (
    WEATHER_SPREAD,
    Day,
    air_over_pad,
    density_altitude,
    density_over_pad,
    standard_day,
)
from finial.atmosphere.wind import WindProfile, measured_profile, terrain_named, wind_profile
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.flight.inputs import Air

if TYPE_CHECKING:
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.files.sheet_day import LaunchEntry
    from finial.files.wind_column import WindColumn


@dataclass(frozen=True, slots=True, kw_only=True)
class DayResult:
    """The day and the pad that everything was computed for."""

    site: str
    ground_asl_m: float
    wind: Estimate
    """At 10 m above the ground [m/s]."""
    wind_from_rad: float
    rail_length_m: float
    rail_tilt_rad: float
    rail_toward_rad: float
    temperature: Estimate
    pressure_pa: float
    density_altitude_m: float
    """Height at which the standard atmosphere is as thin as the air at the pad [m]."""


def day_at_pad(vehicle: "LoadedVehicle") -> Day:
    """Air at the pad: as entered, or the standard pressure of the site's height."""
    return _day(vehicle.sheet.launch, vehicle.files.site.ground_asl.value)


# Every stage asks for the day, which no slider moves.
@kept(8)
def _day(launch: "LaunchEntry", ground_asl_m: float) -> Day:
    standard = standard_day(ground_asl_m, launch.temperature.value)
    if launch.pressure is None:
        return standard
    return Day(
        ground_asl_m=standard.ground_asl_m,
        pressure_pa=launch.pressure.value,
        temperature_k=launch.temperature.value,
    )


def pressure_off(vehicle: "LoadedVehicle") -> float | None:
    """Share [-] by which the entered pressure lies above that of a standard day at the site's height."""
    launch, site = vehicle.sheet.launch, vehicle.files.site
    if launch.pressure is None:
        return None
    standard = standard_day(site.ground_asl.value, launch.temperature.value).pressure_pa
    return launch.pressure.value / standard - 1.0


def wind_at_ten_metres(vehicle: "LoadedVehicle") -> Estimate:
    """Wind at 10 m [m/s] as entered, never below calm."""
    given = vehicle.sheet.launch.wind
    low = max(given.low, 0.0)
    return Estimate(
        value=given.value,
        low=low,
        high=given.high,
        known_by=KnownBy.MEASURED if given.tolerance else KnownBy.ASSUMED,
        method="entered for the day",
    )


def air_of_day(vehicle: "LoadedVehicle", wind_m_s: float) -> Air:
    """Column of air with a wind of this speed at 10 m."""
    return _column(day_at_pad(vehicle), vehicle.sheet.launch, vehicle.files.wind_column, wind_m_s)


# Corners fly in few winds, which no slider moves.
@kept(16)
def _column(day: Day, launch: "LaunchEntry", column: "WindColumn | None", wind_m_s: float) -> Air:
    profile = _profile(launch, column, wind_m_s)
    return Air(
        ground_asl_m=day.ground_asl_m,
        pressure_pa=day.pressure_pa,
        temperature_k=day.temperature_k,
        wind_heights_m=profile.heights_m,
        wind_east_m_s=profile.east_m_s,
        wind_north_m_s=profile.north_m_s,
    )


def _profile(launch: "LaunchEntry", column: "WindColumn | None", wind_m_s: float) -> WindProfile:
    """Wind from the sheet's bearing by its terrain, or that measured aloft made as strong as wanted."""
    terrain = terrain_named(launch.terrain)
    if column is None:
        return wind_profile(wind_m_s, launch.wind_from.value, terrain)
    measured = measured_profile(column.heights_m, column.speeds_m_s, column.from_rad, terrain)
    factor = wind_m_s / launch.wind.value if launch.wind.value > 0.0 else 1.0
    return measured.times(factor)


def density_at(vehicle: "LoadedVehicle", height_agl_m: float) -> Estimate:
    """Air density [kg/m^3] at a height, with the tolerance of temperature and pressure."""
    return _density_at(vehicle.sheet.launch, day_at_pad(vehicle), height_agl_m)


@kept(32)
def _density_at(launch: "LaunchEntry", day: Day, height_agl_m: float) -> Estimate:
    by_pressure = launch.pressure.tolerance / day.pressure_pa if launch.pressure else WEATHER_SPREAD
    known = KnownBy.MEASURED if launch.pressure else KnownBy.COMPUTED
    share = by_pressure, launch.temperature.tolerance / day.temperature_k
    return replace(density_over_pad(day, height_agl_m, *share), known_by=known)


def pressure_at(vehicle: "LoadedVehicle", height_agl_m: float) -> float:
    """Air pressure [Pa] at a height above the pad."""
    return float(air_over_pad(day_at_pad(vehicle), height_agl_m).pressure_pa)


def day_result(vehicle: "LoadedVehicle") -> DayResult:
    """Collect the day and the pad, as everything was computed for them."""
    launch, day = vehicle.sheet.launch, day_at_pad(vehicle)
    return DayResult(
        site=vehicle.files.site.name,
        ground_asl_m=day.ground_asl_m,
        wind=wind_at_ten_metres(vehicle),
        wind_from_rad=launch.wind_from.value,
        rail_length_m=launch.rail_length.value,
        rail_tilt_rad=launch.tilt.value,
        rail_toward_rad=launch.toward.value,
        temperature=launch.temperature.estimate(KnownBy.MEASURED),
        pressure_pa=day.pressure_pa,
        density_altitude_m=density_altitude(density_at(vehicle, 0.0).value),
    )
