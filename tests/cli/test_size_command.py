"""``finial size``: what is asked of each solver, what is said, written and returned.

The solvers stand aside here: they are held to their aims in the tests of ``sizing``. The numbers are
those of the sheet and of ``findings/limits.csv``.
"""

import csv
import json
import shutil
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from typing import Any
from unittest.mock import Mock

import pytest

from finial.assemble.looks.glance import Look
from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import ballast, rail
from finial.campaign.campaign import Campaign
from finial.campaign.cards import Cards
from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.findings.design_whole import Confirmed
from finial.findings.finding import Verdict
from finial.findings.limits import Limits
from finial.findings.mending import Mend
from finial.report.pictures.search_front import search_front
from finial.report.search_text import judged_words, search_sections
from finial.report.shown import Shown
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Aim, Judged
from finial.sizing.misses import Miss
from finial.sizing.search import Found, Search
from finial.sizing.solve import Sized
from finial.sizing.trade import Tried
from finial.sizing.variables import Variable, choosing

from .conftest import BUOY

LANDING = Estimate(value=5.0, low=4.5, high=5.5, known_by=KnownBy.COMPUTED, method="invented", source="")
LOOK = Look(
    mass_kg=4.5,
    margin_m=0.2,
    width_m=0.16,
    apogee_m=300.0,
    rail_exit_low_m_s=17.0,
    landing_speed=LANDING,
    span_m=0.1,
)
"""What a design comes to; invented."""


@pytest.fixture
def asked(monkeypatch: Any, buoy: Any) -> Any:
    """Every solver notes what it was asked, and answers 0.777 of it at once."""
    noted: dict[str, Any] = {}
    item = buoy.sheet.item[0].name
    changes: dict[str, Changes] = {
        "ballast_for": ballast(buoy.sheet, item, 0.777),
        "rail_for": rail(buoy.sheet, "", 0.777),
        "canopy_for": {},
    }

    def solver(name: Any) -> Any:
        def solve(_vehicle: Any, *given: Any) -> Any:
            noted[name] = given
            return Sized(changes=changes[name], value=0.777, look=LOOK, evaluations=9)

        return solve

    for name in changes:
        monkeypatch.setattr(f"finial.sizing.solve.{name}", solver(name))
    monkeypatch.setattr("finial.findings.check.load", Mock(return_value=buoy))
    monkeypatch.setattr("finial.flight.fly.make_ready", Mock(return_value=None))
    return noted


@pytest.fixture
def sheet(tmp_path: Any) -> Any:
    """A copy of the sheet that may be written to."""
    return shutil.copytree(BUOY.parent, tmp_path / "buoy") / BUOY.name


def test_ballast_is_asked_for_the_limit_of_the_table_or_for_the_widths_given(
    finial: Any, asked: Any, buoy: Any
) -> None:
    """One width is the trade's rule, and the limit that ships: of 160 mm here, by the largest section."""
    item = buoy.sheet.item[0].name
    done = finial("size", "ballast", BUOY, "--item", item)
    assert done.code == 0
    assert asked["ballast_for"] == (item, Limits(own={})["margin_widths"].value * buoy.skin.width_m)
    finial("size", "ballast", BUOY, "--item", item, "--widths", 0.5)
    assert asked["ballast_for"][1] == pytest.approx(0.5 * buoy.skin.width_m)
    assert "777 g" in done.out
    assert "... sizing" in done.err


@pytest.mark.parametrize(("wind", "least"), [("0 m/s", None), ("8 m/s", 8.0), ("20 m/s", 20.0)])
def test_a_rail_is_asked_for_the_larger_of_the_plain_speed_and_the_ratio_to_the_wind(
    finial: Any, asked: Any, wind: Any, least: Any
) -> None:
    """Common practice: at least so fast, and at least so many times the wind."""
    limits = Limits(own={})
    plain, ratio = limits["rail_exit_speed"].value, limits["rail_exit_wind_ratio"].value
    assert finial("size", "rail", BUOY, "--wind", wind, "--quiet").code == 0
    assert asked["rail_for"] == (plain if least is None else max(plain, ratio * least),)
    assert ratio * 20.0 > plain > ratio * 0.0  # both rules are reached


