"""What a video shows, beside a log and in the refit."""

from dataclasses import replace

import numpy as np
import pytest

from finial.files.flight_log.video import Video
from finial.flight.fly import fly
from finial.flown.happening import Seen
from finial.logbook.refit import refit
from finial.logbook.rehearsal import Sensors, rehearsed
from finial.logbook.unknowns import UnknownKind, changed_inputs
from finial.logbook.watched import clashes, event_in, off_watched, watched, without_clashes

RATE = 30.0


@pytest.fixture(scope="module")
def flown(foreseen):
    case = foreseen.case
    return fly(changed_inputs(case.inputs, {"delay main": 2.0}, case.spread.wind_speed_m_s))


@pytest.fixture(scope="module")
def seen(flown):
    frames = {
        kind.name.lower(): 100 + round(RATE * event_in(flown, kind))
        for kind in (Seen.BURNOUT, Seen.APOGEE, Seen.SEPARATION, Seen.LANDING)
    }
    return watched(
        Video.model_validate({"frames_per_second": RATE, "frame": {"lift_off": 100, **frames}}), "v.toml"
    )


def test_frames_become_seconds_from_lift_off(seen, flown):
    assert [one.kind for one in seen.events] == [Seen.BURNOUT, Seen.APOGEE, Seen.SEPARATION, Seen.LANDING]
    for one in seen.events:
        assert one.time.low <= event_in(flown, one.kind) <= one.time.high
        assert one.time.half_width == pytest.approx(2.0 / RATE)
    assert np.abs(off_watched(flown, (seen,))).max() < 0.5


def test_another_flight_is_off_by_what_it_is_late(seen, foreseen, flown):
    off = off_watched(foreseen.trace, (seen,))
    late = event_in(flown, Seen.SEPARATION) - event_in(foreseen.trace, Seen.SEPARATION)
    assert late == pytest.approx(1.5, abs=0.02)
    assert off[2] == pytest.approx(late / 0.05, rel=0.05)


def test_what_never_came_is_far_off(seen, foreseen):
    events = tuple(one for one in foreseen.trace.events if one.canopy == "")
    assert off_watched(replace(foreseen.trace, events=events), (seen,))[2] > 100.0


def test_a_video_tells_the_delay_of_a_recorder_that_lost_its_power(told, foreseen, flown, seen):
    case = foreseen.case
    rows = rehearsed(flown, foreseen.day, Sensors(), 8).csv().splitlines()
    # Five seconds of pad, and half a second over the top.
    log = told("\n".join(rows[: int((5.0 + 11.7) / 0.02)]) + "\n")
    alone, both = (refit((log,), case.inputs, case.spread, videos) for videos in ((), (seen,)))
    without, with_it = (one.of(UnknownKind.DELAY, "main") for one in (alone, both))
    assert without.fixed < 0.1
    assert with_it.fixed > 0.8
    assert abs(with_it.after.value - 2.0) < 2.5 * with_it.sigma


def test_a_frame_that_a_log_contradicts_is_not_used(told, foreseen, flown, seen):
    log = told(rehearsed(flown, foreseen.day, Sensors(kick_m_s2=250.0), 8).csv())
    assert without_clashes((seen,), (log,)) == (seen,)
    late = tuple(
        replace(one, time=one.time.shifted(17.0)) if one.kind is Seen.LANDING else one for one in seen.events
    )
    (left,) = without_clashes((replace(seen, events=late),), (log,))
    assert [one.kind for one in left.events] == [Seen.BURNOUT, Seen.APOGEE, Seen.SEPARATION]
    assert clashes(late[-1], (log,))
    assert not clashes(late[-1], ())
