"""May it fly here today, by the tables of the chosen code?"""

from dataclasses import dataclass

from finial.assemble.flights.results import FlightResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.range_stage import RangeResult
from finial.findings.rule import Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAndPlace:
    """What the sheet says of the day and the place; ``None`` where it does not say."""

    wind: Estimate
    tilt: Estimate
    crowd_distance: Estimate | None
    field_radius_m: float | None


def range_findings(range_safety: RangeResult, flight: FlightResult, day: DayAndPlace) -> list[Finding]:
    """Judge distance, wind, tilt, ceiling and landing inside the field."""
    code = f"{range_safety.code}, {range_safety.edition}: {range_safety.source}"
    distance, wind, tilt = (
        Rule(key=key, stage="range", dimension=dimension, source=code, safety=True)
        for key, dimension in (
            ("crowd-distance", Dimension.LENGTH),
            ("wind", Dimension.SPEED),
            ("rail-tilt", Dimension.ANGLE),
        )
    )
    return [
        distance.at_least(
            day.crowd_distance, range_safety.minimum_distance_m, fixes=(Fix(key="move-people"),)
        ),
        wind.at_most(day.wind, range_safety.limits.wind_m_s, fixes=(Fix(key="wait"),)),
        tilt.at_most(day.tilt, range_safety.limits.tilt_rad, fixes=(Fix(key="upright"),)),
        _ceiling(range_safety, flight),
        _field(flight, day),
    ]


def _site_rule(key: str) -> Rule:
    return Rule(key=key, stage="range", dimension=Dimension.LENGTH, source="the site file", safety=True)


def _ceiling(range_safety: RangeResult, flight: FlightResult) -> Finding:
    rule = _site_rule("ceiling")
    if range_safety.ceiling_agl_m is None:
        return rule.holds(Verdict.NOT_KNOWN, value=flight.apogee_agl, fixes=(Fix(key="enter"),))
    return rule.at_most(flight.apogee_agl, range_safety.ceiling_agl_m, fixes=(Fix(key="lower"),))


def _field(flight: FlightResult, day: DayAndPlace) -> Finding:
    rule = _site_rule("lands-inside")
    if day.field_radius_m is None:
        return rule.holds(Verdict.NOT_KNOWN, value=flight.drift, fixes=(Fix(key="enter"),))
    return rule.at_most(flight.drift, day.field_radius_m, fixes=(Fix(key="less-drift"),))