def test_a_canopy_is_asked_for_by_name_and_speed(finial: Any, asked: Any, buoy: Any) -> None:
    name = buoy.sheet.recovery.canopy[0].name
    done = finial("size", "canopy", BUOY, "--canopy", name, "--speed", "0.5 m/s", "--quiet")
    assert (done.code, done.err) == (0, "")
    assert asked["canopy_for"] == (name, 0.5)
    assert "777 mm" in done.out
    refused = finial("size", "canopy", BUOY, "--canopy", name, "--speed", "0 m/s")
    assert refused.code == 2
    assert "0" in refused.err


def test_json_gives_the_value_in_si_and_the_look(finial: Any, asked: Any, buoy: Any) -> None:
    done = finial("size", "rail", BUOY, "--wind", "5 m/s", "--json", "--quiet")
    told = json.loads(done.out)
    assert (told["what"], told["value"], told["mass_kg"], told["apogee_m"]) == ("rail", 0.777, 4.5, 300.0)
    assert done.out == json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def test_only_write_writes(finial: Any, asked: Any, buoy: Any, sheet: Any) -> None:
    before = sheet.read_text()
    item = buoy.sheet.item[0].name
    assert "written" not in finial("size", "ballast", sheet, "--item", item).err
    assert sheet.read_text() == before
    done = finial("size", "ballast", sheet, "--item", item, "--write")
    assert f"written to {sheet}" in done.err
    assert "written" not in done.out
    changed = [
        new
        for old, new in zip(before.splitlines(), sheet.read_text().splitlines(), strict=True)
        if old != new
    ]
    mass, station = changed
    assert "777 g" in mass or "0.777 kg" in mass
    assert station.startswith("station = ")


def _mend(verdict: Any, changes: Any) -> Any:
    return Mend(told=(), changes=changes, added_kg=0.0, verdict=verdict, mended=(), stops=(), to_enter=())


@pytest.mark.parametrize(
    ("verdict", "code"),
    [(Verdict.GO, 0), (Verdict.CAUTION, 0), (Verdict.NO_GO, 3), (Verdict.NOT_KNOWN, 4)],
)
def test_mending_ends_with_the_code_of_the_mended_verdict(
    finial: Any, asked: Any, monkeypatch: Any, verdict: Any, code: Any
) -> None:
    monkeypatch.setattr("finial.findings.mending.mend", Mock(return_value=_mend(verdict, {})))
    done = finial("size", "mend", BUOY, "--json", "--write", "--quiet")
    told = json.loads(done.out)
    assert (done.code, done.err) == (code, "")  # nothing to change: nothing is written
    assert told["verdict"] == verdict.words
    assert done.out == json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def test_mending_writes_its_changes_only_when_asked(
    finial: Any, asked: Any, monkeypatch: Any, sheet: Any, buoy: Any
) -> None:
    changes = ballast(buoy.sheet, buoy.sheet.item[0].name, 0.777)
    monkeypatch.setattr("finial.findings.mending.mend", Mock(return_value=_mend(Verdict.GO, changes)))
    before = sheet.read_text()
    finial("size", "mend", sheet, "--quiet")
    assert sheet.read_text() == before
    finial("size", "mend", sheet, "--write", "--quiet")
    assert sheet.read_text() != before


@pytest.fixture
def traded(monkeypatch: Any, asked: Any, buoy: Any) -> Any:
    """Three fins, two of them on the front, each with another ballast."""
    noted: list[Any] = []

    def trade(vehicle: Any, asked_for: Any, told: Any) -> Any:
        noted.append(asked_for)
        for done in range(1, 24):
            told(done)
        item = buoy.sheet.item[0].name
        return tuple(
            Tried(
                changes=ballast(buoy.sheet, item, kilograms),
                span=span,
                station_m=0.6,
                count=4,
                ballast_kg=kilograms,
                look=replace(LOOK, mass_kg=4.0 + kilograms),
                is_best=best,
            )
            for kilograms, span, best in ((0.301, 1.3, True), (0.402, 1.1, False), (0.503, 0.9, True))
        )

    monkeypatch.setattr("finial.sizing.trade.fin_trade", trade)
    monkeypatch.setattr("finial.sizing.trade.combinations", Mock(return_value=23))
    return noted


