"""Load of an opening canopy over time from line stretch."""

from typing import Final

from finial.assemble.recovery.records import CanopyStudy
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, covering, framed, over_page, traced
from finial.report.pictures.axis_units import FORCE, chosen
from finial.report.pictures.legend import LegendRow, key, level
from finial.report.pictures.svg import BLUE, GREY, RUST, picture, polyline

_NAME: Final = "opening"


def opening_over_time(canopy: CanopyStudy, *, us_units: bool = False) -> str:
    """Draw the coupled equation's load, and the closed form's peak as a level."""
    force = chosen(FORCE, us_units)
    loads = canopy.history.loads_n * force.per_si
    closed = canopy.closed_form.value * force.per_si
    low, high = covering([0.0, float(loads.max()), closed], at_least=1e-3)
    frame = Frame(
        name=_NAME,
        x=over_page(0.0, max(float(canopy.history.times_s[-1]), 1e-3)),
        y=Scale(low=low, high=high, start_mm=64.0, end_mm=8.0),
        x_label="time from line stretch, s",
        y_label=f"pull of the canopy, {force.name}",
    )
    curve = polyline(
        traced(frame, canopy.history.times_s, loads), stroke=BLUE, stroke_width=0.5, id=f"{_NAME}-load"
    )
    peak = level(frame, closed, stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1", id=f"{_NAME}-closed")
    rows = (
        LegendRow(text="coupled equation, on time in the wind of the day", stroke=BLUE),
        LegendRow(text="peak by filling time, closed form", stroke=RUST, dashes="3 1"),
        LegendRow(text="both without the snatch of the cord, which stands in its own picture", ink=GREY),
    )
    says = f"Peak {loads.max():.0f} {force.name}; closed form {closed:.0f} {force.name}."
    body = (framed(frame), curve, peak, key(rows, (frame.x.start_mm, 77.0)))
    return picture(_NAME, (PAGE_MM, 90.0), *body, title=f"{canopy.name} opens", says=says)
