"""All pictures of one answer, by name."""

from finial.findings.readiness import Readiness
from finial.report.pictures.body_loads import body_loads
from finial.report.pictures.card_section import card_section
from finial.report.pictures.drift import drift_plan
from finial.report.pictures.firing_paths import firing_paths
from finial.report.pictures.flight_traces import flight_traces
from finial.report.pictures.inside_section import inside_section
from finial.report.pictures.margin import margin_by_angle, pressure_by_roll
from finial.report.pictures.side_view import side_view
from finial.report.pictures.tunnel_places import has_places, tunnel_places


def pictures(readiness: Readiness) -> dict[str, str]:
    """SVG text of every picture, keyed by the names that sections use.

    Stability is drawn at the moment whose margin is worst. A picture whose stage has
    nothing to show is left out.
    """
    us = readiness.us_units
    drawn = {
        "flight_traces": flight_traces(readiness.flight.trace, us_units=us),
        "drift_plan": drift_plan(readiness.flight, readiness.range_safety, us_units=us),
    }
    if has_places(readiness.air.tunnel):
        drawn["tunnel_places"] = tunnel_places(readiness.air.tunnel.rows, us_units=us)
    if readiness.electronics.paths:
        drawn["firing_paths"] = firing_paths(readiness.electronics, us_units=us)
    if readiness.stability:
        worst = min(readiness.stability, key=lambda point: point.margin.low)
        drawn["side_view"] = side_view(readiness.shape, worst, us_units=us)
        drawn["margin_by_angle"] = margin_by_angle(readiness.air, worst, us_units=us)
        drawn["pressure_by_roll"] = pressure_by_roll(readiness.shape, readiness.air, worst, us_units=us)
        if len(readiness.inside.cavity.stations_m):
            drawn["card_section"] = card_section(readiness.inside, readiness.shape.fins, worst, us_units=us)
    if len(readiness.inside.cavity.stations_m):
        drawn["inside_section"] = inside_section(readiness.inside, readiness.shape.fins, us_units=us)
    if readiness.strength.cases:
        drawn["body_loads"] = body_loads(readiness.strength, us_units=us)
    return drawn