def _trade(buoy: Any, *more: Any) -> Any:
    return ("size", "fins", BUOY, "--fin", buoy.sheet.fin[0].name, "--item", buoy.sheet.item[0].name, *more)


def test_fins_are_counted_every_ten_and_at_the_end(finial: Any, traded: Any, buoy: Any) -> None:
    done = finial(*_trade(buoy, "--widths", 0.5, "--count", 3, "--count", 5))
    assert done.code == 0
    told = [line for line in done.err.splitlines() if line.endswith("of 23 fins")]
    assert told == ["... 10 of 23 fins", "... 20 of 23 fins", "... 23 of 23 fins"]
    assert traded[0].needed_m == pytest.approx(0.5 * buoy.skin.width_m)
    assert traded[0].counts == (3, 5)
    assert "2 of 3 designs" in done.out


def test_fins_as_json_name_those_on_the_front(finial: Any, traded: Any, buoy: Any) -> None:
    done = finial(*_trade(buoy, "--json", "--quiet"))
    rows = json.loads(done.out)
    assert [(one["ballast_kg"], one["is_best"]) for one in rows] == [
        (0.301, True),
        (0.402, False),
        (0.503, True),
    ]
    assert done.out == json.dumps(rows, indent=1) + "\n"


def test_the_chosen_fin_is_written_by_its_number_on_the_front(
    finial: Any, traded: Any, buoy: Any, sheet: Any
) -> None:
    words = [str(sheet) if word is BUOY else word for word in _trade(buoy, "--quiet", "--write")]
    refused = finial(*words)
    assert (refused.code, "which of the designs" in refused.err) == (2, True)
    refused = finial(*words, "--choose", 3)
    assert (refused.code, "there are 2 designs" in refused.err) == (2, True)
    for number, mass in ((1, "301"), (2, "503")):
        assert finial(*words, "--choose", number).code == 0
        assert mass in sheet.read_text()
    assert finial(*words[:-1], "--choose", 2).code == 0  # nothing written, the last may be chosen


GO = Judged(mass_kg=4.25, missing=0.0, is_go=True, apogee_m=300.0)
FRONT = (
    FrontRow(point=(0.777,), judged=GO),
    FrontRow(point=(1.5,), judged=replace(GO, mass_kg=5.0, apogee_m=400.0)),
    FrontRow(point=(1.9,), judged=replace(GO, mass_kg=5.5, apogee_m=410.0, is_go=False)),
)


MISSES = (
    Miss(point=(0.8,), sought=0.002, missing=0.01, is_better=False),
    Miss(point=(0.9,), sought=0.004, missing=0.03, is_better=False),
    Miss(point=(1.9,), sought=0.3, missing=0.5, is_better=True),
)
WHOLE: dict[int, Verdict] = {}
"""What the whole look says of a ballast [g] in these tests, where it is not go with cautions."""


def _grams(changes: Any) -> Any:
    return round(float(next(iter(changes.values())).split()[0]))


@pytest.fixture
def whole() -> Any:
    yield WHOLE
    WHOLE.clear()


@pytest.fixture
def searched(monkeypatch: Any, asked: Any) -> Any:
    """A search that ends at once, go or not."""
    noted: list[Any] = []

    def best_go(search: Any, judge: Any, notebook: Any, told: Any) -> Any:
        noted.append((search, judge, notebook))
        judged = GO if search.seed == 1 else replace(GO, missing=0.5, is_go=False)
        told(1, (0.777,), judged)
        front = FRONT if search.seed == 1 else ()
        known = {row.point: row.judged for row in front} or {(0.777,): judged}
        counts = {"judged_designs": 12, "left_out": 5}
        return Found(point=(0.777,), judged=judged, front=front, known=known, misses=MISSES, **counts)

    monkeypatch.setattr("finial.sizing.search.best_go", best_go)

    def whole_verdict(_vehicle: Any, changes: Changes, motors: Any) -> Verdict:
        assert motors == {}
        return WHOLE.get(_grams(changes), Verdict.CAUTION)

    monkeypatch.setattr("finial.findings.design_whole.whole_verdict", whole_verdict)
    return noted


