"""The pictures of the air loads, by file name."""

from finial.findings.readiness import Readiness
from finial.report.pictures.air_load import air_load
from finial.report.pictures.air_margin_map import margin_map
from finial.report.pictures.margin import margin_by_angle, pressure_by_roll
from finial.report.pictures.tunnel_places import has_places, tunnel_places


def air_pictures(readiness: Readiness) -> dict[str, str]:
    """File names and SVG text; stability at the moment whose margin is worst."""
    us = readiness.us_units
    drawn = {"air-load.svg": air_load(readiness.shape, readiness.air, us_units=us)}
    beside = readiness.air.tunnel
    if has_places(beside):
        drawn["tunnel-places.svg"] = tunnel_places(beside.rows, us_units=us)
    if readiness.stability:
        worst = min(readiness.stability, key=lambda point: point.margin.low)
        drawn["pressure-by-roll.svg"] = pressure_by_roll(readiness.shape, readiness.air, worst, us_units=us)
        drawn["margin-by-angle.svg"] = margin_by_angle(readiness.air, worst, us_units=us)
        drawn["margin-map.svg"] = margin_map(readiness.air, worst)
    return drawn
