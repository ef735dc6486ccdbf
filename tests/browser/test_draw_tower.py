"""A tower drawn on the page without CAD: changed, refused, undone, saved, written, and sent on to a sheet."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from finial.web.drafts.tower import tower_draft

from .test_page import axe

__all__ = ["axe"]
OpenPage = Callable[..., Page]
DRAWN_MS = 30_000
TOWER = """name = "Invented Tower"  # invented

[[part]]
name = "shaft"
tiers = [
  { outline = "octagon", across = "140 mm", height = "200 mm" }, # leans not
  { outline = "circle", across = "120 mm", height = "60 mm" },
]
"""


@pytest.fixture(scope="module")
def drawing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("tower") / "light.toml"
    path.write_text(TOWER, encoding="utf-8")
    return path


@pytest.fixture
def address(drawing: Path, served) -> Iterator[str]:
    with served(tower_draft(drawing)) as told:
        yield told


def test_a_tower_is_drawn_saved_and_sent_on(open_page: OpenPage, drawing: Path) -> None:
    page = open_page()
    headline = page.get_by_test_id("headline")
    expect(headline).to_contain_text("260 mm high")
    page.keyboard.press("u")
    expect(headline).to_contain_text("10.2 in high", timeout=DRAWN_MS)
    page.get_by_role("button", name="Show metric units").click()
    expect(headline).to_contain_text("260 mm high", timeout=DRAWN_MS)
    page.keyboard.press("?")
    expect(page.get_by_role("dialog")).to_contain_text("metric or US units")
    page.keyboard.press("Escape")
    shaft = page.get_by_role("group", name="Part shaft")
    shaft.get_by_role("button", name="Storey on top of shaft").press("Enter")
    expect(headline).to_contain_text("320 mm high", timeout=DRAWN_MS)
    # A new storey is open to be filled in.
    top = shaft.locator("details[open]")
    top.get_by_label("roof", exact=True).select_option("dome")
    expect(page.get_by_text('roof = "dome"')).to_have_count(1, timeout=DRAWN_MS)
    top.get_by_label("height", exact=True).fill("60")
    expect(headline).to_contain_text("Not drawn", timeout=DRAWN_MS)
    expect(top.get_by_role("alert")).to_contain_text('write "60 mm"')
    expect(page.get_by_role("button", name="Save light.toml")).to_be_disabled()
    page.get_by_role("button", name="Undo").click()
    expect(headline).to_contain_text("320 mm high", timeout=DRAWN_MS)
    page.get_by_role("button", name="Save light.toml").click()
    expect(page.get_by_role("status")).to_have_text("Saved as light.toml.", timeout=DRAWN_MS)
    saved = drawing.read_text(encoding="utf-8")
    assert saved.count("#") == 2
    assert saved.count("outline") == 3
    page.get_by_role("button", name="Begin a build sheet with it").click()
    # The same page goes on with the sheet, and says what it still lacks.
    expect(page.get_by_text("This sheet is only begun")).to_be_visible(timeout=90_000)
    expect(page.get_by_role("heading", level=1)).to_have_text("Invented Tower")
    assert (drawing.parent / "light-parts" / "part-01-shaft.stl").is_file()
    assert (drawing.parent / "light" / "invented-tower.toml").is_file()


def test_a_file_changed_meanwhile_is_never_written_over(open_page: OpenPage, drawing: Path) -> None:
    drawing.write_text(TOWER, encoding="utf-8")
    page = open_page()
    name = page.get_by_label("name", exact=True).first
    name.fill("Mine")
    expect(page.get_by_role("heading", level=1)).to_have_text("Mine", timeout=DRAWN_MS)
    drawing.write_text(TOWER.replace("Invented Tower", "Theirs"), encoding="utf-8")
    again = page.get_by_role("button", name="Read it again")
    again.wait_for(timeout=DRAWN_MS)
    expect(page.get_by_role("button", name="Save light.toml")).to_be_disabled()
    again.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Theirs", timeout=DRAWN_MS)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Mine", timeout=DRAWN_MS)
    assert "Theirs" in drawing.read_text(encoding="utf-8")


def test_a_server_that_is_gone_is_said_and_forgotten_once_it_answers(
    open_page: OpenPage, drawing: Path, faults: list[str]
) -> None:
    drawing.write_text(TOWER, encoding="utf-8")
    page = open_page()
    page.get_by_label("name", exact=True).first.fill("Mine")
    save = page.get_by_role("button", name="Save light.toml")
    expect(save).to_be_enabled(timeout=DRAWN_MS)
    page.route("**/api/revision", lambda route: route.abort())
    expect(page.get_by_role("alert")).to_contain_text("does not answer", timeout=DRAWN_MS)
    expect(save).to_be_disabled()
    page.unroute("**/api/revision")
    expect(save).to_be_enabled(timeout=DRAWN_MS)
    expect(page.get_by_role("alert")).to_have_count(0)
    assert all("ERR_FAILED" in fault for fault in faults)
    faults.clear()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 390)])
def test_axe_finds_no_violation_drawn_or_refused(
    open_page: OpenPage, axe: str, drawing: Path, scheme: str, width: int
) -> None:
    drawing.write_text(TOWER, encoding="utf-8")
    page = open_page(color_scheme=scheme, viewport={"width": width, "height": 844})
    page.evaluate("document.querySelectorAll('details').forEach((part) => (part.open = true))")
    page.evaluate(axe)
    for told in ("260 mm high", "Not drawn"):
        expect(page.get_by_test_id("headline")).to_contain_text(told, timeout=DRAWN_MS)
        found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.get_by_label("height", exact=True).first.fill("200")
