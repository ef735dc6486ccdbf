"""Pictures of the inside: the section that tells the most, and the one square to it."""

import math

from finial.findings.readiness import Readiness
from finial.report.pictures.inside_section import inside_section
from finial.report.pictures.section_cut import roll_drawn


def inside_pictures(readiness: Readiness) -> dict[str, str]:
    """Return both sections by the names of their files."""
    inside, fins, us = readiness.inside, readiness.shape.fins, readiness.us_units
    roll = roll_drawn(inside)
    return {
        "section.svg": inside_section(inside, fins, roll_rad=roll, us_units=us),
        "section-square.svg": inside_section(inside, fins, roll_rad=roll + math.pi / 2, us_units=us),
    }
