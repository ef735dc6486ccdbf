"""What the site kit and the report hold, piece by piece: a cell, axes, what is met and what is open."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from report.kit_by_hand import map_by_hand, table_by_hand

from finial.findings.finding import Verdict
from finial.findings.what_if import WhatIf
from finial.report import kit_page, pdf
from finial.report.checklist import Chapter, Tick
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title
from finial.report.shown import Shown

SHOWN = Shown(us_units=False)


def cell(verdict, fails=(), least_margin_m=0.25):
    found = WhatIf(
        verdict=verdict, fails=fails, least_margin_m=least_margin_m, slowest_exit_m_s=17.0, farthest_m=400.0
    )
    return kit_page._cell(found, SHOWN)


def test_a_cell_says_what_fails_once_and_how_far_it_may_come(readiness):
    one, other, *_ = (found for found in readiness.findings if found.verdict is not Verdict.GO)
    one, other = replace(one, verdict=Verdict.NO_GO), replace(other, verdict=Verdict.NOT_KNOWN)
    said = [f"no-go: {title(one, SHOWN)}", f"not known: {title(other, SHOWN)}"]
    assert cell(Verdict.NO_GO, (one, other, one)) == {
        "rank": int(Verdict.NO_GO),
        "role": "no-go",
        "head": "NO-GO",
        "fails": said,
        "numbers": ["landing point as far as 400 m", "least margin 250 mm"],
    }
    unknown = cell(Verdict.NOT_KNOWN, (other,), None)
    assert (unknown["head"], unknown["numbers"]) == ("NOT KNOWN", ["landing point as far as 400 m"])
    # A quick look never says go.
    assert {cell(verdict)["head"] for verdict in (Verdict.GO, Verdict.CAUTION)} == {"NOTHING FAILS SO FAR"}
    none = kit_page._cell(None, SHOWN)
    assert (none["rank"], none["role"], none["numbers"], len(none["fails"])) == (3, "no-go", [], 1)


@pytest.mark.parametrize(
    ("wind_m_s", "own", "us_units"), [(2.4, 0, False), (3.2, 1, False), (7.0, 2, True), (90.0, 2, True)]
)
def test_axes_begin_in_their_middle_and_at_the_wind_nearest_to_the_day_s(wind_m_s, own, us_units):
    table = replace(
        table_by_hand(None),
        masses_kg=(9.004, 10.006, 11.0),
        balances_m=(0.65004, 0.66006, 0.67),
        winds_m_s=(2.0, 4.04, 8.0),
    )
    told = map_by_hand("a")
    kit = SimpleNamespace(
        what_if=table,
        checked=SimpleNamespace(us_units=us_units),
        map=replace(told, drawn=replace(told.drawn, wind_m_s=wind_m_s)),
    )
    axes = kit_page._axes(kit)
    metric = {
        "mass": ("mass with motor, kg", [9.0, 10.01, 11.0]),
        "balance": ("balance from the tip, mm", [650.0, 660.1, 670.0]),
        "wind": ("wind at 10 m, m/s", [2.0, 4.0, 8.0]),
    }
    # 0.45359237 kg, 25.4 mm and 0.44704 m/s, exactly.
    us = {
        "mass": ("mass with motor, lb", [19.85, 22.06, 24.25]),
        "balance": ("balance from the tip, in", [25.6, 26.0, 26.4]),
        "wind": ("wind at 10 m, mph", [4.5, 9.0, 17.9]),
    }
    assert {one["id"]: (one["name"], one["values"]) for one in axes} == (us if us_units else metric)
    assert [one["own"] for one in axes] == [1, 1, own]
    asked = "".join(kit_page._what_if(kit))
    first = axes[0]["values"]
    assert f'id="mass" value="{first[1]}"><span class="small">{first[0]} to {first[2]}</span>' in asked


def test_a_report_has_every_finding_once_open_or_met(readiness):
    told = pdf._opening(readiness, SHOWN)
    met = [one for one in readiness.findings if one.verdict is Verdict.GO]
    open_ = [one for one in readiness.findings if one.verdict is not Verdict.GO]
    assert [row[0] for row in told["met"]] == [title(one, SHOWN) for one in met]
    named = [each["name"] for one in told["open"] for each in (one, *one["with"])]
    assert sorted(named) == sorted(title(one, SHOWN) for one in open_)
    assert len(met) > 1 < len(open_)
    assert {one["role"] for one in told["open"]} <= {"no-go", "not known", "caution"}


def test_what_is_met_without_a_number_says_so(readiness):
    one = next(one for one in readiness.findings if one.verdict is Verdict.GO and one.value is not None)
    name, number, *_ = pdf._met(one, SHOWN)
    assert (name, any(letter.isdigit() for letter in number)) == (title(one, SHOWN), True)
    assert pdf._finding(replace(one, safety=True), SHOWN)["safety"] is True
    assert pdf._finding(one, SHOWN)["source"] == one.bound.source


def test_sections_chapters_and_words_as_the_typesetter_gets_them():
    table = Table(title="t", columns=("a", "b"), rows=(("x", "1"),), numbers=(1,))
    section = ReportSection(
        key="k",
        title="T",
        facts=(("a", "b"),),
        tables=(table, replace(table, rows=())),
        notes=("n",),
        pictures=("p",),
    )
    assert pdf._section(section) == {
        "key": "k",
        "title": "T",
        "facts": [["a", "b"]],
        "tables": [{"title": "t", "columns": ["a", "b"], "rows": [["x", "1"]], "numbers": [1]}],
        "notes": ["n"],
        "pictures": ["p"],
    }
    steps = (Tick(text="Pack it."), Tick(text="Stop here.", stops=True))
    assert pdf._chapters([Chapter(title="Packing", steps=steps)]) == [
        {
            "title": "Packing",
            "steps": [{"text": "Pack it.", "stops": False}, {"text": "Stop here.", "stops": True}],
        }
    ]
    # A word of more than thirty letters may break after each thirty.
    assert pdf._fit({"a": ["x" * 30, "x" * 31, 1.5, None, True]}) == {
        "a": ["x" * 30, "x" * 30 + "\u200b" + "x", 1.5, None, True]
    }


def test_a_picture_says_what_its_own_words_say():
    drawn = '<svg xmlns="http://www.w3.org/2000/svg"><title>T</title><desc>It swings.</desc></svg>'
    assert pdf._picture(drawn) == {"svg": drawn, "says": "It swings."}
    assert pdf._picture(drawn.replace("desc>", "g>"))["says"] == ""


@pytest.mark.parametrize(
    ("fails", "tried"),
    [
        (0, [(True, True)]),
        (1, [(True, True), (False, True)]),
        (2, [(True, True), (False, True), (False, False)]),
    ],
)
def test_letters_the_fonts_lack_cost_first_the_own_fonts_then_the_standard(monkeypatch, fails, tried):
    typst = pytest.importorskip("typst")
    asked = []

    def compiled(_data, template, *, own_fonts, accessible):
        asked.append((own_fonts, accessible))
        if len(asked) <= fails:
            raise typst.TypstError("x could not be displayed with font y")
        return template.encode()

    monkeypatch.setattr(pdf, "_compiled", compiled)
    assert pdf._set({"a": 1}, "card.typ") == b"card.typ"
    assert asked == tried


def test_a_fault_of_another_kind_is_not_tried_again(monkeypatch):
    typst = pytest.importorskip("typst")
    asked = []

    def compiled(*_given, **_how):
        asked.append(1)
        raise typst.TypstError(
            "another fault" if len(asked) == faulty else "x could not be displayed with font y"
        )

    monkeypatch.setattr(pdf, "_compiled", compiled)
    for faulty in (1, 2):
        asked.clear()
        with pytest.raises(typst.TypstError, match="another"):
            pdf._set({})
        assert len(asked) == faulty


def test_the_paper_is_letter_where_inches_are_shown(monkeypatch):
    monkeypatch.setattr(pdf, "_set", lambda said, *_template: said)
    monkeypatch.setattr(pdf, "report_data", lambda _answer, _annex: {})
    monkeypatch.setattr(pdf, "begun_data", lambda _begun: {})
    answers = {us: SimpleNamespace(us_units=us) for us in (False, True)}
    for us, usual in ((False, "a4"), (True, "us-letter")):
        assert pdf.pdf_bytes(answers[us], revision="r") == {
            "revision": "r",
            "card_alone": False,
            "paper": usual,
        }
        assert pdf.begun_pdf_bytes(answers[us]) == {"revision": "", "card_alone": False, "paper": usual}
        assert pdf.pdf_bytes(answers[us], card_alone=True, paper="a4")["card_alone"] is True
        assert pdf.begun_pdf_bytes(answers[us], paper="letter")["paper"] == "us-letter"
