"""Fins, first form: bending by strips, flutter by the screen."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from finial.assemble.air.sections import AirLoads
from finial.assemble.day import day_at_pad
from finial.assemble.strength.cases import LoadCase
from finial.assemble.strength.fins.build import FinBuild, fin_builds
from finial.assemble.strength.forces import fin_set_force, one_fin_force
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import air_over_pad
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, spread
from finial.flight.trace import Trace
from finial.structure.fins.outline import fin_plan
from finial.structure.fins.quick_plate import fin_reserve
from finial.structure.fins.screen import flutter_screen
from finial.structure.loads.case import Case, Load
from finial.structure.reserves import Because, FailureMode, Reserve, reserve_factor

WHOLE_FLIGHT = Case(load=Load.WHOLE_FLIGHT)
FIN_SHARE_SPREAD = 0.3
"""Scatter of one fin's share of its set's force in a gust [-]; assumed."""


def top_speed(traces: Sequence[Trace]) -> Estimate:
    """Largest airspeed of the flights [m/s], the nominal one first."""
    tops = [float(trace.airspeeds_m_s.max()) for trace in traces]
    return Estimate(
        value=tops[0],
        low=min(tops),
        high=max(tops),
        known_by=KnownBy.COMPUTED,
        method="flight and its corners",
    )


def quick_fin_rows(
    vehicle: LoadedVehicle, air: AirLoads, fast: tuple[LoadCase, Estimate]
) -> Iterator[Reserve]:
    """Yield breaking and flutter of every set of fins, by strips and by the screen.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    air : AirLoads
        Its fins in the air.
    fast : (LoadCase, Estimate)
        The fastest case, and the top speed [m/s].
    """
    case, speed = fast
    if case.dynamic_pressure_pa <= 0.0:
        return
    for fin, build in zip(air.fins, fin_builds(vehicle, air.fins), strict=True):
        if build.stuff is None:
            yield from unknown_fins(build)
            continue
        pressure_area = case.dynamic_pressure_pa * vehicle.skin.reference_area_m2
        whole = fin_set_force(fin.slope_per_rad, pressure_area, case.angle_rad)
        each = one_fin_force(whole, fin.fins.count)
        force = spread(
            each, FIN_SHARE_SPREAD, known_by=KnownBy.COMPUTED, method="one fin's share, gust across"
        )
        breaks = fin_reserve(
            fin.fins.outline_m, build.thickness, force, build.strength, station_m=fin.fins.station_m
        )
        yield replace(breaks, subject=fin.fins.name, case=case.case)
        yield _flutter_row(vehicle, build, speed)


def unknown_fins(build: FinBuild) -> Iterator[Reserve]:
    """Yield breaking and flutter of fins whose stuff cannot be told: not known, never left out."""
    for mode, dimension in (
        (FailureMode.FIN_BREAKS, Dimension.PRESSURE),
        (FailureMode.FIN_FLUTTERS, Dimension.SPEED),
    ):
        yield Reserve(
            mode=mode,
            station_m=build.fins.station_m,
            dimension=dimension,
            subject=build.fins.name,
            because=Because.MATERIAL_UNSAID,
        )


def screened(vehicle: LoadedVehicle, build: FinBuild) -> Estimate:
    """Flutter speed by the screen [m/s]."""
    state = air_over_pad(day_at_pad(vehicle), 0.0)
    assert build.stuff is not None
    return flutter_screen(
        fin_plan(build.fins.outline_m),
        build.thickness,
        build.stuff.shear_modulus_pa.scaled(build.solid_share),
        sound_m_s=float(state.sound_speed_m_s),
        pressure_pa=float(state.pressure_pa),
    )


def _flutter_row(vehicle: LoadedVehicle, build: FinBuild, speed: Estimate) -> Reserve:
    """Judge flutter by the screen, at the fast end of the speed; for fins with stays it stays open."""
    flutter = screened(vehicle, build)
    return Reserve(
        mode=FailureMode.FIN_FLUTTERS,
        station_m=build.fins.station_m,
        dimension=Dimension.SPEED,
        load=speed,
        strength=flutter,
        reserve=None if build.stays else reserve_factor(flutter, speed),
        subject=build.fins.name,
        case=WHOLE_FLIGHT,
        because=Because.STAYS_UNSEEN if build.stays else Because.SCREEN_ONLY,
    )