def _search(buoy: Any, sheet: Any, *more: Any) -> Any:
    vary = ("--vary", f"ballast:{buoy.sheet.item[0].name}:0.5 kg:2 kg")
    return ("size", "search", sheet, *vary, *more)


@pytest.mark.parametrize(("seed", "code", "said"), [(1, 0, "4.25 kg"), (2, 3, "0.50 missing")])
def test_a_search_ends_with_3_where_nothing_goes_and_writes_a_go_alone(
    finial: Any, searched: Any, buoy: Any, sheet: Any, seed: Any, code: Any, said: Any
) -> None:
    before, item = sheet.read_text(), buoy.sheet.item[0].name
    done = finial(*_search(buoy, sheet, "--generations", 3, "--seed", seed, "--json", "--write"))
    assert done.code == code
    told = json.loads(done.out)
    assert told["values"] == {f"ballast {item}": 0.777}
    assert (told["is_go"], told["judged_designs"], told["left_out"]) == (code == 0, 12, 5)
    assert (told["mass_kg"], told["apogee_m"], told["odds"]) == (4.25, 300.0, None)
    assert done.out == json.dumps(told, indent=1) + "\n"
    assert f"generation 1 of 3: {'' if code == 0 else 'no go yet, '}{said}" in done.err
    assert (sheet.read_text() != before) is (code == 0)
    assert searched[0][0].aim is Aim.LIGHTEST


def test_the_front_is_told_as_text_as_json_as_a_picture_and_as_a_table(
    finial: Any, searched: Any, buoy: Any, sheet: Any, tmp_path: Any
) -> None:
    item = buoy.sheet.item[0].name
    files = "--picture", tmp_path / "front.svg", "--csv", tmp_path / "front.csv"
    told = json.loads(finial(*_search(buoy, sheet, "--json", "--quiet", "--choose", 2, *files)).out)
    assert [one["values"][f"ballast {item}"] for one in told["front"]] == [0.777, 1.5, 1.9]
    assert [one["is_go"] for one in told["front"]] == [True, True, False]
    rows = list(csv.reader((tmp_path / "front.csv").read_text().splitlines()))
    off = ["judged_near", "foretold_near", "off_typical", "off_largest", "missing_off_largest"]
    told = ["mass_kg", "apogee_m", "odds", "is_go", "whole_look"]
    assert rows[0] == ["number", f"ballast {item}", *told, *off]
    assert rows[1][-5:] == ["1", "2", "0.003", "0.004", "0.03"]
    assert rows[2] == ["2", "1.5", "5.0", "400.0", "", "yes", "caution", "1", "0", "", "", ""]
    assert rows[3][5:7] == ["no", ""]
    circles = ElementTree.parse(tmp_path / "front.svg").findall(".//{http://www.w3.org/2000/svg}circle")
    assert len({float(one.attrib["cx"]) for one in circles}) == 3
    assert [one.get("id") for one in circles] == [None, "search-front-chosen", None]
    text = finial(*_search(buoy, sheet, "--quiet")).out
    assert "3 of 12 designs that no other beats" in text
    assert "odds" not in text
    assert [line for line in text.splitlines() if "400 m" in line and "1.5 kg" in line]


def test_a_design_of_the_front_is_written_by_its_number_and_one_that_does_not_go_never(
    finial: Any, searched: Any, buoy: Any, sheet: Any
) -> None:
    before = sheet.read_text()
    refused = finial(*_search(buoy, sheet, "--quiet", "--write", "--choose", 4))
    assert (refused.code, "there are 3 designs" in refused.err) == (2, True)
    finial(*_search(buoy, sheet, "--quiet", "--write", "--choose", 3))
    assert sheet.read_text() == before
    finial(*_search(buoy, sheet, "--quiet", "--write", "--choose", 2))
    assert '"1500 g' in sheet.read_text()


