"""Range safety stage: the chosen code's tables at this motor and flight."""

from collections.abc import Iterator
from dataclasses import dataclass

from finial.assemble.day import DayResult, day_result
from finial.assemble.looks.answer import Answer
from finial.assemble.vehicle.field import field_radius_m
from finial.assemble.vehicle.known_names import Named
from finial.core.errors import BuildSheetError, MissingData, OutsideRange
from finial.files.sheet import Sheet
from finial.files.source import read_toml
from finial.range_safety.classes import Installed, faa_class
from finial.range_safety.distance import MinimumDistance, known_codes, minimum_distance
from finial.range_safety.limits import CodeLimits, code_limits, field_minimum


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeResult:
    """Distance, wind, tilt, ceiling and class, from the chosen code's tables."""

    code: str
    edition: str
    source: str
    impulse_n_s: float
    minimum_distance_m: float
    field_minimum_m: float | None
    faa_class: str
    limits: CodeLimits
    """What the code asks for besides distance."""
    ceiling_agl_m: float | None
    field_radius_m: float | None = None
    """Distance from the pad to the field's edge [m]."""
    day: DayResult | None = None


def codes_of(sheet: Sheet) -> Iterator[Named]:
    """Name the sheet's code and what looks it up, so that it is refused with all other unknown names."""
    yield ("launch", "code"), sheet.launch.code, _known_code


def _known_code(name: str) -> None:
    known = known_codes()
    if name.casefold() not in [code.casefold() for code in known]:
        raise MissingData(f"no distances for code {name!r}: known are {', '.join(known)}", known)


def range_result(found: Answer) -> RangeResult:
    """Look up distance, limits and class for the vehicle.

    Raises
    ------
    MissingData
        If the code is in none of the tables.
    BuildSheetError
        If the code prints no distance for this impulse and layout.
    """
    launch, site, motor = found.vehicle.sheet.launch, found.vehicle.files.site, found.vehicle.motor
    distance = _distance(found)
    limits = code_limits(launch.code)
    installed = Installed(
        impulse_n_s=found.flight.impulse_n_s,
        propellant_kg=motor.propellant_mass_kg,
        lift_off_mass_kg=found.flight.lift_off_mass_kg,
        largest_average_thrust_n=found.flight.average_thrust_n,
    )
    return RangeResult(
        code=distance.code,
        edition=distance.edition,
        source=distance.source,
        impulse_n_s=found.flight.impulse_n_s,
        minimum_distance_m=distance.distance_m,
        field_minimum_m=field_minimum(limits, found.flight.apogee_agl.high),
        faa_class=str(faa_class(installed)),
        limits=limits,
        ceiling_agl_m=site.ceiling_agl.value if site.ceiling_agl else None,
        field_radius_m=field_radius_m(found.vehicle.files),
        day=day_result(found.vehicle),
    )


def _distance(found: Answer) -> MinimumDistance:
    launch = found.vehicle.sheet.launch
    impulse = found.flight.impulse_n_s
    try:
        return minimum_distance(launch.code, impulse, launch.layout)
    except OutsideRange as error:
        given = f'code = "{launch.code}", layout = "{launch.layout}" and a motor of {impulse:.0f} N s'
        source = read_toml(found.vehicle.files.path)
        fault = source.fault(("launch", "code"), given=given, accepted=str(error))
        raise BuildSheetError([fault]) from error
