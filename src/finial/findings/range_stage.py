"""Range safety stage: the chosen code's tables at this motor and flight."""

import math
from collections.abc import Iterator

import numpy as np

from finial.assemble.day import day_result
from finial.assemble.looks.answer import StageResults
from finial.assemble.vehicle.field import MarkOnField, field_marks, field_radius_m, field_rings_m
from finial.assemble.vehicle.known_names import Named
from finial.campaign.spot import REACH_M, Crowd
from finial.core.errors import BuildSheetError, MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.files.geojson import MarkKind
from finial.files.sheet import Sheet
from finial.files.source import read_toml
from finial.findings.range_result import RangeResult
from finial.motors.curve import average_thrust
from finial.range_safety.classes import Installed, faa_class, is_high_power
from finial.range_safety.distance import MinimumDistance, faa_101_25, known_codes, minimum_distance
from finial.range_safety.field_size import least_side
from finial.range_safety.hazards import distance_to_mark, nearest_to_mark
from finial.range_safety.limits import airspace_rules, code_limits, field_minimum
from finial.range_safety.together import DistanceTogether, distances_together

BEARING_STEP_RAD = math.radians(5.0)
"""How near together the bearings stand that a loose one is tried at [rad]; chosen."""


def codes_of(sheet: Sheet) -> Iterator[Named]:
    """Name the sheet's code and what looks it up, so that it is refused with all other unknown names."""
    yield ("launch", "code"), sheet.launch.code, known_code


def known_code(name: str) -> None:
    """Look a code up.

    Raises
    ------
    MissingData
        If no table has it.
    """
    known = known_codes()
    if name.casefold() not in [code.casefold() for code in known]:
        raise MissingData(f"no distances for code {name!r}: known are {', '.join(known)}", known)


def range_result(found: StageResults) -> RangeResult:
    """Look up distance, limits and class for the vehicle.

    Raises
    ------
    MissingData
        If the code is in none of the tables.
    BuildSheetError
        If the code prints no distance for this impulse and layout.
    """
    launch, site, motor = found.vehicle.sheet.launch, found.vehicle.files.site, found.vehicle.motor
    # What never lifts off may sink by a hair on its pad: it climbs nowhere.
    distance, highest = _distance(found), max(found.flight.apogee_agl.high, 0.0)
    limits = code_limits(launch.code)
    together = _together(found, highest)
    installed = Installed(
        impulse_n_s=found.flight.impulse_n_s,
        propellant_kg=motor.propellant_mass_kg,
        lift_off_mass_kg=found.flight.lift_off_mass_kg,
        largest_average_thrust_n=max(map(average_thrust, found.vehicle.motors)),
        motor_count=len(found.vehicle.motors),
    )
    return RangeResult(
        code=distance.code,
        edition=distance.edition,
        source=distance.source,
        impulse_n_s=found.flight.impulse_n_s,
        minimum_distance_m=max([distance.distance_m, *(one.distance_m for one in together)]),
        at_once=launch.at_once,
        together=together,
        bystander_minimum_m=faa_101_25(highest) if limits.under_faa else None,
        bystander_distance=_bystanders(found),
        field_minimum_m=field_minimum(limits, highest),
        field_side_m=_field_side(found),
        airspace=site.airspace,
        authorised_by=site.authorised_by,
        airspace_rules=airspace_rules() if limits.under_faa else (),
        faa_class=str(faa_class(installed)),
        is_high_power=is_high_power(installed),
        limits=limits,
        ceiling_agl_m=site.ceiling_agl.value if site.ceiling_agl else None,
        field_radius_m=field_radius_m(found.vehicle.files),
        crowd_clear_m=crowd_clear_m(found),
        day=day_result(found.vehicle),
    )


def _together(found: StageResults, highest_m: float) -> tuple[DistanceTogether, ...]:
    launch = found.vehicle.sheet.launch
    if launch.at_once == 1:
        return ()
    impulse = launch.at_once * found.flight.impulse_n_s
    try:
        return distances_together(launch.code, impulse, launch.at_once, highest_m)
    except OutsideRange as error:
        raise _refused(found, ("launch", "at_once"), f"at_once = {launch.at_once}", error) from error


def _bystanders(found: StageResults) -> Estimate | None:
    """Distance to people with no part in the launch: none of them stands nearer than the field's edge."""
    given, radius = found.vehicle.sheet.launch.bystander_distance, field_radius_m(found.vehicle.files)
    if given is not None:
        return given.estimate(KnownBy.MEASURED)
    return None if radius is None else exact(radius, known_by=KnownBy.MEASURED, method="edge of the field")


def crowd_clear_m(found: StageResults) -> float | None:
    """Find the least distance of the flights' ground tracks from people, by the sheet and on the map [m]."""
    launch = found.vehicle.sheet.launch
    tracks = [one.positions_m[:, :2] for one in found.flights.every]
    clear = [nearest_to_mark(mark, track) - REACH_M for mark in _people(found) for track in tracks]
    if (
        launch.crowd_distance is not None
        and launch.crowd_bearing is not None
        and launch.crowd_across is not None
    ):
        near_m, across_m = launch.crowd_distance.value, launch.crowd_across.value
        for bearing_rad in _bearings_rad(launch.crowd_bearing):
            crowd = Crowd(near_m=near_m, bearing_rad=bearing_rad, across_m=across_m)
            clear += [float(crowd.distance_m(track).min()) for track in tracks]
    return min(clear, default=None)


def _bearings_rad(bearing: Quantity) -> list[float]:
    """Every bearing that a loose one may be [rad]: both ends of half a turn either way are one."""
    steps = 1 + 2 * math.ceil((bearing.high - bearing.low) / 2 / BEARING_STEP_RAD)
    return [float(one) for one in np.linspace(bearing.low, bearing.high, steps)]


def _people(found: StageResults) -> list[MarkOnField]:
    return [mark for mark in field_marks(found.vehicle.files) if mark.kind is MarkKind.PEOPLE]


def nearest_people(found: StageResults) -> Estimate | None:
    """Distance from the pad to the nearest people, by the sheet or on the map [m]."""
    given = found.vehicle.sheet.launch.crowd_distance
    known = [given.estimate(KnownBy.MEASURED)] if given else []
    pad = np.zeros((1, 2))
    known += [
        exact(float(distance_to_mark(mark, pad)[0]), known_by=KnownBy.MEASURED, method="on the map")
        for mark in _people(found)
    ]
    return min(known, key=lambda one: one.low, default=None)


def _field_side(found: StageResults) -> float | None:
    """Least side of the field [m]: across its outline where that is narrowest, else twice its radius."""
    rings, radius = field_rings_m(found.vehicle.files), field_radius_m(found.vehicle.files)
    if rings is not None:
        return least_side(rings[0])
    return None if radius is None else 2.0 * radius


def _refused(found: StageResults, key: tuple[str, str], given: str, error: OutsideRange) -> BuildSheetError:
    source = read_toml(found.vehicle.files.path)
    return BuildSheetError([source.fault(key, given=given, accepted=str(error))])


def _distance(found: StageResults) -> MinimumDistance:
    launch = found.vehicle.sheet.launch
    impulse = found.flight.impulse_n_s
    # Several motors are a complex rocket in every code, whatever the sheet says.
    layout = "complex" if len(found.vehicle.motors) > 1 else launch.layout
    try:
        return minimum_distance(launch.code, impulse, layout)
    except OutsideRange as error:
        given = f'code = "{launch.code}", layout = "{layout}" and a motor of {impulse:.0f} N s'
        raise _refused(found, ("launch", "code"), given, error) from error
