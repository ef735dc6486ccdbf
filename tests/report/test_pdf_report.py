"""The PDF: pages, text and tags read back with an independent reader."""

import io
import re
from dataclasses import replace

import pypdf
import pytest

from finial.assemble.air.results import StudyState, TunnelBeside
from finial.assemble.flights.results import Loss, LostFlight
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Subject, Verdict
from finial.range_safety.limits import code_limits
from finial.report.finding_words import title, what_to_change
from finial.report.looked import CLOSED_FORMS, FLOW, HARDEST, MANY, RECOVERY, STRENGTH, looked_at
from finial.report.pdf import pdf_bytes, usual_paper
from finial.report.sections.card import LOST, card
from finial.report.shown import Shown
from finial.report.sources import limits_used, methods_used


def read(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


def squeezed(reader):
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.fixture(scope="module")
def pdf(readiness):
    return pdf_bytes(readiness)


def test_first_page_says_the_verdict_and_what_fails_and_the_next_what_to_change(readiness, pdf):
    first, second = (" ".join(page.extract_text().split()) for page in read(pdf).pages[:2])
    assert "Pretend Light: NO-GO" in first
    for finding in readiness.findings:
        if finding.verdict is Verdict.NO_GO:
            assert title(finding) in first
            assert what_to_change(finding) in second


def test_the_first_page_is_all_that_an_officer_asks(readiness):
    pdf = read(pdf_bytes(readiness, revision="0123456789ab", card_alone=True))
    assert len(pdf.pages) == 1
    said = " ".join(pdf.pages[0].extract_text().split())
    shown = Shown(us_units=readiness.us_units)
    flight, mass = readiness.flight, readiness.mass
    for word in (
        flight.motor_name,
        f"class {flight.motor_letter}",
        "high power, its flyer certified",
        shown.between(mass.lift_off_mass, Dimension.MASS),
        shown.between(flight.rail_exit_speed, Dimension.SPEED),
        shown.between(flight.apogee_agl, Dimension.LENGTH),
        f"ceiling {shown.length(readiness.range_safety.ceiling_agl_m)}",
        shown.length(readiness.range_safety.minimum_distance_m),
        "0123456789ab",
        "range safety officer",
        "flyer, and level of certification",
        "not a permission",
    ):
        assert word in said


def test_the_card_uses_no_number_of_a_lost_flight(readiness):
    turned = LostFlight(flight="nominal", loss=Loss.TURNED_OVER, time_s=1.0, under_thrust=True)
    lost = replace(readiness.flight, lost=(turned,))
    facts = dict(fact for _, group in card(replace(readiness, flight=lost)) for fact in group)
    assert facts["speed off the rail, apogee"] == facts["lands from the pad"] == LOST
    assert facts["with nothing out"] == LOST
    assert "apogee above ground" not in facts


def test_the_card_counts_what_was_tested_and_what_would_fail_alone(readiness):
    one = readiness.findings[0]
    tests = tuple(replace(one, key="ground-test", verdict=told) for told in (Verdict.GO, Verdict.CAUTION))
    facts = dict(fact for _, group in card(replace(readiness, findings=tests)) for fact in group)
    assert facts["charges ground-tested"] == "1 of 2"
    assert facts["computers"] == str(readiness.electronics.computers)
    for point in readiness.electronics.single_points:
        assert point.part.name in facts["would fail alone"]
    assert facts["weighed, hung"] == "never"


def test_the_card_says_what_arms_each_computer_and_what_fires_among_people(readiness):
    found = readiness.electronics
    usual = found.arming[0]
    row = replace(usual, computer="A", switches=(("key",), ("pin 1", "pin 2")))
    bare = replace(usual, computer="B", switches=())
    odds = replace(usual.unasked, value=0.0002, low=2e-5, high=0.002)
    told = replace(readiness, electronics=replace(found, arming=(row, bare), fires_near=odds))
    facts = dict(fact for _, group in card(told) for fact in group)
    assert facts["armed by"] == "A: key then pin 1 or pin 2; B: NO SWITCH, live once plugged in"
    assert facts["fires among people"] == "0.0002 (2e-05 to 0.002), assumed unless counted"
    nobody = replace(readiness, electronics=replace(found, arming=(), fires_near=None))
    facts = dict(fact for _, group in card(nobody) for fact in group)
    assert facts["armed by"] == "not known: no computer entered"
    assert "fires among people" not in facts


def test_the_card_says_what_the_code_asks_of_the_day(readiness):
    def asked(code: str) -> str:
        rules = replace(readiness.range_safety, limits=code_limits(code))
        facts = dict(fact for _, group in card(replace(readiness, range_safety=rules)) for fact in group)
        return facts["it asks for"]

    assert asked("NFPA 1127") == "wind up to 8.94 m/s; tilt up to 20 deg; 60 s after a misfire"
    assert asked("19 CCR 1036").endswith("(not read in 19 CCR 1036: ask); a licensed operator in charge")


def test_what_is_not_wired_is_not_said_to_be_doubled(readiness):
    bare = replace(readiness.electronics, paths=(), single_points=())
    unwired = replace(readiness, electronics=bare, findings=())
    facts = dict(fact for _, group in card(unwired) for fact in group)
    assert facts["would fail alone"] == "not known: nothing is wired to fire"
    assert facts["charges ground-tested"] == "not known: no charge entered"


def test_the_card_says_which_looks_the_verdict_is_over(readiness):
    looked, left = looked_at(readiness)
    assert looked == (CLOSED_FORMS,)
    assert set(left) == {STRENGTH, RECOVERY, MANY, HARDEST, FLOW}
    assert HARDEST in looked_at(replace(readiness, hardest_flights=True))[0]
    assert MANY in looked_at(readiness, flown_often=True)[0]
    for state in StudyState:
        blown = replace(readiness, air=replace(readiness.air, tunnel=TunnelBeside(state=state)))
        assert (FLOW in looked_at(blown)[0]) == (state is StudyState.HOLDS)
    first = " ".join(read(pdf_bytes(readiness)).pages[0].extract_text().split())
    assert f"Not looked at: {STRENGTH}; {RECOVERY}" in first


def test_the_card_tells_the_builder_and_what_happens_when(readiness):
    named = replace(readiness, builder="an invented club")
    facts, unnamed = (dict(fact for _, group in card(one) for fact in group) for one in (named, readiness))
    assert (facts["builder"], unnamed["builder"]) == ("an invented club", "not entered")
    told = facts["events, from ignition"].split("; ")
    assert [one.rpartition(" s, ")[0].rpartition(" ")[0] for one in told] == [
        "burnout",
        "apogee",
        "main out",
        "ground",
    ]
    assert facts["with nothing out"] == "not looked at"
    assert facts["people beyond"] == "61 m; they stand at not known"


def alike(readiness, count, verdict=Verdict.NOT_KNOWN):
    first = replace(readiness.findings[0], verdict=verdict, cause="")
    return tuple(replace(first, subject=Subject(case=f"moment {n}.")) for n in range(count))


@pytest.mark.parametrize(("paper", "width", "height"), [("a4", 595, 842), ("letter", 612, 792)])
@pytest.mark.parametrize("count", [3, 40])
def test_the_card_names_all_that_is_no_go_on_one_page_of_either_paper(readiness, paper, width, height, count):
    many = alike(readiness, count)
    (page,) = read(pdf_bytes(replace(readiness, findings=many), card_alone=True, paper=paper)).pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == (width, height)
    said = " ".join(page.extract_text().split())
    assert all(f"moment {n}." in said for n in range(count))
    assert "range safety officer" in said
    assert "Not to be signed" not in said


def test_the_card_keeps_a_line_with_number_and_limit_for_every_no_go(readiness):
    many = (*alike(readiness, 12, Verdict.NO_GO), *alike(readiness, 40, Verdict.CAUTION))
    (page,) = read(pdf_bytes(replace(readiness, findings=many), card_alone=True)).pages
    said = page.extract_text()
    assert len(re.findall(r"moment \d+\. · .*limit", said)) >= 12


def test_what_follows_from_another_finding_is_named_on_the_card_too(readiness):
    behind = tuple(replace(one, cause="the same") for one in alike(readiness, 6))
    (page,) = read(pdf_bytes(replace(readiness, findings=behind), card_alone=True)).pages
    said = " ".join(page.extract_text().split())
    assert all(f"moment {n}." in said for n in range(6))


def test_a_card_that_cannot_hold_what_is_open_has_nowhere_to_sign(readiness):
    many = tuple(
        replace(one, subject=Subject(case=20 * f"a long moment {n} "))
        for n, one in enumerate(alike(readiness, 60))
    )
    (page,) = read(pdf_bytes(replace(readiness, findings=many), card_alone=True)).pages
    said = " ".join(page.extract_text().split())
    assert "Not to be signed" in said
    assert "flyer, and level of certification" not in said


def test_letter_is_usual_where_inches_are(readiness):
    assert usual_paper(readiness) == "a4"
    assert usual_paper(replace(readiness, us_units=True)) == "letter"


def test_units_are_set_as_print_sets_them(readiness):
    said = squeezed(read(pdf_bytes(readiness)))
    assert "1340 N·s" in said
    assert "°" in said
    assert not re.search(r"\d (deg|degC|N s|[cm]?m[23])\b", said)


def test_cautions_alone_are_headed_go_with_cautions(readiness):
    mild = tuple(replace(finding, verdict=Verdict.CAUTION) for finding in readiness.findings)
    first = (
        read(pdf_bytes(replace(readiness, findings=mild, verdict=Verdict.CAUTION))).pages[0].extract_text()
    )
    assert "Pretend Light: GO, WITH CAUTIONS" in " ".join(first.split())


def test_a_few_pages_with_every_section(readiness, pdf):
    reader = read(pdf)
    assert 4 <= len(reader.pages) <= 9
    text = squeezed(reader)
    for heading in (
        "Stability",
        "Flight",
        "Drift",
        "Strength",
        "Recovery",
        "Electronics",
        "Range",
        "Mass table",
    ):
        assert heading in text
    for part in (*readiness.guesses, *readiness.mass.rows):
        assert (part.name or "wind") in text
    assert "Caution" in text
    assert f"page 1 of {len(reader.pages)}" in text


def test_methods_are_those_used_and_no_others(readiness, pdf):
    text = squeezed(read(pdf))
    assert ("blunt faces", "Hoerner 1965") in methods_used(readiness)
    assert "Hoerner 1965" in text
    fewer = replace(readiness, air=replace(readiness.air, drag_rows=()))
    assert ("blunt faces", "Hoerner 1965") not in methods_used(fewer)
    assert ("speed off the rail", "rail practice") in limits_used(readiness, Shown(us_units=False))


def test_tagged_for_readers_who_cannot_see_it(pdf):
    reader = read(pdf)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert "/StructTreeRoot" in root
    assert "pdfuaid" in root["/Metadata"].get_data().decode()
    assert reader.metadata.title == "Flight readiness: Pretend Light"


def test_the_same_answer_gives_the_same_bytes(readiness, pdf):
    assert pdf_bytes(readiness) == pdf


HOSTILE = '#eval("1+1") $x$ `c` \\ *b* _i_ <l> @r ]#panic("gone") // /* [[ \x00 "q" #{ & </svg>'


def test_hostile_names_print_as_they_are(readiness):
    shown = HOSTILE.replace("\x00", "�")
    row = replace(readiness.mass.rows[0], name=HOSTILE)
    nasty = replace(
        readiness,
        note=HOSTILE,
        mass=replace(readiness.mass, rows=(row, *readiness.mass.rows[1:])),
        findings=(replace(readiness.findings[2], subject=Subject(name=HOSTILE)), *readiness.findings[1:]),
    )
    text = squeezed(read(pdf_bytes(nasty)))
    assert text.count("".join(shown[:36])) >= 2
    assert 'panic("gone")' in text


def test_letters_the_fonts_lack_do_not_stop_the_report(readiness):
    reader = read(pdf_bytes(replace(readiness, name="灯台 \U0001f680 Light")))
    assert "Light: NO-GO" in squeezed(reader)


def test_a_name_without_blanks_breaks_instead_of_leaving_the_page(readiness):
    long = "tower" * 60
    rows = (replace(readiness.mass.rows[0], name=long), *readiness.mass.rows[1:])
    reader = read(pdf_bytes(replace(readiness, mass=replace(readiness.mass, rows=rows))))
    text = squeezed(reader)
    assert "weighed" in text
    # A line of 9 point text across a third of the page holds some 60 letters; the name has 300.
    assert max(len(word) for word in text.replace("\u200b", " ").split()) <= 90


def test_us_units(readiness):
    text = squeezed(read(pdf_bytes(replace(readiness, us_units=True))))
    assert "47.2 in" in text
    assert "1200 mm" not in text


def test_many_findings_run_on_over_pages(readiness):
    wide = Estimate(value=1.0, low=0.5, high=1.5, known_by=KnownBy.ASSUMED)
    many = tuple(
        replace(readiness.findings[2], subject=Subject(name=f"check {index}"), value=wide)
        for index in range(40)
    )
    reader = read(pdf_bytes(replace(readiness, findings=many)))
    text = squeezed(reader)
    assert all(f"check {index}" in text for index in range(40))
