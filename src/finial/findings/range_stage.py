"""Range safety stage: the chosen code's tables at this motor and flight."""

from finial.assemble.answer import Answer
from finial.assemble.results import RangeResult
from finial.range_safety.classes import Installed, faa_class
from finial.range_safety.distance import minimum_distance
from finial.range_safety.limits import code_limits, field_minimum


def range_result(found: Answer) -> RangeResult:
    """Look up distance, limits and class for the vehicle.

    Raises
    ------
    MissingData
        If the code is in none of the tables.
    OutsideRange
        If the impulse is beyond the code's table.
    """
    launch, site, motor = found.vehicle.sheet.launch, found.vehicle.files.site, found.vehicle.motor
    distance = minimum_distance(launch.code, found.flight.impulse_n_s, launch.layout)
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
        wind_limit_m_s=limits.wind_m_s,
        tilt_limit_rad=limits.tilt_rad,
        ceiling_agl_m=site.ceiling_agl.value if site.ceiling_agl else None,
        field_radius_m=site.field_radius.value if site.field_radius else None,
    )