def test_where_the_whole_look_says_no_the_next_best_is_the_answer_and_it_is_said(
    finial: Any, searched: Any, whole: Any, buoy: Any, sheet: Any
) -> None:
    item = buoy.sheet.item[0].name
    whole[775] = Verdict.NO_GO
    done = finial(*_search(buoy, sheet, "--quiet"))
    assert done.code == 0
    assert "Go by the whole look at 5 kg, up to 400 m" in done.out
    said = " ".join(done.out.split())
    assert "Designs before it that the quick look passes: 1; " in said
    assert "the whole look says of those looked at: 4.25 kg no-go." in said
    told = json.loads(finial(*_search(buoy, sheet, "--quiet", "--json")).out)
    assert (told["verdict"], told["is_go"], told["values"]) == ("caution", True, {f"ballast {item}": 1.5})
    assert [one["whole_look"] for one in told["front"]] == ["no-go", "caution", None]
    assert [one["is_go"] for one in told["front"]] == [False, True, False]
    assert [one["mass_kg"] for one in told["turned_down"]] == [4.25]


@pytest.mark.parametrize(("says", "code"), [(Verdict.NOT_KNOWN, 4), (Verdict.NO_GO, 3)])
def test_where_the_whole_look_passes_nothing_nothing_is_called_a_go_or_written(
    finial: Any, searched: Any, whole: Any, buoy: Any, sheet: Any, says: Any, code: Any
) -> None:
    before = sheet.read_text()
    whole[775] = whole[1500] = says
    done = finial(*_search(buoy, sheet, "--quiet", "--write"))
    assert done.code == code
    assert f"No go found: {says.words} by the whole look" in done.out
    assert "nothing written" in done.err
    assert sheet.read_text() == before


def test_without_whole_looks_the_answer_is_not_known(
    finial: Any, searched: Any, buoy: Any, sheet: Any
) -> None:
    done = finial(*_search(buoy, sheet, "--quiet", "--looks", 0))
    assert (done.code, "nobody looked whole" in done.out) == (4, True)
    assert "not looked at whole" in done.out


def test_how_far_off_designs_were_foretold_is_told(finial: Any, searched: Any, buoy: Any, sheet: Any) -> None:
    text = finial(*_search(buoy, sheet, "--quiet")).out
    assert "3 of them foretold before they were judged" in text
    assert "lift-off mass off by" in text
    assert "typically 4 g, at most 300 g" in text
    assert "typically 3 %, at most 50 % of a limit" in text
    assert "1 of 3" in text
    assert "typically 3 g, at most 4 g" in text  # of the two near the best
    assert "1, within 10 % of every range" in text
    told = json.loads(finial(*_search(buoy, sheet, "--quiet", "--json")).out)
    assert (told["foretold"]["designs"], told["foretold"]["better"]) == (3, 1)
    assert told["near"]["judged"] == 1
    assert told["near"]["foretold"]["largest"] == 0.004
    assert told["front"][1]["near"] == {"judged": 1, "foretold": None}


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("--gpu",), "give --odds"),
        (("--gpu", "--odds", "95%", "--cluster", "tcp://127.0.0.1:9"), "one of them"),
    ],
)
def test_a_card_flies_for_odds_and_not_beside_a_cluster(
    finial: Any, buoy: Any, sheet: Any, given: Any, said: Any
) -> None:
    done = finial(*_search(buoy, sheet, *given))
    assert (done.code, said in done.err) == (2, True)


