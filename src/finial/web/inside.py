"""A section through the vehicle as the sheet is written, for the page."""

from finial.findings.readiness import Readiness
from finial.report.pictures.inside_section import inside_section


def has_section(readiness: Readiness) -> bool:
    """Whether there is a shape to cut."""
    return len(readiness.inside.cavity.stations_m) > 0


def inside_svg(readiness: Readiness) -> str:
    """Draw the section that tells the most."""
    return inside_section(readiness.inside, readiness.shape.fins, us_units=readiness.us_units)
