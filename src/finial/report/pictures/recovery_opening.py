"""Load of an opening canopy over time from line stretch."""

from typing import Final

from finial.assemble.recovery.records import CanopyStudy
from finial.report.pictures.axes import Frame, Scale, covering, framed, traced
from finial.report.pictures.axis_units import FORCE, chosen
from finial.report.pictures.svg import BLUE, GREY, RUST, element, line, picture, polyline, words

_NAME: Final = "opening"


def opening_over_time(canopy: CanopyStudy, *, us_units: bool = False) -> str:
    """Draw the coupled equation's load, and the closed form's peak as a level."""
    force = chosen(FORCE, us_units)
    loads = canopy.history.loads_n * force.per_si
    closed = canopy.closed_form.value * force.per_si
    low, high = covering([0.0, float(loads.max()), closed], at_least=1e-3)
    frame = Frame(
        name=_NAME,
        x=Scale(low=0.0, high=max(float(canopy.history.times_s[-1]), 1e-3), start_mm=16.0, end_mm=166.0),
        y=Scale(low=low, high=high, start_mm=64.0, end_mm=8.0),
        x_label="time from line stretch, s",
        y_label=f"pull of the canopy, {force.name}",
    )
    at = frame.y.at(closed)
    curve = polyline(
        traced(frame, canopy.history.times_s, loads), stroke=BLUE, stroke_width=0.5, id=f"{_NAME}-load"
    )
    level = line(
        (16.0, at), (166.0, at), stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1", id=f"{_NAME}-closed"
    )
    key = element(
        "g",
        line((16.0, 76.0), (28.0, 76.0), stroke=BLUE, stroke_width=0.5),
        words("coupled equation, on time in the wind of the day", (30.0, 77.0)),
        line((16.0, 80.2), (28.0, 80.2), stroke=RUST, stroke_width=0.4, stroke_dasharray="3 1"),
        words("peak by filling time, closed form", (30.0, 81.2)),
        words(
            "both without the snatch of the cord, which stands in its own picture", (30.0, 85.4), fill=GREY
        ),
    )
    says = f"Peak {loads.max():.0f} {force.name}; closed form {closed:.0f} {force.name}."
    return picture(
        _NAME, (170.0, 90.0), framed(frame), curve, level, key, title=f"{canopy.name} opens", says=says
    )
