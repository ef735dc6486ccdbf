"""The cut across the vehicle at a station: its picture, what it shows in words, and its tables."""

from dataclasses import dataclass

from finial.core.errors import MissingData, OutsideRange
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection
from finial.report.pictures.station_cut import station_cut, station_picture
from finial.report.sections.at_station import station_section, station_words


@dataclass(frozen=True, slots=True, kw_only=True)
class PageCut:
    """One cut across, of what is tried."""

    station_m: float
    """Where it was cut: the nearest to what was asked."""
    says: str
    svg: str
    section: ReportSection


def cut_across(readiness: Readiness, station_m: float) -> PageCut:
    """Cut the vehicle at a station [m].

    Raises
    ------
    MissingData
        If there is no shape to cut.
    OutsideRange
        If the station is not on the vehicle.
    """
    cavity, fins = readiness.inside.cavity, readiness.shape.fins
    if not len(cavity.stations_m):
        raise MissingData("there is no shape to cut")
    if not 0.0 <= station_m <= cavity.length_m:
        raise OutsideRange(f"station {station_m:g} m: give one from 0 to {cavity.length_m:.4g} m")
    cut = station_cut(readiness.inside, station_m)
    says = station_words(readiness, cut)
    return PageCut(
        station_m=cut.station_m,
        says=says,
        svg=station_picture(cut, fins, says=says, us_units=readiness.us_units),
        section=station_section(readiness, cut),
    )
