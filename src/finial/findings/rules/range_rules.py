"""May it fly here today, by the tables of the chosen code?"""

from dataclasses import dataclass

from finial.assemble.flights.results import FlightResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.finding import Finding, Verdict
from finial.findings.range_stage import RangeResult
from finial.findings.rule import Rule

DECIDES = "The range safety officer and the local rules decide, not this table."


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAndPlace:
    """What the sheet says of the day and the place; ``None`` where it does not say."""

    wind: Estimate
    tilt: Estimate
    crowd_distance: Estimate | None
    field_radius_m: float | None


def range_findings(
    range_safety: RangeResult, flight: FlightResult, day: DayAndPlace, *, us_units: bool
) -> list[Finding]:
    """Judge distance, wind, tilt, ceiling and landing inside the field."""
    code = f"{range_safety.code}, {range_safety.edition}: {range_safety.source}"
    return [
        _distance(range_safety, day, code, us_units),
        _rule(
            "wind", Dimension.SPEED, "Wind turns it on the rail and carries it on the canopy.", code
        ).at_most(day.wind, range_safety.limits.wind_m_s, fix="Wait for a calmer hour.", us_units=us_units),
        _rule("rail tilt", Dimension.ANGLE, "A tilted rail throws it far and flat.", code).at_most(
            day.tilt, range_safety.limits.tilt_rad, fix="Set the rail closer to upright.", us_units=us_units
        ),
        _ceiling(range_safety, flight, us_units),
        _field(flight, day, us_units),
    ]


def _rule(name: str, dimension: Dimension, why: str, source: str) -> Rule:
    return Rule(
        subject="range", name=name, dimension=dimension, why=f"{why} {DECIDES}", source=source, safety=True
    )


def _distance(range_safety: RangeResult, day: DayAndPlace, code: str, us_units: bool) -> Finding:
    rule = _rule("distance to people", Dimension.LENGTH, "A motor that fails throws parts.", code)
    fix = "Move people back to the distance in the table, or enter launch.crowd_distance as measured."
    return rule.at_least(day.crowd_distance, range_safety.minimum_distance_m, fix=fix, us_units=us_units)


def _ceiling(range_safety: RangeResult, flight: FlightResult, us_units: bool) -> Finding:
    rule = _rule(
        "apogee under the ceiling", Dimension.LENGTH, "Aircraft use the air above it.", "the site file"
    )
    if range_safety.ceiling_agl_m is None:
        fix = "Enter ceiling_agl in the site file: ask the field who holds the authorisation."
        return rule.finding(
            Verdict.NOT_KNOWN, "the site's ceiling, which is not entered", fix, flight.apogee_agl
        )
    fix = "A smaller motor, more ballast or more drag."
    return rule.at_most(flight.apogee_agl, range_safety.ceiling_agl_m, fix=fix, us_units=us_units)


def _field(flight: FlightResult, day: DayAndPlace, us_units: bool) -> Finding:
    rule = _rule(
        "landing inside the field", Dimension.LENGTH, "Beyond the edge are roads and people.", "the site file"
    )
    if day.field_radius_m is None:
        fix = "Enter field_radius in the site file."
        return rule.finding(Verdict.NOT_KNOWN, "the field's radius, which is not entered", fix, flight.drift)
    fix = "A faster descent until low down, a calmer hour, or a rail leaning into the wind."
    return rule.at_most(flight.drift, day.field_radius_m, fix=fix, us_units=us_units)
