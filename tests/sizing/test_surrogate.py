"""Designs foretold from judged ones: with an honest error, and without a change to what a search finds."""

import math

import numpy as np
import pytest

from finial.sizing import search as searching
from finial.sizing.judged import Judged
from finial.sizing.search import Search, lightest_go
from finial.sizing.surrogate import foretold, least_cost
from finial.sizing.variables import Variable

VARIABLES = (
    Variable(kind="ballast", name="lead", low=0.5, high=3.0),
    Variable(kind="span", name="fins", low=0.5, high=1.5),
)


def smooth(points):
    return np.sin(3.0 * points[:, 0]) + points[:, 1] ** 2 + points[:, 0] * points[:, 1]


def stepped(points):
    return smooth(points) + 2.0 * (points[:, 0] > 0.55)


def _missed(function, seed):
    """Errors of 400 foretold values over what was said of them."""
    generator = np.random.default_rng(seed)
    there, here = generator.random((50, 2)), generator.random((400, 2))
    told = foretold(there, function(there), here)
    return (told.mean - function(here)) / told.error, told


def test_a_smooth_number_is_foretold_closely_and_within_its_error():
    missed, told = _missed(smooth, 3)
    assert np.abs(missed * told.error).max() < 0.02
    assert np.quantile(np.abs(missed), 0.99) < 4.0


def test_where_a_number_jumps_its_errors_own_up():
    missed, told = _missed(stepped, 3)
    assert np.quantile(np.abs(missed), 0.95) < 4.0
    assert np.median(told.error) > 10.0 * np.median(_missed(smooth, 3)[1].error)


def test_at_known_places_it_is_the_known_value():
    there = np.random.default_rng(3).random((30, 2))
    told = foretold(there, smooth(there), there)
    assert told.mean == pytest.approx(smooth(there), abs=5e-3)
    far = foretold(there, smooth(there), there + 30.0)
    assert far.mean == pytest.approx(np.full(30, smooth(there).mean()), abs=1e-6)
    assert (far.error > 10.0 * told.error.max()).all()


def test_what_never_varied_foretells_nothing():
    known = [((x, 1.0), Judged(mass_kg=5.0 + x, missing=2.0, is_go=False)) for x in np.linspace(0.5, 3.0, 30)]
    ends = np.array([0.5, 0.5]), np.array([3.0, 1.5])
    mass_kg, missing = least_cost(known, np.array([[1.0, 1.2]]), ends)
    assert missing.tolist() == [0.0]
    assert math.isfinite(mass_kg[0])


class Judging:
    """Mass and margin with bends, as a vehicle has: go when a bent sum passes its limit."""

    def __init__(self):
        self.count = 0

    def __call__(self, points):
        for lead_kg, span in points:
            self.count += 1
            margin = 2.0 * lead_kg + 3.0 * span + 0.5 * math.sin(4.0 * lead_kg) - 0.4 * span**2
            missing = max(0.0, 5.0 - margin) + max(0.0, span - 1.3)
            yield Judged(mass_kg=4.0 + lead_kg + span**2, missing=missing, is_go=missing == 0.0)


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_search_finds_the_same_with_fewer_designs_judged(tmp_path, monkeypatch, seed):
    search = Search(variables=VARIABLES, generations=15, seed=seed)
    some, every = Judging(), Judging()
    found = lightest_go(search, some, tmp_path / "some.jsonl")
    monkeypatch.setattr(searching, "FEWEST_A_VARIABLE", 10_000)
    whole = lightest_go(search, every, tmp_path / "every.jsonl")
    assert (found.point, found.judged) == (whole.point, whole.judged)
    assert whole.left_out == 0
    assert some.count == found.judged_designs < 0.8 * every.count
    assert found.left_out == every.count - some.count


def test_what_was_left_out_is_left_out_again_when_it_goes_on(tmp_path):
    search = Search(variables=VARIABLES, generations=12)
    whole = lightest_go(search, Judging(), tmp_path / "whole.jsonl")
    lightest_go(Search(variables=VARIABLES, generations=6), Judging(), tmp_path / "parts.jsonl")
    assert lightest_go(search, Judging(), tmp_path / "parts.jsonl") == whole
    again = Judging()
    assert lightest_go(search, again, tmp_path / "parts.jsonl") == whole
    assert again.count == 0