def test_without_a_card_the_odds_are_flown_on_threads_with_a_word(
    finial: Any, searched: Any, buoy: Any, sheet: Any, monkeypatch: Any
) -> None:
    def none(_campaign: Any) -> None:
        raise MissingData("no graphics card that CUDA can use was found")

    monkeypatch.setattr("finial.campaign.cards.on_cards", none)
    words = _search(buoy, sheet, "--odds", "95%")
    with_card, without = finial(*words, "--gpu"), finial(*words)
    assert "no graphics card that CUDA can use was found: flying on the processor instead" in with_card.err
    assert (with_card.code, with_card.out) == (0, without.out)
    assert searched[0][0].about == searched[1][0].about


def test_what_a_card_rounds_is_another_search(
    finial: Any, searched: Any, buoy: Any, sheet: Any, monkeypatch: Any
) -> None:
    def on_cards(campaign: Campaign) -> tuple[Campaign, Cards]:
        return replace(campaign, rounding="a card"), Cards(1)

    monkeypatch.setattr("finial.campaign.cards.on_cards", on_cards)
    words = _search(buoy, sheet, "--odds", "95%")
    assert "1 x a card" in finial(*words, "--gpu").err
    finial(*words)
    assert searched[0][0].about == f"{searched[1][0].about} on a card"


def test_the_highest_is_sought_when_asked_and_told_by_its_height(
    finial: Any, searched: Any, buoy: Any, sheet: Any
) -> None:
    done = finial(*_search(buoy, sheet, "--aim", "highest"))
    assert searched[0][0].aim is Aim.HIGHEST
    assert "generation 1 of 20: 300 m" in done.err
    assert finial(*_search(buoy, sheet, "--aim", "widest")).code == 2


def test_a_search_notes_beside_the_sheet_or_where_it_is_told(
    finial: Any, searched: Any, buoy: Any, sheet: Any, tmp_path: Any
) -> None:
    item = buoy.sheet.item[0].name
    words = ("size", "search", sheet, "--vary", f"ballast:{item}:500 g:2 kg", "--quiet")
    done = finial(*words)
    assert done.code == 0
    assert "Go by the whole look at 4.25 kg, up to 300 m; 12 designs judged, 5 surely no better" in done.out
    assert f"  ballast {item}  777 g" in " ".join(done.out.split(" " * 3))
    finial(*words, "--folder", tmp_path / "there")
    (search, _judge, beside), (_, _, there) = searched
    assert beside == sheet.with_name("buoy-tiers-search") / "judged.jsonl"
    assert there == tmp_path / "there" / "judged.jsonl"
    (variable,) = search.variables
    assert (variable.kind, variable.name, variable.low, variable.high) == ("ballast", item, 0.5, 2.0)


def test_a_search_judges_the_changes_of_each_point_in_their_order(
    finial: Any, searched: Any, buoy: Any, monkeypatch: Any
) -> None:
    def unjudged(_vehicle: Any, changes: Changes, motors: Any) -> Changes:
        assert motors == {}
        return changes

    monkeypatch.setattr("finial.findings.design_judge.judge_design", unjudged)
    item = buoy.sheet.item[0].name
    finial("size", "search", BUOY, "--vary", f"ballast:{item}:0.5 kg:2 kg", "--quiet")
    judge = searched[0][1]
    judged = list(judge([(0.5,), (1.25,)]))
    assert judged == [ballast(buoy.sheet, item, 0.5), ballast(buoy.sheet, item, 1.25)]


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("ballast:steel:1 kg", "KIND:NAME:LOW:HIGH"),
        ("ballast:steel:1 kg:2 kg:3 kg", "KIND:NAME:LOW:HIGH"),
        ("colour:steel:1 kg:2 kg", "with a kind of ballast"),
        ("thread:M8:M8", "two or more are a choice"),
        ("thread:M8:M6:M8", "thread:NAME:ONE,OTHER,..."),
        ("motor:nowhere", "no such folder"),
        ("motor:rods:motors", "motor:FOLDER"),
        ("ballast:steel:1 m:2 kg", "1 m"),
        ("ballast:steel:-1 kg:2 kg", "-1 kg"),
    ],
)
def test_a_slip_in_vary_is_wrong_input_and_is_shown(
    finial: Any, asked: Any, written: Any, words: Any
) -> None:
    done = finial("size", "search", BUOY, "--vary", written)
    assert done.code == 2
    assert written in done.err
    assert words in done.err


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("canopy:main:0.5 m:900 mm", 0.5, 0.9),
        ("rail::2 m:6 m", 2.0, 6.0),
        ("count: fins :3:5", 3.0, 5.0),
        ("station:fins:0 mm:1 in", 0.0, 0.0254),
        ("span:fins:0.7:1.3", 0.7, 1.3),
    ],
)
def test_vary_reads_each_kind_in_its_own_unit(written: Any, low: Any, high: Any) -> None:
    from finial.cli.vary_option import variables_of

    kind, name, *_ = written.split(":")
    (variable,) = variables_of((written,))
    assert (variable.kind, variable.name) == (kind, name.strip())
    assert (variable.low, variable.high) == pytest.approx((low, high))


