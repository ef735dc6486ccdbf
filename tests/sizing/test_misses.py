"""How far off designs were foretold: counted where they were judged all the same, and never where not."""

from typing import Any

import numpy as np
import pytest

from finial.sizing import search as searching
from finial.sizing.judged import Judged
from finial.sizing.misses import Miss, missed, nearby
from finial.sizing.search import Search, best_go
from finial.sizing.surrogate import Foretold, ForetoldCost
from finial.sizing.variables import Variable, choosing

LEAD = Variable(kind="ballast", name="lead", low=1.0, high=3.0)


def judging(points: Any) -> Any:
    """A design too light cannot be flown, and has no numbers."""
    for (lead_kg,) in points:
        flown = lead_kg > 1.2
        yield Judged(mass_kg=4.0 + lead_kg if flown else 0.0, missing=0.0 if flown else 100.0, is_go=flown)


def flat(mean: Any, error: Any) -> Any:
    """Foretell the same of every design: a mass, and nothing missing."""

    def told(_known: Any, asked: Any, _space: Any, _aim: Any) -> Any:
        at = np.full(len(asked), 1.0)
        nothing = Foretold(mean=0.0 * at, error=0.0 * at)
        return ForetoldCost(sought=Foretold(mean=mean * at, error=error * at), missing=nothing)

    return told


def searched(tmp_path: Any, monkeypatch: Any, told: Any) -> Any:
    monkeypatch.setattr(searching, "foretold_cost", told)
    return best_go(Search(variables=(LEAD,), generations=4), judging, tmp_path / "judged.jsonl")


def test_a_miss_is_the_distance_to_what_was_foretold_of_those_that_could_be_flown(
    tmp_path: Any, monkeypatch: Any
) -> None:
    found = searched(tmp_path, monkeypatch, flat(4.0, 0.25))  # surely not below 3 kg: none is left out
    assert found.left_out == 0
    assert len(found.misses) > 10
    for one in found.misses:
        assert one.sought == pytest.approx(one.point[0])
        assert (one.missing, one.is_better) == (0.0, False)
        assert one.point[0] > 1.2
    known = set(found.known)
    assert {one.point for one in found.misses} < known
    assert len(found.misses) == len({one.point for one in found.misses})


def test_a_design_below_what_was_said_to_be_sure_is_told(tmp_path: Any, monkeypatch: Any) -> None:
    found = searched(tmp_path, monkeypatch, flat(6.0, 0.1))  # surely not below 5.6 kg
    off = missed(found.misses)
    assert off is not None
    assert off.better == sum(one.point[0] < 1.6 for one in found.misses) > 0


def test_of_a_choice_never_tried_nothing_is_foretold(tmp_path: Any, monkeypatch: Any) -> None:
    assert searched(tmp_path, monkeypatch, flat(4.0, np.inf)).misses == ()
    assert missed(()) is None


def test_near_is_a_tenth_of_every_range_and_the_same_choice() -> None:
    variables = LEAD, choosing("thread", "rods", ["M6", "M8"])
    others = [(2.19, 1.0), (2.21, 1.0), (2.0, 0.0), (1.81, 1.0)]
    assert list(nearby((2.0, 1.0), others, variables)) == [(2.19, 1.0), (1.81, 1.0)]


def test_typical_is_the_middle_one_and_largest_the_worst() -> None:
    off = [Miss(point=(x,), sought=x, missing=1.0 - x, is_better=x > 0.5) for x in (0.1, 0.2, 0.9)]
    told = missed(off)
    assert told is not None
    assert (told.designs, told.better) == (3, 1)
    assert (told.typical, told.largest) == (0.2, 0.9)
    assert (told.typical_missing, told.largest_missing) == (0.8, 0.9)
