"""When a computer takes the top for reached: which one, for whose canopies, by what, and how late."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.electronics import tops
from finial.core.constants import STANDARD_GRAVITY_M_S2


class Made:
    """A record that is equal only to itself."""

    def __init__(self, **told):
        self.__dict__.update(told)


def trace(heights, step_s=0.5):
    """A flight that stops at its top, one row every half second."""
    return Made(times_s=np.arange(len(heights)) * step_s, heights=np.array(heights, dtype=float))


def air(*doubts):
    """A port that shows the heights, and each a little more or less."""
    return Made(shown_in_doubt_m=lambda one: [one.heights * doubt for doubt in doubts])


def test_a_reading_falls_behind_the_highest_before_it():
    assert tops._drop_m(np.array([1.0, 3.0, 2.0, 2.5, 5.0, 1.0])).tolist() == [0.0, 0.0, 1.0, 0.5, 0.0, 4.0]


def test_the_top_is_felt_when_the_reading_has_fallen_far_enough():
    """Two metres down at 1.5 s, 0.5 s before the last row; five never: it falls on freely from there."""
    one = trace([0.0, 10.0, 9.0, 8.0, 7.0])
    drop = tops._drop_m(one.heights)
    assert tops._fallen(one, drop, 2.0) == pytest.approx(1.5 - 2.0)
    assert tops._fallen(one, drop, 1.0) == pytest.approx(1.0 - 2.0)
    assert tops._fallen(one, drop, 5.0) == pytest.approx(math.sqrt(10.0 / STANDARD_GRAVITY_M_S2))


def test_a_barometer_is_early_by_the_least_fall_and_late_by_the_most():
    first, other = trace([0.0, 10.0, 9.0, 8.0, 7.0, 5.0]), trace([0.0, 10.0, 8.5, 8.5, 4.0, 4.0])
    found = tops._by_barometer(air(1.0, 0.5), (first, other))
    # Two metres of the first as it is: at 1.5 s of 2.5; one at 1.0 s; of half its reading five are too many.
    free = math.sqrt(10.0 / STANDARD_GRAVITY_M_S2)
    assert (found.low, found.value, found.high) == pytest.approx((-1.5, -1.0, free))


def test_what_is_felt_lies_within_the_errors_of_every_flight(monkeypatch):
    flights = SimpleNamespace(nominal=1.0, every=(1.0, 2.0))
    monkeypatch.setattr(tops, "perfect_and_worst", lambda told: (0.0, told))
    monkeypatch.setattr(tops, "felt_up", lambda flown: (flown,))
    monkeypatch.setattr(tops, "top_by_felt", lambda flown, error: (flown - error, flown + error))
    found = tops._by_felt(flights, 0.25)
    assert (found.low, found.value, found.high) == (0.75, 1.0, 2.25)


def igniter(computer, fires, *, falling=None, clock=None):
    event = SimpleNamespace(falling_through=falling, after_lift_off=clock)
    return SimpleNamespace(computer=computer, fires=fires, event=event)


def test_computers_that_fire_at_the_top_are_told_with_the_canopies_they_bring_out(monkeypatch):
    charges = [
        SimpleNamespace(name=name, bay=bay)
        for name, bay in (("nose", "fore"), ("tail", "aft"), ("low", "aft"))
    ]
    canopies = [SimpleNamespace(name=name, bay=bay) for name, bay in (("main", "aft"), ("drogue", "fore"))]
    accelerometer = SimpleNamespace(finds_top=True)
    computers = [
        SimpleNamespace(name="a", accelerometer=None, port="side"),
        SimpleNamespace(name="b", accelerometer=accelerometer, port="side"),
        SimpleNamespace(name="c", accelerometer=SimpleNamespace(finds_top=False), port="none"),
        SimpleNamespace(name="d", accelerometer=None, port="side"),
    ]
    igniters = [
        igniter("a", "nose"),
        igniter("a", "low", falling=150.0),
        igniter("b", "tail"),
        igniter("c", "nose"),
        igniter("d", "tail", clock=9.0),
    ]
    sheet = SimpleNamespace(
        electronics=SimpleNamespace(computer=computers, igniter=igniters),
        recovery=SimpleNamespace(charge=charges, canopy=canopies),
    )
    monkeypatch.setattr(tops, "_by_felt", lambda flights, told: "felt")
    monkeypatch.setattr(tops, "_by_barometer", lambda shown, every: f"{shown} of {every}")
    flights = SimpleNamespace(every="all")
    found = list(tops.sensed_tops(SimpleNamespace(sheet=sheet), flights, {"side": "shown"}))
    assert [(one.computer, one.port, one.canopies, one.after_top) for one in found] == [
        ("a", "side", ("drogue",), "shown of all"),
        ("b", "", ("main",), "felt"),
        ("c", "none", ("drogue",), None),
    ]
