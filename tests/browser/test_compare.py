"""Variants on the page: kept under a name, taken up again, and set side by side."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from finial.findings.check import load
from finial.web.serve import session_of

from .test_page import axe

__all__ = ["axe"]
ROOT = Path(__file__).parents[2]
OpenPage = Callable[..., Page]
LONG_MS = 240_000
"""A whole look in a process of its own, on a machine that is busy."""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory, served) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("compare") / "buoy"
    shutil.copytree(ROOT / "examples" / "buoy-tiers", folder)
    with served(session_of(load(folder / "buoy-tiers.toml"))) as told:
        yield told


def test_two_variants_beside_the_sheet(open_page: OpenPage, axe: str) -> None:
    page = open_page(viewport={"width": 390, "height": 844})
    part = page.get_by_role("region", name="Compare", exact=True)
    # Not the page's first slider: that one cuts the picture open and asks for nothing.
    weight = page.get_by_role("region", name="What if").get_by_role("slider").first
    for name, key in (("lighter", "Home"), ("heavier", "End")):
        with page.expect_response("**/api/what-if"):
            weight.press(key)
        part.get_by_label("Name of what is tried now").fill(name)
        part.get_by_role("button", name="Keep it").click()
        expect(part.get_by_role("checkbox", name=name)).to_be_checked()
    # Three at most: with the sheet and both they are all chosen.
    part.get_by_role("button", name="Compare them").click()
    table = part.get_by_role("table")
    expect(table.get_by_role("columnheader")).to_have_text(["the sheet as saved", "lighter", "heavier"])
    mass = table.get_by_role("row", name="Mass at lift-off").first
    expect(mass.locator(".more")).to_have_count(2)
    expect(mass.locator(".more").first).to_contain_text("-")
    expect(mass.locator(".more").last).to_contain_text("+")
    # By the whole look: the missing ones are jobs of the page, and the table comes when they are done.
    part.get_by_role("checkbox", name="lighter").uncheck()
    part.get_by_role("button", name="By the whole look").click()
    expect(part.get_by_role("status")).to_contain_text("1 of the whole looks is on the way")
    expect(page.locator("[data-job='0001-look']")).to_contain_text("with 2 changes tried")
    expect(table.get_by_role("rowheader", name="Whole look")).to_be_visible(timeout=LONG_MS)
    expect(table.get_by_role("columnheader")).to_have_text(["the sheet as saved", "heavier"])
    expect(part.get_by_role("status")).to_have_text("")
    # Of what is tried now, the same, everything moves: its whole look was taken.
    moves = page.get_by_role("region", name="In motion")
    moves.get_by_role("button", name="Show what moves").click()
    expect(moves.get_by_role("heading", name="Separations in time")).to_be_visible(timeout=60_000)
    path = moves.locator("polyline.path")
    heavier = path.get_attribute("points")
    # Another trial has a flight at once; the rest waits for its whole look.
    weight.press("ArrowLeft")
    expect(moves.get_by_role("button", name="Take the whole look")).to_be_visible(timeout=60_000)
    expect(path).not_to_have_attribute("points", heavier)
    expect(moves.get_by_role("heading", name="Separations in time")).to_have_count(0)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert [(fault["id"], [node["html"] for node in fault["nodes"]]) for fault in found["violations"]] == []
    page.reload()
    expect(part.get_by_role("checkbox", name="heavier")).to_be_visible()
    part.get_by_role("button", name="Take up heavier").click()
    # Its mass, and its middle where it stands on its aft end.
    expect(page.get_by_test_id("glance")).to_contain_text("2 changes tried, not saved")
    part.get_by_role("button", name="Throw away heavier").click()
    expect(part.get_by_role("checkbox", name="heavier")).to_have_count(0)
