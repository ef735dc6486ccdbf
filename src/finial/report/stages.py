"""The stages of a check, in the order a builder reads them."""

from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.sections.air import air_section, stability_section
from finial.report.sections.air_time import flight_section, landing_section
from finial.report.sections.body import mass_section, shape_section
from finial.report.sections.descent import recovery_section
from finial.report.sections.electronics import electronics_section
from finial.report.sections.field import guesses_section, range_section
from finial.report.sections.inside import inside_section
from finial.report.sections.loads import strength_section
from finial.report.sections.tunnel import tunnel_section
from finial.report.shown import Shown

_STAGES = (
    shape_section,
    mass_section,
    inside_section,
    air_section,
    stability_section,
    strength_section,
    flight_section,
    landing_section,
    recovery_section,
    electronics_section,
    range_section,
)


def stage_sections(readiness: Readiness) -> tuple[ReportSection, ...]:
    """Eleven stages, from the shape to the range; the tunnel after the air where the sheet flies with it."""
    sections = [stage(readiness) for stage in _STAGES]
    if readiness.air.tunnel is not None:
        shown = Shown(us_units=readiness.us_units)
        sections.insert(_STAGES.index(air_section) + 1, tunnel_section(readiness.air.tunnel, shown))
    return tuple(sections)


def all_sections(readiness: Readiness) -> tuple[ReportSection, ...]:
    """Return the eleven stages and the guesses that matter most."""
    return (*stage_sections(readiness), guesses_section(readiness))
