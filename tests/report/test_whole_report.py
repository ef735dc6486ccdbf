"""The report behind its first page: print plan, campaign, checklist, and no page half empty."""

import io
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from finial.assemble.mass.bill import bill_of
from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.bed import parts_on_bed
from finial.campaign.campaign import planned
from finial.campaign.kept_answer import kept_answer
from finial.campaign.run import Threads, run_campaign
from finial.core.errors import CampaignError
from finial.core.estimates import KnownBy
from finial.findings.check import load
from finial.findings.kept_check import kept_check
from finial.findings.readiness import Depth, Readiness
from finial.report.annex import Annex
from finial.report.contents import contents
from finial.report.looked import MANY
from finial.report.pdf import pdf_bytes
from finial.report.sections.print_plan import print_section
from finial.report.shown import Shown
from finial.report.sources import methods_by_name, methods_used

SHEET = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
FOOTER_MM, FLIGHTS = 20.0, 24


@pytest.fixture(scope="module")
def vehicle():
    return load(SHEET)


@pytest.fixture(scope="module")
def found() -> Readiness:
    answer = kept_check(SHEET, Depth.WHOLE, lambda _note: None)
    assert isinstance(answer, Readiness)
    return answer


@pytest.fixture(scope="module")
def flown(vehicle, tmp_path_factory) -> Path:
    folder, case = tmp_path_factory.mktemp("flown"), flight_case(vehicle)
    campaign = planned(case.name, case.inputs, case.spread, flights=FLIGHTS, seed=3, design="plain")
    run_campaign(campaign, folder, Threads(2))
    return folder


@pytest.fixture(scope="module")
def annex(vehicle, flown) -> Annex:
    return Annex(
        sheet=vehicle.sheet,
        on_bed=parts_on_bed(vehicle),
        bill=bill_of(vehicle),
        campaign=kept_answer(flight_case(vehicle), flown),
    )


@pytest.fixture(scope="module", params=["a4", "letter"])
def pages(found, annex, request):
    return pypdf.PdfReader(io.BytesIO(pdf_bytes(found, annex, paper=request.param))).pages


def heights_mm(page) -> list[float]:
    """How high above the foot of the page its words stand."""
    found: list[float] = []

    def seen(text, current, matrix, _font, _size) -> None:
        if text.strip():
            found.append((current[1] * matrix[4] + current[3] * matrix[5] + current[5]) * 25.4 / 72)

    page.extract_text(visitor_text=seen)
    return [one for one in found if one > FOOTER_MM]


def test_no_page_is_half_empty(pages):
    assert len(pages) > 15
    for number, page in enumerate(pages[:-1], start=1):
        assert min(heights_mm(page)) < 0.5 * float(page.mediabox.height) * 25.4 / 72, f"page {number}"


def test_what_is_left_of_the_last_page_is_ruled_to_write_on(pages):
    *before, last = pages
    assert not any("Written on the day" in page.extract_text() for page in before)
    ruled = "Written on the day" in last.extract_text()
    assert ruled is (min(heights_mm(last)) > 50.0)


def test_everything_that_was_asked_for_stands_in_it(pages, annex):
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    order = ("What decides it", "Stability", "Strength", "Recovery", "Electronics", "Many flights")
    order = (
        *order,
        "Print plan",
        "What it is made of",
        "Mass and balance",
        "Methods used",
        "Caution",
        "Checklist",
    )
    places = [
        text.index(title, 3000 if title != "Caution" else text.index("Methods used")) for title in order[1:]
    ]
    assert places == sorted(places)
    for word in ("The fin in the wind", "Load cases", "Opening load, twice computed", "cut the tube"):
        assert word in text
    assert f"{FLIGHTS} of {FLIGHTS} flights" in text or f"of {FLIGHTS} flights" in text
    for part in annex.sheet.part:
        assert part.name in text


def test_the_first_page_says_that_many_were_flown(pages, found):
    first = " ".join(pages[0].extract_text().split())
    assert MANY in first.partition("Not looked at")[0]
    alone = pypdf.PdfReader(io.BytesIO(pdf_bytes(found, card_alone=True))).pages[0].extract_text()
    assert MANY in " ".join(alone.split()).partition("Not looked at")[2]


def test_a_campaign_of_another_day_is_refused(vehicle, flown):
    case = flight_case(vehicle)
    heavier = replace(case.inputs, mass=replace(case.inputs.mass, masses_kg=1.1 * case.inputs.mass.masses_kg))
    with pytest.raises(CampaignError, match="vehicle, day or spread have changed"):
        kept_answer(replace(case, inputs=heavier), flown)


def test_the_print_plan_is_that_of_the_sheet(annex):
    section = print_section(annex, Shown(us_units=False))
    (table,) = section.tables
    printed = [part for part in annex.sheet.part if part.print]
    assert [row[0] for row in table.rows] == [part.name for part in printed]
    for row, part in zip(table.rows, printed, strict=True):
        assert row[2] == f"{1e3 * part.print.wall.value:.1f} mm"
        assert row[3] == f"{100 * part.print.infill.value:.0f} %"
    bare = print_section(replace(annex, on_bed=()), Shown(us_units=False))
    assert {row[6] for row in bare.tables[0].rows} == {"not known"}


def test_what_no_scale_has_seen_is_named_under_the_mass_table(found, annex):
    (mass,) = (one for one, _ in contents(found, annex).sections if one.key == "mass")
    guessed = [row.name for row in found.mass.rows if row.mass.known_by is not KnownBy.WEIGHED]
    assert guessed
    assert mass.notes[-1] == f"Not weighed: {', '.join(guessed)}."


def test_every_picture_that_is_drawn_is_used_and_every_one_named_is_drawn(found, annex):
    whole = contents(found, annex)
    named = {name for one, inner in whole.sections for each in (one, *inner) for name in each.pictures}
    assert named <= set(whole.pictures)
    assert {"fin-modes.svg", "tension.svg", "pressure.svg", "opening.svg", "firing_paths"} <= named


def test_a_method_stands_once_with_all_its_sources(found):
    rows = methods_by_name(found)
    names = [method for method, _ in rows]
    assert len(names) == len(set(names))
    assert set(names) == {method for method, _ in methods_used(found)}
    sources = dict(rows)
    for method, source in methods_used(found):
        assert all(piece in sources[method] for piece in source.split("; "))
