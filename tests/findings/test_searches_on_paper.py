"""Searches of the findings on paper: which design is looked at next, which pull is tried, what is behind."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.vehicle.tweak import Tweak, TweakKind
from finial.core.dimensions import Dimension
from finial.core.errors import CampaignError, MissingData
from finial.core.estimates import exact
from finial.findings import advice, at_heights, causes, design_whole, kept_tops, mending
from finial.findings.finding import Bound, Finding, Sense, Subject, Verdict
from finial.findings.readiness import Depth
from finial.findings.rules import glue_rules


def row(number):
    return SimpleNamespace(point=(number,))


@pytest.mark.parametrize(
    ("count", "first", "asked"),
    [
        # Steps double until one goes; then halves, down to the one behind the last that failed.
        (20, 0, [0]),
        (20, 1, [0, 1]),
        (20, 2, [0, 1, 3, 2]),
        (20, 5, [0, 1, 3, 7, 5, 4]),
        (20, 7, [0, 1, 3, 7, 5, 6]),
        (20, 19, [0, 1, 3, 7, 15, 17, 18, 19]),
        (20, 99, [0, 1, 3, 7, 15, 17, 18, 19]),
        (3, 2, [0, 1, 2]),
        (0, 0, []),
    ],
)
def test_designs_are_looked_at_in_steps_that_double_and_halve(count, first, asked):
    looks = []

    def goes(one):
        looks.append(one.point[0])
        return one.point[0] >= first

    design_whole._walked(tuple(map(row, range(count))), SimpleNamespace(goes=goes))
    assert looks == asked


def test_a_design_is_looked_at_once_and_no_more_than_so_many():
    asked = []

    def look(point):
        asked.append(point)
        return Verdict.CAUTION if point[0] % 2 else Verdict.NOT_KNOWN

    looked = design_whole._Looked(look, 3)
    assert [looked.goes(row(n)) for n in (1, 2, 1, 3, 5, 2)] == [True, False, True, True, False, False]
    assert asked == [(1,), (2,), (3,)]
    assert not looked.went(row(7))


def vehicle_with(clocks, tmp_path, missing=()):
    igniters = tuple(SimpleNamespace(event=SimpleNamespace(after_lift_off=clock)) for clock in clocks)
    return SimpleNamespace(
        files=SimpleNamespace(path=tmp_path / "a.toml", missing=missing),
        sheet=SimpleNamespace(electronics=SimpleNamespace(igniter=igniters)),
    )


def test_tops_of_a_campaign_are_read_where_a_clock_waits_for_them(monkeypatch, tmp_path):
    read = []

    def flights(case, folder):
        read.append(folder)
        if told is None:
            raise MissingData("nothing")
        return told

    monkeypatch.setattr(kept_tops, "own_campaign", lambda path: path.with_name("flown"))
    monkeypatch.setattr("finial.assemble.spread.case.flight_case", lambda vehicle: vehicle)
    monkeypatch.setattr("finial.campaign.kept_answer.kept_flights", flights)
    monkeypatch.setattr("finial.campaign.answers.usable", lambda flown, key: flown[key])
    told = {"apogee_time_s": np.array([9.0, np.nan, 7.0, 8.5])}
    waits = vehicle_with([None, 8.0], tmp_path)
    assert kept_tops.kept_tops(waits) is None
    (tmp_path / "flown").mkdir()
    found = kept_tops.kept_tops(waits)
    assert (found.flights, found.earliest_s, found.middle_s, found.latest_s) == (3, 7.0, 8.5, 9.0)
    for none in (
        vehicle_with([None], tmp_path),
        vehicle_with([], tmp_path),
        vehicle_with([8.0], tmp_path, ("a",)),
    ):
        assert kept_tops.kept_tops(none) is None
    assert len(read) == 1
    told = {"apogee_time_s": np.array([np.nan])}
    assert kept_tops.kept_tops(waits) is None
    told = None
    assert kept_tops.kept_tops(waits) is None
    monkeypatch.setattr(
        "finial.campaign.kept_answer.kept_flights", lambda *_: (_ for _ in ()).throw(CampaignError("other"))
    )
    assert kept_tops.kept_tops(waits) is None


def failing(key, *, verdict=Verdict.NO_GO, cause="", spoiled=False):
    bound = Bound(sense=Sense.HOLDS, value=None, source="", key="")
    return Finding(
        key=key,
        stage="a",
        subject=Subject(),
        verdict=verdict,
        value=None,
        dimension=None,
        bound=bound,
        margin=None,
        facts={},
        reasons=(),
        fixes=(),
        cause=cause,
        spoiled=spoiled,
    )


@pytest.mark.parametrize(
    ("finding", "heated", "falling", "cause"),
    [
        (("margin", {}), True, True, causes.BALANCE),
        (("margin", {"verdict": Verdict.GO, "cause": "x"}), True, True, ""),
        (("margin", {"cause": "own"}), False, False, "own"),
        (("margin", {"spoiled": True}), False, False, causes.LOST),
        (("lost-flight", {}), True, True, causes.LOST),
        (("landing-speed", {}), False, True, causes.NO_CANOPY),
        (("landing-speed", {}), True, False, causes.FALL),
        (("warm-part", {}), True, False, causes.HEAT),
        (("warm-part", {}), False, True, ""),
        (("stays-up", {}), True, True, ""),
    ],
)
def test_what_lies_behind_a_finding(finding, heated, falling, cause):
    key, how = finding
    assert causes._cause(failing(key, **how), heated=heated, falling=falling) == cause


def pull(kind=TweakKind.WALLS, now=1.0, most=3.0, step=0.05):
    return Tweak(
        kind=kind,
        name="",
        now=now,
        most=most,
        step=step,
        dimension=Dimension.RATIO,
        changes=lambda value: {("a",): value},
    )


def test_a_long_look_is_asked_at_what_is_reckoned_then_at_the_most():
    """Walls are reckoned: 1.2 times becomes the next quarter, 1.25; what is done or left has one size."""
    assert TweakKind.WALLS in advice.AS_RECKONED
    assert advice._rungs(pull(), 1.2) == (1.25, 3.0)
    assert advice._rungs(pull(), 4.0) == (3.0,)
    ladder = tuple(pull().at(share) for share in (0.15, 0.4, 1.0))
    assert advice._rungs(pull(), 1.0) == ladder
    assert ladder[2] == 3.0
    other = next(kind for kind in TweakKind if kind not in advice.AS_RECKONED)
    assert advice._rungs(pull(other), 2.0) == tuple(pull(other).at(share) for share in (0.15, 0.4, 1.0))
    assert advice._rungs(pull(most=1.04), 2.0) == (1.04,)


def test_the_first_rung_that_turns_is_taken_while_there_are_looks():
    asked = []

    def turning(turns, looks):
        def answer(changes, depth):
            asked.append((changes[("a",)], depth))
            return changes[("a",)] >= turns

        tries = SimpleNamespace(affords=lambda changes: len(asked) < looks)
        return SimpleNamespace(times=1.2, tries=tries, turns=answer)

    assert advice._long_search(turning(1.2, 9), pull()) == (1.25, True)
    assert asked == [(1.25, Depth.WHOLE)]
    asked.clear()
    assert advice._long_search(turning(2.0, 9), pull()) == (3.0, True)
    assert advice._long_search(turning(9.0, 9), pull()) == (3.0, False)
    asked.clear()
    assert advice._long_search(turning(9.0, 1), pull()) is None
    # A quick look goes from the most down.
    asked.clear()
    sizes = [pull().at(share) for share in (1.0, 0.6, 0.3)]
    few = turning(0.0, 9)
    few.turns = lambda changes, depth: asked.append((changes[("a",)], depth)) or changes[("a",)] < sizes[0]
    assert advice._first_that_turns(few, pull()) == 0.6
    assert asked == [(sizes[0], Depth.QUICK), (sizes[1], Depth.QUICK)]
    few.turns = lambda _changes, _depth: False
    assert advice._first_that_turns(few, pull()) is None


def test_a_neighbour_pulls_one_lever_further_and_drops_what_writes_there_too(monkeypatch):
    """From 1.0, pulled to 1.5 already: 1.25 is less far, 2.0 and 0.4 are farther."""
    first, second = pull(), pull(now=2.0)
    third = Tweak(
        kind=TweakKind.WALLS, name="b", now=0.0, most=1.0, step=0.1, dimension=Dimension.RATIO,
        changes=lambda value: {("b",): value},
    )  # fmt: skip
    search = SimpleNamespace(pulls=(first, second, third))
    search._beside = lambda chosen, number, value: mending._Search._beside(search, chosen, number, value)
    monkeypatch.setattr(mending, "suiting", lambda finding, pulls: [pulls[0]])
    monkeypatch.setattr(mending, "_sizes", lambda one, finding, shares: (1.25, 2.0, 0.4, 0.5))
    chosen = {0: 1.5, 1: 2.5, 2: 0.5}
    found = list(mending._Search._neighbours(search, None, chosen, ()))
    # The second lever writes to the same place.
    assert found == [{0: 2.0, 2: 0.5}, {0: 0.4, 2: 0.5}]
    assert list(mending._Search._neighbours(search, None, {}, ())) == [
        {0: 1.25},
        {0: 2.0},
        {0: 0.4},
        {0: 0.5},
    ]


def test_a_fin_is_glued_amid_its_root(monkeypatch):
    """Corners on the body at 0, 300 and 120 mm behind 800 mm: 940 mm."""
    seats = []
    monkeypatch.setattr(glue_rules, "sheet_material", lambda _sheet, name: name)
    monkeypatch.setattr(
        glue_rules, "_seats", lambda _sheet, station, _spans: seats.append(station) or ("wall",)
    )
    outline = [
        (exact(along), exact(out)) for along, out in ((0.0, 0.0), (0.1, 0.1), (0.3, 0.0), (0.12, -0.001))
    ]
    fin = SimpleNamespace(
        name="fins",
        outline=outline,
        station=exact(0.8),
        material="G10",
        fixing=SimpleNamespace(glue="epoxy", material=None),
    )
    joint = glue_rules._of_fin(None, fin, {})
    assert (joint.station_m, joint.stuffs, joint.blows) == (pytest.approx(0.94), ("G10", "wall"), True)
    fin.fixing.material = "plywood"
    assert glue_rules._of_fin(None, fin, {}).stuffs == ("G10", "plywood")
    fin.outline = outline[1:2]
    assert glue_rules._of_fin(None, fin, {}).station_m == pytest.approx(0.8)


def test_a_shape_at_heights_takes_the_motors_that_can_be_read(monkeypatch):
    files = [SimpleNamespace(motor="one"), SimpleNamespace(motor=None), SimpleNamespace(motor="two")]
    monkeypatch.setattr(at_heights, "motors_beside", lambda _vehicle: files)
    monkeypatch.setattr(at_heights, "motor_of", lambda motor: f"read {motor}")
    monkeypatch.setattr(at_heights, "scaling_of", lambda _vehicle, wanted, motors: (wanted, motors))
    vehicle = SimpleNamespace(sheet=SimpleNamespace(limits=SimpleNamespace(own={})))
    wanted = at_heights.Limits(own={})["thrust_to_weight"].value
    assert at_heights.scaling_wanted(vehicle) == (wanted, ("read one", "read two"))
