"""The PDF: pages, text and tags read back with an independent reader."""

import io
from dataclasses import replace

import pypdf
import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.findings.finding import Subject, Verdict
from finial.report.finding_words import title, what_to_change
from finial.report.pdf import pdf_bytes
from finial.report.shown import Shown
from finial.report.sources import limits_used, methods_used


def read(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


def squeezed(reader):
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


@pytest.fixture(scope="module")
def pdf(readiness):
    return pdf_bytes(readiness)


def test_first_page_says_verdict_and_every_no_go_with_its_change(readiness, pdf):
    first = " ".join(read(pdf).pages[0].extract_text().split())
    assert "Pretend Light: NO-GO" in first
    for finding in readiness.findings:
        if finding.verdict is Verdict.NO_GO:
            assert title(finding) in first
            assert what_to_change(finding) in first


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
