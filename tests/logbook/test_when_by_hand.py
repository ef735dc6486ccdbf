"""Between which moments of a flight a log is asked for its pushes and pulls."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from finial.flown.happening import Seen
from finial.logbook import story as told


def moment(kind: Seen, time_s: float) -> Any:
    return SimpleNamespace(kind=kind, time=SimpleNamespace(value=time_s))


def asked(monkeypatch: pytest.MonkeyPatch, **at_s: float) -> list[tuple[float, float]]:
    """Windows in which the largest is looked for, in the order push, snatch, opening."""
    windows: list[tuple[float, float]] = []
    moments = tuple(moment(Seen[name], time_s) for name, time_s in at_s.items())
    for name in ("attitudes", "_highest_s", "smoothed", "turning", "_lean"):
        monkeypatch.setattr(told, name, lambda *_given: None)
    monkeypatch.setattr(told, "happenings", lambda *_given: moments)
    monkeypatch.setattr(told, "falls", lambda *_given: ())
    monkeypatch.setattr(told, "_notes", lambda *_given: ())
    monkeypatch.setattr(told, "peak", lambda _sensed, start_s, end_s: windows.append((start_s, end_s)))
    sensed = SimpleNamespace(times_s=np.array([0.0, 70.0]))
    reading: Any = SimpleNamespace(sensed=sensed, lift_off=None, notes=())
    told.story(reading, tilt_rad=0.0)
    return windows


def test_a_snatch_is_looked_for_within_a_second_of_separation_and_an_opening_after_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found = asked(monkeypatch, BURNOUT=2.0, APOGEE=9.0, SEPARATION=10.0, LANDING=60.0)
    assert found == [(0.0, 2.0), (pytest.approx(9.9), 11.0), (11.0, 59.0)]


def test_on_the_ground_nothing_snatches(monkeypatch: pytest.MonkeyPatch) -> None:
    late = asked(monkeypatch, BURNOUT=2.0, APOGEE=9.0, SEPARATION=59.5, LANDING=60.0)
    assert late == [(0.0, 2.0), (pytest.approx(59.4), 60.0), (60.5, 59.0)]


def test_what_never_lands_is_looked_at_until_the_log_ends_and_what_stays_whole_not_at_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert asked(monkeypatch, BURNOUT=2.0, SEPARATION=10.0)[2] == (11.0, 69.0)
    assert asked(monkeypatch, BURNOUT=2.0, APOGEE=9.0) == [(0.0, 2.0)]
