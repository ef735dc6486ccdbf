"""Where a search begins, what it draws, what its levers write, and what motor a model wants, on paper."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.sizing import scale, search, today, variables
from finial.sizing.variables import BALLAST, PRELOAD, THREAD, WALLS, Variable, choosing


def test_a_model_is_looked_at_from_half_to_twice_of_what_is_drawn():
    assert scale.USUAL_ENDS == (0.5, 2.0)
    assert scale.heights((1.0, 4.0), 4) == (1.0, 2.0, 3.0, 4.0)
    assert scale.heights((1.0, 4.0), 1) == (1.0,)


def test_the_impulse_lifts_the_motor_too():
    """Six times its weight for two seconds: I = push m / (1 - push w), at 1.05 g a newton second."""
    dry = Estimate(value=10.0, low=9.0, high=12.0, known_by=KnownBy.MEASURED)
    found = scale._impulse(dry, 6.0)

    def by_hand(mass, burn, loaded):
        push = 6.0 * STANDARD_GRAVITY_M_S2 * burn
        return push * mass / (1.0 - push * loaded)

    assert (found.low, found.value, found.high) == pytest.approx(
        (by_hand(9.0, 1.0, 0.9e-3), by_hand(10.0, 2.0, 1.05e-3), by_hand(12.0, 3.0, 1.2e-3))
    )
    with pytest.raises(OutsideRange, match="no motor lifts"):
        scale._impulse(dry, 30.0)


def rod(name, thread, preload):
    return SimpleNamespace(
        name=name, thread=thread, preload=None if preload is None else SimpleNamespace(value=preload)
    )


SHEET = SimpleNamespace(
    rod=(rod("long", "M8", None), rod("short", "M8", 700.0), rod("third", "M6", 300.0)),
    item=(SimpleNamespace(name="lead", mass=SimpleNamespace(value=1.5)),),
    motor=SimpleNamespace(data="k500"),
)


def test_a_search_begins_at_what_the_sheet_has_or_at_the_low_end():
    def at(kind, name):
        return today._now(SHEET, Variable(kind=kind, name=name, low=0.25, high=5000.0))

    assert [at(PRELOAD, name) for name in ("M8", "third", "long", "M5")] == [700.0, 300.0, 0.25, 0.25]
    assert [at(BALLAST, name) for name in ("lead", "sand")] == [1.5, 0.25]
    assert at(WALLS, "") == 1.0
    threads = [
        today._now(SHEET, choosing(THREAD, name, ("M5", "M6", "M8"))) for name in ("M8", "third", "none")
    ]
    assert threads == [2.0, 1.0, 0.0]
    assert today._now(SHEET, choosing(THREAD, "M8", ("M5", "M6"))) == 0.0


def test_the_first_designs_lie_evenly_within_the_ends_and_one_is_today_s(monkeypatch):
    varied = (
        Variable(kind=BALLAST, name="lead", low=1.0, high=3.0),
        Variable(kind=WALLS, name="", low=0.5, high=2.0),
    )
    asked = SimpleNamespace(variables=varied, seed=3, start=(1.5, 9.0))
    drawn = search._first(asked)
    low, high = np.array([1.0, 0.5]), np.array([3.0, 2.0])
    assert ((drawn >= low) & (drawn <= high)).all()
    # What lies outside is taken at its end.
    assert drawn[0].tolist() == [1.5, 2.0]
    count = len(drawn)
    assert count == 16
    asked.start = ()
    # One in each of as many equal parts of either range: a Latin square.
    parts = np.sort(np.floor((search._first(asked) - low) / (high - low) * count), axis=0)
    assert parts.tolist() == [[float(n)] * 2 for n in range(count)]


def test_a_lever_that_is_a_pull_is_found_by_kind_and_name(monkeypatch):
    wall, other = (
        SimpleNamespace(name=name, kind=kind, changes=lambda value, name=name: {name: value})
        for name, kind in (("tube", variables.TweakKind.WALLS), ("bay", variables.TweakKind.CHARGE))
    )
    monkeypatch.setattr(variables, "pulls_of", lambda _vehicle: [wall, other])
    assert variables._pull(None, WALLS, "tube")(1.25) == {"tube": 1.25}
    with pytest.raises(MissingData, match='no walls "bay" to change: it has "tube"') as missing:
        variables._pull(None, WALLS, "bay")
    assert missing.value.known == ("tube",)
    with pytest.raises(MissingData, match="it has none"):
        variables._pull(None, PRELOAD, "M8")
