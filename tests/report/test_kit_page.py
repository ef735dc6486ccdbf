"""The site kit: everything in one file, nothing fetched, nothing of the sheet read as markup."""

import json
import re
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser

import pytest
from report.kit_by_hand import REVISION, kit_by_hand, map_by_hand

from finial.core.estimates import Estimate, KnownBy
from finial.findings import what_if as asked
from finial.findings.check import readiness
from finial.findings.finding import Verdict
from finial.findings.readiness import Depth
from finial.report.finding_words import title
from finial.report.kit_page import kit_page
from finial.report.sections.card import card
from finial.report.shown import Shown


@pytest.fixture(scope="module")
def quick(lighthouse):
    return readiness(lighthouse, depth=Depth.QUICK)


@pytest.fixture(scope="module")
def kit(quick, lighthouse):
    return kit_by_hand(quick, lighthouse.sheet)


class Tags(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs) -> None:
        self.tags.append((tag, dict(attrs)))


def table_of(page: str) -> dict:
    (told,) = re.findall(r'<script type="application/json" id="table">(.*?)</script>', page, re.DOTALL)
    return json.loads(told)


def test_nothing_is_fetched(kit):
    page = kit_page(kit)
    tags = Tags(page).tags
    assert not [tag for tag, _ in tags if tag in ("link", "img", "iframe", "object", "embed", "base")]
    assert not [
        given for _, given in tags if given.keys() & {"src", "srcset", "action", "data", "xlink:href"}
    ]
    assert all(given["href"].startswith("#") for tag, given in tags if tag == "a")
    assert set(re.findall(r"https?://[^\s\"'<]+", page)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"url\(|@import|fetch\(|XMLHttpRequest|import\(", page)


def test_card_checklist_map_and_revision_are_in_it(kit, quick):
    said = unescape(kit_page(kit))
    assert REVISION in said
    for _, facts in card(quick):
        assert all(value in said for _, value in facts)
    for chapter in kit.chapters:
        assert all(step.text in said for step in chapter.steps)
    assert "500 m towards 037 deg" in said
    assert "As the rail stands the worst of all flights here reaches it, by 12 m." in said
    assert "not a permission" in said


def test_everything_that_is_no_go_is_named_on_it(kit, quick):
    shown = Shown(us_units=quick.us_units)
    open_ = tuple(replace(one, cause="one") for one in quick.findings if one.verdict is not Verdict.GO)
    said = unescape(kit_page(replace(kit, checked=replace(quick, findings=open_))))
    assert len(open_) > 1
    for one in open_:
        assert title(one, shown) in said


def test_a_box_for_every_step_and_two_initials_where_it_stops(kit):
    tags = Tags(kit_page(kit)).tags
    kept = [given["data-kept"] for tag, given in tags if tag == "input" and "data-kept" in given]
    steps = [step for chapter in kit.chapters for step in chapter.steps]
    assert len(kept) == len(set(kept)) == len(steps) + 2 * sum(step.stops for step in steps)


def test_words_of_the_sheet_are_never_markup(kit, quick):
    evil = "</script><img src=x onerror=alert(1)>"
    named = replace(quick, name=evil, note=evil)
    page = kit_page(replace(kit, checked=named, map=map_by_hand(evil, mark=evil), revision=evil))
    assert "<img" not in page
    assert page.count("</script>") == 2
    assert table_of(page)["revision"] == evil


def test_the_table_is_in_the_units_of_the_sheet(kit, quick):
    def axes(us_units: bool) -> list[list[float]]:
        page = kit_page(replace(kit, checked=replace(quick, us_units=us_units)))
        return [axis["values"] for axis in table_of(page)["axes"]]

    assert axes(False) == [[9.0, 10.0], [650.0, 670.0], [2.0, 4.0]]
    # 0.45359237 kg, 25.4 mm and 0.44704 m/s, exactly.
    assert axes(True) == [[19.84, 22.05], [25.6, 26.4], [4.5, 8.9]]


def test_every_combination_is_asked_and_is_what_the_quick_look_says(lighthouse, quick, monkeypatch):
    monkeypatch.setattr(asked, "WINDS_M_S", (3.0, 8.0))
    table = asked.what_if(lighthouse, quick)
    assert len(table.cells) == len(table.masses_kg) * len(table.balances_m) * 2 == 50
    middle = (2 * 5 + 2) * 2
    assert table.masses_kg[2] == pytest.approx(quick.mass.lift_off_mass.value, abs=0.006)
    assert table.balances_m[2] == pytest.approx(quick.mass.lift_off_balance.value, abs=6e-4)
    assert table.cells[middle].fails == ()
    assert {"lands-inside", "wind"} <= {one.key for one in table.cells[middle + 1].fails}
    assert table.cells[middle + 1].farthest_m > table.cells[middle].farthest_m
    # Beyond the doubt about the sum of the parts a weighing contradicts it.
    assert {"whole-mass", "whole-balance"} <= {one.key for one in table.cells[0].fails}
    heavy, light = table.cells[(3 * 5 + 2) * 2], table.cells[(1 * 5 + 2) * 2]
    assert heavy.slowest_exit_m_s < light.slowest_exit_m_s


def test_a_step_is_no_less_than_one_in_a_hundred():
    known = Estimate(value=10.0, low=9.99, high=10.05, known_by=KnownBy.WEIGHED)
    assert asked._around(known, 0.1, 2) == (9.8, 9.9, 10.0, 10.1, 10.2)
    wide = replace(known, low=9.5, high=10.3)
    assert asked._around(wide, 0.1, 2) == (9.0, 9.5, 10.0, 10.3, 10.6)


def test_what_cannot_weigh_so_is_a_no_go_of_its_own(kit):
    cells = (None, *kit.what_if.cells[1:])
    told = table_of(kit_page(replace(kit, what_if=replace(kit.what_if, cells=cells))))["cells"]
    assert (told[0]["rank"], told[0]["head"]) == (int(Verdict.NO_GO), "NO-GO")
    assert told[1]["head"] == "NOTHING FAILS SO FAR"
