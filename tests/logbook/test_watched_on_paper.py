"""What a video shows, by frames and flights that are told outright."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY
from finial.flight.trace import EventKind
from finial.flown.happening import Seen
from finial.logbook import watched


def about(value, half):
    return Estimate(value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED)


def seen(kind, value, half=0.1):
    return watched.WatchedEvent(kind=kind, time=about(value, half))


def trace(*events, lift_off=0.5, end=60.0):
    told = [SimpleNamespace(kind=kind, time_s=time) for kind, time in events]
    start = None if lift_off is None else SimpleNamespace(time_s=lift_off)
    return SimpleNamespace(
        events=told,
        event=lambda kind: start if kind is EventKind.LIFT_OFF else None,
        times_s=np.array([0.0, end]),
    )


def test_frames_are_seconds_from_lift_off_and_both_may_be_off():
    """Fifty a second, each off by two: 0.08 s; what has no frame was not seen."""
    names = ("rail_exit", "burnout", "apogee", "separation", "canopy_full", "landing")
    frame = SimpleNamespace(**dict.fromkeys(names), lift_off=100)
    frame.apogee, frame.landing = 550, 3100
    video = SimpleNamespace(
        frames_per_second=SimpleNamespace(value=50.0), give_or_take=SimpleNamespace(value=2.0), frame=frame
    )
    found = watched.watched(video, "a.toml")
    assert found.file == "a.toml"
    assert [(one.kind, one.time.value) for one in found.events] == [(Seen.APOGEE, 9.0), (Seen.LANDING, 60.0)]
    assert found.events[0].time.high - 9.0 == pytest.approx(0.08)


def test_a_flight_comes_to_it_so_long_after_its_lift_off():
    flight = trace((EventKind.BURNOUT, 2.5), (EventKind.OUT, 9.0), (EventKind.OUT, 30.0))
    assert watched.event_in(flight, Seen.BURNOUT) == 2.0
    assert watched.event_in(flight, Seen.SEPARATION) == 8.5
    assert watched.event_in(flight, Seen.LANDING) is None
    assert watched.event_in(trace((EventKind.GROUND, 30.0), lift_off=None), Seen.LANDING) == 30.0


def test_a_flight_is_off_by_deviations_and_by_all_its_time_where_it_never_comes_to_it():
    """A tenth of a second, nine in ten, is 0.061 s; below 0.05 s nobody tells."""
    flight = trace((EventKind.BURNOUT, 2.5))
    video = watched.Watched(
        file="",
        events=(seen(Seen.BURNOUT, 2.3), seen(Seen.BURNOUT, 1.9, 0.01), seen(Seen.LANDING, 40.0, 0.1)),
    )
    assert watched.off_watched(flight, (video,)) == pytest.approx(
        [0.3 * NINETY / 0.1, -0.1 / 0.05, 60.0 * NINETY / 0.1]
    )


def test_the_first_log_that_shows_it_decides_whether_it_clashes():
    """More than a second apart, or than both may be off."""
    silent = SimpleNamespace(when=lambda _kind: None)
    sharp = SimpleNamespace(when=lambda _kind: SimpleNamespace(time=about(10.0, 0.2)))
    vague = SimpleNamespace(when=lambda _kind: SimpleNamespace(time=about(10.0, 3.0)))
    for value, clash in ((10.99, False), (11.01, True), (8.99, True)):
        assert watched.clashes(seen(Seen.APOGEE, value), (silent, sharp, vague)) is clash
    assert not watched.clashes(seen(Seen.APOGEE, 13.09), (vague,))
    assert watched.clashes(seen(Seen.APOGEE, 13.11), (vague, sharp))
    assert not watched.clashes(seen(Seen.APOGEE, 50.0), (silent,))
    both = watched.Watched(file="a", events=(seen(Seen.APOGEE, 10.5), seen(Seen.APOGEE, 15.0)))
    (left,) = watched.without_clashes((both,), (sharp,))
    assert (left.file, left.events) == ("a", both.events[:1])
