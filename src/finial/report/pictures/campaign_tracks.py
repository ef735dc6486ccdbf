"""Some flights of a campaign from the side: height over distance from the pad, one line each."""

from typing import Final

import numpy as np

from finial.flight.trace import Trace
from finial.report.pictures.axes import Frame, Scale, covering, framed, traced
from finial.report.pictures.axis_units import LONG, chosen
from finial.report.pictures.svg import BLUE, element, picture, polyline

_NAME: Final = "tracks"
_SIZE_MM: Final = (150.0, 92.0)


def campaign_tracks(traces: tuple[Trace, ...], *, us_units: bool = False) -> str:
    """Height over distance along the ground."""
    unit = chosen(LONG, us_units)
    sides = [
        (np.hypot(*trace.positions_m[:, :2].T) * unit.per_si, trace.positions_m[:, 2] * unit.per_si)
        for trace in traces
    ]
    far = max((float(away.max()) for away, _ in sides), default=1.0)
    high = max((float(height.max()) for _, height in sides), default=1.0)
    frame = Frame(
        name=_NAME,
        x=Scale(low=0.0, high=covering([0.0, far])[1], start_mm=16.0, end_mm=146.0),
        y=Scale(low=0.0, high=covering([0.0, high])[1], start_mm=80.0, end_mm=8.0),
        x_label=f"distance from the pad, {unit.name}",
        y_label=f"height above ground, {unit.name}",
    )
    lines = [
        polyline(
            traced(frame, away, np.maximum(height, 0.0)), stroke=BLUE, stroke_width=0.3, stroke_opacity=0.6
        )
        for away, height in sides
    ]
    says = f"{len(traces)} flights, up to {high:.0f} {unit.name} high and {far:.0f} {unit.name} away."
    body = (framed(frame), element("g", *lines, id=f"{_NAME}-lines"))
    return picture(_NAME, _SIZE_MM, *body, title="Some of the flights, from the side", says=says)
