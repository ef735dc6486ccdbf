"""A log over time beside the prediction: height, speed of the climb, push along the axis."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.files.flight_log.curves import KeptCurves
from finial.flight.trace import EventKind, Trace
from finial.flown.happening import Seen
from finial.logbook.debrief import Debrief
from finial.logbook.story import Story
from finial.report.log_words import SEEN
from finial.report.pictures.axes import PAGE_MM, Frame, Scale, bare, covering, framed, over_page, traced
from finial.report.pictures.axis_units import LONG, SPEED, chosen
from finial.report.pictures.legend import ROW_MM, LegendRow, key, upright
from finial.report.pictures.svg import BLUE, GREY, INK, RUST, element, picture, polyline, words

_NAME: Final = "log"
_ROWS_MM: Final = ((52.0, 16.0), (95.0, 63.0), (138.0, 106.0))
_CLIMB_SPARE: Final = 1.35
_MOST_POINTS: Final = 4000
_NAME_ROWS_MM: Final = (2.4, 5.4, 8.4)
_LETTER_MM, _NAME_MM = 1.25, 2.5
_ODD: Final = 0.05
"""Per cent of the readings at either end that no scale is stretched for."""
_KEY: Final = (
    LegendRow(text="read by the sensor", stroke=GREY),
    LegendRow(text="smoothed", stroke=BLUE),
    LegendRow(text="predicted", stroke=RUST, dashes="1.6 1"),
    LegendRow(text="model corrected by the log", stroke=INK, dashes="0.5 0.9"),
)
_Curve = tuple[NDArray[np.float64], NDArray[np.float64]]


def log_pictures(found: Debrief) -> dict[str, str]:
    """Pictures by file name: the climb and the whole flight, of the first log."""
    story = found.stories[0]
    apogee = story.when(Seen.APOGEE)
    end_s = float(story.climb.times_s[-1])
    climb_s = min(end_s, _CLIMB_SPARE * apogee.time.value) if apogee else end_s
    return {
        "log-climb.svg": log_traces(found, until_s=climb_s, title="The climb by the log"),
        "log-flight.svg": log_traces(found, until_s=end_s, title="The flight by the log"),
    }


def log_traces(found: Debrief, *, until_s: float, title: str) -> str:
    """Three graphs over the time from lift-off, with what happened marked."""
    story, us_units = found.stories[0], found.vehicle.us_units
    x = over_page(min(-1.0, -0.02 * until_s), until_s)
    long, speed = chosen(LONG, us_units), chosen(SPEED, us_units)
    rows = (
        (f"height above the pad, {long.name}", long.per_si, _heights(story), _height_of),
        (f"climb, {speed.name}", speed.per_si, _speeds(story), _speed_of),
        ("felt along the axis, g", 1.0 / STANDARD_GRAVITY_M_S2, _pushes(story), _push_of),
    )
    flights = (found.prediction.trace, found.refit.trace)
    drawn: list[str] = []
    for order, (label, per_si, own, read) in enumerate(rows):
        curves = [*own, *((_since_lift_off(trace), read(trace)) for trace in flights)]
        drawn.append(_graph(order, x, (label, per_si), curves))
    events = [(one.kind, one.time.value) for one in story.happenings]
    return _whole(drawn, events, x, title)


def kept_traces(curves: KeptCurves, *, us_units: bool, title: str) -> str:
    """Draw the same three graphs of a flight of the logbook."""
    x = over_page(float(curves.times_s[0]), float(curves.times_s[-1]))
    long, speed = chosen(LONG, us_units), chosen(SPEED, us_units)
    flights = (curves.log, curves.predicted, curves.corrected)
    rows = (
        (f"height above the pad, {long.name}", long.per_si, [one.height_m for one in flights]),
        (f"climb, {speed.name}", speed.per_si, [one.climb_m_s for one in flights]),
        ("felt along the axis, g", 1.0 / STANDARD_GRAVITY_M_S2, [one.push_m_s2 for one in flights]),
    )
    nothing = (np.empty(0), np.empty(0))
    drawn = [
        _graph(order, x, (label, per_si), [nothing, *((curves.times_s, values) for values in own)])
        for order, (label, per_si, own) in enumerate(rows)
    ]
    return _whole(drawn, [(Seen(one.kind), one.time_s) for one in curves.events], x, title)


def _whole(drawn: list[str], events: list[tuple[Seen, float]], x: Scale, title: str) -> str:
    marks = _marks(events, x)
    told = [f"{SEEN[kind]} at {time_s:.1f} s." for kind, time_s in events]
    size = (PAGE_MM, 152.0 + ROW_MM * len(_KEY))
    says = " ".join(("Height, climb and push by the log, predicted and corrected.", *told))
    return picture(_NAME, size, *drawn, marks, key(_KEY, (18.0, 154.0)), title=title, says=says)


def _graph(order: int, x: Scale, told: tuple[str, float], curves: list[_Curve]) -> str:
    label, per_si = told
    shown = [_within(times, values * per_si, x) for times, values in curves]
    ends = [np.percentile(values, [_ODD, 100.0 - _ODD]) for _, values in shown if len(values)]
    low, high = covering([*np.ravel(ends), 0.0], pad=0.02)
    bottom_mm, top_mm = _ROWS_MM[order]
    y = Scale(low=low, high=high, start_mm=bottom_mm, end_mm=top_mm)
    frame = Frame(name=f"{_NAME}-{order}", x=x, y=y, x_label="time from lift-off, s", y_label=label)
    lines = [
        polyline(
            traced(frame, times, np.clip(values, low, high)),
            stroke=row.stroke,
            stroke_width=0.25 if row.stroke == GREY else 0.45,
            stroke_dasharray=row.dashes,
        )
        for row, (times, values) in zip(_KEY, shown, strict=True)
        if len(times) > 1
    ]
    return element("g", framed(frame if order == len(_ROWS_MM) - 1 else bare(frame)), *lines)


def _within(times: NDArray[np.float64], values: NDArray[np.float64], x: Scale) -> _Curve:
    kept = (times >= x.low) & (times <= x.high) & np.isfinite(values)
    times, values = times[kept], values[kept]
    step = max(1, len(times) // _MOST_POINTS)
    return times[::step], values[::step]


def _marks(events: list[tuple[Seen, float]], x: Scale) -> str:
    seen = [(SEEN[kind], time_s) for kind, time_s in events if time_s <= x.high]
    frame = Frame(name="", x=x, y=Scale(low=0.0, high=1.0, start_mm=_ROWS_MM[-1][0], end_mm=_ROWS_MM[0][1]))
    lines = [
        upright(frame, time_s, stroke=GREY, stroke_width=0.2, stroke_dasharray="0.5 0.9")
        for _, time_s in seen
    ]
    places = name_places([(name, x.at(time_s)) for name, time_s in seen])
    named = [
        words(name, at, text_anchor="middle", font_size=_NAME_MM)
        for (name, _), at in zip(seen, places, strict=True)
    ]
    return element("g", *lines, *named)


def name_places(wanted: list[tuple[str, float]]) -> list[tuple[float, float]]:
    """Give each name, in order, the row where it stands nearest to its mark and on no other name [mm]."""
    ends = dict.fromkeys(_NAME_ROWS_MM, 0.0)
    places: list[tuple[float, float]] = []
    for name, middle_mm in wanted:
        half_mm = 0.5 * _LETTER_MM * len(name)
        free = {row: min(max(middle_mm, end + half_mm), PAGE_MM - half_mm) for row, end in ends.items()}
        row = min(free, key=lambda one: abs(free[one] - middle_mm))
        ends[row] = free[row] + half_mm + _LETTER_MM
        places.append((free[row], row))
    return places


def _heights(story: Story) -> tuple[_Curve, _Curve]:
    sensed, climb = story.reading.sensed, story.climb
    return (sensed.times_s, sensed.heights_m), (climb.times_s, climb.heights_m)


def _speeds(story: Story) -> tuple[_Curve, _Curve]:
    """No sensor reads the climb: the first curve is empty."""
    return (np.empty(0), np.empty(0)), (story.climb.times_s, story.climb.speeds_m_s)


def _pushes(story: Story) -> tuple[_Curve, _Curve]:
    """Leave the second curve empty: what is felt is not smoothed."""
    sensed = story.reading.sensed
    return (sensed.times_s, sensed.axial_m_s2), (np.empty(0), np.empty(0))


def _since_lift_off(trace: Trace) -> NDArray[np.float64]:
    lift_off = trace.event(EventKind.LIFT_OFF)
    return trace.times_s - (lift_off.time_s if lift_off else 0.0)


def _height_of(trace: Trace) -> NDArray[np.float64]:
    return trace.positions_m[:, 2] - float(trace.positions_m[0, 2])


def _speed_of(trace: Trace) -> NDArray[np.float64]:
    return trace.velocities_m_s[:, 2]


def _push_of(trace: Trace) -> NDArray[np.float64]:
    """Under canopies the attitude is not computed: nothing is drawn there."""
    out = next((event.time_s for event in trace.events if event.kind is EventKind.OUT), np.inf)
    return np.where(trace.times_s <= out, trace.accelerations_m_s2[:, 0], np.nan)
