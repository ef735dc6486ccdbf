"""Searches, ends and the map of the field on answers made up; own numbers of a material on either side."""

from types import SimpleNamespace

import numpy as np
import pytest
from unsaid import nothing_inside

from finial.core.errors import OutsideRange
from finial.core.units import Quantity
from finial.files.sheet_body import OwnMaterialEntry
from finial.findings import advice, field_map
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.readiness import Depth
from finial.findings.rules.build_rules import (
    DENSITY_TIMES,
    FAR_TIMES,
    _is_masked,
    _own_numbers,
    _times_off,
)
from finial.findings.rules.inside_rules import inside_findings
from finial.findings.rules.recovery_doubts_rules import _pull_test
from finial.materials.material import material


def quantity(value: float) -> Quantity:
    return Quantity(value=value, text=str(value))


# ------------------------------------------------------------------------------- searches


def searched(turns):
    """From 1.0 by a share of the way to 3.0."""
    pull = SimpleNamespace(at=lambda share: 1.0 + 2.0 * share, changes=lambda value: {"mass": value})
    asked = []

    def turned(changes, depth):
        asked.append((round(changes["mass"], 6), depth))
        return turns(changes["mass"])

    return advice._quick_search(SimpleNamespace(turns=turned), pull), asked


def test_the_least_size_that_turns_a_check_is_found_by_halving():
    (value, turns), asked = searched(lambda mass: mass >= 1.5)
    assert turns
    assert 1.5 <= value < 1.5 + 2.0 / 2**advice._HALVINGS
    assert {depth for _, depth in asked} == {Depth.QUICK}


def test_where_nothing_turns_a_check_the_most_is_told_and_that_it_does_not():
    (value, turns), asked = searched(lambda mass: False)
    assert (value, turns) == (3.0, False)
    assert [mass for mass, _ in asked] == [3.0, 2.2, 1.6]


def test_a_size_that_turns_only_below_the_most_is_found_too():
    (value, turns), _ = searched(lambda mass: 1.2 <= mass <= 2.3)
    assert turns
    # Halved down from six tenths of the way.
    assert 1.2 <= value <= 1.2 + 1.2 / 2**advice._HALVINGS


# ---------------------------------------------------------------------------- materials


@pytest.mark.parametrize(
    ("over", "verdict"),
    [(0.99, Verdict.GO), (1.01, Verdict.NOT_KNOWN), (FAR_TIMES + 0.01, Verdict.NO_GO)],
)
@pytest.mark.parametrize("heavy", [True, False])
def test_own_density_is_doubted_far_above_and_far_below_its_kind(over, verdict, heavy) -> None:
    like = material("PETG").density_kg_m3
    times = over * DENSITY_TIMES
    own = OwnMaterialEntry(
        name="mine", like="PETG", density=quantity(like.high * times if heavy else like.low / times)
    )
    found = _own_numbers(own)
    assert (found.verdict, found.urgent) == (verdict, verdict is Verdict.NO_GO)
    assert found.facts["keys"] == ("" if verdict is Verdict.GO else "density")
    assert _times_off(own, material("PETG"))["density"] == pytest.approx(over)


def test_a_name_of_the_tables_stands_for_no_other_stuff() -> None:
    assert _is_masked("steel", material("PETG")) is True
    assert _is_masked("PETG", material("PETG")) is False
    assert _is_masked("mine", material("PETG")) is False


def test_room_that_is_free_everywhere_concerns_safety() -> None:
    found = {one.key: one for one in inside_findings(nothing_inside(), None, Limits(own={}))}
    assert found["all-clear"].safety


@pytest.mark.parametrize(
    ("share", "verdict"), [(0.99, Verdict.GO), (1.01, Verdict.NOT_KNOWN), (5.0, Verdict.NOT_KNOWN)]
)
def test_a_pull_test_beyond_its_cord_is_at_worst_not_known(lighthouse, share, verdict) -> None:
    from finial.assemble.recovery.lines import sheet_cord
    from finial.core.estimates import exact

    cord = lighthouse.sheet.recovery.cord[0]
    holds = sheet_cord(cord).breaking_load_n.high
    found = _pull_test("bay", cord, exact(share * holds))
    assert (found.verdict, found.subject.name, found.facts["cord"]) == (verdict, "bay", cord.name)


# -------------------------------------------------------------------------- map of the field


@pytest.fixture
def made_map(monkeypatch):
    """A day of which every part is told by its name."""
    flown = SimpleNamespace(
        landings_m=np.array([[10.0, 0.0], [0.0, 20.0]]),
        bare_m=np.array([[3.0, 4.0], [30.0, 40.0]]),
        apogees_s=np.array([9.0, 10.0]),
    )
    drawn = SimpleNamespace(spot="spot", marks="marks")
    inputs = dict.fromkeys(("nominal", "windy", "calm", "weak"), "flight")
    asked = {}
    monkeypatch.setattr(field_map, "flight_case", lambda _vehicle: "case")
    monkeypatch.setattr(field_map, "fly_for_map", lambda case, **given: asked.update(given) or flown)
    monkeypatch.setattr(field_map, "landing_map", lambda *_, **given: asked.update(given) or drawn)
    monkeypatch.setattr(
        field_map, "basis_of", lambda _vehicle: SimpleNamespace(flights=SimpleNamespace(inputs=inputs))
    )
    monkeypatch.setattr(field_map, "on_marks", lambda marks, flown: (marks,))
    monkeypatch.setattr(field_map, "leans", lambda inputs, *told: (tuple(inputs), *told))
    monkeypatch.setattr(field_map, "clearance_m", lambda points, *told: float(len(points)))
    monkeypatch.setattr(field_map, "latest_wind", lambda vehicle, most, tell: most)
    monkeypatch.setattr(field_map, "quantile", lambda values, share: (values.tolist(), share))
    rules = SimpleNamespace(minimum_distance_m=60.0, limits=SimpleNamespace(tilt_rad=0.35, wind_m_s=8.9))
    return flown, asked, lambda: field_map.field_map("vehicle", rules, flights=200, seed=3, threads=2)


def test_a_map_of_the_day_holds_everything_that_it_shows(made_map) -> None:
    flown, asked, made = made_map
    found = made()
    assert (asked["flights"], asked["seed"], asked["threads"], asked["minimum_m"]) == (200, 3, 2, 60.0)
    assert found.bare == ([5.0, 50.0], 0.95)
    assert found.tops == ([9.0, 10.0], 0.99)
    assert found.on_marks == ("marks",)
    # Only winds that bound the day lean the rail, as far as the code allows.
    assert found.leans == (("windy", "calm"), "spot", "marks", 0.35)
    assert (found.own_clearance_m, found.wind, found.flown) == (4.0, 8.9, flown)
    assert found.farthest_bare_m == pytest.approx(50.0)


def test_flights_that_reach_no_top_tell_no_clock_and_those_that_are_lost_draw_no_map(made_map) -> None:
    flown, _, made = made_map
    flown.apogees_s = np.array([])
    assert made().tops is None
    for name in ("bare_m", "landings_m"):
        kept = getattr(flown, name)
        setattr(flown, name, np.empty((0, 2)))
        with pytest.raises(OutsideRange, match="no flight comes to the ground"):
            made()
        setattr(flown, name, kept)
