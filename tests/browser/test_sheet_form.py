"""The sheet on the page: typed into, refused, tried, taken back, saved, and changed by another hand."""

import shutil
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from finial.findings.check import load
from finial.web.serve import session_of

ROOT = Path(__file__).parents[2]
OpenPage = Callable[..., Page]


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("page") / "skerry"
    shutil.copytree(ROOT / "examples" / "skerry-light", folder)
    return folder / "skerry-light.toml"


@pytest.fixture(scope="module")
def address(sheet: Path, served) -> Iterator[str]:
    with served(session_of(load(sheet))) as told:
        yield told


def sought(page: Page, words: str, place: str):
    page.get_by_label("Find a place").fill(words)
    return page.locator(f'[id="place-{place}"]')


def test_a_place_is_found_typed_into_and_taken_back(open_page: OpenPage, sheet: Path) -> None:
    before = sheet.read_bytes()
    page = open_page()
    glance, said = page.get_by_test_id("glance"), page.locator("dd[data-key=mass]")
    was = said.inner_text()
    mass = sought(page, "steel ballast mass", "item[1].mass")
    mass.fill("2.9 kg")
    expect(glance).to_contain_text("1 change tried, not saved")
    expect(said).not_to_have_text(was)
    page.get_by_role("button", name="Undo").click()
    expect(said).to_have_text(was)
    expect(glance).not_to_contain_text("tried")
    page.get_by_role("button", name="Redo").click()
    expect(mass).to_have_value("2.9 kg")
    page.get_by_role("button", name="Throw away").click()
    expect(glance).not_to_contain_text("tried")
    assert sheet.read_bytes() == before


def test_what_the_reader_refuses_stands_at_its_place_and_marks_the_numbers_old(
    open_page: OpenPage, faults: list[str]
) -> None:
    page = open_page()
    mass = sought(page, "steel ballast mass", "item[1].mass")
    mass.fill("1.4 kilo")
    expect(page.locator(".place", has=mass).get_by_role("alert")).to_contain_text("accepted:")
    expect(page.get_by_test_id("glance")).to_contain_text("Old: your change has no answer.")
    expect(page.get_by_role("button", name="Save")).to_be_disabled()
    assert [fault for fault in faults if "422" in fault]
    faults.clear()
    mass.fill("1.4 kg")
    expect(page.get_by_test_id("glance")).not_to_contain_text("Old")


def test_saving_writes_that_place_and_nothing_else(open_page: OpenPage, sheet: Path) -> None:
    before = sheet.read_text(encoding="utf-8").splitlines()
    page = open_page()
    sought(page, "note", "vehicle.note").fill("An invented lighthouse, written on the page.")
    page.get_by_role("button", name="Save 1 change to the sheet").click()
    expect(page.get_by_test_id("glance")).not_to_contain_text("tried", timeout=60_000)
    expect(page.locator("header")).to_contain_text("written on the page")
    after = sheet.read_text(encoding="utf-8").splitlines()
    changed = [pair for pair in zip(before, after, strict=True) if pair[0] != pair[1]]
    assert [new for _, new in changed] == ['note = "An invented lighthouse, written on the page."']


def test_a_sheet_changed_by_another_hand_is_noticed_and_never_written_over(
    open_page: OpenPage, sheet: Path, faults: list[str]
) -> None:
    page = open_page()
    place = sought(page, "note", "vehicle.note")
    place.fill("Typed on the page.")
    text = sheet.read_text(encoding="utf-8")
    elsewhere = text.replace("An invented lighthouse", "An invented lighthouse written in an editor", 1)
    assert elsewhere != text
    sheet.write_text(elsewhere, encoding="utf-8")
    page.get_by_role("button", name="Save 1 change to the sheet").click()
    expect(page.get_by_role("alert").first).to_contain_text("changed on disk")
    expect(page.get_by_test_id("glance")).to_contain_text("Old")
    assert sheet.read_text(encoding="utf-8") == elsewhere
    assert [fault for fault in faults if "409" in fault]
    faults.clear()
    expect(page.get_by_role("button", name="Save 1 change to the sheet")).to_be_in_viewport()
    expect(page.get_by_role("button", name="Read it again")).to_be_in_viewport()
    page.get_by_role("button", name="Read it again").click()
    # Both stand there: what was typed, and what the file now says.
    expect(page.locator(".was")).to_contain_text("written in an editor", timeout=60_000)
    expect(place).to_have_value("Typed on the page.")


def test_a_table_is_added_at_the_end_where_the_reader_takes_it(
    open_page: OpenPage, sheet: Path, faults: list[str]
) -> None:
    before = sheet.read_text(encoding="utf-8")
    page = open_page()
    form = page.get_by_role("form", name="Add a table")
    form.get_by_role("combobox", name="Add a table").select_option("item")
    write = form.get_by_role("button", name="Write [item] into the sheet")
    for label, text in (("name", "field camera"), ("mass", "41 gramms"), ("station", "300 mm")):
        expect(write).to_be_disabled()
        form.get_by_label(label, exact=True).fill(text)
    write.click()
    expect(form.get_by_role("alert")).to_contain_text("accepted:", timeout=60_000)
    assert sheet.read_text(encoding="utf-8") == before
    assert [fault for fault in faults if "422" in fault]
    faults.clear()
    form.get_by_label("mass", exact=True).fill("41 g")
    write.click()
    expect(page.get_by_role("group").filter(has_text="field camera").first).to_be_visible(timeout=60_000)
    added = '\n[[item]]\nname = "field camera"\nmass = "41 g"\nstation = "300 mm"\n'
    assert sheet.read_text(encoding="utf-8") == before + added
    # What belongs to an entry is offered under its owner.
    cuts = form.locator('optgroup[label="part[1] · dome"] option[value="part[1].cuts"]')
    expect(cuts).to_have_count(1)
    # Taken away again, once it was asked for twice.
    sought(page, "field camera mass", "x")
    table = page.locator(".sheet details").filter(has_text="field camera")
    table.get_by_role("button", name="Take away").click()
    assert sheet.read_text(encoding="utf-8") == before + added
    table.get_by_role("button", name="Yes, take").click()
    expect(page.get_by_text("No place of this sheet is called so.")).to_be_visible(timeout=60_000)
    assert tomllib.loads(sheet.read_text(encoding="utf-8")) == tomllib.loads(before)
