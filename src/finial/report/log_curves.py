"""Curves of a log beside its prediction, thin enough for a page and a picture."""

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.files.flight_log.curves import FlightCurves, KeptCurves, KeptEvent
from finial.flight.trace import EventKind, Trace
from finial.logbook.debrief import Debrief

_POINTS = 1200
_BEFORE_S = 2.0


def curves_of_debrief(found: Debrief) -> KeptCurves:
    """Put log, prediction and corrected model on one time from lift-off."""
    story = found.stories[0]
    end = float(story.climb.times_s[-1])
    times = _times(end, float(story.climb.times_s[int(story.climb.heights_m.argmax())]))
    return KeptCurves(
        times_s=times,
        log=FlightCurves(
            height_m=_at(times, story.climb.times_s, story.climb.heights_m),
            climb_m_s=_at(times, story.climb.times_s, story.climb.speeds_m_s),
            push_m_s2=_at(times, story.reading.sensed.times_s, story.reading.sensed.axial_m_s2),
        ),
        predicted=_of_flight(times, found.prediction.trace),
        corrected=_of_flight(times, found.refit.trace),
        events=tuple(KeptEvent(kind=one.kind, time_s=one.time.value) for one in story.happenings),
    )


def _times(end_s: float, apogee_s: float) -> NDArray[np.float64]:
    """Half of the points up to the apogee and a little on, where things go fast; half for the fall."""
    fast_end = min(1.3 * apogee_s, end_s)
    half = _POINTS // 2
    ups, downs = np.linspace(-_BEFORE_S, fast_end, half), np.linspace(fast_end, end_s, half)
    return np.unique(np.concatenate([ups, downs]).round(3))


def _at(
    times: NDArray[np.float64], own: NDArray[np.float64], values: NDArray[np.float64]
) -> NDArray[np.float64]:
    known = np.isfinite(values)
    if not known.any():
        return np.full(len(times), np.nan)
    return np.interp(times, own[known], values[known], left=np.nan, right=np.nan)


def _of_flight(times: NDArray[np.float64], trace: Trace) -> FlightCurves:
    lift_off = trace.event(EventKind.LIFT_OFF)
    own = trace.times_s - (lift_off.time_s if lift_off else 0.0)
    pushes = np.where(own < 0.0, STANDARD_GRAVITY_M_S2, trace.accelerations_m_s2[:, 0])
    return FlightCurves(
        height_m=_at(times, own, trace.positions_m[:, 2] - trace.positions_m[0, 2]),
        climb_m_s=_at(times, own, trace.velocities_m_s[:, 2]),
        push_m_s2=_at(times, own, pushes),
    )
