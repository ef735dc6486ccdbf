"""The pictures of one flight, by file name."""

from finial.findings.readiness import Readiness
from finial.report.pictures.drift import drift_plan
from finial.report.pictures.flight_traces import flight_traces


def flight_pictures(readiness: Readiness) -> dict[str, str]:
    """File names and SVG text of the time history and the plan of the field."""
    us = readiness.us_units
    return {
        "flight-traces.svg": flight_traces(readiness.flight.trace, us_units=us),
        "drift.svg": drift_plan(readiness.flight, readiness.range_safety, us_units=us),
    }
