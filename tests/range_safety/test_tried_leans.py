"""Which leans of a rail are tried, and what clears most."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.range_safety import leaning


def test_leans_go_up_in_steps_of_two_degrees_all_round_by_thirty():
    upright, *others = leaning._tried(math.radians(5.0))
    assert upright == (0.0, 0.0)
    told = [(round(math.degrees(tilt), 6), round(math.degrees(toward), 6)) for tilt, toward in others]
    assert told == [(tilt, 30.0 * turn) for tilt in (2.0, 4.0) for turn in range(12)]
    assert max(tilt for tilt, _ in leaning._tried(1.0)) == pytest.approx(math.radians(12.0))
    assert list(leaning._tried(math.radians(1.9))) == [(0.0, 0.0)]


def test_of_leans_that_clear_as_much_the_least_goes_first(monkeypatch):
    cleared = {0.0: 90.0, 2.0: 120.4, 4.0: 120.0}

    def lean(inputs, spot, marks, tilt, toward):
        return leaning.Lean(
            tilt_rad=tilt, toward_rad=toward, clearance_m=cleared[round(math.degrees(tilt), 6)]
        )

    monkeypatch.setattr(leaning, "_lean", lean)
    spot = SimpleNamespace(field_m=None, field_radius_m=500.0, crowd=None)
    found = leaning.leans({}, spot, (), math.radians(4.0))
    assert len(found) == 25
    assert math.degrees(found[0].tilt_rad) == pytest.approx(2.0)
    assert (found[12].clearance_m, found[-1].clearance_m) == (120.0, 90.0)
    nothing = SimpleNamespace(field_m=None, field_radius_m=None, crowd=None)
    assert leaning.leans({}, nothing, (), 0.2) == ()


def test_a_lean_is_judged_with_its_canopies_and_without_and_one_that_is_lost_clears_nothing(monkeypatch):
    class Given(SimpleNamespace):
        pass

    flown = []
    monkeypatch.setattr(leaning, "replace", lambda one, **new: Given(**(vars(one) | new)))
    monkeypatch.setattr(leaning, "fly", lambda given: flown.append(given) or SimpleNamespace(landed=lands))
    monkeypatch.setattr(leaning, "_landing", lambda _trace: (float(len(flown)), 0.0))
    monkeypatch.setattr(leaning, "clearance_m", lambda points, spot, marks: float(np.sum(points)))
    inputs = {name: Given(rail=Given(tilt_rad=9.0, bearing_rad=9.0), canopies=("main",)) for name in "ab"}
    lands = True
    found = leaning._lean(inputs, None, (), 0.1, 0.2)
    assert (found.tilt_rad, found.toward_rad, found.clearance_m) == (0.1, 0.2, 1.0 + 2.0 + 3.0 + 4.0)
    assert [one.canopies for one in flown] == [("main",), (), ("main",), ()]
    assert {(one.rail.tilt_rad, one.rail.bearing_rad) for one in flown} == {(0.1, 0.2)}
    lands = False
    assert leaning._lean(inputs, None, (), 0.1, 0.2).clearance_m == -math.inf
