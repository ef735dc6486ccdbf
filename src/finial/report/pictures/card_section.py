"""The vehicle on the officer's page: cut along the axis, at a round scale, with what decides stability."""

from finial.assemble.inside.results import InsideResult
from finial.assemble.stability.results import StabilityPoint
from finial.report.pictures.axes import PAGE_MM
from finial.report.pictures.ruler import station_ruler
from finial.report.pictures.section_cut import (
    Extent,
    extent,
    hatchings,
    laid_on_paper,
    roll_drawn,
    section_drawn,
)
from finial.report.pictures.stability_marks import (
    MarkRoom,
    band_hatching,
    bands,
    bob_and_gap,
    span_words,
    stability_legend,
)
from finial.report.pictures.svg import element, picture, words
from finial.shape.fin_set import FinSet

_NAME = "card-section"
_TOP_MM = 9.0
_LONGEST_MM, _WIDEST_MM = 160.0, 52.0
_SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200)
"""Round scales, as 1 to so many; the last is that of a vehicle of 32 m."""


def card_section(
    inside: InsideResult, fins: tuple[FinSet, ...], point: StabilityPoint, *, us_units: bool = False
) -> str:
    """Draw the cut at the largest round scale that fits, the pressure band behind it, the plumb bob below."""
    roll = roll_drawn(inside)
    reach = extent(inside, fins, roll)
    scale = round_scale(reach)
    paper = laid_on_paper(_NAME, reach, roll_rad=roll, per_m=1e3 / scale, top_mm=_TOP_MM)
    room = MarkRoom(
        name=_NAME,
        station=paper.station,
        axis_mm=paper.axis_mm,
        top_mm=paper.top_mm,
        foot_mm=paper.foot_mm,
    )
    ruler_mm = paper.foot_mm + 8.5
    legend, legend_mm = stability_legend(_NAME, point, ruler_mm + 12.5, us_units=us_units)
    says = (
        f"Cut along the axis, tip to the left, drawn 1 to {scale}. At {point.moment} the balance point "
        f"lies at station {span_words(point.balance, us_units)}; the pressure band with fins at "
        f"{span_words(point.pressure, us_units)}."
    )
    return picture(
        _NAME,
        (PAGE_MM, legend_mm),
        element("defs", *hatchings(_NAME), band_hatching(_NAME)),
        bands(room, point),
        section_drawn(paper, inside, fins),
        bob_and_gap(room, point, us_units=us_units),
        station_ruler(_NAME, paper.station, inside.cavity.length_m, ruler_mm, us_units=us_units),
        legend,
        words(f"drawn 1 : {scale}", (PAGE_MM - 5.0, ruler_mm + 12.5), text_anchor="end"),
        title="The vehicle cut along its axis, with balance point and pressure band",
        says=says,
    )


def round_scale(reach: Extent) -> int:
    """Largest round scale at which it fits its room on the page, as 1 to so many.

    Examples
    --------
    >>> round_scale(Extent(start_m=0.0, aft_m=1.2, low_m=-0.2, high_m=0.2))
    8
    """
    along, across = 1e3 * (reach.aft_m - reach.start_m), 1e3 * (reach.high_m - reach.low_m)
    needed = max(along / _LONGEST_MM, across / _WIDEST_MM)
    return next((scale for scale in _SCALES if scale >= needed), _SCALES[-1])
