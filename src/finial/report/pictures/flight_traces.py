"""Height, speed and felt acceleration over time: the climb beside the whole flight."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.flight.trace import EventKind, FlightEvent, Trace
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, traced
from finial.report.pictures.axis_units import LONG, SPEED, chosen
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    clipped,
    element,
    line,
    number,
    picture,
    polyline,
    words,
)

_NAME: Final = "flight"
_KEY_COLUMNS: Final = 3
_COLUMNS_MM: Final = ((13.0, 82.0), (99.0, 167.0))
_ROWS_MM: Final = ((39.0, 15.0), (71.0, 49.0), (103.0, 81.0))
_CLIMB_SPARE: Final = 1.15
"""The left column shows this much more than the time to apogee."""


def flight_traces(trace: Trace, *, us_units: bool = False) -> str:
    """Three graphs over time, twice: up to apogee, and to the ground, with numbered events."""
    apogee = trace.event(EventKind.APOGEE)
    end_s = float(trace.times_s[-1])
    climb_s = min(end_s, apogee.time_s * _CLIMB_SPARE if apogee else end_s)
    drawn = [_column(trace, index, until, us_units) for index, until in enumerate((climb_s, end_s))]
    told = (f"{event.name} at {event.time_s:.1f} s." for event in trace.events)
    says = " ".join((f"Height, speed and acceleration over {end_s:.1f} s, {trace.ended}.", *told))
    size = (PAGE_MM, 119.0 + 3.8 * _key_rows(trace))
    return picture(_NAME, size, *drawn, _key(trace), title="The flight over time", says=says)


def _column(trace: Trace, index: int, until_s: float, us_units: bool) -> str:
    kept = trace.times_s <= until_s
    times = trace.times_s[kept]
    start_mm, end_mm = _COLUMNS_MM[index]
    x = Scale(low=0.0, high=max(float(until_s), 1e-3), start_mm=start_mm, end_mm=end_mm)
    graphs: list[str] = []
    for row, (label, values) in enumerate(_curves(trace, us_units)):
        shown = values[kept]
        low, high = covering([*shown, 0.0])
        bottom_mm, top_mm = _ROWS_MM[row]
        y = Scale(low=low, high=high, start_mm=bottom_mm, end_mm=top_mm)
        frame = Frame(name=f"{_NAME}-{index}-{row}", x=x, y=y, x_label="time from ignition, s", y_label=label)
        graphs.append(framed(frame if row == 2 else bare(frame)))
        graphs.append(polyline(traced(frame, times, shown), stroke=BLUE, stroke_width=0.5))
    return element("g", *graphs, _event_marks(trace, x, index))


def _curves(trace: Trace, us_units: bool) -> tuple[tuple[str, NDArray[np.float64]], ...]:
    long, speed = chosen(LONG, us_units), chosen(SPEED, us_units)
    felt = np.linalg.norm(trace.accelerations_m_s2, axis=1) / STANDARD_GRAVITY_M_S2
    return (
        (f"height above ground, {long.name}", trace.positions_m[:, 2] * long.per_si),
        (f"speed, {speed.name}", np.linalg.norm(trace.velocities_m_s, axis=1) * speed.per_si),
        ("acceleration felt, g", felt),
    )


def _event_marks(trace: Trace, x: Scale, column: int) -> str:
    """Dotted lines with the event's number on top; numbers too close together move up in turn."""
    marks: list[str] = []
    last_mm, lift = -10.0, 0
    for order, event in enumerate(trace.events, start=1):
        if event.time_s > x.high:
            continue
        at = x.at(event.time_s)
        lift = (lift + 1) % 3 if at - last_mm < 3.2 else 0
        last_mm = at
        dots = {"stroke": GREY, "stroke_width": 0.2, "stroke_dasharray": "0.5 0.9"}
        rules = [line((at, bottom), (at, top), **dots) for bottom, top in _ROWS_MM]
        label = words(str(order), (at, 9.6 - 2.6 * lift), text_anchor="middle", font_size=2.5)
        marks.append(element("g", *rules, label, id=f"{_NAME}-{column}-event-{order}", data_x=number(at)))
    return element("g", *marks)


def _key(trace: Trace) -> str:
    """Say what the numbers stand for, in three columns."""
    rows = _key_rows(trace)
    entries = [
        words(
            _told(order, event),
            (13.0 + 52.0 * ((order - 1) // rows), 117.0 + 3.8 * ((order - 1) % rows)),
            fill=INK,
        )
        for order, event in enumerate(trace.events, start=1)
    ]
    return element("g", *entries)


def _key_rows(trace: Trace) -> int:
    return -(-len(trace.events) // _KEY_COLUMNS) or 1


def _told(order: int, event: FlightEvent) -> str:
    return f"{order}  {clipped(event.name, 26)}, {event.time_s:.2f} s"