def test_one_shape_at_many_heights_as_table_and_json(finial: Any, tmp_path: Any) -> None:
    """A sheet that is only begun has no motor: the table stands all the same, its hours not known."""
    sheet = tmp_path / "post.toml"
    sheet.write_text(
        '[vehicle]\nname = "Post"\n[[part]]\nname = "post"\nmaterial = "PETG"\n'
        'print = { wall = "1.2 mm", infill = "10 %" }\n'
        'tiers = [{ outline = "square", across = "100 mm", height = "500 mm" }]\n'
    )
    ends = ("--from", "0.5 m", "--to", "1 m", "--steps", "2")
    asked = ("size", "scale", sheet, "--real", "10 m", "--quiet", *ends)
    done = finial(*asked)
    assert done.code == 0
    told = " ".join(done.out.split())
    assert "500 mm 1:20.0" in told
    assert "1000 mm 1:10.0" in told
    assert "not known not known" in told
    models = json.loads(finial(*asked, "--json").out)["models"]
    assert [one["height_m"] for one in models] == [0.5, 1.0]
    assert models[1]["dry_kg"]["value"] > 4 * models[0]["dry_kg"]["value"]
    assert models[0]["pieces"] is None
    for slip in (("--real", "32 kg"), ("--real", "0 m"), ("--from", "2 m", "--to", "1 m")):
        assert finial("size", "scale", sheet, "--real", "10 m", "--quiet", *slip).code == 2


def test_a_search_tells_what_it_varied_in_the_units_of_the_sheet() -> None:
    varied = (
        Variable(kind="ballast", name="lead", low=0.5, high=2.0),
        Variable(kind="span", name="fins", low=0.7, high=1.3),
        Variable(kind="station", name="fins", low=0.5, high=0.7),
        Variable(kind="preload", name="M8", low=100.0, high=500.0),
        choosing("motor", "", ["motors/weak.toml", "motors/strong.toml"]),
    )
    judged = replace(GO, odds=0.9613)
    point = (1.0, 0.93, 0.61, 445.0, 1.0)
    row = FrontRow(point=point, judged=judged)
    found = Found(point=point, judged=judged, judged_designs=9, left_out=0, front=(row,))
    us = Shown(us_units=True)
    assert [judged_words(judged, aim, us) for aim in Aim] == ["9.37 lb", "984 ft"]
    whole = Confirmed(best=row, verdicts={point: Verdict.GO})
    best, _, front = search_sections(found, whole, Search(variables=varied), us)
    assert best.facts == (
        ("ballast lead", "2.2 lb"),
        ("span fins", "0.93"),
        ("station fins", "24 in"),
        ("preload M8", "100 lbf"),
        ("motor", "motors/strong.toml"),
        ("odds at least", "96.1 %"),
    )
    (told,) = front.tables[0].rows
    assert told[0] == "1"
    assert told[-4:] == ("9.37 lb", "984 ft", "96.1 %", "go")
    drawn = [search_front((row, row), aim, whole.goes, us_units=True) for aim in Aim]
    assert ["lift-off mass, lb" in one for one in drawn] == [True, False]
    assert all("odds at least, %" in one for one in drawn)
