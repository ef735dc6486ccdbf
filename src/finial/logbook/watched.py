"""What a video of the flight shows, in seconds from lift-off."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.files.flight_log.video import Video
from finial.flight.trace import EventKind, Trace
from finial.flown.happening import Seen
from finial.logbook.story import Story

_LEAST_SIGMA_S = 0.05
"""What a flight is computed for and what an eye calls by the same name agree no better; assumed."""
_CLASH_S = 1.0
"""An eye and a log may call two moments by one name that lie so far apart; assumed."""
IN_A_FLIGHT: Final = {
    Seen.RAIL_EXIT: EventKind.RAIL_EXIT,
    Seen.BURNOUT: EventKind.BURNOUT,
    Seen.APOGEE: EventKind.APOGEE,
    Seen.SEPARATION: EventKind.OUT,
    Seen.CANOPY_FULL: EventKind.OPEN,
    Seen.LANDING: EventKind.GROUND,
}
"""What a computed flight calls it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedEvent:
    """One thing that a video shows."""

    kind: Seen
    time: Estimate
    """From lift-off [s]; both frames may be off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One video of the flight."""

    file: str
    events: tuple[WatchedEvent, ...]


def watched(video: Video, file: str) -> Watched:
    """Turn frames into seconds from lift-off."""
    return Watched(file=file, events=tuple(_events(video)))


def _events(video: Video) -> Iterator[WatchedEvent]:
    rate, off = video.frames_per_second.value, video.give_or_take.value
    for kind, name in ((kind, kind.name.lower()) for kind in IN_A_FLIGHT):
        frame: int | None = getattr(video.frame, name)
        if frame is None:
            continue
        value, half = (frame - video.frame.lift_off) / rate, 2.0 * off / rate
        yield WatchedEvent(
            kind=kind,
            time=Estimate(
                value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED, method="video"
            ),
        )


def clashes(event: WatchedEvent, stories: Iterable[Story]) -> bool:
    """Whether a log shows the same at another time: then one of the two is of something else."""
    for story in stories:
        seen = story.when(event.kind)
        if seen is not None:
            apart = abs(event.time.value - seen.time.value)
            return apart > max(_CLASH_S, event.time.half_width + seen.time.half_width)
    return False


def without_clashes(videos: tuple[Watched, ...], stories: tuple[Story, ...]) -> tuple[Watched, ...]:
    """Keep what no log contradicts."""
    return tuple(
        replace(video, events=tuple(one for one in video.events if not clashes(one, stories)))
        for video in videos
    )


def event_in(trace: Trace, kind: Seen) -> float | None:
    """When a computed flight comes to it, from its lift-off [s]; ``None`` where it does not."""
    wanted = IN_A_FLIGHT[kind]
    found = next((one for one in trace.events if one.kind is wanted), None)
    lift_off = trace.event(EventKind.LIFT_OFF)
    return None if found is None else found.time_s - (lift_off.time_s if lift_off else 0.0)


def off_watched(trace: Trace, videos: tuple[Watched, ...]) -> NDArray[np.float64]:
    """Return a flight's times less those of the videos, over their deviations.

    A flight that never comes to what was seen is far off.
    """
    off: list[float] = []
    for event in (event for video in videos for event in video.events):
        flown = event_in(trace, event.kind)
        sigma = max(event.time.half_width / NINETY, _LEAST_SIGMA_S)
        gap = float(trace.times_s[-1]) if flown is None else event.time.value - flown
        off.append(gap / sigma)
    return np.array(off)
